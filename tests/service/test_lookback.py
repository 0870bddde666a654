"""What really happened: the observed air pieced together, the heat model on that one path."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from frostwatch.fleet.vehicles import Circuit
from frostwatch.heatloss.solve import solve
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.service.lookback import Past, Spell, Witness, spells_of, what_happened
from frostwatch.service.nights import Memory, air_of, job_for, point_of
from frostwatch.weather.forecast import Forecast
from tests.builders import a_layout, a_site, a_vehicle, an_entry, entries_for
from tests.fakes import FakeForecasts
from tests.weather.frames import HOURS, PAST_H, a_frame

START = datetime(2026, 12, 1, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
SITE = a_site()
POINT = point_of(SITE)


def days(number: float) -> timedelta:
    return timedelta(days=number)


def observed(cold: Sequence[tuple[float, float]], *, length_d: int = 20) -> Forecast:
    """Air of 6 degC, -8 degC between the days named, counted from START; five days before it."""
    hours = 24 * (length_d + 5)
    air_c = np.full(hours, 6.0)
    for begin, end in cold:
        air_c[120 + round(24 * begin) : 120 + round(24 * end)] = -8.0
    return Forecast(
        start=START - days(5),
        columns={
            "air_c": air_c,
            "wind_m_per_s": np.full(hours, 3.0),
            "cloud_fraction": np.ones(hours),
        },
        provider="observed",
        fetched_at=START - days(5) + hours * HOUR,
        height_m=SITE.height_m,
    )


def past_of(entries: Sequence[Entry], air: Forecast, *, length_d: float = 20.0) -> Past:
    van = a_vehicle()
    found = what_happened(
        [van], {SITE.key: SITE}, entries, {SITE.key: air}, START, START + days(length_d)
    )
    return found[van.key]


def full() -> tuple[Entry, ...]:
    return entries_for(a_layout(), State.FULL, at=START - days(1))


def test_a_full_vehicle_in_two_cold_spells_far_apart_has_two_spells_of_harm() -> None:
    past = past_of(full(), observed([(2, 4), (12, 14)]))
    first, second = past.spells
    assert START + days(2) - HOUR < first.begins < START + days(3)
    assert START + days(4) < first.ends < START + days(9)
    assert START + days(12) - HOUR < second.begins < START + days(13)


def test_harm_in_the_observed_air_begins_when_the_model_says_on_that_one_path() -> None:
    air = observed([(1, 5)])
    past = past_of(full(), air)
    van = Memory().van(a_vehicle(), full(), START)
    job = job_for(van, air_of(SITE, air, START, colder_k=0.0, members=1), None)
    path = solve([job])[0]
    row = path.item_keys.index("W3")
    expected = START + float(path.harm_at_h[row, 0]) * HOUR
    assert abs(past.by_item["W3"][0].begins - expected) < timedelta(minutes=10)


def test_a_drained_vehicle_is_never_harmed() -> None:
    drained = entries_for(a_layout(), State.DRAINED, at=START - days(1))
    assert past_of(drained, observed([(0, 20)])).spells == ()


def test_water_drained_before_the_frost_is_not_harmed_and_water_filled_into_it_is() -> None:
    drained = entries_for(a_layout(), State.DRAINED, at=START + days(1))
    refilled = entries_for(a_layout(), State.FULL, at=START + days(10))
    past = past_of((*full(), *drained, *refilled), observed([(2, 20)]))
    assert [spell.begins > START + days(10) for spell in past.spells] == [True]


def test_the_tank_behind_a_working_frost_valve_counts_as_no_harm() -> None:
    heater = an_entry(Circuit.HEATER_TANK, State.FULL, at=START + HOUR)
    drained = entries_for(a_layout(), State.DRAINED, at=START - days(1))
    assert past_of((*drained, heater), observed([(2, 6)])).spells == ()


def test_an_entry_counts_from_when_it_was_so_not_from_when_it_arrived() -> None:
    late = tuple(
        an_entry(entry.circuit, State.DRAINED, at=START + days(1), received_at=START + days(9))
        for entry in full()
    )
    assert past_of((*full(), *late), observed([(2, 6)])).spells == ()


def test_what_was_told_ninety_days_ago_is_not_believed_any_longer() -> None:
    told = [
        an_entry(e.circuit, State.DRAINED, at=START - days(88), evidence=Evidence.ASSERTED)
        for e in full()
    ]
    past = past_of(told, observed([(0, 20)]))
    assert past.spells
    assert past.spells[0].begins >= START + days(2)


def test_harm_that_comes_again_within_three_days_is_the_same_spell() -> None:
    def times(gap_h: float) -> list[tuple[datetime, datetime]]:
        again = START + (10 + gap_h) * HOUR
        return [(again, again + HOUR), (START, START + 10 * HOUR)]

    assert len(spells_of(times(71.0))) == 1
    assert len(spells_of(times(72.0))) == 2
    assert spells_of(times(1.0)) == (Spell(begins=START, ends=START + 12 * HOUR),)


def witnessed(frames: Sequence[tuple[datetime, Forecast]]) -> Forecast:
    source = FakeForecasts()
    witness = Witness(source)
    for at, frame in frames:
        source.given[POINT.key] = frame
        witness.at((POINT,), at)
    air = witness.air(POINT.key)
    assert air is not None
    return air


def test_every_hour_is_taken_from_the_earliest_reply_in_which_it_is_past() -> None:
    frames = []
    for number in range(5):
        at = START + number * 3 * HOUR
        frames.append((at, a_frame(at, air_c=np.full(HOURS, float(number)))))
    air = witnessed(frames)
    assert air.start == START - PAST_H * HOUR
    assert air.valid_to == START + 11 * HOUR
    after = air.columns["air_c"][PAST_H:]
    assert after.tolist() == [1.0] * 3 + [2.0] * 3 + [3.0] * 3 + [4.0] * 3
    assert not air.warnings


def test_hours_that_nobody_observed_are_bridged_and_it_is_said() -> None:
    late = START + PAST_H * HOUR + 10 * HOUR
    frames = [
        (START, a_frame(START, air_c=np.full(HOURS, 0.0))),
        (late, a_frame(late, air_c=np.full(HOURS, 11.0))),
    ]
    air = witnessed(frames)
    assert air.columns["air_c"][PAST_H : PAST_H + 10] == pytest.approx(np.arange(1.0, 11.0))
    assert air.warnings == ("10 of 250 hours were not observed and are bridged by straight lines.",)


def test_a_place_without_any_reply_has_no_observed_air() -> None:
    assert Witness(FakeForecasts()).air(POINT.key) is None
