"""Writing to standard output and standard error."""

import json
import os
import sys
from typing import Any

READER_GONE = 141
"""Exit status of a program whose reader went away: what shells give for SIGPIPE, 128 + 13."""


def say(text: str = "") -> None:
    """One line on standard output, at once.

    Ends the program where it cannot be written: quietly if the reader of a pipe has gone.
    """
    try:
        sys.stdout.write(text + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        _write_no_more()
        raise SystemExit(READER_GONE) from None
    except OSError as failure:
        _write_no_more()
        complain(f"standard output cannot be written: {failure.strerror}.")
        raise SystemExit(1) from None


def say_json(value: Any) -> None:
    """One JSON value on one line of standard output."""
    say(json.dumps(value, ensure_ascii=False, allow_nan=False))


def complain(text: str) -> None:
    """A message on standard error, under the program's name."""
    for line in text.splitlines() or [""]:
        sys.stderr.write(f"frostwatch: {line}\n")


def progress(text: str) -> None:
    """A passing line on standard error; nothing where that is no terminal."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r\033[K{text}")
        sys.stderr.flush()


def end_progress() -> None:
    """Wipe the passing line."""
    progress("")


def _write_no_more() -> None:
    """Let what is left over go nowhere, so that leaving does not fail once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
