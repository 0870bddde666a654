"""Vessel marks as they are drawn and as they are read out."""

from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.advice.marks import VESSELS, Mark
from frostwatch.fleet.people import Language
from frostwatch.records.entries import Evidence, State
from frostwatch.web.words import Tongue

MOST_KNOWN = 20_000

LOOKS: dict[State, str] = {
    State.FULL: "full",
    State.PART_FULL: "part",
    State.TRAVEL_LEVEL: "part",
    State.DRAINED: "drained",
    State.RESIDUAL: "residual",
    State.DOSED: "dosed",
    State.OPEN_RUNNING: "open",
    State.HEATED_HOLD: "held",
    State.TRIPPED: "tripped",
    State.DRY_NEW: "dry-new",
    State.UNKNOWN: "unknown",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownMark:
    """One mark.

    Attributes:
        vessel: one of the vessels of a list.
        name: what it is called.
        look: fill of the drawing.
        edge: edge of the drawing.
        share: height of the water [fraction]; None where the fill says it.
        label: words beside the drawing, "" for none.
        hear: the whole mark in words.
        wet: holds water that frost could harm, or may.
        cell: all of it as it stands in a cell of a list; long lists hold the same few over and
            over.
    """

    vessel: str
    name: str
    look: str
    edge: str
    share: float | None
    label: str
    hear: str
    wet: bool
    cell: Markup


def shown(mark: Mark, tongue: Tongue) -> ShownMark:
    """A mark in one language; the same everywhere, so it is put into words once."""
    key = (mark, tongue.language)
    found = _known.get(key)
    if found is None:
        if len(_known) >= MOST_KNOWN:
            _known.clear()
        found = _known[key] = _shown(mark, tongue)
    return found


_known: dict[tuple[Mark, Language], ShownMark] = {}


def _shown(mark: Mark, tongue: Tongue) -> ShownMark:
    name = tongue.words.vessels[mark.vessel]
    look, share = LOOKS[mark.state], None
    if mark.state in (State.PART_FULL, State.TRAVEL_LEVEL):
        share = mark.share
    label, hear = _label(mark, tongue), _hear(name, mark, tongue)
    return ShownMark(
        vessel=mark.vessel,
        name=name,
        look=look,
        edge=mark.evidence.value,
        share=share,
        label=label,
        hear=hear,
        wet=mark.wet,
        cell=_cell(look, mark.evidence.value, share, label, hear),
    )


_VESSEL = Markup(
    '<span class="vessel" data-state="{}" data-evidence="{}"{} aria-hidden="true"></span>'
    '<span class="hear">{}</span>{}'
)


def _cell(look: str, edge: str, share: float | None, label: str, hear: str) -> Markup:
    level = Markup(' style="--share:{}"').format(share) if share is not None else ""
    words = Markup('<span class="l" aria-hidden="true">{}</span>').format(label) if label else ""
    return _VESSEL.format(look, edge, level, hear, words)


def in_columns(marks: tuple[Mark, ...], tongue: Tongue) -> tuple[ShownMark | None, ...]:
    """The marks of a vehicle under the six heads; None where it has no such vessel."""
    by_vessel = {mark.vessel: mark for mark in marks}
    found = [by_vessel.get(vessel) for vessel in VESSELS]
    return tuple(shown(mark, tongue) if mark is not None else None for mark in found)


def _label(mark: Mark, tongue: Tongue) -> str:
    if mark.state is State.UNKNOWN:
        return ""
    if mark.wet:
        return tongue.litres(mark.litres) if mark.litres else str(tongue("mark.wet"))
    if mark.dose_fraction is not None:
        return tongue.percent(mark.dose_fraction)
    return ""


def _hear(name: str, mark: Mark, tongue: Tongue) -> str:
    words = [tongue.words.states[mark.state]]
    label = _label(mark, tongue)
    if label and (mark.litres or mark.dose_fraction is not None):
        words.append(label)
    if mark.state is not State.UNKNOWN and mark.evidence is not Evidence.EXPIRED:
        words.append(tongue.words.evidence[mark.evidence])
    return str(tongue("mark.hear", name=name, words=", ".join(words)))
