"""The form in which somebody says what is in a vehicle: read, refused with reasons, or kept."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from frostwatch.advice.marks import VESSELS
from frostwatch.records.entries import Evidence, State
from frostwatch.service.recording import But, Said, Statement
from frostwatch.web.rights.names import Doubt, doubt_about
from frostwatch.web.words import Tongue

MOST_LITRES = 1000.0
LONGEST_NOTE = 500
DOSES = (20, 25, 30, 35, 40, 45, 50)
"""Propylene glycol in per cent that a refractometer or the bottle tells."""
BUT_STATES = (State.FULL, State.PART_FULL, State.DRAINED, State.UNKNOWN)
HOW = {"seen": Evidence.SEEN, "told": Evidence.ASSERTED}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing to put right.

    Attributes:
        field: id of the field.
        key: key of the sentence that says what.
    """

    field: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadForm:
    """What was typed, as it was typed, and what it comes to.

    Attributes:
        typed: field -> text.
        faults: what to put right.
        statement: what is said; None where something is to be put right.
    """

    typed: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    statement: Statement | None = None

    def value(self, name: str) -> str:
        """What was typed into a field."""
        return self.typed.get(name, "")

    def fault(self, name: str) -> str:
        """Key of what is to be put right about a field, "" for nothing."""
        return next((fault.key for fault in self.faults if fault.field == name), "")


def read_form(typed: Mapping[str, str], *, zone: ZoneInfo, now: datetime, found: bool) -> ReadForm:
    """Read what was typed.

    Args:
        typed: field -> text.
        zone: time zone of the place.
        now: moment, UTC.
        found: it is said of what was found after a frost.
    """
    return _Reading(typed, zone, now, found).read()


class _Reading:
    def __init__(
        self, typed: Mapping[str, str], zone: ZoneInfo, now: datetime, found: bool
    ) -> None:
        self._typed = {key: text.strip() for key, text in typed.items()}
        self._zone, self._now, self._found = zone, now, found
        self._faults: list[Fault] = []

    def read(self) -> ReadForm:
        """The whole form."""
        evidence = HOW.get(self._text("how"))
        if evidence is None:
            self._fault("how")
        said = self._said()
        at = self._at()
        dose = self._dose(said)
        litres = self._litres("litres") if said is Said.WET else None
        but = self._but()
        note = self._note()
        if self._faults or evidence is None or said is None or at is None:
            return ReadForm(typed=self._typed, faults=tuple(self._faults))
        statement = Statement(
            said=said,
            evidence=evidence,
            at=at,
            dose_fraction=dose,
            litres=litres,
            but=but,
            found=self._found,
            note=note,
        )
        return ReadForm(typed=self._typed, statement=statement)

    def _text(self, name: str) -> str:
        return self._typed.get(name, "")

    def _fault(self, name: str, key: str = "") -> None:
        self._faults.append(Fault(field=name, key=f"fault.{key or name}"))

    def _said(self) -> Said | None:
        text = self._text("what")
        said = next((said for said in Said if said.value == text), None)
        if said is None:
            self._fault("what")
        return said

    def _dose(self, said: Said | None) -> float | None:
        if said is not Said.DOSED:
            return None
        text = self._text("dose")
        if text.isascii() and text.isdigit() and len(text) < 4 and int(text) in DOSES:
            return int(text) / 100.0
        self._fault("dose")
        return None

    def _litres(self, name: str) -> float | None:
        text = self._text(name).replace(",", ".")
        if not text:
            return None
        try:
            litres = float(text)
        except ValueError:
            litres = -1.0
        if not 0.0 <= litres <= MOST_LITRES:
            self._fault(name, "litres")
            return None
        return litres

    def _but(self) -> dict[str, But]:
        found = {}
        for vessel in VESSELS:
            text = self._text(f"but-{vessel}")
            state = next((state for state in BUT_STATES if state.value == text), None)
            if state is not None:
                part = state is State.PART_FULL
                litres = self._litres(f"litres-{vessel}") if part else None
                found[vessel] = But(state=state, litres=litres)
        return found

    def _at(self) -> datetime | None:
        text = self._text("at")
        if not text:
            return self._now
        try:
            moment = datetime.fromisoformat(text).replace(tzinfo=self._zone).astimezone(UTC)
        except (ValueError, OverflowError):
            self._fault("at")
            return None
        if moment > self._now or (self._now - moment).days > 365:
            self._fault("at")
            return None
        return moment

    def _note(self) -> str:
        text = self._text("note")
        if not text:
            return ""
        doubt = doubt_about(text, longest=LONGEST_NOTE, lines=True)
        if doubt is not None:
            self._fault("note", "note.long" if doubt is Doubt.LONG else "note")
        return text


def choices(tongue: Tongue, *, found: bool) -> tuple[tuple[str, str], ...]:
    """What can be said of the whole vehicle: value and words."""
    order = [Said.DRAINED, Said.DOSED, Said.WET, Said.UNKNOWN]
    if found:
        order.insert(0, Said.FROZEN)
    return tuple((said.value, str(tongue(f"said.{said.name.lower()}"))) for said in order)
