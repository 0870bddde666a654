"""What the page behind a link says: its headline, and what still holds water."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from frostwatch.advice.board import Board, Standing
from frostwatch.advice.drafts import voice_of
from frostwatch.advice.marks import VESSELS, Mark, marks_of, vessel_of
from frostwatch.fleet.people import Language
from frostwatch.messages.wording import CATALOGUES
from frostwatch.messages.wording.draft import Form, Level, Voice
from frostwatch.messages.wording.say import NBSP, Speech
from frostwatch.records.entries import Evidence, State
from frostwatch.service.open_links import Due, OpenLink, OpenVan
from frostwatch.web.answers.words import Say

DRAWN = {
    State.FULL: "full",
    State.PART_FULL: "part",
    State.TRAVEL_LEVEL: "part",
    State.RESIDUAL: "residual",
    State.HEATED_HOLD: "held",
    State.TRIPPED: "tripped",
    State.OPEN_RUNNING: "open",
    State.DRAINED: "drained",
    State.DRY_NEW: "dry-new",
    State.DOSED: "dosed",
    State.UNKNOWN: "unknown",
}
"""State -> how a vessel mark is drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WetRow:
    """One vessel that still holds water."""

    vessel: str
    drawn: str
    evidence: str
    share: float
    text: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One vessel to say of whether it is still wet."""

    vessel: str
    text: str
    ticked: bool


@dataclass(frozen=True, kw_only=True)
class Reading:
    """An open link read in one language at one moment."""

    opened: OpenLink
    language: Language
    now: datetime
    standing: Standing | None = None

    @property
    def is_frozen(self) -> bool:
        """By the last pass the one vehicle is to be left alone, or looked at after the frost."""
        return self.standing is not None and self.standing.level in (Level.TOO_LATE, Level.THAW)

    @property
    def voice(self) -> Voice:
        """To whom the page speaks: whoever opens it."""
        return voice_of(self.opened.person, self.opened.site)

    @property
    def say(self) -> Say:
        """Words of the page."""
        return Say(language=self.language, voice=self.voice)

    @property
    def speech(self) -> Speech:
        """How hours and amounts are written."""
        return Speech(
            language=self.language,
            form=Form.LONG,
            zone=self.opened.site.zone,
            now=self.now,
            words=CATALOGUES[self.language].words,
        )

    @property
    def day(self) -> str:
        """Today, for a headline that knows no other hour."""
        weekday = self.now.astimezone(self.opened.site.zone).weekday()
        return f"{self.speech.words.days[weekday]}{NBSP}{self.date(self.now)}"

    def date(self, moment: datetime) -> str:
        """A date without its year."""
        return self.speech.date(moment.astimezone(self.opened.site.zone).date())

    def who(self, by: str) -> str:
        """Whoever said something; the reader is "you"."""
        if by == self.opened.person.key:
            return self.say("you") if self.voice is not Voice.CREW else self.opened.person.name
        return self.opened.names.get(by, by)


def photo_say(reading: Reading, van: OpenVan) -> str:
    """What a photograph is good for as the vehicle stands; "" where none is asked for."""
    if van.due is Due.TOO_LATE:
        return reading.say("photo.late")
    told = [entry for entry in van.own_entries if entry.state is State.DRAINED]
    if told and van.proof is None:
        return reading.say("photo.seen")
    return reading.say("photo.say") if van.due in (Due.ANSWERED, Due.NOTHING) else ""


def wet_rows(reading: Reading, van: OpenVan) -> Iterator[WetRow]:
    """What a vehicle still holds, as vessels with their marks."""
    words = CATALOGUES[reading.language].words
    for mark in marks_of(van.open, van.layout):
        if not mark.wet:
            continue
        name = words.groups[mark.vessel]
        name = name[:1].upper() + name[1:]
        litres = f", {reading.speech.litres(mark.litres)}" if mark.litres else ""
        yield WetRow(
            vessel=mark.vessel,
            drawn=DRAWN[mark.state],
            evidence=mark.evidence.value,
            share=mark.share,
            text=name + litres,
            where=_where(reading, mark),
        )


def _where(reading: Reading, mark: Mark) -> str:
    say, valve_at = reading.say, reading.opened.draft.facts.valve_at
    alone = len(reading.opened.vans) == 1
    if alone and mark.vessel == "heater" and valve_at is not None and valve_at > reading.now:
        return say("where.valve", time=reading.speech.forecast_hour(valve_at))
    if mark.state is State.UNKNOWN:
        return say("where.unknown")
    return say("where.pipes") if mark.vessel == "pipes" else ""


def known_of(reading: Reading, van: OpenVan) -> str:
    """How what is known of a vehicle is known."""
    say, last = reading.say, van.last
    if last is None:
        return say("known.never")
    known = {"who": reading.who(last.by), "date": reading.date(last.at)}
    if last.evidence is Evidence.SEEN:
        return say("known.seen", **known)
    own = last.by == reading.opened.person.key
    return say("known.you" if own else "known.told", **known)


def standing_of(board: Board | None, opened: OpenLink) -> Standing | None:
    """How the one vehicle of a link stands by the last pass."""
    keys = [van.vehicle.key for van in opened.vans]
    rows = board.vehicles if board is not None and len(keys) == 1 else ()
    return next((row for row in rows if row.vehicle == keys[0]), None)


def choices_of(reading: Reading, van: OpenVan) -> tuple[Choice, ...]:
    """What is wet now, ticked, and what the reader told drained, not ticked."""
    found = {
        row.vessel: Choice(vessel=row.vessel, text=row.text, ticked=True)
        for row in wet_rows(reading, van)
    }
    groups = CATALOGUES[reading.language].words.groups
    for entry in van.own_entries:
        vessel = vessel_of(entry.circuit)
        name = groups[vessel][:1].upper() + groups[vessel][1:]
        found.setdefault(vessel, Choice(vessel=vessel, text=name, ticked=False))
    return tuple(found[vessel] for vessel in (*VESSELS, "carried") if vessel in found)
