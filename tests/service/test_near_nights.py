"""How far ahead a replay works its nights out: as far as anybody could be told of, no further."""

from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta

import numpy as np

from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.fleet.people import Person, Slot
from frostwatch.records.entries import Entry, State
from frostwatch.records.standing_water import water_of
from frostwatch.service.reach import reach_h, within_reach
from frostwatch.weather.forecast import standing
from frostwatch.weather.site_air import SiteAir
from tests.builders import a_crew, a_layout, a_site, a_vehicle, an_operator, an_owner, entries_for

TUESDAY = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)
A_LOOK = TUESDAY + timedelta(hours=2)


def a_view(person: Person, entries: Sequence[Entry], judged_to: datetime) -> SiteView:
    layout, van = a_layout(), a_vehicle(keeper=person.key)
    water = water_of(van, layout, entries, TUESDAY)
    return SiteView(
        site=a_site(operator=person.key if person.duty == "operator" else ""),
        people=(person,),
        vehicles=(VehicleView(vehicle=van, layout=layout, water=water),),
        air=None,
        forecast=ForecastBasis(standing=standing(None, TUESDAY)),
        judged_to=judged_to,
    )


def full() -> tuple[Entry, ...]:
    return entries_for(a_layout(), State.FULL, now=TUESDAY)


def test_for_a_crew_that_comes_daily_four_days_are_enough() -> None:
    view = a_view(a_crew(), full(), TUESDAY - timedelta(days=1))
    assert 96.0 <= reach_h(view, TUESDAY) < 110.0


def test_what_nobody_knows_is_asked_for_a_week_ahead_but_only_when_somebody_reads() -> None:
    view = a_view(a_crew(), (), TUESDAY - timedelta(days=1))
    assert reach_h(view, TUESDAY) >= 168.0
    assert reach_h(a_view(a_crew(), (), TUESDAY), A_LOOK) < 110.0


def test_rolls_look_a_week_ahead() -> None:
    view = a_view(an_operator(), full(), TUESDAY - timedelta(days=1))
    assert reach_h(view, TUESDAY) >= 168.0


def test_for_those_who_come_once_a_week_it_reaches_past_their_next_slots() -> None:
    owner = an_owner(slots=(Slot(weekday=5, starts=time(10), ends=time(16)),))
    view = a_view(owner, full(), TUESDAY - timedelta(days=1))
    assert reach_h(view, TUESDAY) > (4 + 7) * 24.0


def test_air_is_cut_behind_the_reach_and_left_alone_where_it_ends_before() -> None:
    hours = np.arange(289.0)
    air = SiteAir(
        start=TUESDAY - timedelta(hours=120),
        air_c=np.tile(hours, (3, 1)),
        wind_m_per_s=hours,
        roof_k=hours,
        now_index=120,
        error_k=hours,
    )
    near = within_reach(air, 99.2)
    assert near.air_c.shape == (3, 120 + 100 + 1)
    assert len(near.wind_m_per_s) == len(near.roof_k) == 221
    assert within_reach(air, 400.0) is air
