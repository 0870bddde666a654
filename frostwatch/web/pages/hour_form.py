"""The form of a handover: what was typed, what is to be put right, and what it comes to."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from frostwatch.errors import FrostwatchError
from frostwatch.fleet.heat import Handover, HeatSource
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.service.handover_entry import Doubt, Refusal
from frostwatch.web.pages.plans_now import heat_key
from frostwatch.web.rights.names import doubt_about

FIELDS = ("day", "clock", "litres", "heat", "post", "indoors", "who", "taker", "meant", "was")
MOST_LITRES = 1000.0
FIELD_OF = {
    Doubt.PAST: "day",
    Doubt.FAR: "day",
    Doubt.CLOSED: "clock",
    Doubt.INDOORS_LATE: "indoors",
    Doubt.INDOORS_PAST: "indoors",
    Doubt.NO_POST: "post",
    Doubt.NO_HEAT: "heat",
}
"""Where on the form a refusal belongs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourForm:
    """What was typed, and what it comes to.

    Attributes:
        typed: field -> text, as it was typed.
        faults: fields that cannot be read: field -> key of the sentence.
        wished: the handover; None where something cannot be read.
    """

    typed: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    wished: Handover | None = None

    @property
    def post(self) -> str:
        """The post it is to stand at, "" for any."""
        return self.typed.get("post", "")

    @property
    def meant(self) -> bool:
        """An hour at which nobody is at work is meant so."""
        return bool(self.typed.get("meant"))


def mark_of(handover: Handover | None) -> str:
    """A short mark of a handover as it stands, to see whether somebody changed it since."""
    if handover is None:
        return "none"
    since = handover.indoors_from
    parts = (
        handover.at.astimezone(UTC).isoformat(),
        f"{handover.fill_l:g}",
        heat_key(handover.heat) if handover.heat is not None else "",
        since.astimezone(UTC).isoformat() if since is not None else "",
        handover.who,
        handover.taker,
    )
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:16]


def form_from(vehicle: Vehicle, zone: ZoneInfo, at: datetime | None = None) -> HourForm:
    """The form as it opens: what is entered, with another hour where one is proposed."""
    known = vehicle.handover
    moment = at or (known.at if known is not None else None)
    local = moment.astimezone(zone) if moment is not None else None
    since = known.indoors_from if known is not None else None
    typed = {
        "day": f"{local:%Y-%m-%d}" if local else "",
        "clock": f"{local:%H:%M}" if local else "",
        "litres": f"{known.fill_l if known is not None else 40.0:g}",
        "heat": heat_key(known.heat) if known is not None and known.heat is not None else "",
        "post": vehicle.post,
        "indoors": f"{since.astimezone(zone):%Y-%m-%dT%H:%M}" if since is not None else "",
        "who": known.who if known is not None else "",
        "taker": known.taker if known is not None else "",
        "was": mark_of(known),
    }
    return HourForm(typed=typed)


def read_form(
    typed: Mapping[str, str], sources: tuple[HeatSource, ...], zone: ZoneInfo
) -> HourForm:
    """Read what was typed.

    Args:
        typed: field -> text.
        sources: what the vehicle can be warmed with.
        zone: time zone of the place.
    """
    kept = {name: typed.get(name, "").strip() for name in FIELDS}
    faults: dict[str, str] = {}
    at = _at(kept, zone, faults)
    litres = _litres(kept["litres"])
    if litres is None:
        faults["litres"] = "hour.fault.litres"
    since = moment_at(kept["indoors"], zone) if kept["indoors"] else None
    if kept["indoors"] and since is None:
        faults["indoors"] = "hour.fault.indoors"
    heat = next((one for one in sources if heat_key(one) == kept["heat"]), None)
    if kept["heat"] and heat is None:
        faults["heat"] = "no heat"
    for name in ("who", "taker"):
        if kept[name] and doubt_about(kept[name]) is not None:
            faults[name] = "hour.fault.text"
    if since is not None and at is not None and since >= at:
        faults["indoors"] = "indoors late"
    if faults or at is None or litres is None:
        return HourForm(typed=kept, faults=faults)
    try:
        wished = Handover(
            at=at,
            fill_l=litres,
            heat=heat,
            indoors_from=since,
            who=kept["who"],
            taker=kept["taker"],
        )
    except FrostwatchError:
        return HourForm(typed=kept, faults={"litres": "hour.fault.litres"})
    return HourForm(typed=kept, wished=wished)


def faults_from(refused: tuple[Refusal, ...]) -> dict[str, Refusal]:
    """Field -> why what stands in it is refused."""
    return {FIELD_OF[one.doubt]: one for one in reversed(refused)}


def _at(kept: Mapping[str, str], zone: ZoneInfo, faults: dict[str, str]) -> datetime | None:
    try:
        day = date.fromisoformat(kept["day"])
    except ValueError:
        faults["day"] = "hour.fault.day"
        return None
    try:
        clock = time.fromisoformat(kept["clock"])
    except ValueError:
        faults["clock"] = "hour.fault.clock"
        return None
    moment = _local(datetime.combine(day, clock.replace(tzinfo=None)), zone)
    if moment is None:
        faults["clock"] = "hour.fault.clock"
    return moment


def moment_at(text: str, zone: ZoneInfo) -> datetime | None:
    """A local day and hour as typed, UTC; None where it cannot be one."""
    try:
        return _local(datetime.fromisoformat(text).replace(tzinfo=None), zone)
    except ValueError:
        return None


def _local(said: datetime, zone: ZoneInfo) -> datetime | None:
    """A local time as UTC; None for an hour that the clock skips."""
    try:
        moment = said.replace(tzinfo=zone).astimezone(UTC)
        return moment if moment.astimezone(zone).replace(tzinfo=None) == said else None
    except OverflowError:
        return None


def _litres(text: str) -> float | None:
    try:
        litres = float(text.replace(",", "."))
    except ValueError:
        return None
    return litres if 1.0 <= litres <= MOST_LITRES else None
