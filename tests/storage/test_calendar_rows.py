"""Addresses of calendars: one for each person or site, opened by a digest, never by a key."""

from dataclasses import replace
from datetime import timedelta

from frostwatch.ports.calendars import Appointment, CalendarAddress, Publication, Shown
from frostwatch.storage.ledger import SqlLedger
from tests.builders import NOW, a_drive, a_site, a_vehicle, an_operator, an_owner

ADDRESS = CalendarAddress(
    person="ailsa", digest="a" * 64, made_at=NOW, expires_at=NOW + timedelta(days=100)
)
SLOT = Appointment(
    key="k",
    starts=NOW,
    ends=NOW + timedelta(hours=1),
    summary="drain",
    told_before=timedelta(minutes=15),
    kin=("Y01",),
)
SHOWN = Publication(
    changed_at=NOW,
    name="Ailsa",
    zone="Europe/London",
    shown={"k": Shown(appointment=SLOT, first_at=NOW, changed_at=NOW)},
)


def test_an_address_opens_by_its_digest_until_it_ends(ledger: SqlLedger) -> None:
    calendars = ledger.calendars
    calendars.keep(ADDRESS)
    assert calendars.find("a" * 64, NOW) == ADDRESS
    assert calendars.find("b" * 64, NOW) is None
    assert calendars.find("a" * 64, ADDRESS.expires_at) is None
    assert calendars.of("person/ailsa") == ADDRESS


def test_a_new_address_takes_the_place_of_the_old_one(ledger: SqlLedger) -> None:
    calendars = ledger.calendars
    calendars.keep(ADDRESS)
    calendars.note_fetched(ADDRESS, SHOWN, NOW)
    newer = replace(ADDRESS, digest="c" * 64, vehicles=("Y01",))
    calendars.keep(newer)
    assert calendars.find("a" * 64, NOW) is None
    assert calendars.find("c" * 64, NOW) == newer
    assert calendars.withdraw("person/ailsa")
    assert not calendars.withdraw("person/ailsa")


def test_what_was_shown_comes_back_and_two_fetches_at_once_show_the_same(ledger: SqlLedger) -> None:
    calendars = ledger.calendars
    calendars.keep(ADDRESS)
    assert calendars.note_fetched(ADDRESS, SHOWN, NOW) == SHOWN
    kept = calendars.find("a" * 64, NOW)
    assert kept is not None
    assert (kept.publication, kept.fetched_at) == (SHOWN, NOW)
    other = replace(SHOWN, name="made at the same moment")
    assert calendars.note_fetched(ADDRESS, other, NOW) == SHOWN


def test_a_person_s_sites_are_those_of_duty_of_keeping_and_of_running(ledger: SqlLedger) -> None:
    ledger.save_fleet(
        sites=[
            a_site("yard", operator="x"),
            a_drive(operator="ailsa"),
            a_site("far", operator="x"),
        ],
        people=[an_operator(sites=("yard",)), an_owner()],
        vehicles=[a_vehicle("M1", site="far", bay="", keeper="maelle")],
    )
    assert ledger.calendars.sites_of("ailsa") == ("aunt-drive", "yard")
    assert ledger.calendars.sites_of("maelle") == ("far",)
    assert ledger.calendars.sites_of("nobody") == ()


def test_addresses_that_ended_are_forgotten(ledger: SqlLedger) -> None:
    ledger.calendars.keep(ADDRESS)
    ledger.prune(NOW + timedelta(days=101))
    assert ledger.calendars.of("person/ailsa") is None
