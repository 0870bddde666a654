"""An entry as the fields of a file."""

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from frostwatch.records.entries import Entry


def utc_text(moment: datetime) -> str:
    """ISO 8601 in UTC with a Z; microseconds only where there are any."""
    return moment.astimezone(UTC).isoformat().replace("+00:00", "Z")


def local_text(moment: datetime, zone: ZoneInfo) -> str:
    """ISO 8601 in a place's own time, with its offset."""
    return moment.astimezone(zone).isoformat(timespec="seconds")


def number_text(value: float) -> str:
    """The shortest decimal text that reads back as the same number."""
    return format(Decimal(repr(value)).normalize(), "f")


def percent_of(fraction: float) -> float:
    """A share in percent, by decimal arithmetic so that reading it back gives the same share."""
    return float(Decimal(repr(fraction)) * 100)


def entry_fields(entry: Entry) -> dict[str, Any]:
    """Fields without vehicle and time; empty where nothing was said."""
    dose = entry.dose_fraction
    return {
        "circuit": entry.circuit.value,
        "state": entry.state.value,
        "evidence": entry.evidence.value,
        "by": entry.by,
        "litres": entry.litres_l,
        "dose_percent": None if dose is None else percent_of(dose),
        "event": entry.event,
        "photo": entry.photo,
        "note": entry.note,
    }
