"""The API: what a token opens and what not, what it answers, and what it takes in."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any
from unittest import SkipTest

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis.strategies import SearchStrategy
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from starlette.testclient import TestClient

from frostwatch.fleet.layouts import layout_of
from frostwatch.ports.accounts import Scope
from frostwatch.records.entries import State
from frostwatch.web.app import build_app
from frostwatch.web.rights.desk import rights_of_app
from tests.builders import a_forecourt, a_vehicle
from tests.web.yards import Stage, a_row, water

URL = "https://frost.example"
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
READS = frozenset(scope for scope in Scope if scope.value.startswith("read:"))


@pytest.fixture(scope="module")
def stage() -> Iterator[Stage]:
    stage = Stage(public_url=URL)
    vans = a_row(3)
    stage.enter(vans, [*water(*vans[:2]), *water(vans[2], state=State.DRAINED)])
    stage.world.enter(a_forecourt(), [], [a_vehicle("D1", site="hinterlach", bay="H-01")])
    stage.cold_from(20.0)
    stage.look()
    yield stage
    stage.world.ledger.close()


class Machine:
    """A client that shows a token."""

    def __init__(self, stage: Stage, scopes: frozenset[Scope], site: str = "cold-rigg") -> None:
        self.app = build_app(stage.world.ledger, stage.clock, public_url=URL)
        token = rights_of_app(self.app).new_token(site, "gate computer", scopes)
        self.headers = {"authorization": f"Bearer {token}"}
        self.client = TestClient(self.app, base_url=URL, headers=self.headers)

    def get(self, path: str) -> Any:
        answer = self.client.get(f"/api{path}")
        assert answer.status_code == 200, answer.text
        return answer.json()

    def post(self, path: str, **body: Any) -> tuple[int, Any]:
        answer = self.client.post(f"/api{path}", json=body)
        return answer.status_code, answer.json()


def test_a_token_reads_its_site_and_nothing_of_another(stage: Stage) -> None:
    machine = Machine(stage, READS)

    (site,) = machine.get("/sites")
    vans = {van["key"]: van for van in machine.get("/vehicles")}

    assert site["key"] == "cold-rigg"
    assert set(vans) == {"Y01", "Y02", "Y03"}
    assert vans["Y01"]["job"] == "drain fully"
    assert vans["Y03"]["job"] is None
    assert machine.get("/vehicles/Y01") == vans["Y01"]
    night = machine.get("/vehicles/Y01/night")
    assert night["items"][0]["harm_early"] is not None
    assert machine.client.get("/api/vehicles/D1").status_code == 404
    assert machine.client.get("/api/vehicles/D1/night").status_code == 404


def test_messages_come_without_addresses_and_without_codes(stage: Stage) -> None:
    stage.clock.now += timedelta(hours=2)
    stage.world.pass_at(stage.clock.now)
    for message in Machine(stage, READS).get("/messages"):
        assert set(message) == {"to", "channel", "kind", "text", "queued_at", "status", "sent_at"}
        assert "/a/..." in message["text"] or "/a/" not in message["text"]


@pytest.mark.parametrize(
    ("path", "scope"),
    [
        ("/sites", Scope.SITES),
        ("/vehicles", Scope.VEHICLES),
        ("/vehicles/Y01", Scope.VEHICLES),
        ("/vehicles/Y01/night", Scope.NIGHTS),
        ("/round", Scope.ROUNDS),
        ("/messages", Scope.MESSAGES),
    ],
)
def test_each_scope_opens_its_own_part_alone(stage: Stage, path: str, scope: Scope) -> None:
    without = Machine(stage, frozenset(Scope) - {scope})
    only = Machine(stage, frozenset({scope}))

    assert without.client.get(f"/api{path}").status_code == 403
    assert only.client.get(f"/api{path}").status_code in (200, 404)


def test_without_a_token_in_force_nothing_is_told(stage: Stage) -> None:
    machine = Machine(stage, READS)
    for headers in ({}, {"authorization": "Bearer fw_wrong"}, {"authorization": "Basic x"}):
        client = TestClient(machine.app, base_url=URL, headers=headers)
        answer = client.get("/api/vehicles")
        assert answer.status_code == 401
        assert answer.headers["www-authenticate"] == "Bearer"


def test_entries_are_added_once_and_stand_in_the_record(stage: Stage) -> None:
    machine = Machine(stage, frozenset({Scope.ENTRIES}))
    entry = {
        "vehicle": "Y02",
        "circuit": "F1",
        "state": "drained",
        "evidence": "seen",
        "at": (stage.clock.now - timedelta(hours=1)).isoformat(),
        "by": "kit",
    }

    assert machine.post("/entries", entries=[entry]) == (200, {"taken": 1, "known": 0})
    assert machine.post("/entries", entries=[entry, entry]) == (200, {"taken": 0, "known": 2})

    kept = [linked.entry for linked in stage.world.ledger.record_of("Y02")][-1]
    assert (kept.state, kept.by, kept.event) == (State.DRAINED, "kit", "api")
    page = stage.client().get("/v/Y02").text
    assert "Entered by another program" in page
    assert "Api:" not in page


def test_what_a_machine_says_of_one_circuit_leaves_the_others_as_they_are(stage: Stage) -> None:
    machine = Machine(stage, frozenset({Scope.ENTRIES, Scope.VEHICLES}))
    at = (stage.clock.now - timedelta(minutes=1)).isoformat()
    said = {"vehicle": "Y02", "state": "drained", "evidence": "seen", "at": at, "by": "kit"}
    van = stage.world.ledger.vehicle("Y02")
    assert van is not None
    circuits = {item.circuit for item in layout_of(van).items}

    machine.post("/entries", entries=[{**said, "circuit": one.value} for one in circuits])

    vessels = machine.get("/vehicles/Y02")["vessels"]
    assert {one["state"] for one in vessels} == {"drained"}
    assert not any(one["wet"] for one in vessels)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"vehicle": "D1"}, "The site has no vehicle"),
        ({"circuit": "X2"}, "has no circuit"),
        ({"evidence": "predicted"}, "say seen or asserted"),
        ({"at": "2031-01-01T00:00:00Z"}, "lies in the future"),
        ({"at": "2026-12-01T06:00:00"}, "timezone"),
        ({"by": "k\u202eit"}, "cannot be shown"),
        ({"litres": -1}, "greater than or equal to 0"),
        ({"more": 1}, "Extra inputs"),
    ],
)
def test_what_does_not_hold_together_is_refused_with_words(
    stage: Stage, changed: dict[str, Any], words: str
) -> None:
    before = stage.world.ledger.record_of("Y01")
    entry = {
        "vehicle": "Y01",
        "circuit": "F1",
        "state": "drained",
        "evidence": "seen",
        "at": stage.clock.now.isoformat(),
        "by": "kit",
        **changed,
    }
    status, told = Machine(stage, frozenset({Scope.ENTRIES})).post("/entries", entries=[entry])

    assert status == 422
    assert words in told["detail"][0]["msg"]
    assert stage.world.ledger.record_of("Y01") == before


def test_readings_of_the_air_and_of_a_vehicle_are_taken_in(stage: Stage) -> None:
    machine = Machine(stage, frozenset({Scope.READINGS}))
    at = (stage.clock.now - timedelta(minutes=10)).isoformat()
    value = {"at": at, "temperature_c": 1.5}

    outdoors = machine.post("/readings", sensor="gate", readings=[value])
    inside = machine.post(
        "/readings", sensor="logger 7", vehicle="Y01", where="locker", readings=[value, value]
    )

    assert outdoors == (200, {"taken": 1, "known": 0})
    assert inside == (200, {"taken": 1, "known": 1})
    (kept,) = stage.world.ledger.readings.of_vehicle(
        "Y01", since=stage.clock.now - timedelta(hours=1), until=stage.clock.now
    )
    assert (kept.where, kept.sent_by) == ("locker", "gate computer")
    status, told = machine.post("/readings", sensor="x", vehicle="D1", readings=[value])
    assert (status, "no vehicle" in told["detail"][0]["msg"]) == (422, True)


def test_what_is_told_of_the_api_is_what_it_does(stage: Stage) -> None:
    """Requests made up from the description, right ones and wrong ones: none may surprise."""
    machine = Machine(stage, frozenset(Scope))
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", machine.app)
    operations = [found.ok() for found in schema.get_all_operations() if isinstance(found, Ok)]
    assert len(operations) == 11

    for operation in operations:
        for mode in GenerationMode:
            try:
                cases = operation.as_strategy(generation_mode=mode)
            except SkipTest:
                continue
            _try(cases, machine)


def _try(cases: SearchStrategy[schemathesis.Case[Any]], machine: Machine) -> None:
    @settings(
        max_examples=5,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=cases)
    def holds(case: schemathesis.Case[Any]) -> None:
        answer = case.call(headers=machine.headers, base_url=URL)
        case.validate_response(answer, checks=CHECKS)

    holds()


def test_a_handover_is_entered_moved_read_and_taken_off(stage: Stage) -> None:
    machine = Machine(stage, frozenset({Scope.HANDOVERS, Scope.PLANNING}))
    first, later = stage.at(4, 10), stage.at(4, 14)

    def put(at: datetime, was: datetime | None, **more: Any) -> Any:
        body = {"at": at.isoformat(), "was_at": was.isoformat() if was else None, "by": "desk"}
        return machine.client.put("/api/handovers/Y03", json=body | more)

    assert put(first, None, fill_l=25).status_code == 200
    assert put(later, None).status_code == 409
    assert put(later, first).json()["changed_by"] == "desk"
    (one,) = machine.get("/handovers")
    assert datetime.fromisoformat(one["at"]) == later
    assert one["fits"] is None
    assert put(stage.at(4, 3), later).status_code == 422
    assert put(stage.at(4, 3), later, meant=True).status_code == 200
    query = {"was_at": stage.at(4, 3).isoformat(), "by": "desk"}
    assert machine.client.delete("/api/handovers/Y03", params=query).status_code == 204
    assert machine.client.delete("/api/handovers/Y03", params=query).status_code == 409
    assert machine.get("/handovers") == []
    assert machine.client.put("/api/handovers/D1", json={}).status_code in (404, 422)


def test_reading_handovers_is_no_right_to_move_them(stage: Stage) -> None:
    machine = Machine(stage, frozenset({Scope.HANDOVERS}))
    body = {"at": stage.at(4, 10).isoformat(), "was_at": None, "by": "desk"}
    assert machine.client.put("/api/handovers/Y03", json=body).status_code == 403
