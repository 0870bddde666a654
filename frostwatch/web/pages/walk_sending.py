"""Presses that a phone kept and sends when it has signal: each is taken once, or refused."""

import json
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from frostwatch.advice.walk import NOTE_MOST, Obstacle, PressKind
from frostwatch.errors import RecordError
from frostwatch.service.walking import Pressed
from frostwatch.told import told
from frostwatch.web.rights.names import doubt_about

MOST_PRESSES = 500
LONGEST_ID = 64
LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)


def presses_in(text: str) -> list[dict[str, Any]]:
    """The presses of one sending.

    Raises:
        RecordError: it is no list of presses.
    """
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, list) or len(found) > MOST_PRESSES:
        raise RecordError(told("presses", most=MOST_PRESSES))
    if not all(isinstance(one, dict) and _id(one) for one in found):
        raise RecordError(told("press_id"))
    return found


def _id(one: dict[str, Any]) -> str:
    found = one.get("id")
    return found if isinstance(found, str) and len(found) <= LONGEST_ID else ""


def pressed_of(one: dict[str, Any], sent_at: str) -> tuple[Pressed, Sequence[str]]:
    """One press, and the vessels it names.

    Raises:
        RecordError: it does not hold together.
    """
    kind = next((k for k in PressKind if k.value == one.get("kind")), None)
    if kind is None:
        raise RecordError(told("press_kind"))
    why = one.get("obstacle")
    note = _text(one, "note").strip()
    if note and doubt_about(note, longest=NOTE_MOST, lines=True) is not None:
        raise RecordError(told("note_long", most=NOTE_MOST))
    vessels = one.get("vessels")
    named = [v for v in vessels if isinstance(v, str)] if isinstance(vessels, list) else []
    pressed = Pressed(
        id=_id(one),
        vehicle=_text(one, "vehicle"),
        kind=kind,
        at=moment_of(_text(one, "at")),
        sent_at=moment_of(sent_at),
        obstacle=next((o for o in Obstacle if o.value == why), None)
        if kind is PressKind.COULD_NOT
        else None,
        note=note,
        undoes=_text(one, "undoes"),
    )
    return pressed, named


def _text(one: dict[str, Any], name: str) -> str:
    found = one.get(name, "")
    return found if isinstance(found, str) else ""


def moment_of(text: str) -> datetime:
    """The phone's hour; where it makes no sense a moment so long ago that arrival counts."""
    try:
        moment = datetime.fromisoformat(text)
        return moment.astimezone(UTC) if moment.tzinfo is not None else LONG_AGO
    except (ValueError, OverflowError):
        return LONG_AGO
