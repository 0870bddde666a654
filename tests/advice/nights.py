"""Builders of nights: air and harm written down directly, so that a test names only its hours."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

import numpy as np

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.judge import Judgement, judge
from frostwatch.advice.reminders import Answer, Reason, Reminder, Status
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Circuit, Layout, Vehicle
from frostwatch.heatloss.solve import NodeState, Trajectory
from frostwatch.records.entries import Evidence, State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.forecast import Fitness, ForecastStanding
from frostwatch.weather.site_air import SiteAir
from tests import builders

MEMBERS = 40
HOURS = 168
HOUR = timedelta(hours=1)

USABLE = ForecastStanding(
    fitness=Fitness.USABLE, age_h=2.0, future_h=166.0, colder_k=0.0, reason=""
)
OLDER = replace(USABLE, fitness=Fitness.OLDER, age_h=14.0, colder_k=2.0, reason="14 h old")
LOST = replace(USABLE, fitness=Fitness.NONE, age_h=31.0, reason="31 h old")


def whole_hour(moment: datetime) -> datetime:
    """The hour a moment lies in."""
    return moment.replace(minute=0, second=0, microsecond=0)


def an_air(
    now: datetime,
    hourly_c: Sequence[float] | float = 5.0,
    *,
    spread_k: float = 1.5,
    past_h: int = 24,
    past_c: float | None = None,
    members: int = MEMBERS,
) -> SiteAir:
    """Air from a likely path of hours after ``now``; members lie evenly about it."""
    path = np.full(HOURS + 1, hourly_c) if isinstance(hourly_c, float) else np.array(hourly_c)
    path = np.concatenate([path, np.full(max(0, HOURS + 1 - len(path)), path[-1])])
    before = np.full(past_h, path[0] if past_c is None else past_c)
    offset = spread_k * np.linspace(-1.7, 1.7, members)[:, None]
    fading = np.concatenate([np.zeros(past_h), np.minimum(1.0, np.arange(len(path)) / 6.0)])
    air = np.concatenate([before, path])[None, :] + offset * fading
    hours = air.shape[1]
    return SiteAir(
        start=whole_hour(now) - past_h * HOUR,
        air_c=air,
        wind_m_per_s=np.full(hours, 2.0),
        roof_k=np.zeros(hours),
        now_index=past_h,
    )


def a_night(
    now: datetime,
    harm_at: Mapping[str, datetime] | datetime | None = None,
    *,
    share: float = 0.95,
    layout: Layout | None = None,
    spread_h: float = 2.0,
    valve_at: datetime | None = None,
    keys: Sequence[str] = ("F1", "F2", "W3"),
    members: int = MEMBERS,
) -> VehicleNight:
    """A night in which ``share`` of the members do harm about the hour given.

    Args:
        now: the moment.
        harm_at: item -> likely hour of harm; one hour for all of ``keys``; None for no harm.
        share: share of the members in which harm comes.
        layout: the layout the items belong to.
        spread_h: hours between the first and the last of those members.
        valve_at: hour at which the dump valve opens, None for never.
        keys: items that hold water.
        members: number of members.
    """
    layout = layout or builders.a_layout()
    start = whole_hour(now)
    if not isinstance(harm_at, Mapping):
        harm_at = dict.fromkeys(keys, harm_at) if harm_at is not None else {}
    rows = []
    for key in keys:
        row = np.full(members, np.inf)
        if key in harm_at:
            middle = (harm_at[key] - start) / HOUR
            count = round(share * members)
            hours = middle + spread_h * np.linspace(-0.5, 0.5, count)
            row[:count] = np.maximum(hours, 0.0)
        rows.append(row)
    harm = np.array(rows) if rows else np.zeros((0, members))
    tripped = np.full(members, np.inf if valve_at is None else 0.0)
    if valve_at is not None:
        tripped += (valve_at - start) / HOUR
    return VehicleNight(
        start=start,
        hours=float(HOURS),
        items=tuple(layout.item(key) for key in keys),
        harm_h=harm,
        ice_h=np.maximum(harm - 1.0, 0.0),
        thawed_h=np.zeros(members),
        valve_item=layout.item("H1") if valve_at is not None else None,
        tripped_h=tripped,
    )


def a_trajectory(
    keys: Sequence[str],
    *,
    start: datetime = builders.NOW,
    harm_h: Sequence[float] | None = None,
    ice: np.ndarray | None = None,
    tripped_h: float = np.inf,
    members: int = 4,
    hours: int = 48,
) -> Trajectory:
    """What a solver hands over, with harm at the same hour in every member."""
    count = len(keys)
    harm = np.full((count, members), np.inf)
    if harm_h is not None:
        harm[:] = np.array(harm_h)[:, None]
    shape = (count, members, hours + 1)
    return Trajectory(
        start=start,
        item_keys=tuple(keys),
        water_c=np.full(shape, 4.0, dtype=np.float32),
        ice_fraction=np.zeros(shape, dtype=np.float32) if ice is None else ice,
        ice_at_h=np.maximum(harm - 1.0, 0.0),
        harm_at_h=harm,
        cool_at_h=np.full((count, members), np.inf),
        tripped_at_h=np.full(members, tripped_h),
        cabin_c=np.full((members, hours + 1), 5.0, dtype=np.float32),
        locker_c=np.full((members, hours + 1), 4.0, dtype=np.float32),
        end=NodeState(
            at=start,
            signature="",
            enthalpy_j=np.zeros((count, members), dtype=np.float32),
            hubs_c=np.zeros((3, members), dtype=np.float32),
            tripped=np.zeros(members, dtype=np.bool_),
        ),
    )


def some_water(
    litres: Mapping[Circuit, float],
    *,
    since: datetime,
    state: State = State.PART_FULL,
    evidence: Evidence = Evidence.SEEN,
    **changed: Any,
) -> tuple[CircuitWater, ...]:
    """These litres in these circuits, recorded at ``since``."""
    return tuple(
        CircuitWater(
            circuit=circuit,
            state=state if amount > 0.0 else State.DRAINED,
            evidence=evidence,
            since=since,
            by="kit",
            litres_soon_l=amount,
            litres_cost_l=amount,
            **changed,
        )
        for circuit, amount in litres.items()
    )


FULL = {
    Circuit.FRESH_TANK: 90.0,
    Circuit.PUMP: 0.2,
    Circuit.HEATER_TANK: 10.0,
    Circuit.WASTE_TANK: 35.0,
}
DRY = dict.fromkeys(FULL, 0.0)
LONG_AGO = datetime(2026, 10, 24, 10, tzinfo=UTC)


def a_van(
    key: str = "Y03",
    *,
    night: VehicleNight | None = None,
    litres: Mapping[Circuit, float] = FULL,
    since: datetime = LONG_AGO,
    state: State = State.PART_FULL,
    evidence: Evidence = Evidence.SEEN,
    vehicle: Vehicle | None = None,
    recorded_at: datetime | None = None,
    **changed: Any,
) -> VehicleView:
    """A vehicle with water in it, as the judgement sees it."""
    vehicle = vehicle or builders.a_vehicle(key, **changed)
    return VehicleView(
        vehicle=vehicle,
        layout=builders.a_layout(),
        water=some_water(litres, since=since, state=state, evidence=evidence),
        night=night,
        recorded_at=recorded_at or since,
    )


def a_view(
    now: datetime,
    *vans: VehicleView,
    people: Sequence[Person] | None = None,
    site: Site | None = None,
    air: SiteAir | None = None,
    standing: ForecastStanding = USABLE,
    **changed: Any,
) -> SiteView:
    """A site at a moment whose readings have been served up to an hour before."""
    site = site or builders.a_site()
    changed.setdefault("judged_to", now - HOUR)
    return SiteView(
        site=site,
        people=tuple(people if people is not None else (builders.an_operator(),)),
        vehicles=vans,
        air=(air or an_air(now)) if standing.usable else None,
        forecast=ForecastBasis(
            standing=standing,
            issued_at=whole_hour(now) - 2 * HOUR,
            provider="recorded",
            credit=("Weather data by an open provider, CC BY 4.0",),
        ),
        **changed,
    )


TUESDAY = datetime(2026, 12, 1, tzinfo=UTC)
OWNER = builders.an_owner(slots=(), reading=(time(12, 15), time(18, 15)))
DRIVE = builders.a_drive(operator="")
OFFICE = builders.an_operator(reading=(time(7, 40), time(18, 10)))


def on(day: int, hour: float) -> datetime:
    """An hour UTC of a day counted from Tuesday 1 December 2026."""
    return TUESDAY + timedelta(days=day, hours=hour)


def an_owners_view(
    now: datetime, harm_at: datetime | None, *, share: float = 0.95, **changed: Any
) -> SiteView:
    """Maëlle's van on the drive (UTC+1); 12:15 is 11:15 UTC, 18:15 is 17:15 UTC."""
    night = a_night(now, harm_at, share=share)
    van = changed.pop("van", None) or a_van(
        "M1", night=night, site=DRIVE.key, bay="", keeper="maelle", name="Fourgon"
    )
    return a_view(now, van, people=[OWNER], site=DRIVE, **changed)


def a_yards_view(now: datetime, harm_at: datetime | None, **changed: Any) -> SiteView:
    night = a_night(now, harm_at, share=changed.pop("share", 0.95))
    return a_view(now, a_van(night=night), **changed)


def kinds(judgement: Judgement) -> list[str]:
    return [draft.kind.value for draft in judgement.drafts]


def reasons(judgement: Judgement) -> list[Reason]:
    return [decision.reason for decision in judgement.decisions]


class Days:
    """Judges one site again and again, carrying on what stands, as a service would."""

    def __init__(self, *, answers: Sequence[Answer] = ()) -> None:
        self.reminders: dict[str, Reminder] = {}
        self.answers = list(answers)
        self.judged_to: datetime | None = None
        self.said: list[tuple[datetime, str, str, str]] = []

    def judge(self, view: SiteView, now: datetime) -> Judgement:
        """Judge, and keep what changed."""
        view = replace(
            view,
            reminders=tuple(r for r in self.reminders.values() if r.status is not Status.CLEARED),
            answers=tuple(a for a in self.answers if a.at <= now),
            judged_to=self.judged_to,
        )
        found = judge(view, now)
        self.reminders |= {r.key: r for r in found.reminders}
        self.judged_to = found.judged_to
        self.said += [(now, d.recipient, d.kind.value, d.reason) for d in found.drafts]
        return found

    def kinds(self, recipient: str | None = None) -> list[str]:
        """What was said, in order."""
        return [kind for _, who, kind, _ in self.said if recipient in (None, who)]


def replay(
    harm: datetime | None,
    hours: list[datetime],
    *,
    days: Days | None = None,
    share: float = 0.95,
    **changed: Any,
) -> Days:
    """The owner's readings in order, with the harm of one night in sight."""
    days = days or Days()
    for now in hours:
        days.judge(an_owners_view(now, harm, share=share, **changed), now)
    return days


def readings(first: int, last: int) -> list[datetime]:
    """12:15 and 18:15 on the drive."""
    return [on(day, hour) for day in range(first, last + 1) for hour in (11.25, 17.25)]
