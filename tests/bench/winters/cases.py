"""Invented vehicles, people and fillings for the benchmark."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from frostwatch.advice.slots import Diary
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Shift, Site
from frostwatch.fleet.vehicles import Circuit, Vehicle
from frostwatch.records.entries import Entry, Evidence, State
from tests import builders
from tests.bench.winters.places import Winter

WHOLE, SINGLE = "whole vehicles", "single vessels"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One vehicle and what is filled into it every week.

    Attributes:
        key: key of the vehicle.
        group: whole vehicles, or single vessels.
        layout: its layout.
        litres: circuit -> litres; None fills every circuit.
    """

    key: str
    group: str
    layout: str
    litres: dict[Circuit, float] | None = None

    def vehicle(self, site: Site) -> Vehicle:
        return Vehicle(key=self.key, site=site.key, bay=site.bays[0], layout=self.layout)

    def filled(self, site: Site, at: datetime) -> tuple[Entry, ...]:
        """What is recorded when it is filled."""
        circuits = dict.fromkeys(item.circuit for item in layout_of(self.vehicle(site)).items)
        entry = Entry(
            vehicle=self.key,
            circuit=Circuit.FRESH_TANK,
            state=State.DRAINED,
            evidence=Evidence.SEEN,
            by="kit",
            at=at,
            received_at=at,
            event="filling",
        )
        if self.litres is None:
            return tuple(replace(entry, circuit=c, state=State.FULL) for c in circuits)
        return tuple(
            replace(entry, circuit=c, state=State.PART_FULL, litres_l=self.litres[c])
            if c in self.litres
            else replace(entry, circuit=c)
            for c in circuits
        )


CASES = (
    Case(key="V1", group=WHOLE, layout="coachbuilt-seat-tank"),
    Case(key="V2", group=WHOLE, layout="panel-van"),
    Case(key="V3", group=WHOLE, layout="caravan-inboard"),
    Case(key="V4", group=WHOLE, layout="a-class-double-floor"),
    Case(
        key="W1",
        group=SINGLE,
        layout="coachbuilt-seat-tank",
        litres={Circuit.WASTE_TANK: 60.0},
    ),
    Case(
        key="F1",
        group=SINGLE,
        layout="coachbuilt-seat-tank",
        litres={Circuit.FRESH_TANK: 60.0},
    ),
)

SIX_DAYS = tuple(Shift(weekday=day, opens=time(8), closes=time(16, 30)) for day in range(6))
OWNER = Person(
    key="owner",
    name="Owner",
    duty=Duty.OWNER,
    channels=(builders.STAFF_OUTBOX,),
    travel_min=30.0,
    reading=(time(18),),
)
CREW = builders.a_crew("crew", reading=(time(7, 40),))
READERS = (OWNER, CREW)


def site_of(winter: Winter) -> Site:
    """A yard in the open at the place of a winter."""
    seen = winter.observed
    return builders.a_site(
        "yard",
        latitude_deg=seen.latitude_deg,
        longitude_deg=seen.longitude_deg,
        height_m=seen.height_m,
        time_zone=winter.zone,
        shifts=SIX_DAYS,
        operator="",
    )


def fillings(winter: Winter) -> tuple[datetime, ...]:
    """Wednesday noon of every week, UTC of the place's standard time, whole hours."""
    site = site_of(winter)
    day = winter.first + timedelta(days=(2 - winter.first.weekday()) % 7)
    found = []
    while day <= winter.last:
        offset = day.astimezone(site.zone).utcoffset() or timedelta()
        found.append(day + timedelta(hours=12) - offset)
        day += timedelta(days=7)
    return tuple(found)


def readings(diary: Diary, filled: datetime, days: float = 7.0) -> Iterator[datetime]:
    """When the person is told of a filling: at once, then at every reading for so many days."""
    yield filled
    at = diary.next_reading(filled)
    while at is not None and at < filled + timedelta(days=days):
        yield at
        at = diary.next_reading(at)
