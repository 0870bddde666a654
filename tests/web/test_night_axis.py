"""The hours under a drawing on the nights on which the clock is changed.

Summer time ends on the last Sunday of October and begins on the last Sunday of March, both at
01:00 UTC: Directive 2000/84/EC of the European Parliament and of the Council, articles 2 and 3, and
for the United Kingdom the Summer Time Act 1972 as amended in 2002.
"""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from frostwatch.fleet.people import Language
from frostwatch.web.hours_axis import Axis
from frostwatch.web.words import Tongue
from tests.builders import a_site

BACK = datetime(2026, 10, 25, 1, tzinfo=UTC)
FORWARD = datetime(2027, 3, 28, 1, tzinfo=UTC)
HOUR = timedelta(hours=1)


def an_axis(change: datetime, language: Language = Language.EN) -> Axis:
    """From noon before a change of the clock to noon after it, in UTC."""
    start, end = change - 13 * HOUR, change + 11 * HOUR
    site = a_site()
    tongue = Tongue(language=language, zone=site.zone, now=start)
    return Axis(start=start, end=end, known_to=end, site=site, tongue=tongue)


@pytest.mark.parametrize(("change", "hours"), [(BACK, 7.0), (FORWARD, 5.0)])
def test_the_night_is_as_long_as_it_is_between_midnight_and_six(
    change: datetime, hours: float
) -> None:
    axis = an_axis(change)
    at = {label.text: label.x for label in axis.ticks()}
    assert (at["06:00"] - at["00:00"]) * 24.0 / 100.0 == pytest.approx(hours, abs=0.01)
    assert (at["00:00"] - at["18:00"]) * 24.0 / 100.0 == pytest.approx(6.0, abs=0.01)


@pytest.mark.parametrize(
    ("change", "said"), [(BACK, "clocks go back"), (FORWARD, "clocks go forward")]
)
def test_the_change_is_written_where_it_is(change: datetime, said: str) -> None:
    (label,) = an_axis(change).clock_changes()
    assert label.text == said
    assert label.x == pytest.approx(100.0 * 13.0 / 24.0, abs=0.01)


def test_an_ordinary_night_has_no_change() -> None:
    assert an_axis(BACK - timedelta(days=7)).clock_changes() == ()


@pytest.mark.parametrize("language", list(Language))
def test_an_hour_that_comes_twice_is_told_by_both_clocks(language: Language) -> None:
    tongue = an_axis(BACK, language).tongue
    first, second = (tongue.plain_hour(BACK + n * HOUR / 2) for n in (-1, 1))
    assert first != second
    assert "(" in first
    assert "(" in second


@pytest.mark.parametrize("language", list(Language))
def test_words_over_and_under_the_hours_do_not_touch_on_a_phone(language: Language) -> None:
    """328 px wide, 7 px a letter of the bold face, an estimate: 2.1 % of the width a letter."""
    for hours in range(2, 48, 2):
        start = BACK - timedelta(days=9, hours=hours % 24)
        site = a_site()
        tongue = Tongue(language=language, zone=site.zone, now=start + HOUR)
        end = start + 60 * HOUR
        axis = Axis(start=start, end=end, known_to=end, site=site, tongue=tongue)
        act_by = start + hours * HOUR
        flag, now = axis.act_by_flag(act_by), axis.now_flag(act_by)
        assert flag is not None
        if now is not None and not now.fine:
            left = flag.x - 2.1 * len(flag.text) if flag.side == "start" else flag.x
            assert now.x + 2.1 * len(now.text) < left
        for one, other in pairwise(axis.days()):
            assert one.x + 2.1 * len(one.text) < other.x or len(one.text) < 5
