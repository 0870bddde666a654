"""Whether a vehicle may be filled again after a frost, on the page that tells how to look at it."""

from collections.abc import Iterator

from frostwatch.advice.board import Standing
from frostwatch.advice.occasion_words import fill_lines
from frostwatch.advice.plan_words import words_for
from frostwatch.messages.wording.draft import Kind
from frostwatch.web.answers.telling import Reading


def filling_lines(reading: Reading, standing: Standing | None, *, blind: bool) -> Iterator[str]:
    """The gate in words; nothing where nobody is told to look, or no forecast is read.

    Args:
        reading: the open link.
        standing: how its one vehicle stands by the last pass.
        blind: no forecast stands behind the place that can still be leaned on.
    """
    opened = reading.opened
    gate = standing.filling if standing is not None else None
    if gate is None or blind or opened.draft.kind is not Kind.THAW_CHECK:
        return
    words = words_for(reading.language, opened.site, reading.now)
    text = words.texts.thaw
    yield text["may" if gate.now else "not yet"].format(van=opened.vans[0].name)
    yield from fill_lines(gate, words.texts.wants, text, words.hour)
