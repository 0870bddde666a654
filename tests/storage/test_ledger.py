"""What goes into the ledger comes out again, on every database."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest

from frostwatch.advice.reminders import (
    Answer,
    AnswerKind,
    Decision,
    Reason,
    Reminder,
    Said,
    Status,
    Told,
)
from frostwatch.errors import LedgerError, RecordError
from frostwatch.fleet.people import Channel
from frostwatch.fleet.vehicles import Circuit, HeatedHold
from frostwatch.messages.wording.draft import Kind, Level
from frostwatch.ports import KeptDecision, KeptState, SitePass
from frostwatch.records.entries import State
from frostwatch.storage.ledger import SqlLedger
from tests.builders import (
    a_crew,
    a_drive,
    a_site,
    a_vehicle,
    a_yard,
    an_entry,
    an_operator,
    an_owner,
)

HOUR = timedelta(hours=1)


def a_state(vehicle: str = "Y03", *, at: datetime, signature: str = "s1") -> KeptState:
    arrays = {
        "water_c": np.linspace(0, 5, 12, dtype=np.float32).reshape(3, 4),
        "tripped": np.array([np.nan, np.inf], dtype=np.float32),
        "none": np.empty((0, 4), dtype=np.float32),
    }
    return KeptState(vehicle=vehicle, at=at, signature=signature, arrays=arrays)


def a_reminder(key: str = "r1", *, now: datetime, status: Status = Status.STANDING) -> Reminder:
    said = Said(
        kind=Kind.WORK_ORDER,
        at=now,
        reason=Reason.FIRST,
        level=Level.ACT,
        act_by=now + HOUR,
        probability=0.4,
    )
    return Reminder(
        key=key,
        site="cold-rigg",
        recipient="ailsa",
        vehicle="Y03",
        kind=Kind.WORK_ORDER,
        status=status,
        spell="2026-12-01",
        raised_at=now,
        said=(said,),
        told=(Told(circuit="F1", litres=20.0),),
        answer=an_answer(now),
    )


def an_answer(at: datetime, vehicle: str = "Y03") -> Answer:
    return Answer(vehicle=vehicle, by="kit", kind=AnswerKind.GOING, at=at, going_at=at + HOUR)


def a_decision(at: datetime, **changed: Any) -> Decision:
    decision = Decision(
        at=at,
        site="cold-rigg",
        vehicle="Y03",
        recipient="ailsa",
        kind=None,
        level=Level.NONE,
        reason=Reason.STAYS_LIQUID,
        probability=0.01,
        issued_at=at - HOUR,
        provider="one",
    )
    return replace(decision, **changed)


def a_call(at: datetime, **changed: Any) -> Decision:
    return a_decision(
        at, kind=Kind.WORK_ORDER, level=Level.ACT, reason=Reason.FIRST, act_by=at + HOUR, **changed
    )


def test_a_fleet_comes_back_as_it_was_entered(ledger: SqlLedger, now: datetime) -> None:
    sites = (a_drive(), a_site())
    people = (an_operator(), a_crew(), an_owner())
    vehicles = (
        a_vehicle("Y01", overrides=(("F1.capacity_l", 80.0),)),
        a_vehicle("Y03", hold=HeatedHold(source="hook-up 6 A", power_w=1300.0, setting_c=7.0)),
        a_vehicle("Z01", site="aunt-drive", bay="", name="Kastenwagen «Möwe»"),
    )
    ledger.save_fleet(sites=sites, people=people, vehicles=vehicles)

    book = ledger.load(now)

    assert book.sites == sites
    assert book.people == tuple(sorted(people, key=lambda person: person.key))
    assert book.vehicles == vehicles
    assert book.entries == {}
    assert book.states == {}
    assert book.reminders == {}
    assert book.answers == {}
    assert book.passes == {}


def test_a_second_import_replaces_by_key_and_leaves_the_rest(
    ledger: SqlLedger, now: datetime
) -> None:
    site, vehicles = a_yard(3)
    ledger.save_fleet(sites=[site], vehicles=vehicles)
    ledger.save_fleet(vehicles=[a_vehicle("Y02", plate_end="X99")])

    found = {vehicle.key: vehicle.plate_end for vehicle in ledger.load(now).vehicles}

    assert found == {"Y01": "K47", "Y02": "X99", "Y03": "K47"}


def test_an_import_that_removes_the_others_keeps_their_entries(
    ledger: SqlLedger, now: datetime
) -> None:
    site, vehicles = a_yard(3)
    ledger.save_fleet(sites=[site], people=[an_operator(), a_crew()], vehicles=vehicles)
    ledger.add_entries([an_entry(vehicle="Y03", now=now)])
    ledger.commit(site.key, now, states=[a_state("Y03", at=now)])

    ledger.save_fleet(
        sites=[site], people=[an_operator()], vehicles=vehicles[:2], remove_others=True
    )

    book = ledger.load(now)
    assert [vehicle.key for vehicle in book.vehicles] == ["Y01", "Y02"]
    assert [person.key for person in book.people] == ["ailsa"]
    assert book.states == {}
    assert len(ledger.record_of("Y03")) == 1


def test_a_vehicle_at_an_unknown_site_stops_the_whole_import(
    ledger: SqlLedger, now: datetime
) -> None:
    with pytest.raises(LedgerError, match=r"vehicle Y03 stands at site 'nowhere'"):
        ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle(site="nowhere")])

    assert ledger.load(now).sites == ()


def test_people_keep_their_channels_in_the_order_given(ledger: SqlLedger, now: datetime) -> None:
    channels = tuple(
        Channel(name=name, address=f"json://{name}.example.org", form="short")
        for name in ("night", "day", "office")
    )
    ledger.save_fleet(people=[an_operator(channels=channels)])
    ledger.save_fleet(people=[an_operator(channels=channels[::-1])])

    assert ledger.load(now).people[0].channels == channels[::-1]


def test_entries_come_back_in_the_order_they_were_taken_in(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    entries = [
        an_entry(Circuit.FRESH_TANK, State.PART_FULL, hours_ago=5, now=now, litres_l=20.0),
        an_entry(Circuit.WASTE_TANK, State.DOSED, hours_ago=9, now=now, dose_fraction=0.5),
        an_entry(Circuit.FRESH_TANK, hours_ago=30, now=now, event="demonstration", note="Größe"),
    ]
    ledger.add_entries(entries[:1])
    ledger.add_entries(entries[1:])

    assert ledger.load(now).entries == {"Y03": tuple(entries)}
    assert [linked.entry for linked in ledger.record_of("Y03")] == entries


def test_what_is_taken_in_later_is_not_known_yet(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    ledger.add_entries([an_entry(now=now), an_entry(now=now, hours_ago=-2)])

    assert len(ledger.load(now).entries["Y03"]) == 1
    assert len(ledger.load(now + 3 * HOUR).entries["Y03"]) == 2


def test_of_old_entries_only_the_newest_of_a_circuit_is_loaded(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    old = [an_entry(now=now, hours_ago=24 * days) for days in (900, 800)]
    pump = an_entry(Circuit.PUMP, now=now, hours_ago=24 * 850)
    recent = an_entry(Circuit.TRAPS, now=now, hours_ago=24 * 300)
    ledger.add_entries([*old, pump, recent])

    assert ledger.load(now).entries["Y03"] == (old[1], pump, recent)


def test_nothing_can_be_recorded_about_a_vehicle_nobody_entered(ledger: SqlLedger) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])

    with pytest.raises(RecordError, match="'Y99' is not entered"):
        ledger.add_entries([an_entry(), an_entry(vehicle="Y99")])

    assert ledger.record_of("Y03") == ()


def test_a_pass_leaves_states_reminders_and_decisions(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    ledger.commit(
        "cold-rigg",
        now,
        states=[a_state(at=now)],
        reminders=[a_reminder(now=now), a_reminder("r0", now=now, status=Status.CLEARED)],
        decisions=[a_decision(now)],
    )

    book = ledger.load(now)

    kept = book.states["Y03"]
    assert (kept.at, kept.signature) == (now, "s1")
    for name, values in a_state(at=now).arrays.items():
        assert kept.arrays[name].dtype == np.float32
        np.testing.assert_array_equal(kept.arrays[name], values)
    assert book.reminders == {"cold-rigg": (a_reminder(now=now),)}
    assert book.passes == {"cold-rigg": SitePass(site="cold-rigg", passed_at=now)}
    assert ledger.decisions(since=now, until=now) == (
        KeptDecision(decision=a_decision(now), until_at=now, reply_id=None),
    )


def test_a_state_is_replaced_and_a_cleared_reminder_is_gone(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    ledger.commit("cold-rigg", now, states=[a_state(at=now)], reminders=[a_reminder(now=now)])
    later = now + HOUR
    ledger.commit(
        "cold-rigg",
        later,
        states=[a_state(at=later, signature="s2")],
        reminders=[a_reminder(now=later, status=Status.CLEARED)],
    )

    book = ledger.load(later)

    assert (book.states["Y03"].at, book.states["Y03"].signature) == (later, "s2")
    assert book.reminders == {}


def test_a_decision_repeated_for_the_same_reasons_is_one_row(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    for hour in range(5):
        moment = now + hour * HOUR
        ledger.commit("cold-rigg", moment, decisions=[a_decision(moment)], reply_id=hour)
    call = a_call(now + 5 * HOUR)
    ledger.commit("cold-rigg", now + 5 * HOUR, decisions=[call], reply_id=5)

    first, second = ledger.decisions(since=now, until=now + 9 * HOUR, vehicle="Y03")

    assert first == KeptDecision(decision=a_decision(now), until_at=now + 4 * HOUR, reply_id=0)
    assert second == KeptDecision(decision=call, until_at=now + 5 * HOUR, reply_id=5)
    assert ledger.decisions(since=now + 2 * HOUR, until=now + 3 * HOUR) == (first,)
    assert ledger.decisions(since=now, until=now + 9 * HOUR, site="elsewhere") == ()


def test_answers_of_the_last_days_come_back_by_vehicle(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle(), a_vehicle("Y04")])
    old, first, second, later = (an_answer(now + timedelta(days=days)) for days in (-61, -2, -1, 1))
    ledger.add_answers([old, second, first, later, an_answer(now, "Y04")])

    assert ledger.load(now, sites=["cold-rigg"]).answers == {
        "Y03": (first, second),
        "Y04": (an_answer(now, "Y04"),),
    }
    assert ledger.load(now, sites=["elsewhere"]).answers == {}


def test_only_the_sites_asked_for_are_loaded(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(
        sites=[a_site(), a_drive()],
        vehicles=[a_vehicle(), a_vehicle("Z01", site="aunt-drive", bay="")],
    )
    ledger.add_entries([an_entry(now=now), an_entry(now=now, vehicle="Z01")])
    ledger.commit("cold-rigg", now, states=[a_state(at=now)], reminders=[a_reminder(now=now)])
    ledger.commit("aunt-drive", now, states=[a_state("Z01", at=now)])

    book = ledger.load(now, sites=["aunt-drive"])

    assert [site.key for site in book.sites] == ["aunt-drive"]
    assert [vehicle.key for vehicle in book.vehicles] == ["Z01"]
    assert set(book.entries) == {"Z01"}
    assert set(book.states) == {"Z01"}
    assert book.reminders == {}
    assert set(book.passes) == {"aunt-drive"}


def test_a_failed_pass_is_remembered_until_one_ends_well(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(sites=[a_site()])
    ledger.commit("cold-rigg", now)
    ledger.note_failure("cold-rigg", now + HOUR, cause="first", next_try_at=now + 2 * HOUR)
    failed = ledger.note_failure(
        "cold-rigg", now + 2 * HOUR, cause="second", next_try_at=now + 4 * HOUR
    )

    assert failed == SitePass(
        site="cold-rigg",
        passed_at=now,
        failed_at=now + 2 * HOUR,
        cause="second",
        failures=2,
        next_try_at=now + 4 * HOUR,
    )
    assert ledger.load(now).passes == {"cold-rigg": failed}

    ledger.commit("cold-rigg", now + 4 * HOUR)
    assert ledger.load(now).passes["cold-rigg"] == SitePass(
        site="cold-rigg", passed_at=now + 4 * HOUR
    )


def test_what_was_judged_stays_known_until_it_is_judged_anew(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()])
    ledger.commit("cold-rigg", now, judged_to=now - HOUR)
    ledger.commit("cold-rigg", now + HOUR)
    ledger.note_failure("cold-rigg", now + 2 * HOUR, cause="x", next_try_at=now + 3 * HOUR)
    assert ledger.load(now).passes["cold-rigg"].judged_to == now - HOUR

    ledger.commit("cold-rigg", now + 3 * HOUR, judged_to=now + HOUR)
    assert ledger.load(now).passes["cold-rigg"].judged_to == now + HOUR


def test_a_commit_that_fails_halfway_leaves_nothing(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])

    with pytest.raises(LedgerError):
        ledger.commit(
            "cold-rigg",
            now,
            states=[a_state(at=now), a_state("Y99", at=now)],
            reminders=[a_reminder(now=now)],
        )

    book = ledger.load(now)
    assert book.states == {}
    assert book.reminders == {}
    assert book.passes == {}


def test_silence_is_dropped_after_a_month_and_what_was_said_after_a_season(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    call = a_call(now, vehicle="Y04")
    ledger.commit("cold-rigg", now, decisions=[a_decision(now), call])

    ledger.prune(now + timedelta(days=29))
    assert len(ledger.decisions(since=now, until=now)) == 2
    ledger.prune(now + timedelta(days=31))
    assert [kept.decision for kept in ledger.decisions(since=now, until=now)] == [call]
    ledger.prune(now + timedelta(days=401))
    assert ledger.decisions(since=now, until=now) == ()


def test_a_time_without_a_zone_is_refused(ledger: SqlLedger, now: datetime) -> None:
    ledger.save_fleet(sites=[a_site()])

    with pytest.raises(LedgerError, match="no time zone"):
        ledger.commit("cold-rigg", now.replace(tzinfo=None))


def test_a_time_in_another_zone_comes_back_as_the_same_moment(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()])
    ledger.commit("cold-rigg", now.astimezone(a_drive().zone))

    assert ledger.load(now).passes["cold-rigg"].passed_at == now
