"""``python -m frostwatch``."""

import sys


def main() -> None:
    """Run the command line; a known error is one line on standard error and exit status 2."""
    from frostwatch.cli import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
