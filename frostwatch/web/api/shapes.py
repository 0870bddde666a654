"""What goes over the wire: shapes of answers and of what may be posted."""

from datetime import datetime
from typing import Annotated

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from frostwatch.advice.night_view import Fate
from frostwatch.fleet.sites import SiteKind
from frostwatch.fleet.vehicles import Circuit, Place
from frostwatch.messages.wording.draft import Job, Level
from frostwatch.ports import MessageStatus
from frostwatch.records.entries import Evidence, State
from frostwatch.web.pages.yard_now import Line

MOST_AT_ONCE = 1000


class _Out(BaseModel):
    model_config = ConfigDict(from_attributes=True, frozen=True)


class SiteOut(_Out):
    """A site."""

    key: str
    name: str
    kind: SiteKind
    latitude_deg: float
    longitude_deg: float
    height_m: float | None
    time_zone: str
    bays: tuple[str, ...]
    crew: int


class VesselOut(_Out):
    """What one vessel of a vehicle holds, and how that is known."""

    vessel: str
    state: State
    evidence: Evidence
    wet: bool
    litres: float | None


class VehicleOut(_Out):
    """A vehicle as it stands now. Unknown counts as full."""

    key: str
    name: str
    bay: str
    plate_end: str
    layout: str
    level: Level
    unknown: bool
    job: Job | None = Field(description="What there is to do; null where nobody need stop.")
    minutes: float | None
    act_by: datetime | None
    earliest: datetime | None = Field(description="Earliest harm within four days, one in ten.")
    likely: datetime | None = Field(description="Likely harm within four days.")
    recorded_at: datetime | None
    recorded_by: str
    cannot: str = Field(description='Why it cannot be reckoned with, "" if it can.')
    vessels: list[VesselOut]


def vehicle_out(line: Line) -> VehicleOut:
    """A line of a list as it goes over the wire."""
    standing, stop, record = line.standing, line.stop, line.standing.record
    return VehicleOut(
        key=line.vehicle.key,
        name=line.name,
        bay=line.vehicle.bay,
        plate_end=line.vehicle.plate_end,
        layout=line.vehicle.layout,
        level=standing.level,
        unknown=standing.unknown,
        job=stop.job if stop is not None else None,
        minutes=stop.minutes if stop is not None else None,
        act_by=stop.act_by if stop is not None else None,
        earliest=standing.earliest,
        likely=standing.likely,
        recorded_at=record.at if record is not None else None,
        recorded_by=record.by if record is not None else "",
        cannot=line.broken,
        vessels=[VesselOut.model_validate(mark) for mark in standing.marks],
    )


class ItemOut(_Out):
    """One thing that holds water, through the coming night."""

    key: str
    circuit: Circuit
    place: Place
    litres: float
    ice_early: datetime | None
    ice_likely: datetime | None
    harm_early: datetime | None
    harm_likely: datetime | None
    probability: float = Field(description="Of harm within what is shown.")
    ice_by: float = Field(description="Share turned to ice by the morning, likely.")
    ice_by_most: float
    fate: Fate


class NightOut(_Out):
    """The coming night of one vehicle: an estimate from the forecast of ``issued_at``."""

    vehicle: str
    made_at: datetime
    issued_at: datetime | None
    coldest_at: datetime
    morning_at: datetime
    items: list[ItemOut]


class StopOut(_Out):
    """A stop of a round."""

    vehicle: str
    bay: str
    job: Job
    minutes: float
    act_by: datetime | None
    pressed: str | None
    pressed_at: datetime | None
    by: str | None


class RoundOut(_Out):
    """A round that is walked."""

    made_at: datetime
    by: str
    issued_at: datetime | None
    act_by: datetime | None
    minutes: float
    stops: list[StopOut]


class MessageOut(_Out):
    """Something that was said to somebody."""

    to: str
    channel: str
    kind: str
    text: str
    queued_at: datetime
    status: MessageStatus
    sent_at: datetime | None


class _In(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


Litres = Annotated[float, Field(ge=0, le=5000, allow_inf_nan=False)]
Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
Celsius = Annotated[float, Field(ge=-90, le=70, allow_inf_nan=False)]
Word = Annotated[str, Field(min_length=1, max_length=100)]


class EntryIn(_In):
    """A statement about one circuit of one vehicle."""

    vehicle: Word
    circuit: Circuit
    state: State
    evidence: Annotated[Evidence, Field(description="seen or asserted")]
    at: AwareDatetime
    by: Word
    litres: Litres | None = None
    dose_fraction: Share | None = None
    note: Annotated[str, Field(max_length=500)] = ""


class EntriesIn(_In):
    """Statements to add to the record: all of them, or none."""

    entries: Annotated[list[EntryIn], Field(min_length=1, max_length=MOST_AT_ONCE)]


class ReadingIn(_In):
    """One value of a thermometer."""

    at: AwareDatetime
    temperature_c: Celsius


class ReadingsIn(_In):
    """Values of one thermometer: outdoors at the site, or in or at a vehicle."""

    sensor: Word
    vehicle: Annotated[str, Field(max_length=100, description='"" for the air of the site')] = ""
    where: Annotated[
        str, Field(max_length=20, description="cabin, locker, outside, or an item such as F1")
    ] = "outside"
    readings: Annotated[list[ReadingIn], Field(min_length=1, max_length=MOST_AT_ONCE)]


class TakenOut(_Out):
    """What became of what was posted."""

    taken: int = Field(description="How many were new.")
    known: int = Field(description="How many were there already; twice does nothing twice.")
