"""A yard behind the pages: a world with a pass behind it, the app, and somebody who looks."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import FastAPI, Request
from sqlalchemy import event
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient

from frostwatch.fleet.people import Language, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.accounts import Account, Role
from frostwatch.records.entries import Entry, State
from frostwatch.service.planner import Planner
from frostwatch.web.app import build_app
from frostwatch.web.rights import NotForYouError, NotSignedInError, WrongFormError
from tests.builders import (
    NOW,
    a_crew,
    a_layout,
    a_site,
    a_vehicle,
    an_operator,
    bay_names,
    entries_for,
)
from tests.web.guests import Clock
from tests.worlds import World, a_world

HOSTILE = (
    '<script>alert("x")</script>',
    "'\"><img src=x onerror=alert(1)>",
    '=HYPERLINK("http://x.example","y")',
    "\u202egnirts\u202c \u2066x",
    "{{ 7*7 }} {% raw %} ${7*7}",
    "🧊" * 20,
)
"""What somebody may type into a name or a note."""


def an_account(
    role: Role | None = Role.OPERATOR, *sites: str, language: Language = Language.EN
) -> Account:
    """Somebody with that role, everywhere unless sites are named."""
    return Account(
        email="ada@yard.example",
        name="Ada",
        person="ailsa",
        language=language,
        everywhere=None if sites else role,
        roles=dict.fromkeys(sites, role) if role is not None else {},
        made_at=NOW,
    )


@dataclass(kw_only=True)
class Stage:
    """A world with the app over it.

    Attributes:
        world: everything a pass works with.
        clock: the app's clock.
        public_url: see ``build_app``.
    """

    world: World = field(default_factory=a_world)
    clock: Clock = field(default_factory=lambda: Clock(NOW))
    public_url: str = "https://yard.example"

    def copy(self) -> "Stage":
        """The same once more: what happens to one never shows in the other."""
        return replace(self, world=self.world.copy(), clock=Clock(self.clock.now))

    def enter(
        self,
        vehicles: Sequence[Vehicle],
        entries: Sequence[Entry] = (),
        *,
        site: Site | None = None,
        people: Sequence[Person] | None = None,
    ) -> None:
        """Enter a site with its vehicles; the yard with its operator and two who walk."""
        known = people if people is not None else the_people()
        self.world.enter(site or a_site(), known, vehicles, entries)

    def cold_from(self, hours: float, *, lasts: float = 12.0, air_c: float = -8.0) -> None:
        """A cold spell that begins so many hours from now."""
        self.world.weather.cold(self.clock.now + timedelta(hours=hours), hours=lasts, air_c=air_c)

    def look(self) -> None:
        """One pass, now."""
        self.world.pass_at(self.clock.now)

    def client(self, account: Account | None = None, *, nobody: bool = False) -> TestClient:
        """A browser in which somebody is signed in: an operator unless said otherwise."""
        who = None if nobody else account or an_account()
        app = build_app(
            self.world.ledger,
            self.clock,
            public_url=self.public_url,
            stand_in=who,
            planner=Planner(kit=self.world.kit),
        )
        _refuse(app)
        return TestClient(app, base_url="https://yard.example", follow_redirects=False)

    @contextmanager
    def counted(self) -> Iterator[list[str]]:
        """The statements that the database is asked meanwhile."""
        asked: list[str] = []

        def note(_c: object, _k: object, statement: str, *_rest: object) -> None:
            asked.append(statement)

        engine = self.world.ledger._database.engine
        event.listen(engine, "before_cursor_execute", note)
        try:
            yield asked
        finally:
            event.remove(engine, "before_cursor_execute", note)

    def at(self, day: int, hour: int, minute: int = 0) -> datetime:
        """A moment of December 2026 by the yard's clock."""
        return datetime(2026, 12, day, hour, minute, tzinfo=ZoneInfo("Europe/London"))


def _refuse(app: FastAPI) -> None:
    """Refusals as plain statuses, where the app has no page for them."""

    def status(code: int) -> Any:
        async def answer(request: Request, fault: Exception) -> PlainTextResponse:
            return PlainTextResponse(str(fault), code)

        return answer

    app.exception_handlers.setdefault(NotForYouError, status(404))
    app.exception_handlers.setdefault(NotSignedInError, status(401))
    app.exception_handlers.setdefault(WrongFormError, status(400))


def the_people() -> tuple[Person, ...]:
    """An operator and two who walk."""
    return an_operator(), a_crew("kit"), a_crew("marek", name="Marek")


def a_row(count: int, **changed: Any) -> list[Vehicle]:
    """Vehicles Y01 onwards in the first bays."""
    return [
        a_vehicle(
            f"Y{n:02d}", **{"bay": bay, "plate_end": f"{n:03d}", "key_place": f"key {n}", **changed}
        )
        for n, bay in enumerate(bay_names(count), start=1)
    ]


def water(*vehicles: Vehicle, state: State = State.FULL, **changed: Any) -> list[Entry]:
    """The same statement about everything in these vehicles, a day ago."""
    found: list[Entry] = []
    for vehicle in vehicles:
        layout = a_layout(vehicle.layout)
        found += entries_for(layout, state, vehicle=vehicle.key, **changed)
    return found


def a_cold_yard(count: int = 4, *, dry: int = 1) -> Stage:
    """A yard on the day before a hard night: so many bays, the last ones drained.

    Worked out once and copied.
    """
    return _cold_yard(count, dry).copy()


@cache
def _cold_yard(count: int, dry: int) -> Stage:
    stage = Stage()
    vans = a_row(count)
    wet, drained = vans[: count - dry], vans[count - dry :]
    stage.enter(vans, [*water(*wet), *water(*drained, state=State.DRAINED)])
    stage.cold_from(30.0)
    stage.look()
    stage.clock.pass_by(minutes=10)
    return stage


def form_of(client: TestClient, path: str) -> dict[str, str]:
    """The hidden fields that every form of a page carries."""
    text = client.get(path).text
    before, found, rest = text.partition('name="form_token" value="')
    assert found, f"no form on {path}: {before[:200]}"
    return {"form_token": rest.partition('"')[0]}
