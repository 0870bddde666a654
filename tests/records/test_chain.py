"""The hash chain: every later change shows, and shows where."""

import hashlib
from dataclasses import replace
from datetime import timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.chain import FIRST_LINK, canonical, chained, link_after, verify
from frostwatch.records.entries import State
from tests.builders import an_entry

ENTRIES = tuple(
    an_entry(circuit, State.DRAINED, hours_ago=hours, note="Hähne offen")
    for hours, circuit in enumerate([Circuit.FRESH_TANK, Circuit.HEATER_TANK, Circuit.WASTE_TANK])
)


def test_an_untouched_chain_holds() -> None:
    assert verify(chained(ENTRIES)) is None
    assert verify(()) is None


def test_a_chain_can_be_continued() -> None:
    first, rest = chained(ENTRIES[:1]), ENTRIES[1:]
    assert first + chained(rest, after=first[-1].link) == chained(ENTRIES)
    assert verify(chained(rest, after=first[-1].link), after=first[-1].link) is None


def test_a_link_is_plain_sha_256_of_the_link_before_and_the_entry() -> None:
    written = (FIRST_LINK + "\n" + canonical(ENTRIES[0])).encode()
    assert chained(ENTRIES)[0].link == hashlib.sha256(written).hexdigest()


def test_the_written_form_is_fixed() -> None:
    """Changing this form would make every chain kept so far look broken."""
    entry = an_entry(Circuit.WASTE_TANK, State.RESIDUAL, litres_l=4, hours_ago=0)
    assert canonical(entry) == (
        '{"at":"2026-12-01T07:40:00.000000+00:00","by":"kit","circuit":"W3",'
        '"dose_fraction":null,"event":"","evidence":"seen","litres_l":4.0,"note":"","photo":"",'
        '"received_at":"2026-12-01T07:41:00.000000+00:00","state":"residual","vehicle":"Y03"}'
    )


@pytest.mark.parametrize("at", range(3))
def test_a_changed_entry_is_named_by_its_place(at: int) -> None:
    links = list(chained(ENTRIES))
    links[at] = replace(links[at], entry=replace(links[at].entry, by="marek"))
    broken = verify(links)
    assert broken is not None
    assert broken.position == at
    assert f"entry {at + 1} (Y03 {links[at].entry.circuit.value}" in str(broken)
    assert "by marek" in str(broken)


@pytest.mark.parametrize("at", range(2))
def test_an_entry_taken_out_shows_at_the_next_one(at: int) -> None:
    links = list(chained(ENTRIES))
    del links[at]
    broken = verify(links)
    assert broken is not None
    assert broken.position == at


def test_two_entries_swapped_show_at_the_first_of_them() -> None:
    one, two, three = chained(ENTRIES)
    broken = verify([two, one, three])
    assert broken is not None
    assert broken.position == 0


@given(st.integers(-12, 14), st.sampled_from([3, 3.0]))
def test_zone_and_number_type_of_the_store_do_not_matter(hours: int, litres: float) -> None:
    entry = an_entry(litres_l=3.0, state=State.PART_FULL)
    zone = timezone(timedelta(hours=hours))
    stored = replace(
        entry,
        at=entry.at.astimezone(zone),
        received_at=entry.received_at.astimezone(zone),
        litres_l=litres,
    )
    assert link_after(FIRST_LINK, stored) == link_after(FIRST_LINK, entry)
