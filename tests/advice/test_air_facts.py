"""When the air passes 0 degC: straight between whole hours, as the heat model takes it too."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from frostwatch.advice.afterwards import came_from, not_before
from frostwatch.advice.air_facts import air_facts, mild_again, passes_h
from frostwatch.advice.band import Band
from frostwatch.advice.slots import Diary
from frostwatch.weather.site_air import SiteAir
from tests.builders import a_site, an_operator

START = datetime(2026, 12, 2, 18, tzinfo=UTC)


def test_a_path_passes_zero_between_its_hours() -> None:
    paths = np.array([[3.0, 1.0, -1.0, -3.0], [-1.0, -2.0, 1.0, 1.0], [2.0, 1.0, 0.5, 0.0]])
    assert passes_h(paths).tolist() == [1.5, 0.0, np.inf]


def test_it_agrees_with_a_root_of_the_straight_lines() -> None:
    # reference: numpy.interp of the same course, its sign change found on a fine grid
    rng = np.random.default_rng(7)
    paths = np.cumsum(rng.normal(-0.3, 1.0, size=(50, 48)), axis=1) + 4.0
    fine = np.arange(0.0, 47.0, 0.001)
    for path, hour in zip(paths, passes_h(paths), strict=True):
        below = np.interp(fine, np.arange(48.0), path) < 0.0
        found = fine[below.argmax()] if below.any() else np.inf
        assert hour == pytest.approx(found, abs=0.002)


def test_the_hour_told_is_not_rounded_up_behind_the_ice() -> None:
    air = SiteAir(
        start=START,
        air_c=np.tile(np.array([4.0, 1.0, -1.0, -2.0, -3.0]), (10, 1)),
        wind_m_per_s=np.full(5, 1.0),
        roof_k=np.zeros(5),
        now_index=0,
    )
    facts = air_facts(air, START, START + timedelta(hours=4))
    assert facts.onset == START + timedelta(hours=1.5)


def test_ice_is_not_said_to_be_older_than_the_frost_that_came() -> None:
    hours = [START + timedelta(hours=n) for n in range(5)]
    came = came_from(list(zip(hours, [3.0, 2.0, 1.0, -1.0, -4.0], strict=True)))
    assert came is not None
    assert came.onset == START + timedelta(hours=2.5)
    assert not_before(START + timedelta(hours=1), came) == came.onset
    assert not_before(START + timedelta(hours=3), came) == START + timedelta(hours=3)
    assert not_before(START - timedelta(hours=1), came) == START - timedelta(hours=1)
    assert not_before(None, came) is None


def test_a_thermometer_is_told_as_it_was_read() -> None:
    read = [(START, 1.0), (START + timedelta(minutes=40), -1.0)]
    came = came_from(read, thermometer=True)
    assert came is not None
    assert came.onset == START + timedelta(minutes=40)


def test_what_was_mild_before_a_frost_is_no_hour_to_look_after_it() -> None:
    noon = datetime(2026, 12, 2, 12, tzinfo=UTC)  # a Wednesday, in working hours of the yard
    cold = (5.0,) * 4 + (-4.0,) * 20 + (4.0,) * 30
    band = Band(start=noon, cold=cold, likely=cold, mild=cold)
    diary = Diary(person=an_operator(), site=a_site())
    begun = noon + timedelta(hours=5)
    looks = mild_again(band, diary, begun)
    assert looks is not None
    assert looks >= noon + timedelta(hours=24 + 3)
    assert any(s.start <= looks < s.end for s in diary.looks_within(diary.day(looks)))
    always = Band(start=noon, cold=(-4.0,) * 54, likely=(-4.0,) * 54, mild=(-4.0,) * 54)
    assert mild_again(always, diary, begun) is None
