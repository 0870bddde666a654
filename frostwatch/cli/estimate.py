"""``frostwatch estimate``: the heat model on a case of one's own."""

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from frostwatch.errors import CaseError


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="estimate")(estimate)


def estimate(
    case: Annotated[Path, typer.Argument(help="A JSON case; - reads standard input.")],
) -> None:
    """Work out temperature and ice of any bodies under any airs; JSON in, JSON out."""
    from frostwatch.cli.say import say_json
    from frostwatch.heatloss.case import read_case
    from frostwatch.heatloss.integrate import answer

    say_json(answer(read_case(_parsed(case))))


def _parsed(case: Path) -> object:
    try:
        text = sys.stdin.read() if str(case) == "-" else case.read_text(encoding="utf-8")
        return json.loads(text, parse_constant=_refuse)
    except OSError as unreadable:
        raise CaseError(f"{case} cannot be read: {unreadable.strerror}.") from unreadable
    except (ValueError, RecursionError) as broken:
        raise CaseError(f"{case} is not JSON: {broken}.") from broken


def _refuse(word: str) -> object:
    raise ValueError(f"{word} is no number")
