"""What the page behind a link says, worked out before anything is drawn.

It comes from the same decision and the same texts as the message, and from the record as it stands
this minute.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType

from frostwatch.advice.board import Standing
from frostwatch.fleet.people import Duty, Language
from frostwatch.messages.wording.draft import Kind, Voice
from frostwatch.messages.wording.fill import if_nobody_goes
from frostwatch.messages.wording.say import Speech
from frostwatch.ports.links import is_by_hand
from frostwatch.records.entries import Evidence
from frostwatch.service.open_links import Due, OpenLink, OpenVan
from frostwatch.web.answers.by_hand import headline_of, kicker_of
from frostwatch.web.answers.headlines import (
    Headline,
    asked_for,
    without_forecast,
)
from frostwatch.web.answers.minds import minds_of, steps_of
from frostwatch.web.answers.strip import Strip, strip_of
from frostwatch.web.answers.telling import (
    Choice,
    Reading,
    WetRow,
    choices_of,
    known_of,
    photo_say,
    wet_rows,
)
from frostwatch.web.answers.times_to_go import TimeToGo, times_offered
from frostwatch.web.answers.words import ANSWER_WORDS
from frostwatch.web.pages.photo_view import ShownPhoto

NO_PHOTOS: Mapping[str, tuple[ShownPhoto, ...]] = MappingProxyType({})
OPEN = frozenset({Due.ASKED, Due.ANSWERED, Due.LAPSED})
"""How a vehicle stands that still can be answered for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VanPart:
    """One vehicle on the page.

    Attributes:
        key: key of the vehicle.
        name: what people call it.
        status: how it stands, in a few words.
        wet: what still holds water.
        known: how that is known, a sentence.
        choices: vessels to say of whether they are still wet.
        can_answer: there is something to press.
        can_correct: what was answered can be taken back in part.
        can_undo: what was answered can be taken back whole.
        photo: what a photograph is good for, "" where none is asked for.
        photos: photographs the reader added since they were written to.
    """

    key: str
    name: str
    status: str
    wet: tuple[WetRow, ...]
    known: str
    choices: tuple[Choice, ...]
    can_answer: bool
    can_correct: bool
    can_undo: bool
    photo: str
    photos: tuple[ShownPhoto, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The whole page.

    Attributes:
        language: its language.
        kicker: which vehicle, where, written when.
        headline: the one headline: before, the hour, after.
        title: of the browser's tab.
        says: sentences under it, by paragraph.
        asks: "part", "going", "trip" or "photo" where one of these is asked, "" for the first page.
        strip: the hours; None where there is nothing to draw.
        vans: the vehicles.
        cannot: what happens if nobody comes, "" if that is no question.
        minds: cautions.
        steps: how to drain; empty where nobody is asked to.
        press: name of the press a form carries.
        kind: class of the message.
        credit: where the weather comes from.
        foot: how far the link reaches.
        slots: times at which the person could go.
        voice: to whom the page speaks.
        speech: how hours and amounts are written.
        calendar: it offers the reader a calendar of their own.
    """

    language: Language
    kicker: str
    headline: Headline
    title: str
    says: tuple[str, ...]
    asks: str
    strip: Strip | None
    vans: tuple[VanPart, ...]
    cannot: str
    minds: tuple[str, ...]
    steps: tuple[tuple[str, str], ...]
    press: str
    kind: Kind
    credit: str
    foot: str
    slots: tuple[TimeToGo, ...]
    voice: Voice
    speech: Speech
    calendar: bool = False

    @property
    def answerable(self) -> tuple[VanPart, ...]:
        """Vehicles at which there is something to press."""
        return tuple(van for van in self.vans if van.can_answer)


def page_for(
    opened: OpenLink,
    language: Language,
    now: datetime,
    *,
    asks: str = "",
    van: str = "",
    photos: Mapping[str, tuple[ShownPhoto, ...]] = NO_PHOTOS,
    blind: bool = False,
    standing: Standing | None = None,
) -> Page:
    """The page as it stands now.

    Args:
        opened: what the link opens.
        language: language of the page.
        now: aware UTC time.
        asks: "part", "going", "trip" or "photo" where one of these is asked.
        van: key of the vehicle asked about, "" for all.
        photos: vehicle -> photographs the reader added since they were written to.
        blind: no forecast stands behind the place that can still be leaned on.
        standing: the one vehicle by the last pass; None where nothing was worked out.
    """
    reading = Reading(opened=opened, language=language, now=now, standing=standing)
    draft, vans = opened.draft, opened.vans
    asked = _asked_about(vans, asks, van)
    if not asked:
        asks, asked = "", vans
    lead = _lead(vans)
    headline, says = headline_of(reading, lead) if not asks else asked_for(reading, asks, asked)
    if blind and not asks:
        headline, says = without_forecast(reading, lead, headline, says)
    by_hand = is_by_hand(draft)
    calls = not asks and not by_hand and lead in (Due.ASKED, None)
    tells_how = calls or (not asks and by_hand and not reading.is_frozen)
    many = len(vans) != 1
    name = opened.site.name if many else vans[0].name
    return Page(
        language=language,
        kicker=kicker_of(reading, name),
        headline=headline,
        title=_title(reading, name, "".join(headline).rstrip(".")),
        says=says if asks else (*_undone(reading), *says),
        asks=asks,
        strip=strip_of(draft, opened.site, now) if calls else None,
        vans=tuple(_part(reading, one, photos) for one in asked),
        cannot=_cannot(reading) if calls and not many else "",
        minds=minds_of(reading) if tells_how else (),
        steps=steps_of(reading) if tells_how and not many else (),
        press=str(sum(one.answered for one in vans)),
        kind=draft.kind,
        credit=_credit(reading),
        foot=_foot(reading),
        slots=tuple(times_offered(reading, blind=blind)) if asks == "going" else (),
        voice=reading.voice,
        speech=reading.speech,
        calendar=not asks and bool(vans) and lead is not Due.TOO_LATE and _is_owner(opened),
    )


def _title(reading: Reading, name: str, headline: str) -> str:
    """The headline after the name of what it is about, unless it names that itself."""
    return headline if name in headline else reading.say("title", van=name, headline=headline)


def _is_owner(opened: OpenLink) -> bool:
    return opened.person.duty is Duty.OWNER


def _asked_about(vans: Sequence[OpenVan], asks: str, key: str) -> Sequence[OpenVan]:
    """The vehicles that a question is about; none where it makes no sense (any more)."""
    named = [van for van in vans if key in ("", van.vehicle.key) and asks]
    if asks == "part":
        return named if len(named) == 1 and (_can_answer(named[0]) or _own(named[0])) else []
    if asks == "photo":
        return named if len(named) == 1 else []
    if asks == "trip":
        return [van for van in named if len(vans) == 1 and van.due is not Due.TOO_LATE]
    return [van for van in named if _can_answer(van)]


def _can_answer(van: OpenVan) -> bool:
    return van.due in OPEN and bool(van.open)


def _own(van: OpenVan) -> bool:
    """What the reader recorded by an answer can be taken back."""
    return bool(van.own_entries) and van.due in (Due.ANSWERED, Due.NOTHING)


def _lead(vans: Sequence[OpenVan]) -> Due | None:
    """How the page stands as a whole; None for a message about no vehicle."""
    order = (Due.ASKED, Due.ANSWERED, Due.TOO_LATE, Due.LAPSED, Due.NOTHING)
    found = {van.due for van in vans}
    open_answers = any(van.due is Due.ANSWERED and van.open for van in vans)
    if Due.TOO_LATE in found and Due.ASKED not in found and not open_answers:
        return Due.TOO_LATE
    return next((due for due in order if due in found), None)


def _undone(reading: Reading) -> Iterator[str]:
    """That the reader took back what they answered last."""
    at = [van.undone_at for van in reading.opened.vans if van.undone_at is not None]
    if at:
        yield reading.say("undone", time=reading.speech.hour(max(at)))


def _part(reading: Reading, van: OpenVan, photos: Mapping[str, tuple[ShownPhoto, ...]]) -> VanPart:
    return VanPart(
        key=van.vehicle.key,
        name=van.name,
        status=_status(reading, van),
        wet=tuple(wet_rows(reading, van)),
        known=known_of(reading, van),
        choices=choices_of(reading, van),
        can_answer=_can_answer(van),
        can_correct=_own(van) and not van.open,
        can_undo=van.undoable is not None and van.due is Due.ANSWERED,
        photo=photo_say(reading, van),
        photos=photos.get(van.vehicle.key, ()),
    )


def _status(reading: Reading, van: OpenVan) -> str:
    say, speech, answer = reading.say, reading.speech, van.answer
    match van.due:
        case Due.ANSWERED if answer is not None:
            at = answer.going_at or answer.at
            who = reading.who(answer.by)
            return say(f"row.{answer.kind.value}", who=who, time=speech.hour(at))
        case Due.NOTHING if van.last is not None:
            seen = van.last.evidence is Evidence.SEEN
            known = {"who": reading.who(van.last.by), "date": reading.date(van.last.at)}
            return say("row.seen" if seen else "row.told", **known)
        case Due.NOTHING:
            return say("row.nothing")
        case Due.LAPSED:
            return say("row.lapsed")
        case Due.TOO_LATE:
            return say("row.late")
        case _:
            return say("row.asked")


def _cannot(reading: Reading) -> str:
    text = if_nobody_goes(reading.opened.draft.facts, reading.speech)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _credit(reading: Reading) -> str:
    credit = reading.opened.draft.facts.credit
    return reading.say("credit", credit="; ".join(credit)) if credit else ""


def _foot(reading: Reading) -> str:
    until = reading.date(reading.opened.link.expires_at - timedelta(days=1))
    count = len(reading.opened.vans)
    if count > 1:
        return reading.say("foot.many", n=count, date=until)
    return reading.say("foot", date=until)


def languages(page: Page) -> Iterator[tuple[str, str, bool]]:
    """Code, name, and whether the page is in it."""
    for language in Language:
        yield language.value, ANSWER_WORDS[language].name, language is page.language
