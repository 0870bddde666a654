"""Rounds that tests walk: released, pressed at, sent to by a phone."""

import json
import re
from typing import Any

from starlette.testclient import TestClient

from frostwatch.advice.walk import PressKind, WalkRound
from frostwatch.records.entries import State
from frostwatch.records.standing_water import water_of
from tests.builders import a_layout
from tests.web.yards import Stage, a_cold_yard, form_of


class Round:
    """A released round, and somebody who walks it."""

    def __init__(self, stage: Stage | None = None) -> None:
        self.stage = stage or a_cold_yard()
        self.client = self.stage.client()
        form = form_of(self.client, "/round") | {"site": "cold-rigg", "then": "walk"}
        self.path = self.client.post("/round/release", data=form).headers["location"]

    @property
    def code(self) -> str:
        return self.path.rpartition("/")[2]

    @property
    def walk(self) -> WalkRound:
        found = self.stage.world.ledger.rounds.round(self.code)
        assert found is not None
        return found

    def page(self, query: str = "", client: TestClient | None = None) -> str:
        return (client or self.client).get(self.path + query).text

    def press(
        self, vehicle: str, kind: str, client: TestClient | None = None, **fields: object
    ) -> str:
        """Press a button; the page that follows."""
        who = client or self.client
        self.stage.clock.pass_by(minutes=4)
        page = who.get(f"{self.path}?stop={vehicle}").text
        ids = re.findall(r'name="id" value="(\w+)"', page)
        form = form_of(who, self.path) | {
            "vehicle": vehicle,
            "kind": kind,
            "id": ids[0],
            **fields,
        }
        answer = who.post(f"{self.path}/press", data=form)
        if answer.status_code != 303:
            return answer.text
        return who.get(answer.headers["location"]).text

    def undo(self, vehicle: str) -> str:
        presses = self.stage.world.ledger.rounds.presses(self.code)
        last = [p for p in presses if p.vehicle == vehicle and p.kind is not PressKind.UNDO][-1]
        return self.press(vehicle, "undo", undoes=last.id)

    def states(self, vehicle: str = "Y01") -> set[State]:
        record = [linked.entry for linked in self.stage.world.ledger.record_of(vehicle)]
        yard = self.stage.world.ledger.pages.yard("cold-rigg", self.stage.clock.now)
        assert yard is not None
        own = yard.vehicles[vehicle]
        return {c.state for c in water_of(own, a_layout(), record, self.stage.clock.now)}


def a_guest(walk: Round, name: str) -> TestClient:
    """Somebody without an account who typed the figures and a name."""
    client = walk.stage.client(nobody=True)
    page = client.get(walk.path).text
    assert "Who walks?" in page
    assert "A-01" not in page
    form = form_of(client, walk.path) | {"name": name}
    assert client.post(f"{walk.path}/who", data=form).status_code == 303
    return client


def sends(
    walk: Round, *presses: dict[str, object], client: TestClient | None = None
) -> dict[str, Any]:
    """What a phone sends after it had no signal; what it is told."""
    client, now = client or walk.client, walk.stage.clock.now.isoformat()
    form = form_of(client, "/walk") | {"sent_at": now, "presses": json.dumps(presses)}
    found: dict[str, Any] = client.post(f"{walk.path}/presses", data=form).json()
    return found


def a_kept_press(walk: Round, **changed: object) -> dict[str, object]:
    now = walk.stage.clock.now.isoformat()
    return {"id": "phone-Y01-1", "vehicle": "Y01", "kind": "done", "at": now, **changed}
