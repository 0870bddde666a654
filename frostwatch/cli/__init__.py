"""The command line. Each command is one file and imports what it needs when it is called."""

from collections.abc import Sequence

from frostwatch.cli.app import build_app
from frostwatch.cli.say import complain
from frostwatch.errors import FrostwatchError


def run(arguments: Sequence[str]) -> int:
    """Run one command; returns the exit status: 0 done, 1 found something, 2 wrong input."""
    try:
        build_app()(list(arguments), standalone_mode=True)
    except FrostwatchError as fault:
        complain(str(fault))
        return 2
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 1
    return 0
