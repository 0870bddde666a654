"""The one headline of the page behind a link, and the sentences under it."""

from collections.abc import Sequence
from dataclasses import replace

from frostwatch.advice.reminders import AnswerKind
from frostwatch.messages.wording import CATALOGUES, keys_for
from frostwatch.messages.wording.draft import Kind
from frostwatch.messages.wording.fill import fill
from frostwatch.messages.wording.values import Cut
from frostwatch.service.answers import colder_than
from frostwatch.service.open_links import Due, OpenVan
from frostwatch.web.answers.telling import Reading, known_of, photo_say, wet_rows
from frostwatch.web.answers.times_to_go import time_of, tonight_from

TO_DRAIN = frozenset({Kind.WORK_ORDER, Kind.OUTLOOK})
"""Kinds that name an hour to have drained by."""
Headline = tuple[str, str, str]
"""Before the hour to work to, that hour, after it."""


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
            return _late(reading)
        case _:
            return _passed(reading) or _told(reading)


def _passed(reading: Reading) -> tuple[Headline, tuple[str, ...]] | None:
    """The same where the hour to work to has passed and nothing was written since."""
    opened, say, now = reading.opened, reading.say, reading.now
    draft, hour = opened.draft, reading.speech.hour
    late = draft.act_by is not None and draft.act_by <= now
    if not late or draft.act_by is None or len(opened.vans) != 1 or draft.kind not in TO_DRAIN:
        return None
    _, told = _told(reading)
    known = {"van": opened.vans[0].name, "time": hour(draft.act_by)}
    early = draft.earliest
    if early is None:
        return (say("passed", **known), "", ""), (say("passed.short"), *told)
    key = "passed.frozen" if early <= now else "passed.before"
    says = [say(key, early=hour(early))]
    if early > now:
        says.append(say("passed.short"))
        says += told
    return (say("passed", **known), "", ""), tuple(says)


def _late(reading: Reading) -> tuple[Headline, tuple[str, ...]]:
    """What the message said of the thaw, as long as that hour lies ahead."""
    say, draft = reading.say, reading.opened.draft
    late = [van.name for van in reading.opened.vans if van.due is Due.TOO_LATE]
    names = reading.speech.listed(late, 4)
    told = draft.kind is Kind.LEAVE_ALONE
    thaw = draft.facts.thaw_at if told else None
    if thaw is not None and thaw > reading.now:
        head = say("late", van=names, time=reading.speech.forecast_hour(thaw))
    else:
        head = say("late.no_hour", van=names, day=reading.day)
    again = "late.again" if not told or draft.facts.looks_again else "late.last"
    return (head, "", ""), (say("late.say"), say(again))


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
    going = [
        van.answer.going_at
        for van in reading.opened.vans
        if lead is Due.ANSWERED and van.answer is not None and van.answer.going_at is not None
    ]
    if going and max(going) >= max(tonight_from(reading), reading.now):
        says = (*says, say("noted.going.blind"))
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
            colder_c = colder_than(reading.opened)
            if colder_c is None:
                return (say("noted.cannot", **at_hour), "", ""), (say("noted.cannot.plain"),)
            colder = speech.degrees(colder_c)
            return (say("noted.cannot", **at_hour), "", ""), (say("noted.cannot.say", min=colder),)
        case _:
            at = answer.going_at or answer.at
            says = [say("noted.going.say")]
            by = reading.opened.draft.act_by or reading.opened.draft.earliest
            if by is not None and at > by > answer.at:
                says.append(say("noted.going.late", by=speech.hour(by)))
            return (say("noted.going", time=time_of(reading, at)), "", ""), tuple(says)


def asked_for(
    reading: Reading, asks: str, asked: Sequence[OpenVan]
) -> tuple[Headline, tuple[str, ...]]:
    """The same where something is asked."""
    name = f"{asked[0].name}: " if len(reading.opened.vans) > 1 and len(asked) == 1 else ""
    says = photo_say(reading, asked[0]) if asks == "photo" else reading.say(f"ask.{asks}.say")
    return (name + reading.say(f"ask.{asks}"), "", ""), (says,) if says else ()
