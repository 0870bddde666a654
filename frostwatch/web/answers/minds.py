"""What the page behind a link asks to mind, and how to go about it."""

from collections.abc import Iterator

from frostwatch.advice.by_handbook import minded_at
from frostwatch.advice.handbook_words import handbook_lines
from frostwatch.advice.jobs import job_of
from frostwatch.advice.plan_words import words_for
from frostwatch.messages.wording import CATALOGUES, hazards_for
from frostwatch.messages.wording.draft import Kind
from frostwatch.web.answers.telling import (
    Reading,
)
from frostwatch.web.answers.words import ANSWER_WORDS
from frostwatch.web.answers.words.en import LEAVE_STEP, PUMP_STEP


def minds_of(reading: Reading) -> tuple[str, ...]:
    """Cautions, after what the handbook of the one vehicle says otherwise than the trade."""
    hazards = CATALOGUES[reading.language].hazards
    cautions = tuple(hazards[hazard] for hazard in hazards_for(reading.opened.draft))
    return (*_by_handbook(reading), *cautions)


def _by_handbook(reading: Reading) -> Iterator[str]:
    """What the handbook of the one vehicle says otherwise than the trade does."""
    if len(reading.opened.vans) != 1:
        return
    van = reading.opened.vans[0]
    words = words_for(reading.language, reading.opened.site, reading.now)
    if van.vehicle.handbook and van.open:
        yield from handbook_lines(minded_at(job_of(van.open), van.vehicle.handbook), words)


def steps_of(reading: Reading) -> tuple[tuple[str, str], ...]:
    """How to drain, step by step; empty where the message asks nobody to."""
    if reading.opened.draft.facts.lived_in is not None:
        return ()
    calls = (
        Kind.WORK_ORDER,
        Kind.LAST_CALL,
        Kind.OUTLOOK,
        Kind.SEASON,
        Kind.NO_FORECAST,
        Kind.HOLD,
    )
    if reading.opened.draft.kind not in calls:
        return ()
    words = ANSWER_WORDS[reading.language]
    practices = [van.vehicle.practice for van in reading.opened.vans if van.vehicle.handbook]
    changed = {
        number
        for number, is_so in (
            (PUMP_STEP, any(not practice.pump_off_first for practice in practices)),
            (LEAVE_STEP, any(not practice.waste_open for practice in practices)),
        )
        if is_so
    }
    return tuple(
        words.by_handbook[number] if number in changed else step
        for number, step in enumerate(words.steps, start=1)
    )
