"""Heights between nine points, and no exact address among what is asked."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.weather.terrain import POINTS, corners_of, height_at, place_of

SLOPE_M = tuple(100.0 + 10.0 * row + col for row in range(3) for col in range(3))


def test_nine_points_span_the_square_that_is_rounded_to_a_place() -> None:
    corners = corners_of("54.40,-2.90")
    assert len(corners) == POINTS
    assert corners[0] == (54.395, -2.905)
    assert corners[4] == (54.4, -2.9)
    assert corners[-1] == (54.405, -2.895)


@pytest.mark.parametrize(
    ("latitude", "longitude", "height_m"),
    [(54.395, -2.905, 100.0), (54.4, -2.9, 111.0), (54.405, -2.895, 122.0), (54.4025, -2.9, 116.0)],
)
def test_a_height_lies_straight_between_its_neighbours(
    latitude: float, longitude: float, height_m: float
) -> None:
    assert height_at("54.40,-2.90", SLOPE_M, latitude, longitude) == pytest.approx(height_m)


@given(
    st.floats(-89.9, 89.9),
    st.floats(-180, 180),
    st.lists(st.floats(-400, 5000), min_size=POINTS, max_size=POINTS),
)
def test_a_height_never_leaves_the_range_of_what_was_looked_up(
    latitude: float, longitude: float, heights_m: list[float]
) -> None:
    height_m = height_at(place_of(latitude, longitude), heights_m, latitude, longitude)
    assert min(heights_m) - 1e-6 <= height_m <= max(heights_m) + 1e-6


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_what_is_asked_tells_no_more_than_the_place(latitude: float, longitude: float) -> None:
    place = place_of(latitude, longitude)
    corners = corners_of(place)
    assert corners == corners_of(place_of(*corners[4]))
    for north, east in corners:
        assert -90 <= north <= 90
        assert -180 <= east <= 180
        assert (north, east) == (round(north, 3), round(east, 3))


def test_a_place_on_the_date_line_is_asked_for_on_both_sides() -> None:
    east = {round(longitude, 3) for _, longitude in corners_of(place_of(-17.0, 179.999))}
    assert east == {179.995, -180.0, -179.995}
    assert height_at(place_of(-17.0, -179.999), SLOPE_M, -17.0, -179.999) == pytest.approx(111.2)
