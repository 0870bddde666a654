"""Everything the judgement looks at for one site, and who looks after which vehicle."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.air_facts import thawed_hours
from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.reminders import Answer, Reminder
from frostwatch.advice.slots import Diary
from frostwatch.advice.verdict import Numbers
from frostwatch.fleet.people import Duty, Person, Slot
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.forecast import ForecastStanding
from frostwatch.weather.site_air import SiteAir

HANDOVER = "handover"
"""What a reminder is about that tells a plan rather than frost."""
ReadOff = tuple[str, datetime, tuple[Slot, ...], bool, float, float]
"""Vehicle, moment, and what the reading of a night depends on: slots, staff, way, work."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VehicleView:
    """One vehicle as it stands.

    Attributes:
        vehicle: the vehicle.
        layout: its layout with its overrides applied.
        water: what each circuit holds.
        night: what frost could do to it; None where it was not worked out.
        recorded_at: when its newest entry arrived, UTC; None if there is none.
    """

    vehicle: Vehicle
    layout: Layout
    water: tuple[CircuitWater, ...]
    night: VehicleNight | None = None
    recorded_at: datetime | None = None

    @property
    def name(self) -> str:
        """What people call it: its keeper's name for it, or the bay."""
        return self.vehicle.name or self.vehicle.bay or self.vehicle.key


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastBasis:
    """The forecast that the nights rest on.

    Attributes:
        standing: how far it can be leaned on.
        issued_at: issue time, or when it was received, UTC; None if there is none.
        provider: name of the provider.
        credit: words the data's licence asks for, with their links.
    """

    standing: ForecastStanding
    issued_at: datetime | None = None
    provider: str = ""
    credit: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class SiteView:
    """One site with all that the judgement needs; nothing in it is ever changed.

    Attributes:
        site: the site.
        people: everybody who could be told.
        vehicles: vehicles that stand there, in any order.
        air: air at the site; None without a usable forecast.
        forecast: the forecast it rests on.
        reminders: standing matters of the site, the tallies among them.
        answers: answers to standing matters.
        judged_to: up to when readings were served, UTC; None before the first judgement.
    """

    site: Site
    people: tuple[Person, ...]
    vehicles: tuple[VehicleView, ...]
    air: SiteAir | None
    forecast: ForecastBasis
    reminders: tuple[Reminder, ...] = ()
    answers: tuple[Answer, ...] = ()
    judged_to: datetime | None = None

    @cached_property
    def books(self) -> tuple["Book", ...]:
        """Who looks after what: one book for each person with vehicles here, in order."""
        kept: dict[str, list[VehicleView]] = {}
        for van in self.walk:
            for person in self._keepers(van.vehicle):
                kept.setdefault(person.key, []).append(van)
        people = {person.key: person for person in self.people}
        return tuple(
            Book(diary=Diary(person=people[key], site=self.site), vans=tuple(kept[key]))
            for key in sorted(kept)
        )

    @cached_property
    def walk(self) -> tuple[VehicleView, ...]:
        """Vehicles in walking order; those without a bay of the site stand last."""
        place = {bay: n for n, bay in enumerate(self.site.bays)}

        def order(van: VehicleView) -> tuple[int, str, str]:
            bay = van.vehicle.bay
            return place.get(bay, len(place)), bay, van.vehicle.key

        return tuple(sorted(self.vehicles, key=order))

    @cached_property
    def read_off(self) -> dict[ReadOff, Numbers]:
        """Nights read off already, by vehicle and by what differs from person to person."""
        return {}

    @cached_property
    def thawed(self) -> NDArray[np.bool_]:
        """Hours of the air at which it has been mild for long enough to look, shape (H + 1,)."""
        return thawed_hours(self.air) if self.air is not None else np.zeros(0, dtype=np.bool_)

    def has_thawed(self, now: datetime) -> bool:
        """Whether the air has been above +2 degC for the last 3 h, by the cold reading."""
        if self.air is None:
            return False
        index = int((now - self.air.start) // timedelta(hours=1))
        return 0 <= index < len(self.thawed) and bool(self.thawed[index])

    @cached_property
    def unkept(self) -> tuple[VehicleView, ...]:
        """Vehicles for which nobody can be told."""
        return tuple(van for van in self.walk if not self._keepers(van.vehicle))

    @cached_property
    def matters(self) -> dict[tuple[str, str], Reminder]:
        """(person, vehicle) -> matter of frost; vehicle "" is the person's tally."""
        return {
            (matter.recipient, matter.vehicle): matter
            for matter in sorted(self.reminders, key=lambda m: (m.raised_at, m.key))
            if not matter.about
        }

    @cached_property
    def handover_matters(self) -> dict[str, Reminder]:
        """Key -> what was told of a handover."""
        return {matter.key: matter for matter in self.reminders if matter.about == HANDOVER}

    @cached_property
    def _staff(self) -> tuple[Person, ...]:
        site = self.site
        return tuple(
            person
            for person in sorted(self.people, key=lambda p: p.key)
            if person.key == site.operator
            or (person.duty is not Duty.OWNER and site.key in person.sites)
        )

    @cached_property
    def _owners(self) -> dict[str, Person]:
        return {p.key: p for p in self.people if p.duty is Duty.OWNER and p.channels}

    def _keepers(self, vehicle: Vehicle) -> tuple[Person, ...]:
        """Its owner if there is one who can be reached, otherwise the staff of the site."""
        owner = self._owners.get(vehicle.keeper)
        return (owner,) if owner is not None else self._staff


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Book:
    """One person's vehicles at one site.

    Attributes:
        diary: the person's time there.
        vans: their vehicles, in walking order.
    """

    diary: Diary
    vans: tuple[VehicleView, ...]

    @property
    def person(self) -> Person:
        """Whose book it is."""
        return self.diary.person

    def __iter__(self) -> Iterator[VehicleView]:
        return iter(self.vans)
