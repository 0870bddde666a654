"""Age and reach of a forecast, and the point that stands for a place."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.errors import ForecastError
from frostwatch.weather.forecast import Fitness, Forecast, point_for, standing


def a_forecast(
    fetched_at: datetime, *, hours: int = 288, past_h: int = 120, issued_at: datetime | None = None
) -> Forecast:
    start = fetched_at.replace(minute=0, second=0, microsecond=0) - timedelta(hours=past_h)
    return Forecast(
        start=start,
        columns={"air_c": np.zeros(hours)},
        provider="made",
        fetched_at=fetched_at,
        issued_at=issued_at,
    )


@pytest.mark.parametrize(
    ("age_h", "fitness", "colder_k"),
    [
        (0.0, Fitness.USABLE, 0.0),
        (12.0, Fitness.USABLE, 0.0),
        (12.1, Fitness.OLDER, 2.0),
        (30.0, Fitness.OLDER, 2.0),
        (30.1, Fitness.NONE, 0.0),
        (-0.5, Fitness.USABLE, 0.0),
    ],
)
def test_age_decides_whether_a_forecast_is_usable_older_or_none(
    now: datetime, age_h: float, fitness: Fitness, colder_k: float
) -> None:
    known = standing(a_forecast(now - timedelta(hours=age_h)), now)
    assert (known.fitness, known.colder_k) == (fitness, colder_k)


def test_age_counts_from_the_issue_where_the_provider_names_one(now: datetime) -> None:
    forecast = a_forecast(now, issued_at=now - timedelta(hours=13))
    assert standing(forecast, now).fitness is Fitness.OLDER


def test_an_issue_still_to_come_is_no_younger_than_its_arrival(now: datetime) -> None:
    forecast = a_forecast(now - timedelta(hours=13), issued_at=now + timedelta(days=3))
    assert standing(forecast, now).fitness is Fitness.OLDER


@pytest.mark.parametrize(("future_h", "usable"), [(18, True), (17, False), (0, False)])
def test_less_than_eighteen_hours_of_future_is_no_usable_forecast(
    now: datetime, future_h: int, usable: bool
) -> None:
    on_the_hour = now.replace(minute=0)
    known = standing(a_forecast(on_the_hour, hours=121 + future_h), on_the_hour)
    assert known.usable is usable
    assert known.future_h == future_h


def test_no_forecast_at_all_says_so_and_is_not_usable(now: datetime) -> None:
    known = standing(None, now)
    assert not known.usable
    assert "No forecast" in known.reason


def test_an_older_forecast_says_that_it_is_taken_colder(now: datetime) -> None:
    assert "2 K colder" in standing(a_forecast(now - timedelta(hours=20)), now).reason


def test_a_point_is_rounded_to_about_a_kilometre_and_25_m() -> None:
    point = point_for(51.50341, -0.12763, 31.0)
    assert (point.latitude_deg, point.longitude_deg, point.height_m) == (51.5, -0.13, 25.0)
    assert point.key == "51.50,-0.13,25m"


def test_vehicles_of_one_yard_share_a_point() -> None:
    assert point_for(54.4012, -2.9011, 131) == point_for(54.3988, -2.8989, 118)


def test_an_unknown_height_stays_unknown_and_is_another_point() -> None:
    assert point_for(54.4, -2.9, None).height_m is None
    assert point_for(54.4, -2.9, None).key != point_for(54.4, -2.9, 0.0).key


def test_a_point_never_has_a_minus_zero_in_its_key() -> None:
    assert point_for(-0.001, -0.002, -3.0).key == "0.00,0.00,0m"


@pytest.mark.parametrize(("latitude", "longitude"), [(90.1, 0), (0, 180.5), (float("nan"), 0)])
def test_coordinates_off_the_earth_are_refused(latitude: float, longitude: float) -> None:
    with pytest.raises(ForecastError, match="must be between"):
        point_for(latitude, longitude, 0.0)


@given(st.floats(-90, 90), st.floats(-180, 180), st.none() | st.floats(-430, 5500))
def test_the_point_of_a_point_is_the_point_itself(
    latitude: float, longitude: float, height_m: float | None
) -> None:
    point = point_for(latitude, longitude, height_m)
    assert point_for(point.latitude_deg, point.longitude_deg, point.height_m) == point
