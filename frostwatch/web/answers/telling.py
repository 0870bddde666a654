"""What the page behind a link says: its headline, and what still holds water."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.advice.calls import COLDER_K
from frostwatch.advice.drafts import voice_of
from frostwatch.advice.marks import VESSELS, Mark, marks_of, vessel_of
from frostwatch.advice.reminders import AnswerKind
from frostwatch.fleet.people import Language
from frostwatch.messages.wording import CATALOGUES, keys_for
from frostwatch.messages.wording.draft import Form, Kind, Voice
from frostwatch.messages.wording.fill import fill
from frostwatch.messages.wording.say import NBSP, Speech
from frostwatch.messages.wording.values import Cut
from frostwatch.records.entries import Evidence, State
from frostwatch.service.open_links import Due, OpenLink, OpenVan
from frostwatch.web.answers.words import Say

Headline = tuple[str, str, str]
"""Before the hour to work to, that hour, after it."""

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


def headline_for(reading: Reading, lead: Due | None) -> tuple[Headline, tuple[str, ...]]:
    """The headline and the sentences under it."""
    opened, say = reading.opened, reading.say
    vans = opened.vans
    one, day = vans[0] if len(vans) == 1 else None, reading.day
    match lead:
        case Due.ANSWERED:
            return _noted(reading, one)
        case Due.NOTHING:
            if one is None:
                return (say("nothing.all", day=day), "", ""), ()
            return (say("nothing", day=day), "", ""), (
                say("nothing.say", known=known_of(reading, one)),
            )
        case Due.LAPSED:
            return (say("lapsed", day=day), "", ""), (say("lapsed.say"),)
        case Due.TOO_LATE:
            late = [van.name for van in vans if van.due is Due.TOO_LATE]
            names = reading.speech.listed(late, 4)
            return (say("late", van=names, day=day), "", ""), (say("late.say"),)
        case _:
            return _told(reading)


def without_forecast(
    reading: Reading, lead: Due | None, headline: Headline, says: tuple[str, ...]
) -> tuple[Headline, tuple[str, ...]]:
    """The same where no forecast can be leaned on: that is never "nothing to do"."""
    say = reading.say
    if lead is Due.LAPSED:
        return (say("blind", day=reading.day), "", ""), (say("blind.say"),)
    told = reading.opened.draft.kind is Kind.NO_FORECAST
    open_still = any(van.open for van in reading.opened.vans)
    if told or not open_still or lead is Due.TOO_LATE:
        return headline, says
    return headline, (say("blind.also"), *says)


def _told(reading: Reading) -> tuple[Headline, tuple[str, ...]]:
    """The message's own headline and sentences, without what the page shows by itself."""
    draft = replace(reading.opened.draft, link="", stop="")
    catalogue = CATALOGUES[reading.language]
    speech = replace(reading.speech, now=draft.at)
    text = next(catalogue.long[key] for key in keys_for(draft) if key in catalogue.long)
    shown = ("{wet}", "{else}") if draft.vehicles and len(reading.opened.vans) == 1 else ()
    sentences = []
    for choice in text.sentences:
        if choice == ("{van}.",) or any(part in one for one in choice for part in shown):
            continue
        filled = fill(choice, draft, speech, Cut())
        if filled:
            sentences.append(filled)
    whole = fill(text.headline, draft, speech, Cut()) or ""
    by = speech.hour(draft.act_by) if draft.act_by is not None else ""
    older = fill((catalogue.older,), draft, speech, Cut())
    says = tuple(part for part in (" ".join(sentences), older) if part)
    if not by or by not in whole:
        return (whole, "", ""), says
    before, _, after = whole.partition(by)
    return (before, by, after), says


def _noted(reading: Reading, one: OpenVan | None) -> tuple[Headline, tuple[str, ...]]:
    say, speech = reading.say, reading.speech
    if one is None or one.answer is None:
        at = max((van.answer.at for van in reading.opened.vans if van.answer), default=reading.now)
        return (say("noted.all", time=speech.hour(at)), "", ""), ()
    answer = one.answer
    known = {"who": reading.who(answer.by), "time": speech.hour(answer.at)}
    at_hour = {"time": known["time"]}
    match answer.kind:
        case AnswerKind.DONE:
            how = "noted.done.seen" if one.proof is not None else "noted.done.say"
            return (say("noted.done", **at_hour), "", ""), (say(how, **known),)
        case AnswerKind.PART:
            wet = [row.text for row in wet_rows(reading, one)]
            head = say("noted.part.open", **at_hour)
            if wet:
                head = say("noted.part", wet=speech.listed(wet, 3), **at_hour)
            return (head, "", ""), (say("noted.part.say", **known),)
        case AnswerKind.CANNOT:
            lowest = reading.opened.draft.facts.min_c
            if lowest is None:
                return (say("noted.cannot", **at_hour), "", ""), (say("noted.cannot.plain"),)
            colder = speech.degrees(lowest - COLDER_K)
            return (say("noted.cannot", **at_hour), "", ""), (say("noted.cannot.say", min=colder),)
        case _:
            at = answer.going_at or answer.at
            says = [say("noted.going.say")]
            by = reading.opened.draft.act_by or reading.opened.draft.earliest
            if by is not None and at > by > answer.at:
                says.append(say("noted.going.late", by=speech.hour(by)))
            return (say("noted.going", time=speech.hour(at)), "", ""), tuple(says)


def asked_for(
    reading: Reading, asks: str, asked: Sequence[OpenVan]
) -> tuple[Headline, tuple[str, ...]]:
    """The same where something is asked."""
    name = f"{asked[0].name}: " if len(reading.opened.vans) > 1 and len(asked) == 1 else ""
    says = photo_say(reading, asked[0]) if asks == "photo" else reading.say(f"ask.{asks}.say")
    return (name + reading.say(f"ask.{asks}"), "", ""), (says,) if says else ()


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
