"""The command line. Each command is one file and imports what it needs when it is called."""

import sys
from collections.abc import Sequence
from io import TextIOWrapper

from frostwatch.cli.app import build_app
from frostwatch.cli.say import complain
from frostwatch.errors import FrostwatchError


def run(arguments: Sequence[str]) -> int:
    """Run one command; returns the exit status: 0 done, 1 found something, 2 wrong input."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            # a sign that the terminal lacks is spelled out: a minus must never go missing
            stream.reconfigure(errors="backslashreplace")
    try:
        build_app()(list(arguments), standalone_mode=True)
    except FrostwatchError as fault:
        complain(str(fault))
        return 2
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 1
    return 0
