"""Photographs are kept once, read without their pictures, and counted by vehicle and season."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from frostwatch.errors import RecordError
from frostwatch.ports.photos import MOST_OF_A_VEHICLE, SEASON, NoPhotoError, Photo, Picture, WhyNot
from frostwatch.storage.ledger import SqlLedger
from frostwatch.storage.reply_rows import EVIDENCE_KEPT
from tests.builders import NOW, a_site, a_vehicle, an_entry, an_operator

PICTURE = Picture(jpeg=b"large" * 100, small=b"small", width_px=16, height_px=16)


def a_row(id: str = "photo-01", **changed: Any) -> Photo:
    photo = Photo(
        id=id,
        vehicle="Y03",
        by="kit",
        at=NOW - timedelta(minutes=5),
        received_at=NOW,
        width_px=16,
        height_px=16,
        size_bytes=500,
        digest="d" * 64,
    )
    return replace(photo, **changed)


@pytest.fixture
def kept(ledger: SqlLedger) -> SqlLedger:
    ledger.save_fleet(sites=[a_site()], people=[an_operator()], vehicles=[a_vehicle()])
    assert ledger.photos.add(a_row(), PICTURE)
    return ledger


def test_a_photograph_comes_back_as_it_was_kept(kept: SqlLedger) -> None:
    assert kept.photos.of_vehicle("Y03") == (a_row(),)
    assert kept.photos.jpeg("Y03", "photo-01") == PICTURE.jpeg
    assert kept.photos.jpeg("Y03", "photo-01", small=True) == PICTURE.small
    assert kept.photos.has("Y03", "photo-01")


def test_the_same_one_twice_is_one(kept: SqlLedger) -> None:
    other = Picture(jpeg=b"x", small=b"x", width_px=1, height_px=1)
    assert not kept.photos.add(a_row(by="marek"), other)
    assert kept.photos.of_vehicle("Y03") == (a_row(),)
    assert kept.photos.jpeg("Y03", "photo-01") == PICTURE.jpeg


def test_it_is_shown_with_its_own_vehicle_alone(kept: SqlLedger) -> None:
    assert kept.photos.of_vehicle("Y01") == ()
    assert kept.photos.jpeg("Y01", "photo-01") is None
    assert not kept.photos.has("Y01", "photo-01")
    with pytest.raises(RecordError, match="another vehicle"):
        kept.photos.add(a_row(vehicle="Y01"), PICTURE)


def test_a_vehicle_has_so_many_of_a_season_and_no_more(kept: SqlLedger) -> None:
    for n in range(1, MOST_OF_A_VEHICLE):
        assert kept.photos.add(a_row(f"photo-{n:03d}"), PICTURE)
    with pytest.raises(NoPhotoError) as full:
        kept.photos.add(a_row("one-more"), PICTURE)
    assert full.value.why is WhyNot.ENOUGH
    assert not kept.photos.add(a_row(), PICTURE), "what is there already is no new one"
    assert kept.photos.add(a_row("next-year", received_at=NOW + SEASON), PICTURE)
    assert kept.photos.add(a_row("other-van", vehicle="Y01"), PICTURE)


def test_of_many_at_once_no_more_than_that_are_kept(kept: SqlLedger) -> None:
    def send(n: int) -> bool:
        try:
            return kept.photos.add(a_row(f"photo-{n:03d}"), PICTURE)
        except NoPhotoError:
            return False

    for n in range(MOST_OF_A_VEHICLE - 3):
        send(n)
    with ThreadPoolExecutor(4) as hands:
        taken = list(hands.map(send, range(100, 108)))

    assert sum(taken) == 2
    assert len(kept.photos.of_vehicle("Y03")) == MOST_OF_A_VEHICLE


def test_what_was_taken_before_the_press_belongs_to_what_it_recorded(kept: SqlLedger) -> None:
    kept.photos.add(a_row("on-round", round="482016"), PICTURE)
    kept.photos.add(a_row("by-marek", round="482016", by="marek"), PICTURE)
    kept.photos.belong("Y03", round="482016", by="kit", entry=7)
    kept.photos.belong("Y03", round="482016", by="kit", entry=9)

    entries = {photo.id: photo.entry for photo in kept.photos.of_vehicle("Y03")}

    assert entries == {"photo-01": 0, "by-marek": 0, "on-round": 7}


def test_a_statement_is_found_by_its_moment_and_its_arrival(kept: SqlLedger) -> None:
    kept.add_entries([an_entry(now=NOW), an_entry(now=NOW)])
    (first, _) = (linked.entry for linked in kept.record_of("Y03"))

    assert kept.photos.entry_of("Y03", first.at, first.received_at) == 1
    assert kept.photos.entry_of("Y03", first.at, NOW + timedelta(hours=9)) == 0
    assert kept.photos.entry_of("Y01", first.at, first.received_at) == 0


def test_photographs_outlive_their_vehicle_and_end_with_the_evidence(kept: SqlLedger) -> None:
    kept.save_fleet(sites=[a_site()], people=[an_operator()], remove_others=True)
    assert kept.photos.of_vehicle("Y03")
    kept.prune(NOW + EVIDENCE_KEPT - timedelta(days=1))
    assert kept.photos.of_vehicle("Y03")
    kept.prune(NOW + EVIDENCE_KEPT + timedelta(days=1))
    assert kept.photos.of_vehicle("Y03") == ()


@pytest.mark.parametrize("id", ["short", "x" * 65, "with space", "../../etc", "fünfzehn-zeichen"])
def test_an_odd_id_is_refused(id: str) -> None:
    with pytest.raises(RecordError, match="8 to 64"):
        a_row(id)
