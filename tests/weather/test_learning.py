"""What thirty nights teach about a place, and what they may not."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from frostwatch.errors import ForecastError
from frostwatch.weather.learning import (
    Learnt,
    NightError,
    NightGuess,
    Source,
    learn,
    night_errors,
    night_guesses,
    night_minima,
    parse_readings,
)
from frostwatch.weather.members import DEFAULT_LAW, best_guess
from frostwatch.weather.mending import Column
from frostwatch.weather.site_air import guess_at_site
from tests.weather.frames import PAST_H, a_frame
from tests.weather.made import made_forecasts
from tests.weather.observed import new_york


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
    assert "0.6 K too warm" in words


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
    found = night_guesses(frame.start, guess, now, -2.9)
    assert [one.lead_day for one in found] == [1, 2, 3, 4, 5, 6]
    assert found[0].night == date(2026, 12, 1)


def test_only_nights_that_are_over_become_errors() -> None:
    guesses = [
        NightGuess(night=date(2026, 12, day), lead_day=day, lowest_c=1.0) for day in (1, 2, 3)
    ]
    found = night_errors(guesses, {date(2026, 12, 1): -1.5})
    assert [one.error_k for one in found] == [2.5]


def test_a_place_that_is_two_kelvin_colder_than_forecast_is_found_out() -> None:
    """Newark, January to March 2013: a hollow 2 K below what forecasts say of it."""
    newark = new_york("EWR")
    rng = np.random.default_rng(5)
    truth = night_minima(hours(newark.start, newark.hours), newark.air_c - 2.0, -74.0)
    found: list[NightError] = []
    issues = made_forecasts(
        newark,
        rng,
        first=datetime(2013, 1, 8, 12, tzinfo=UTC),
        last=datetime(2013, 3, 20, 12, tzinfo=UTC),
        every_h=24,
    )
    for issue in issues:
        start = issue.at - timedelta(hours=120)
        found += night_errors(night_guesses(start, issue.air_c, issue.at, -74.0), truth)
    law = learnt(found).law
    assert 0.8 < law.site_bias_k < 2.2
    assert law.by_day_k == pytest.approx(DEFAULT_LAW.by_day_k, rel=0.2)


def test_a_thermometers_file_is_read_in_utc_and_in_order() -> None:
    text = "time,air_c\n2026-12-01T07:00:00+01:00,-2.4\n2026-12-01T05:30:00Z, -1.9 \n"
    unix_s, air_c = parse_readings(text)
    assert air_c.tolist() == [-1.9, -2.4]
    assert unix_s[1] == datetime(2026, 12, 1, 6, tzinfo=UTC).timestamp()


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "first line"),
        ("when,degrees\n", "time and air_c"),
        ("time,air_c\n2026-12-01T07:00:00,1\n", "line 2: the time has no offset"),
        ("time,air_c\n2026-12-01T07:00:00Z,1\nyesterday,2\n", "line 3"),
        ("time,air_c\n2026-12-01T07:00:00Z,cold\n", "line 2"),
        ("time,air_c\n2026-12-01T07:00:00Z,275.3\n", "275.3 is no air"),
        ("time,air_c\n2026-12-01T07:00:00Z,nan\n", "line 2"),
        ("time,air_c\n2026-12-01T07:00:00Z\n", "line 2"),
    ],
)
def test_a_line_that_cannot_be_read_is_named_by_its_number(text: str, word: str) -> None:
    with pytest.raises(ForecastError, match=word):
        parse_readings(text)
