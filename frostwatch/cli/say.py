"""Writing to standard output and standard error."""

import json
import os
import sys
from typing import Any


def say(text: str = "") -> None:
    """One line on standard output."""
    sys.stdout.write(text + "\n")


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


def leave_pipe_quietly() -> None:
    """After the reader of our output has gone, do not complain at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
