"""``python -m frostwatch``."""

import os
import sys


def main() -> None:
    """Run the command line; a known error is one line on standard error and exit status 2."""
    # The matrices here are small: threads of the linear algebra wait for each other more than they
    # compute, on a busy machine tenfold. It is read when numpy is imported, so it is said before.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from frostwatch.cli import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
