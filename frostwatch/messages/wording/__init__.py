"""Saying it: one decided message -> its text, in one language and one form."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from itertools import product
from zoneinfo import ZoneInfo

from frostwatch.fleet.people import Language
from frostwatch.languages.catalogues import InEveryLanguage
from frostwatch.messages.wording.draft import Draft, Form, Job, Kind, Take, Text, Voice
from frostwatch.messages.wording.fill import fill
from frostwatch.messages.wording.gsm import LIMIT, length, to_gsm
from frostwatch.messages.wording.say import Speech
from frostwatch.messages.wording.texts import Texts
from frostwatch.messages.wording.texts.en import TEXTS
from frostwatch.messages.wording.values import Cut

CATALOGUES = InEveryLanguage(TEXTS, domain="messages")

HAZARDS: dict[Kind, tuple[str, ...]] = {
    Kind.WORK_ORDER: ("draining",),
    Kind.LAST_CALL: ("draining", "heating"),
    Kind.LEAVE_ALONE: ("heating", "electric"),
    Kind.THAW_CHECK: ("draining",),
    Kind.NOT_REACHED: ("draining",),
    Kind.HOLD: ("draining",),
}
"""Cautions printed with each kind of message; dosing joins where there is something to dose."""

OF_FUELS: dict[str, tuple[str, ...]] = {
    "gas": ("heating", "gas", "unattended"),
    "diesel": ("heating", "unattended"),
    "electric": ("electric", "unattended"),
    "": ("heating", "electric", "unattended"),
}
"""Cautions of what warms a vehicle; all of them where nobody said what does."""
LIVED_IN = frozenset({Kind.WORK_ORDER, Kind.LAST_CALL})
"""Kinds that have words of their own where somebody lives in the vehicle."""

CLEARED = "cleared"
HEATING_ON = "heating on now"
TAKEN_OFF = "handover taken off"


def word(draft: Draft, language: Language, form: Form) -> Text:
    """Put a message into words.

    A short form holds at most 160 characters of the GSM 7-bit alphabet: what stands in square
    brackets goes first, then lists and names are shortened, then a shorter text is taken. The hour
    stays; the link stands last.

    Args:
        draft: what was decided.
        language: language of the recipient.
        form: short or long.
    """
    catalogue = CATALOGUES[language]
    speech = Speech(
        language=language,
        form=form,
        zone=ZoneInfo(draft.facts.zone),
        now=draft.at,
        words=catalogue.words,
    )
    if form is Form.SHORT:
        return _short(draft, catalogue, speech)
    return _long(draft, catalogue, speech)


def word_answer(
    answer: str,
    language: Language,
    *,
    zone: str,
    at: datetime,
    voice: Voice = Voice.OWNER,
    going_at: datetime | None = None,
    min_c: float | None = None,
    link: str = "",
) -> str:
    """What is written back after an answer, a short form.

    Args:
        answer: done, part, cannot, "cannot at all" where no air is named, going or trip.
        language: language of whoever answered.
        zone: IANA name of the place's time zone.
        at: when the answer came, UTC.
        voice: to whom the text speaks.
        going_at: when they mean to go, UTC.
        min_c: air below which they are written to once more [degC]; None where they are not.
        link: the one link, without scheme.
    """
    catalogue = CATALOGUES[language]
    speech = Speech(
        language=language,
        form=Form.SHORT,
        zone=ZoneInfo(zone),
        now=at,
        words=catalogue.words,
        clock_notes=False,
    )
    own = f"{answer}.{voice.value}"
    text = catalogue.answers[own if own in catalogue.answers else answer]
    lowest = speech.degrees(min_c) if min_c is not None else ""
    time = speech.dated_hour(going_at) if going_at is not None else speech.hour(at)
    filled = text.format(time=time, min=lowest, link=link)
    return to_gsm(filled).strip()


def word_trial(name: str, language: Language) -> str:
    """A text that only tries whether it arrives, fit for every channel.

    Args:
        name: name of the person.
        language: their language.
    """
    whole = CATALOGUES[language].trial
    room = LIMIT - length(to_gsm(whole.format(name="")))
    return to_gsm(whole.format(name=to_gsm(name)[: max(0, room // 2)])).strip()


def keys_for(draft: Draft) -> Iterator[str]:
    """Keys under which the text of a message may stand, best first."""
    kind = draft.kind.value
    if draft.kind is Kind.NO_FORECAST and draft.reason == CLEARED:
        kind = "forecast back"
    warm = draft.facts.warm
    if warm is not None and draft.reason == TAKEN_OFF:
        kind = "warm-up off"
    elif warm is not None and warm.on_at is None:
        kind = "warm-up late"
    elif warm is not None and draft.reason == HEATING_ON:
        kind = "warm-up now"
    elif draft.facts.lived_in is not None and draft.kind in LIVED_IN:
        kind = "in use"
    voices = {Voice.CUSTOMER: (".customer", ".owner", ""), Voice.OWNER: (".owner", "")}
    many = len(draft.facts.vans) > 1
    for voice in voices.get(draft.voice, ("",)):
        if many:
            yield f"{kind}{voice}#many"
        yield f"{kind}{voice}"


def _short(draft: Draft, catalogue: Texts, speech: Speech) -> Text:
    choice = next(catalogue.short[key] for key in keys_for(draft) if key in catalogue.short)
    text = ""
    for shorter, (cut, notes) in product(range(len(choice)), _cuts()):
        own = replace(speech, clock_notes=notes)
        filled = fill(choice[shorter:], draft, own, cut)
        text = to_gsm(filled or f"{draft.facts.place} {draft.link}")
        if length(text) <= LIMIT:
            break
    return Text(subject=text, body=text)


def _cuts() -> Iterator[tuple[Cut, bool]]:
    """Ever shorter texts."""
    yield Cut(), True
    yield Cut(optional=False), True
    yield Cut(optional=False), False
    for place, names, wet in ((24, 5, 3), (18, 3, 3), (12, 3, 2), (10, 2, 2), (8, 1, 1), (4, 0, 0)):
        yield Cut(optional=False, place=place, names=names, wet=wet), False


def _long(draft: Draft, catalogue: Texts, speech: Speech) -> Text:
    text = next(catalogue.long[key] for key in keys_for(draft) if key in catalogue.long)
    whole = Cut()
    headline = fill(text.headline, draft, speech, whole) or ""
    sentences = [fill(choice, draft, speech, whole) for choice in text.sentences]
    paragraphs = [headline, " ".join(s for s in sentences if s)]
    paragraphs.append(fill((catalogue.older,), draft, speech, whole) or "")
    paragraphs += [catalogue.hazards[hazard] for hazard in hazards_for(draft)]
    if draft.link and not any(draft.link in part for part in paragraphs):
        paragraphs.append(fill((catalogue.link,), draft, speech, whole) or "")
    paragraphs.append(fill((catalogue.credit,), draft, speech, whole) or "")
    foot = [fill(choice, draft, speech, whole) for choice in catalogue.foot]
    paragraphs.append(" ".join(part for part in foot if part))
    body = "\n\n".join(part for part in paragraphs if part)
    return Text(subject=_subject(draft, headline, catalogue), body=body)


def hazards_for(draft: Draft) -> tuple[str, ...]:
    """Cautions that belong to what the message asks for."""
    found = HAZARDS.get(draft.kind, ())
    facts = draft.facts
    if facts.warm is not None and draft.reason == TAKEN_OFF:
        return ("draining",)
    if facts.warm is not None:
        return OF_FUELS.get(facts.warm.fuel, OF_FUELS[""])
    if facts.held is not None:
        return (*OF_FUELS.get(facts.held.fuel, OF_FUELS[""]), *found)
    if facts.lived_in is not None and draft.kind in LIVED_IN:
        return ("living in", "draining", "lifting")
    dosing = facts.job is Job.DOSE_TRAPS or any(what is Take.DOSE for what, _ in facts.take)
    if facts.job is Job.DOSE_TRAPS:
        found = tuple(hazard for hazard in found if hazard != "draining")
    return (*found, "dosing") if dosing and draft.kind is Kind.WORK_ORDER else found


def _subject(draft: Draft, headline: str, catalogue: Texts) -> str:
    """The headline, with the place or the vehicle before it where it names neither."""
    facts = draft.facts
    who = facts.vans[0] if draft.voice is not Voice.CREW and len(facts.vans) == 1 else facts.place
    line = headline.rstrip(".")
    if who in line or any(van in line for van in facts.vans):
        return line
    return catalogue.subject.format(who=who, line=line)
