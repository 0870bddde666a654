"""The night as people are shown it: bands, hours, what it would do, and how it is kept."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from frostwatch.advice.band import Band, band_of, picked
from frostwatch.advice.night_reading import air_ahead, night_view, shown_until
from frostwatch.advice.night_view import Fate, NightView
from frostwatch.advice.plain import from_plain, to_plain
from frostwatch.fleet.vehicles import Circuit
from tests import builders
from tests.advice import nights

NOW = builders.NOW
START = nights.whole_hour(NOW)
LONDON = ZoneInfo("Europe/London")


def a_band(likely: list[float], start: datetime = START) -> Band:
    row = tuple(likely)
    return Band(start=start, cold=tuple(c - 1.0 for c in row), likely=row, mild=row)


def a_view(keys: tuple[str, ...], *, ratio: float = 0.1, **changed: object) -> NightView:
    """A night of a cold Tuesday to Wednesday, harm at the hours given."""
    air = a_band([5.0 - 0.4 * h for h in range(24)] + [-4.6 + 0.5 * h for h in range(48)])
    path = nights.a_trajectory(keys, start=START, hours=71, **changed)  # type: ignore[arg-type]
    water = nights.some_water(
        dict.fromkeys(
            (Circuit.FRESH_TANK, Circuit.PUMP, Circuit.WASTE_TANK, Circuit.HEATER_TANK), 10.0
        ),
        since=nights.LONG_AGO,
    )
    return night_view(
        "Y03",
        path,
        builders.a_layout(),
        water,
        air,
        zone=LONDON,
        made_at=NOW,
        issued_at=START,
        ratio=ratio,
    )


@given(arrays(np.float64, (3, 40, 5), elements=st.floats(-30, 30)))
def test_readings_lie_in_order_and_among_the_members(values: np.ndarray) -> None:
    cold, likely, mild = picked(values, (0.1, 0.5, 0.9))
    assert (cold <= likely).all()
    assert (likely <= mild).all()
    assert all(likely[i, h] in values[i, :, h] for i in range(3) for h in range(5))


def test_members_whose_water_has_left_are_not_counted() -> None:
    values = np.array([[[1.0], [2.0], [3.0], [np.nan]]])
    assert picked(values, (0.0, 0.5, 1.0))[:, 0, 0].tolist() == [1.0, 2.0, 3.0]
    assert np.isnan(picked(np.full((1, 4, 1), np.nan), (0.5,))).all()


def test_one_member_in_ten_lies_below_the_cold_reading() -> None:
    band = band_of(np.arange(40.0)[:, None] + np.zeros((40, 2)), START)
    assert band.cold == (4.0, 4.0)
    assert band.mild == (35.0, 35.0)


@pytest.mark.parametrize(
    ("coldest_h", "ends"),
    [
        (23, datetime(2026, 12, 2, 18, tzinfo=UTC)),  # Wednesday 06:00: that afternoon
        (13, datetime(2026, 12, 2, 18, tzinfo=UTC)),  # Tuesday 20:00: the next one
        (2, datetime(2026, 12, 2, 7, tzinfo=UTC)),  # this morning: a whole day all the same
        (71, datetime(2026, 12, 4, 7, tzinfo=UTC)),  # beyond three days nothing is drawn
    ],
)
def test_a_night_is_shown_to_the_afternoon_after_its_coldest_hour(
    coldest_h: int, ends: datetime
) -> None:
    air = a_band([0.0 if h == coldest_h else 5.0 for h in range(168)])
    assert shown_until(air, LONDON) == ends


def test_nothing_is_shown_beyond_what_is_known() -> None:
    air = a_band([5.0] * 20)
    assert shown_until(air, LONDON) == air.end


def test_the_first_to_freeze_stands_first_and_what_lets_itself_go_last() -> None:
    view = a_view(("F1", "F2", "W3", "H1"), harm_h=[40.0, 20.0, 30.0, 10.0], tripped_h=12.0)
    assert [item.key for item in view.items] == ["F2", "W3", "F1", "H1"]
    assert view.items[-1].fate is Fate.LEAVES
    assert view.items[-1].opens_likely == START + timedelta(hours=12)


def test_a_lane_ends_where_the_valve_opens() -> None:
    view = a_view(("F1", "H1"), tripped_h=12.0)
    fresh, heater = view.items
    assert fresh.drawn is not None
    assert heater.drawn is not None
    assert len(heater.drawn.water_c.likely) == 13
    assert len(fresh.drawn.water_c.likely) == view.air.hours + 1


def test_harm_later_than_what_is_shown_is_told_by_its_hour_but_does_nothing_this_night() -> None:
    view = a_view(("F1", "F2"), harm_h=[50.0, 20.0])
    pump, fresh = view.items
    assert pump.fate is Fate.HARM
    assert fresh.fate is Fate.NOTHING
    assert fresh.harm_early == START + timedelta(hours=50)


def test_each_circuit_is_drawn_once_by_its_first_item_to_freeze() -> None:
    layout = builders.a_layout()
    cold = [item.key for item in layout.items if item.circuit is Circuit.COLD_PIPES]
    assert len(cold) > 1
    path = nights.a_trajectory(cold, start=START, harm_h=[30.0 - n for n in range(len(cold))])
    view = night_view(
        "Y03",
        path,
        layout,
        nights.some_water({Circuit.COLD_PIPES: 1.0}, since=nights.LONG_AGO),
        a_band([1.0] * 49),
        zone=LONDON,
        made_at=NOW,
        issued_at=None,
        ratio=0.1,
    )
    assert [item.key for item in view.lanes] == [cold[-1]]
    assert sum(item.litres for item in view.items) == pytest.approx(1.0, abs=0.05)


def test_the_table_tells_the_ice_of_the_coldest_morning() -> None:
    ice = np.zeros((1, 4, 72), dtype=np.float32)
    ice[:, :2, 24:] = 0.2
    ice[:, 3, 24:] = 0.6
    view = a_view(("F2",), ice=ice)
    assert view.coldest_at == START + timedelta(hours=24)
    assert view.morning_at == START + timedelta(hours=26)
    assert (view.items[0].ice_by, view.items[0].ice_by_most) == (0.2, 0.6)


def test_a_night_comes_back_from_json_as_it_was() -> None:
    view = a_view(("F1", "F2", "H1"), harm_h=[40.0, 20.0, 10.0], tripped_h=12.0)
    assert from_plain(NightView, to_plain(view)) == view


def test_the_air_ahead_begins_now() -> None:
    air = nights.an_air(NOW, [5.0, 4.0, 3.0], past_h=24)
    band = air_ahead(air)
    assert band.start == START
    assert band.likely[:3] == (5.0, 4.0, 3.0)
    assert band.until(START + timedelta(hours=2)).hours == 2
