"""A world whose people open the links of their messages: real ledger, real app, no network."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache, cached_property
from typing import Any

from httpx2 import Response
from starlette.testclient import TestClient

from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.outbox import flush
from frostwatch.ports import AnswerLink, Message
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.service.kit import Kit
from frostwatch.service.pass_ import run_pass
from frostwatch.web.app import build_app
from tests.builders import (
    a_drive,
    a_layout,
    a_site,
    a_vehicle,
    an_entry,
    an_operator,
    an_owner,
    entries_for,
)
from tests.worlds import World, a_world

THURSDAY = datetime(2026, 11, 19, 17, 15, tzinfo=UTC)
"""18:15 at the owner's: she reads, and Friday afternoon is her slot before the frost."""
FROST = datetime(2026, 11, 21, 2, tzinfo=UTC)
PUBLIC = "https://frost.example"
TOKEN = "a token of a gateway that is long"


@dataclass
class Clock:
    """A clock moved by hand."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now


@dataclass(kw_only=True)
class Street:
    """An owner's drive and a yard, with pages."""

    world: World = field(default_factory=a_world)
    clock: Clock = field(default_factory=lambda: Clock(THURSDAY))

    def copy(self) -> "Street":
        """The same once more: what happens to one never shows in the other."""
        return Street(world=self.world.copy(), clock=Clock(self.clock.now))

    @cached_property
    def kit(self) -> Kit:
        return replace(self.world.kit, links=self.world.ledger.links, public_url=PUBLIC)

    @cached_property
    def client(self) -> TestClient:
        app = build_app(self.world.ledger, self.clock, public_url=PUBLIC, replies_token=TOKEN)
        return TestClient(app, base_url=PUBLIC, client=("192.0.2.7", 5000))

    def told_at(self, now: datetime) -> list[Message]:
        """What people are told by a pass."""
        self.clock.now = now
        run_pass(self.kit, now, memory=self.world.memory)
        return [row.message for row in flush(self.kit.outbox, self.kit.channels, now).sent]

    def told_through(self, *moments: datetime) -> list[Message]:
        """The same of one pass after another; what pages show is worked out by the last alone."""
        *before, last = moments
        quick = replace(self.kit, boards=False)
        told: list[Message] = []
        for moment in before:
            run_pass(quick, moment, memory=self.world.memory)
            told += [row.message for row in flush(quick.outbox, quick.channels, moment).sent]
        return told + self.told_at(last)

    def link(self, person: str = "maelle") -> AnswerLink:
        """The newest link of a person."""
        since = self.clock.now - timedelta(days=30)
        return self.world.ledger.links.made_for(person, since=since)[0]

    def get(self, link: AnswerLink | str, **query: str) -> Response:
        code = link if isinstance(link, str) else link.code
        return self.client.get(f"/a/{code}", params=query)

    def press(self, link: AnswerLink, answer: str, **fields: Any) -> Response:
        """Press a button as the page shows it now."""
        named = {"press": self.shown_press(link), "van": link.draft.vehicles, **fields}
        return self.client.post(f"/a/{link.code}", data={"answer": answer, **named})

    def shown_press(self, link: AnswerLink) -> str:
        found = re.search(r'name="press" value="(\d+)"', self.get(link).text)
        return found[1] if found else "0"

    def everything(self) -> tuple[Any, ...]:
        """All that an opened link could have changed."""
        ledger, since = self.world.ledger, self.clock.now - timedelta(days=30)
        book = ledger.load(self.clock.now)
        return (
            book.entries,
            book.answers,
            book.reminders,
            book.passes,
            ledger.outbox.listed(since=since),
            ledger.links.made_for("maelle", since=since),
            ledger.links.heard(since=since),
        )

    def entries(self, vehicle: str = "M1") -> tuple[Entry, ...]:
        return tuple(linked.entry for linked in self.world.ledger.record_of(vehicle))


WET = (
    (Circuit.FRESH_TANK, State.PART_FULL, 20.0),
    (Circuit.HEATER_TANK, State.FULL, None),
    (Circuit.WASTE_TANK, State.PART_FULL, 8.0),
)


def maelles_van(street: Street, *, language: Language = Language.EN, **changed: Any) -> None:
    """A panel van on a drive: most of it drained in October, as she told, some of it wet."""
    told: dict[str, Any] = {
        "vehicle": "M1",
        "now": THURSDAY,
        "evidence": Evidence.ASSERTED,
        "by": "maelle",
    }
    dry = entries_for(
        a_layout("panel-van"), State.DRAINED, vehicle="M1", now=THURSDAY, hours_ago=626.0
    )
    wet = [
        an_entry(circuit, state, litres_l=litres, hours_ago=625.0, **told)
        for circuit, state, litres in WET
    ]
    van = a_vehicle(
        "M1",
        name="Your panel van",
        site="aunt-drive",
        bay="",
        layout="panel-van",
        keeper="maelle",
    )
    street.world.enter(
        a_drive(operator="ailsa"),
        [an_owner(language=language, **changed), an_operator()],
        [van],
        [*dry, *wet],
    )


def a_row_of_vans(street: Street, keys: Sequence[str] = ("Y01", "Y02", "Y03")) -> None:
    """Full vehicles in a yard whose operator reads at 07:40."""
    vans = [a_vehicle(key, bay=f"A-{n:02d}") for n, key in enumerate(keys, start=1)]
    entries = [
        entry
        for van in vans
        for entry in entries_for(a_layout(), State.FULL, vehicle=van.key, now=THURSDAY)
    ]
    street.world.enter(a_site(), [an_operator()], vans, entries)


def a_street(**changed: Any) -> Street:
    """Maëlle was told on Thursday evening to let the water out before Saturday's frost.

    Lived through once and copied.
    """
    return _street(**changed).copy()


@cache
def _street(**changed: Any) -> Street:
    street = Street()
    street.world.weather.cold(FROST, hours=8.0, air_c=-5.0)
    maelles_van(street, **changed)
    street.told_at(THURSDAY)
    return street
