"""What holds of the water whatever stands in the record, and in whatever order."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.events import Effect, effect_of
from frostwatch.records.standing_water import CircuitWater
from tests.builders import NOW, an_entry, entries_for
from tests.records.standing import FRESH, HEATER, LAYOUT, TRAPS, WASTE, water

EVENTS = ["", "", "", "", "moved", "hire", "drain-down", "round", "no such word"]

some_entries = st.lists(
    st.builds(
        lambda circuit, state, minutes, by, evidence, event, litres, dose: an_entry(
            circuit,
            state,
            at=NOW - timedelta(minutes=minutes),
            by=by,
            evidence=evidence,
            event=event,
            litres_l=litres,
            dose_fraction=dose,
        ),
        st.sampled_from([FRESH, HEATER, Circuit.HOT_PIPES, WASTE, Circuit.OUTLET_STUB, TRAPS]),
        st.sampled_from(State),
        st.integers(1, 300) | st.integers(1, 400_000),
        st.sampled_from(["kit", "marek", "resi"]),
        st.sampled_from([Evidence.SEEN, Evidence.ASSERTED, Evidence.PREDICTED]),
        st.sampled_from(EVENTS),
        st.none() | st.floats(0.0, 200.0),
        st.none() | st.floats(0.0, 0.6),
    ),
    max_size=12,
)


@given(some_entries, st.randoms(use_true_random=False))
def test_the_order_of_the_rows_does_not_matter(rows: list[Entry], random: object) -> None:
    shuffled = list(rows)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert water(*shuffled) == water(*rows)


@given(some_entries)
def test_litres_lie_between_nothing_and_full_and_soon_is_never_more_than_cost(
    rows: list[Entry],
) -> None:
    for one in water(*rows).values():
        full_l = sum(i.capacity_l.value for i in LAYOUT.items if i.circuit is one.circuit)
        assert 0 <= one.litres_soon_l <= one.litres_cost_l <= full_l + 1e-9
        assert (one.litres_soon_l > 0) == (one.litres_cost_l > 0)
        assert 0 <= one.glycol_volume_fraction <= 0.6


@given(some_entries, some_entries)
def test_what_is_received_later_changes_nothing_earlier(
    rows: list[Entry], later: list[Entry]
) -> None:
    arriving = [replace(e, received_at=NOW + timedelta(hours=1)) for e in later]
    assert water(*rows, *arriving) == water(*rows)


@given(some_entries, some_entries)
def test_old_entries_change_nothing_once_everything_was_seen_again(
    old: list[Entry], older: list[Entry]
) -> None:
    """Half an hour later nobody contradicts; a drained circuit has forgotten what it held."""
    now = NOW + timedelta(hours=2)
    seen = entries_for(LAYOUT, State.TRAVEL_LEVEL, at=NOW + timedelta(hours=1))

    def but_for_its_age(*entries: Entry) -> list[CircuitWater]:
        return [replace(one, filled_at=None) for one in water(*entries, now=now).values()]

    assert but_for_its_age(*old, *older, *seen) == but_for_its_age(*seen)


@given(some_entries)
def test_unknown_or_expired_never_reads_as_dry(rows: list[Entry]) -> None:
    moved = any(effect_of(entry.event) is Effect.MOVES for entry in rows)
    for one in water(*rows).values():
        if one.state is State.UNKNOWN and not moved:
            assert one.is_wet


@given(some_entries, st.integers(0, 400))
def test_time_alone_never_dries_a_circuit(rows: list[Entry], days: int) -> None:
    today, later = water(*rows), water(*rows, now=NOW + timedelta(days=days))
    for circuit, one in today.items():
        if one.is_wet and circuit is not Circuit.HEATER_TANK:
            assert later[circuit].is_wet
