"""Changing what is entered in one transaction, on every database; two at once, one is told."""

from dataclasses import replace
from datetime import timedelta
from threading import Barrier, Thread

import pytest

from frostwatch.errors import FleetError
from frostwatch.ports.accounts import Account, Role, RoleChange
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.service.fleet_changes import happenings, leaving
from frostwatch.storage.fleet_changes import MisfitError
from frostwatch.storage.ledger import SqlLedger
from tests.builders import NOW, a_forecourt, a_site, a_vehicle, an_operator, an_owner
from tests.letters import a_message


@pytest.fixture
def ledger(ledger: SqlLedger) -> SqlLedger:
    people = [an_operator(), an_owner(), an_owner("ned", name="Ned")]
    ledger.save_fleet(sites=[a_site()], people=people, vehicles=[a_vehicle(keeper="ned")])
    return ledger


def test_a_change_is_kept_with_what_it_says_about_the_water(ledger: SqlLedger) -> None:
    after = a_vehicle(keeper="maelle")

    def make(now: Entered) -> FleetChange:
        entries = happenings(now.vehicles, [after], NOW, by="ailsa")
        return FleetChange(vehicles=(after,), entries=tuple(entries), gone_people=("ned",))

    ledger.change_fleet(make)

    assert ledger.vehicle("Y03") == after
    assert ledger.entered().person("ned") is None
    (kept,) = ledger.record_of("Y03")
    assert (kept.entry.event, kept.entry.by) == ("keeper change", "ailsa")


@pytest.mark.parametrize("by_import", [False, True])
def test_what_has_not_gone_out_to_somebody_who_is_taken_out_stays_here(
    ledger: SqlLedger, by_import: bool
) -> None:
    queued = [a_message(NOW, recipient=key, reminder=key) for key in ("ailsa", "ned")]
    ledger.outbox.enqueue(queued, NOW)
    van = a_vehicle(keeper="ailsa")
    if by_import:
        people = [an_operator(), an_owner()]
        ledger.save_fleet(sites=[a_site()], people=people, vehicles=[van], remove_others=True)
    else:
        ledger.change_fleet(lambda _: FleetChange(vehicles=(van,), gone_people=("ned",)))

    sent = ledger.outbox.claim(NOW, until=NOW + timedelta(minutes=5))
    assert sent is not None
    assert sent.message.recipient == "ailsa"
    assert ledger.outbox.claim(NOW, until=NOW + timedelta(minutes=5)) is None


def test_a_vehicle_that_leaves_keeps_its_record(ledger: SqlLedger) -> None:
    entry = leaving(a_vehicle(), NOW, by="ailsa")

    ledger.change_fleet(lambda _: FleetChange(gone_vehicles=("Y03",), entries=(entry,)))

    assert ledger.vehicle("Y03") is None
    assert [one.entry for one in ledger.record_of("Y03")] == [entry]


def test_what_no_longer_fits_changes_nothing_at_all(ledger: SqlLedger) -> None:
    before = ledger.entered()
    entry = leaving(a_vehicle(), NOW, by="ailsa")
    without = replace(a_site(), bays=())

    with pytest.raises(MisfitError, match="bay 'A-01' is not at site") as refused:
        ledger.change_fleet(lambda _: FleetChange(sites=(without,), entries=(entry,)))

    assert [one.field for one in refused.value.found] == ["bay"]
    assert ledger.entered() == before
    assert ledger.record_of("Y03") == ()


def test_what_did_not_fit_before_does_not_stand_in_the_way(ledger: SqlLedger) -> None:
    ledger.save_fleet(sites=[a_forecourt(operator="nobody-known")])
    renamed = an_owner("ned", name="Ned Ashe")

    ledger.change_fleet(lambda _: FleetChange(people=(renamed,)))

    assert ledger.entered().person("ned") == renamed


def test_of_two_at_once_the_second_sees_what_the_first_did(ledger: SqlLedger) -> None:
    seen, start = a_vehicle(keeper="ned"), Barrier(2)
    outcomes: list[str] = []

    def change(name: str) -> None:
        def make(now: Entered) -> FleetChange:
            if now.vehicle("Y03") != seen:
                raise FleetError("changed meanwhile")
            return FleetChange(vehicles=(replace(seen, name=name),))

        start.wait()
        try:
            ledger.change_fleet(make)
            outcomes.append("kept")
        except FleetError:
            outcomes.append("told")

    both = [Thread(target=change, args=(name,)) for name in ("Goose", "Gander")]
    for one in both:
        one.start()
    for one in both:
        one.join()

    assert sorted(outcomes) == ["kept", "told"]


def test_a_role_is_changed_at_one_place_and_only_from_what_was_seen(ledger: SqlLedger) -> None:
    ledger.save_fleet(sites=[a_forecourt(operator="")])
    accounts = ledger.access.accounts
    kit = accounts.add(
        Account(
            email="kit@yard.example",
            name="Kit",
            roles={"cold-rigg": Role.CREW, "hinterlach": Role.OPERATOR},
            made_at=NOW,
        )
    )

    done = accounts.set_role(kit.id, "cold-rigg", Role.VIEWER, was=Role.CREW)
    late = accounts.set_role(kit.id, "cold-rigg", None, was=Role.CREW)
    gone = accounts.set_role(kit.id + 1, "cold-rigg", Role.CREW, was=None)

    assert (done, late, gone) == (RoleChange.DONE, RoleChange.MEANWHILE, RoleChange.MEANWHILE)
    found = accounts.by_email("kit@yard.example")
    assert found is not None
    assert found.roles == {"cold-rigg": Role.VIEWER, "hinterlach": Role.OPERATOR}
    assert accounts.withdraw(kit.id) is RoleChange.DONE
    assert accounts.by_email("kit@yard.example") is None
