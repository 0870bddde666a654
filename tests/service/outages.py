"""Real nights lived through once with every server up and once with an outage, pass by pass."""

import itertools
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from frostwatch.advice.harm import vehicle_night
from frostwatch.advice.reminders import ACT_KINDS
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Slot
from frostwatch.fleet.sites import Shift
from frostwatch.fleet.vehicles import Circuit
from frostwatch.heatloss.solve import solve
from frostwatch.messages.wording.draft import Draft, Kind
from frostwatch.ports import Message
from frostwatch.records.entries import Entry, State
from frostwatch.service.kit import Kit
from frostwatch.service.memory_ledger import MemoryLedger
from frostwatch.service.nights import Memory, job_for
from frostwatch.service.pass_ import run_pass
from frostwatch.weather.asking import Fetched, Parsed, Validators
from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.providers import open_meteo_reply
from frostwatch.weather.site_air import air_at_site
from tests.builders import a_crew, a_layout, a_site, a_vehicle, an_entry, an_owner, entries_for
from tests.weather.fake_providers import FakeProvider
from tests.weather.made import Issue, made_forecasts, open_meteo_body
from tests.weather.observed import Observed

HOUR = timedelta(hours=1)
LAST_SLOT = time(21)
OUTAGE = (14, 23)
"""Local hours in which the first provider is down."""

DAILY = tuple(Shift(weekday=day, opens=time(8), closes=time(17, 30)) for day in range(7))
EVENINGS = tuple(Slot(weekday=day, starts=time(19), ends=LAST_SLOT) for day in range(7))
CREW = a_crew("kit", sites=("yard",), reading=(time(15, 30),))
OWNER = an_owner("maelle", travel_min=10.0, reading=(time(18, 15),), slots=EVENINGS)
VANS = {"pipe": "", "owned-pipe": "maelle"}
"""An exposed pipe each: what freezes first, so that few frost nights leave it alone."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Place:
    """A winter with forecasts of two providers that err independently."""

    observed: Observed
    zone: str
    issues: Mapping[str, Sequence[Issue]]
    bodies: dict[tuple[str, datetime], bytes] = field(default_factory=dict)

    def body(self, provider: str, issue: Issue) -> bytes:
        """An issue as its provider sends it, written once for both lives of a night."""
        known = (provider, issue.at)
        if known not in self.bodies:
            self.bodies[known] = json.dumps(open_meteo_body(self.observed, issue)).encode()
        return self.bodies[known]

    @property
    def local(self) -> ZoneInfo:
        return ZoneInfo(self.zone)

    def at(self, day: datetime, clock: time) -> datetime:
        """A local time of the day, UTC."""
        return datetime.combine(day.date(), clock, self.local).astimezone(UTC)


def a_place(
    observed: Observed, zone: str, first: datetime, last: datetime, *, draw: int = 0
) -> Place:
    """Made forecasts of the whole stretch, one every three hours from either provider."""
    issues = {
        name: list(
            made_forecasts(
                observed, np.random.default_rng([seed, draw, 14, 23]), first=first, last=last
            )
        )
        for seed, name in enumerate(("first", "second"))
    }
    return Place(observed=observed, zone=zone, issues=issues)


class Served(FakeProvider):
    """One provider's server: the newest issue as an Open-Meteo reply, unless it is in trouble."""

    def __init__(self, name: str, place: Place) -> None:
        super().__init__(name, max_batch=1)
        self._place = place
        self._read: dict[bytes, dict[str, Parsed]] = {}

    def _answer(self, point: Point, now: datetime, known: Mapping[str, Any]) -> Any:
        trouble = self.trouble(now, point)
        return trouble if trouble is not None else self._fetched(point, now)

    def _fetched(self, point: Point, now: datetime) -> Any:
        issues = self._place.issues[self.name]
        newest = issues[int((now - HOUR - issues[0].at) // (3 * HOUR))]
        body = self._place.body(self.name, newest)
        frame = self.parse(body, [point], now)[point.key]
        assert isinstance(frame, Forecast)
        return Fetched(forecast=frame, payload=body, expires_at=None, validators=Validators())

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        found = open_meteo_reply.parse(body, points, fetched_at)
        return {
            key: replace(one, provider=self.name) if isinstance(one, Forecast) else one
            for key, one in found.items()
        }


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Night:
    """What was said on one day, and what it rested on.

    Attributes:
        calls: vehicle -> the calls to go, in order of time, made before the last slot's end.
        unusable: passes from the outage's begin on without a usable forecast.
        providers: whose frames were leaned on from then on.
        zone: local time there.
        left_alone: vehicles of which was said that it is too late: leave it alone.
    """

    calls: Mapping[str, Sequence[Draft]]
    unusable: int
    providers: frozenset[str]
    zone: ZoneInfo
    left_alone: frozenset[str]


def troubles() -> Iterator[FetchFailure]:
    """What servers do when they fail, one after the other."""
    kinds = (FailureKind.UNREACHABLE, FailureKind.BROKEN_REPLY, FailureKind.THROTTLED)
    for kind in itertools.cycle(kinds):
        yield FetchFailure(kind=kind, message=kind.value)


def live_night(place: Place, day: datetime, *, outage: bool, half: int = 0) -> Night:
    """One day from six in the morning to the end of the last slot, a pass an hour.

    Args:
        place: the winter.
        day: its date.
        outage: the first provider is down from 14:00 to 23:00 local time, and the second answers
            every other request of that time.
        half: which of the second one's requests fail, 0 or 1.
    """
    first, second = Served("first", place), Served("second", place)
    begin, end = (place.at(day, time(hour)) for hour in OUTAGE)
    if outage:
        kinds, turns = troubles(), itertools.count(half)
        first.trouble = lambda at, _: next(kinds) if begin <= at < end else None
        second.trouble = lambda at, _: (
            next(kinds) if begin <= at < end and next(turns) % 2 == 0 else None
        )
    cache = WeatherCache([first, second], MemoryReplies(), sleep=lambda _: None)
    kit = Kit(
        ledger=_ledger(place, day),
        outbox=None,  # type: ignore[arg-type]
        channels=_Nobody(),
        forecasts=cache,
        members=20,
        near_only=True,
        escalates=False,
    )
    memory = Memory()
    calls: dict[str, list[Draft]] = {van: [] for van in VANS}
    unusable, providers, left = 0, set(), set()
    for now in moments(place, day):
        report = run_pass(kit, now, memory=memory)
        (work,) = report.sites
        assert not work.failed
        if now >= begin:
            unusable += work.forecast is None
            providers |= {work.forecast.provider} if work.forecast is not None else set()
        for draft in work.judgement.drafts if work.judgement else ():
            if draft.kind in ACT_KINDS:
                for van in draft.vehicles:
                    calls[van].append(draft)
            if draft.kind is Kind.LEAVE_ALONE:
                left |= set(draft.vehicles)
    return Night(
        calls=calls,
        unusable=unusable,
        providers=frozenset(providers),
        zone=place.local,
        left_alone=frozenset(left),
    )


def frost_days(place: Place, first: datetime, last: datetime) -> list[datetime]:
    """Days whose night, from the last slot to the next noon, fell below 0 degC."""
    days = [first + timedelta(days=number) for number in range((last - first).days + 1)]
    found = []
    for day in days:
        begin = place.observed.index_at(place.at(day, LAST_SLOT))
        if place.observed.air_c[begin : begin + 15].min() < 0.0:
            found.append(day)
    return found


def moments(place: Place, day: datetime) -> list[datetime]:
    """A pass an hour at five past, and one at each reading time."""
    hours = [place.at(day, time(hour, 5)) for hour in range(6, LAST_SLOT.hour)]
    reading = [place.at(day, clock) for one in (CREW, OWNER) for clock in one.reading]
    return sorted([*hours, *reading])


def harmed_nights(place: Place, days: Sequence[datetime]) -> dict[datetime, dict[str, bool]]:
    """Day -> vehicle -> whether the observed air does harm in what only that day's slot meets."""
    seen = place.observed
    forecast = Forecast(
        start=seen.start,
        columns={
            "air_c": seen.air_c,
            "dew_c": seen.dew_c,
            "humidity_fraction": seen.humidity_fraction,
            "wind_m_per_s": seen.wind_m_per_s,
            "sun_w_per_m2": seen.sun_w_per_m2,
            "cloud_fraction": seen.cloud_fraction,
        },
        provider="observed",
        fetched_at=seen.start + seen.hours * HOUR,
        height_m=seen.height_m,
    )
    jobs, owners = [], []
    for day in days:
        ledger = _ledger(place, day)
        now = place.at(day, LAST_SLOT)
        book = ledger.load(now)
        air = air_at_site(
            forecast,
            site_key="yard",
            now=now,
            height_m=seen.height_m,
            lie_offset_k=0.0,
            shelter_factor=1.0,
            count=1,
            ahead_h=24,
        )
        for vehicle in book.vehicles:
            van = Memory().van(vehicle, book.entries[vehicle.key], now)
            jobs.append(job_for(van, air, None))
            owners.append((day, van))
    found: dict[datetime, dict[str, bool]] = {}
    for (day, van), path in zip(owners, solve(jobs), strict=True):
        first_h = float(vehicle_night(path, van.layout, van.water).harm_h.min(initial=np.inf))
        end = _next_slot_h(van.vehicle.keeper)
        found.setdefault(day, {})[van.vehicle.key] = 0.0 < first_h <= end
    return found


def _next_slot_h(keeper: str) -> float:
    """Hours from the last slot's end to the beginning of the next day's first slot [h]."""
    return 22.0 if keeper else 11.0


def _site(place: Place) -> Any:
    seen = place.observed
    return a_site(
        "yard",
        latitude_deg=seen.latitude_deg,
        longitude_deg=seen.longitude_deg,
        height_m=seen.height_m,
        time_zone=place.zone,
        shifts=DAILY,
        operator="",
        crew=1,
    )


def _ledger(place: Place, day: datetime) -> MemoryLedger:
    """Two vans, drained the day before; at half past two, in the outage, their pipes are filled."""
    vans = [
        a_vehicle(key, site="yard", bay="A-01", layout="panel-van", keeper=keeper)
        for key, keeper in VANS.items()
    ]
    filled = place.at(day, time(14, 30))
    entries: list[Entry] = []
    for van in vans:
        entries += entries_for(
            a_layout("panel-van"), State.DRAINED, vehicle=van.key, at=filled - 24 * HOUR
        )
        entries.append(
            an_entry(
                Circuit.COLD_PIPES,
                State.PART_FULL,
                vehicle=van.key,
                at=filled,
                event="filling",
                litres_l=1.2,
            )
        )
    fleet = Fleet(sites=(_site(place),), people=(CREW, OWNER), vehicles=tuple(vans))
    return MemoryLedger(fleet, entries)


class _Nobody:
    def send(self, message: Message, now: datetime) -> Any:
        raise NotImplementedError
