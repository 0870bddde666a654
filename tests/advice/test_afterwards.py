"""The forecast that was acted on, and what came: kept apart, and never made up."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from frostwatch.advice.afterwards import acted_on, came_from, came_of, looked_back_to
from frostwatch.advice.reminders import Reason, Reminder, Said, Status
from frostwatch.messages.wording.draft import Kind
from frostwatch.weather.site_air import SiteAir
from tests.builders import NOW

HOUR = timedelta(hours=1)
NIGHT = NOW - 36 * HOUR


def an_air(*, past_h: int = 48, members: int = 5) -> SiteAir:
    """+2 degC until 12 h ago, then down to -6 degC 4 h ago, up again; the members agree."""
    start = NOW - past_h * HOUR
    hours = np.arange(past_h + 25, dtype=np.float64) - past_h
    course = np.interp(hours, [-12.0, -4.0, 4.0], [2.0, -6.0, 2.0])
    return SiteAir(
        start=start,
        air_c=np.tile(course, (members, 1)),
        wind_m_per_s=np.zeros_like(course),
        roof_k=np.zeros_like(course),
        now_index=past_h,
    )


def a_matter(*said: Said, vehicle: str = "Y03", about: str = "") -> Reminder:
    return Reminder(
        key="k",
        site="cold-rigg",
        recipient="ailsa",
        vehicle=vehicle,
        kind=None,
        status=Status.STANDING,
        spell="s",
        raised_at=NOW,
        said=said,
        about=about,
    )


def a_word(hours_ago: float, kind: Kind = Kind.WORK_ORDER, min_c: float | None = -5.0) -> Said:
    return Said(kind=kind, at=NOW - hours_ago * HOUR, reason=Reason.FIRST, min_c=min_c)


def test_what_came_is_the_lowest_of_the_hours_that_have_been_and_none_of_those_ahead() -> None:
    came = came_of(an_air(), NIGHT, NOW - 48 * HOUR)
    assert came is not None
    assert came.lowest_c == -6.0
    assert came.lowest_at == NOW - 4 * HOUR
    assert came.onset == NOW - 10 * HOUR
    assert not came.thermometer


def test_the_frost_that_was_called_for_is_still_told_of_days_after_it() -> None:
    called = a_word(100.0)
    assert looked_back_to(NOW, called) == called.at
    assert looked_back_to(NOW, None) == NIGHT
    assert looked_back_to(NOW, a_word(3.0)) == NIGHT, "a call of today: last night stays in sight"
    later = NOW + 60 * HOUR
    air = replace(an_air(), air_c=np.pad(an_air().air_c, ((0, 0), (0, 40)), mode="edge"))
    air = replace(air, now_index=air.now_index + 60)
    came = came_of(air, looked_back_to(later, a_word(14.0)), NOW - 48 * HOUR)
    assert came is not None
    assert (came.lowest_c, came.lowest_at) == (-6.0, NOW - 4 * HOUR)
    assert came.since == NOW - 14 * HOUR


def test_hours_laid_in_front_from_an_earlier_forecast_are_nobody_s_analysis() -> None:
    assert came_of(an_air(), NIGHT, None) is None
    assert came_of(an_air(), NIGHT, NOW) is None
    late = came_of(an_air(), NIGHT, NOW - 2 * HOUR)
    assert late is not None
    assert late.lowest_c > -6.0
    assert late.since == NOW - 2 * HOUR


def test_below_from_the_beginning_names_no_hour_at_which_it_began() -> None:
    came = came_of(an_air(), NIGHT, NOW - 6 * HOUR)
    assert came is not None
    assert came.onset is None


def test_a_thermometer_is_told_as_one_and_nothing_read_is_nothing() -> None:
    values: list[tuple[datetime, float]] = [(NOW - 2 * HOUR, 1.0), (NOW - HOUR, -7.5)]
    came = came_from(values, thermometer=True)
    assert came is not None
    assert came.thermometer
    assert (came.lowest_c, came.onset) == (-7.5, NOW - HOUR)
    assert came_from([], thermometer=True) is None


def test_what_was_acted_on_is_the_newest_call_that_named_a_lowest_air() -> None:
    order = a_word(24.0)
    matters = [
        a_matter(a_word(72.0, Kind.OUTLOOK, -2.0), order),
        a_matter(a_word(1.0, Kind.LEAVE_ALONE)),
        a_matter(a_word(2.0, min_c=None)),
        a_matter(a_word(3.0), vehicle=""),
        a_matter(a_word(3.0), about="handover"),
        a_matter(a_word(200.0)),
    ]
    assert acted_on(matters, NOW) == order
    assert acted_on([*matters, a_matter(a_word(12.0, Kind.LAST_CALL))], NOW) == order
    assert acted_on(matters[1:], NOW) is None
