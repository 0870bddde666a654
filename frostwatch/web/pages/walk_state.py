"""A round as a phone keeps it: everything its walk needs without signal, as one JSON text."""

import json
from collections.abc import Mapping
from dataclasses import fields
from datetime import timedelta
from typing import Any

from markupsafe import Markup

from frostwatch.advice.walk import Obstacle
from frostwatch.languages.phrases import formed
from frostwatch.ports.photos import NoPhotoError, WhyNot
from frostwatch.web.pages.walk_view import WalkLine, WalkView
from frostwatch.web.photo_answers import TAKES
from frostwatch.web.words import Tongue

SAID = {
    "done": "pressed.done",
    "part": "pressed.part",
    "could not": "pressed.could_not",
    "looked": "pressed.looked",
}
"""What stands at a stop that was pressed, by what was pressed."""
WORDS = {
    "head": "walk.head",
    "headDone": "walk.head.done",
    "by": "walk.by",
    "was": "walk.was",
    "sent": "walk.kept.sent",
    "sending": "walk.kept.sending",
    "none": "walk.kept.none",
    "refused": "walk.kept.refused",
    "noSignal": "walk.kept.no_signal",
    "notKept": "walk.not_kept",
    "noKey": "walk.no_key",
    "part": "walk.part",
    "couldNot": "walk.could_not",
    "legendPart": "walk.part.legend",
    "nothing": "walk.part.nothing",
    "legendWhy": "walk.why.legend",
    "keep": "walk.part.keep",
    "note": "walk.note",
    "back": "walk.back",
    "undo": "walk.undo",
    "late": "vehicle.say.late",
    "added": "walk.added",
    "waits": "walk.waits",
    "photo": "photo.add",
    "photoNoRoom": "photo.no_room",
    "photoNotKept": "photo.not_kept",
}
COUNTED = {
    "kept": "walk.kept.kept",
    "photosHere": "photo.walk",
    "photosKept": "photo.kept",
    "photosSending": "photo.sending",
}
"""Of each, what is said of one and of more."""


def walk_state(
    view: WalkView,
    tongue: Tongue,
    *,
    walker: str,
    token: str,
    ahead: timedelta = timedelta(0),
) -> Mapping[str, Any]:
    """What a phone keeps of a round.

    Args:
        view: the round in words.
        tongue: language of the walk.
        walker: who walks, as they are called.
        token: what the next sending shows.
        ahead: how far the clock of these pages runs before that of the devices; the demo's does.
    """
    texts = tongue.words.texts
    words: dict[str, object] = {name: _raw(texts[key]) for name, key in WORDS.items()}
    words |= {name: [formed(texts[key], {"n": n}) for n in (1, 2)] for name, key in COUNTED.items()}
    words["photoHeavy"] = tongue.fault_text(NoPhotoError(WhyNot.HEAVY))
    if view.by_passed:
        words["by"] = _raw(texts["walk.by.passed"])
    words["said"] = {kind: _raw(texts[key]) for kind, key in SAID.items()}
    words["whys"] = {one.value: tongue.words.obstacles[one] for one in Obstacle}
    return {
        "code": view.code,
        "token": token,
        "walker": walker,
        "language": tongue.language.value,
        "zone": tongue.zone.key,
        "at": tongue.now.isoformat(),
        "ahead_s": ahead.total_seconds(),
        "by": _plain(view.by),
        "was": _plain(view.was),
        "stale": _plain(view.stale),
        "closed": view.closed is not None,
        "takes": TAKES,
        "stops": [_stop(line) for line in view.lines],
        "words": words,
    }


def _stop(line: WalkLine) -> dict[str, Any]:
    wet = [
        {field.name: _value(getattr(one, field.name)) for field in fields(one)} for one in line.wet
    ]
    values = {f.name: _value(getattr(line, f.name)) for f in fields(line) if f.name != "wet"}
    return values | {"wet": wet}


def _value(value: object) -> object:
    if isinstance(value, Markup):
        return _plain(value)
    return str(value) if isinstance(value, str) else value


def _plain(text: Markup | str | None) -> str:
    return Markup(text).striptags() if text else ""


def _raw(text: object) -> str:
    assert isinstance(text, str)
    return text


def embedded(state: Mapping[str, Any]) -> Markup:
    """The state as it stands in a page: no sign in it ends the element it stands in."""
    text = json.dumps(state, ensure_ascii=False, separators=(",", ":"))
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)
