"""A small world for whole passes: a ledger, an invented course of the air, channels that listen."""

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cache

import numpy as np

from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.outbox import flush
from frostwatch.ports import Forecasts, Message
from frostwatch.records.entries import Entry, State
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory, point_of
from frostwatch.service.pass_ import PassReport, run_pass
from frostwatch.storage.database import Database
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.weather.forecast import FetchFailure, Forecast, Point
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.fakes import FakeChannels
from tests.weather.bodies import as_bytes, open_meteo
from tests.weather.frames import HOURS, PAST_H, a_frame

FEW_MEMBERS = 10
"""Enough to tell a cold night from a mild one, and quick."""
MILD_C, COLD_C = 7.0, -8.0


class Weather:
    """Forecasts that are always fresh and always come true: mild, but for the spells named.

    Attributes:
        spells: (first hour, last hour, air [degC]) of each cold spell, UTC.
        instead: point key -> what comes instead of a forecast.
        asked: moments at which it was asked.
    """

    def __init__(self) -> None:
        self.spells: list[tuple[datetime, datetime, float]] = []
        self.instead: dict[str, Forecast | FetchFailure] = {}
        self.asked: list[datetime] = []

    def cold(self, begins: datetime, *, hours: float = 12.0, air_c: float = COLD_C) -> None:
        """One more cold spell."""
        self.spells.append((begins, begins + timedelta(hours=hours), air_c))

    def frame(self, now: datetime) -> Forecast:
        """The forecast issued at ``now``."""
        start = now.replace(minute=0, second=0, microsecond=0) - timedelta(hours=PAST_H)
        moments = [start + timedelta(hours=hour) for hour in range(HOURS)]
        air_c = np.full(HOURS, MILD_C)
        for begins, ends, cold_c in self.spells:
            # three hours down, three hours up
            edges = [begins - timedelta(hours=3), begins, ends, ends + timedelta(hours=3)]
            at = [edge.timestamp() for edge in edges]
            share = np.interp([m.timestamp() for m in moments], at, [0.0, 1.0, 1.0, 0.0])
            air_c += share * (cold_c - MILD_C)
        return a_frame(now, air_c=air_c, wind_m_per_s=2.0, cloud_fraction=1.0, dew_c=air_c - 2.0)

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """See ``ports.Forecasts``."""
        self.asked.append(now)
        return {point.key: self.instead.get(point.key) or self.frame(now) for point in points}


_forecasts: Forecasts = Weather()


@dataclass(kw_only=True)
class World:
    """Everything a pass works with.

    Attributes:
        ledger: where it is all kept.
        weather: what the air does.
        channels: takes every message.
        memory: as of a running service.
        plans: handover plans are kept for the pages.
        boards: what pages show is worked out with every pass, which takes as long as the rest.
    """

    ledger: SqlLedger
    weather: Weather = field(default_factory=Weather)
    channels: FakeChannels = field(default_factory=FakeChannels)
    memory: Memory = field(default_factory=Memory)
    plans: bool = False
    boards: bool = True

    @property
    def kit(self) -> Kit:
        return Kit(
            ledger=self.ledger,
            outbox=self.ledger.outbox,
            channels=self.channels,
            forecasts=self.weather,
            members=FEW_MEMBERS,
            links=self.ledger.links,
            plans=self.ledger.plans if self.plans else None,
            boards=self.boards,
        )

    def enter(
        self,
        site: Site,
        people: Sequence[Person],
        vehicles: Sequence[Vehicle],
        entries: Sequence[Entry] = (),
    ) -> None:
        self.ledger.save_fleet(sites=[site], people=people, vehicles=vehicles)
        self.ledger.add_entries(entries)

    def instead(self, site: Site, given: Forecast | FetchFailure) -> None:
        """From now on this comes instead of the site's forecast."""
        self.weather.instead[point_of(site).key] = given

    def pass_at(self, now: datetime) -> PassReport:
        return run_pass(self.kit, now, memory=self.memory)

    def told_at(self, now: datetime) -> list[Message]:
        """What people receive out of one pass and one round of sending."""
        self.pass_at(now)
        return [row.message for row in flush(self.ledger.outbox, self.channels, now).sent]

    def copy(self) -> "World":
        """The same world once more: what happens to one never shows in the other."""
        return replace(
            self,
            ledger=copied(self.ledger),
            weather=deepcopy(self.weather),
            channels=deepcopy(self.channels),
            memory=replace(
                self.memory,
                vans=dict(self.memory.vans),
                named=dict(self.memory.named),
                shown=dict(self.memory.shown),
            ),
        )


def a_world(url: str = "") -> World:
    """A world with nothing in it, in memory unless said otherwise."""
    return World(ledger=open_ledger(url) if url else copied(_nothing()))


@cache
def _nothing() -> SqlLedger:
    return open_ledger("sqlite://")


def copied(ledger: SqlLedger) -> SqlLedger:
    """A ledger of its own, in memory, with all that stands in a ledger on SQLite."""
    database = Database("sqlite://")
    here, there = (one.engine.raw_connection() for one in (ledger._database, database))
    here.driver_connection.backup(there.driver_connection)  # type: ignore[union-attr]
    here.close()
    there.close()
    return SqlLedger(database)


def a_small_yard(
    world: World, now: datetime, *, state: State = State.FULL, key: str = "cold-rigg"
) -> tuple[Site, Vehicle]:
    """One yard with an operator and one vehicle of which everything was recorded yesterday.

    The operator reads at 07:40 and in the evening, is called ``ailsa`` at the first yard and
    ``ailsa-KEY`` at others; the yard works every weekday.
    """
    first = key == "cold-rigg"
    operator = "ailsa" if first else f"ailsa-{key}"
    site = a_site(
        key, operator=operator, latitude_deg=54.74 if first else 50.0 + len(key) * 0.1, crew=1
    )
    vehicle = a_vehicle("Y03" if first else f"Y-{key}", site=key)
    world.enter(
        site,
        [an_operator(operator, sites=(key,))],
        [vehicle],
        entries_for(a_layout(), state, vehicle=vehicle.key, now=now),
    )
    return site, vehicle


def open_meteo_reply(weather: Weather, now: datetime) -> bytes:
    """The forecast issued at ``now`` as a reply of the Open-Meteo forecast API for one place."""
    body = open_meteo(now, elevation_m=None)
    hours = len(body["hourly"]["time"])
    air_c = weather.frame(now).columns["air_c"][:hours]
    body["hourly"] |= {
        "temperature_2m": air_c.round(2).tolist(),
        "dew_point_2m": (air_c - 2.0).round(2).tolist(),
        "cloud_cover": [100] * hours,
    }
    return as_bytes(body)
