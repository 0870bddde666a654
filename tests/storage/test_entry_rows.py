"""A record that was tampered with says so."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import text

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.chain import verify
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.ledger import SqlLedger
from tests.builders import a_site, a_vehicle, an_entry


@pytest.fixture
def filled(ledger: SqlLedger, now: datetime) -> SqlLedger:
    """Two vehicles with four entries each, taken in by turns."""
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle(), a_vehicle("Y04")])
    for hours in (9, 8, 7, 6):
        ledger.add_entries(
            [
                an_entry(now=now, hours_ago=hours),
                an_entry(vehicle="Y04", now=now, hours_ago=hours),
            ]
        )
    return ledger


def test_an_untouched_record_holds(filled: SqlLedger) -> None:
    assert verify(filled.record_of("Y03")) is None
    assert verify(filled.record_of("Y04")) is None
    assert filled.record_of("nobody's") == ()


@pytest.mark.parametrize(
    ("statement", "position"),
    [
        (
            "UPDATE entry SET body = replace(body, 'drained', 'full') "
            "WHERE vehicle = 'Y03' AND number = 2",
            1,
        ),
        ("DELETE FROM entry WHERE vehicle = 'Y03' AND number = 2", 1),
        ("UPDATE entry SET vehicle = 'Y05' WHERE vehicle = 'Y03' AND number = 1", 0),
        ("UPDATE entry SET number = 9 WHERE vehicle = 'Y03' AND number = 3", 2),
        ("UPDATE entry SET link = 'f' WHERE vehicle = 'Y03' AND number = 4", 3),
    ],
    ids=["changed", "dropped", "moved away", "swapped", "relinked"],
)
def test_tampering_with_the_table_is_found(
    filled: SqlLedger, statement: str, position: int
) -> None:
    with filled._database.writing() as connection:
        connection.execute(text(statement))

    found = verify(filled.record_of("Y03"))

    assert found is not None
    assert found.position == position
    assert verify(filled.record_of("Y04")) is None


moments = st.integers(0, 4_000_000_000_000_000).map(
    lambda us: datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=us)
)

entries = st.builds(
    Entry,
    vehicle=st.text(),
    circuit=st.sampled_from(Circuit),
    state=st.sampled_from(State),
    evidence=st.sampled_from([Evidence.SEEN, Evidence.ASSERTED, Evidence.PREDICTED]),
    by=st.text(),
    at=moments,
    received_at=moments,
    litres_l=st.none() | st.floats(0, 5000),
    dose_fraction=st.none() | st.floats(0, 1),
    event=st.text(),
    photo=st.text(),
    note=st.text(),
)


@given(entries)
def test_every_entry_survives_the_way_to_text_and_back(entry: Entry) -> None:
    assert from_body(Entry, to_body(Entry, entry), where="here") == entry
