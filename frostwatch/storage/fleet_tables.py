"""Tables of a fleet file turned into records: sites, people, vehicles, water that stands there."""

from collections.abc import Callable, Sequence
from datetime import time
from typing import Any

from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Fuel, Handover
from frostwatch.fleet.people import Channel, Duty, Language, Person, Slot
from frostwatch.fleet.roofs import Roof, RoofedBays, Under
from frostwatch.fleet.sites import COST_RATIO, Caution, Lie, Shelter, Shift, Site, SiteKind
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.storage.bay_ranges import bays_from
from frostwatch.storage.file_rows import Made, Row
from frostwatch.storage.heat_text import posts_from, source_from
from frostwatch.storage.hours_text import Span, clock_from, range_from, spans_from

DEFAULT_FILL_L = 40.0

SITE_WORDS = {
    "latitude": "latitude",
    "longitude": "longitude",
    "height": "height_m",
    "cost ratio": "cost_ratio",
    "time zone": "time_zone",
    "shift": "hours",
    "supply": "supply_w",
}


def site_from(row: Row, roofs: Sequence[Row] = ()) -> Site | None:
    """One ``[[site]]`` with its ``[[site.roof]]`` tables."""
    key = row.text("key")
    spans = _each(row, "hours", spans_from)
    height_m = row.number("height_m")
    common = {
        "key": key,
        "name": row.text("name", key),
        "kind": row.choice("kind", SiteKind),
        "latitude_deg": row.required_number("latitude"),
        "longitude_deg": row.required_number("longitude"),
        "height_m": height_m,
        "time_zone": row.text("time_zone"),
        "lie": row.choice("lie", Lie, Lie.OPEN),
        "shelter": row.choice("shelter", Shelter, Shelter.OPEN),
        "bays": bays_from(row.listed("bays")),
        "crew": row.whole("crew", 1),
        "operator": row.text("operator", ""),
        "cost_ratio": _cost_ratio(row) or COST_RATIO[Caution.BALANCED],
        "gas_allowed": row.flag("gas_allowed"),
        "posts": tuple(post for those in _each(row, "posts", posts_from) for post in those),
        "supply_w": row.number("supply_w"),
        "roofs": tuple(made for one in roofs if (made := _roof(one)) is not None),
    }
    row.take("roof")

    def make() -> Site:
        shifts = [Shift(weekday=d, opens=a, closes=b) for span in spans for d, a, b in span]
        return Site(**common, shifts=tuple(shifts))  # type: ignore[arg-type]

    row.leftovers()
    return row.make(make, SITE_WORDS)


def _roof(row: Row) -> RoofedBays | None:
    bays = bays_from(row.listed("bays"))
    under = under_from(row)
    row.leftovers()
    return None if under is None else RoofedBays(bays=bays, under=under)


def under_from(row: Row, prefix: str = "") -> Under | None:
    """What is over a vehicle or a bay from fields kind, heated_to_c, by and until."""
    kind = row.choice(f"{prefix}kind", Roof)
    warm_c = row.number(f"{prefix}heated_to_c")
    by = row.text(f"{prefix}by", "")
    until = row.moment(f"{prefix}until") if row.has(f"{prefix}until") else None
    said_at = row.moment(f"{prefix}said_at") if row.has(f"{prefix}said_at") else None
    row.take(f"{prefix}until")
    row.take(f"{prefix}said_at")
    return row.make(
        lambda: Under(kind=kind, heated_to_c=warm_c, by=by, until=until, said_at=said_at),
        {"heated": f"{prefix}heated_to_c", "until": f"{prefix}until"},
    )


def _cost_ratio(row: Row) -> float | None:
    """By word or by number; None where neither is given."""
    if row.has("caution") and row.has("cost_ratio"):
        row.problem("cost_ratio", "caution and cost_ratio are both given.", "Keep one of them.")
    if row.has("caution"):
        row.number("cost_ratio")
        return COST_RATIO[row.choice("caution", Caution, Caution.BALANCED)]
    return row.number("cost_ratio")


def person_from(row: Row, channels: Sequence[Row]) -> Person | None:
    """One ``[[person]]`` with its ``[[person.channel]]`` tables."""
    key = row.text("key")
    spans: list[tuple[Span, ...]] = _each(row, "slots", spans_from)
    quiet = _one(row, "quiet", range_from, (time(21, 0), time(6, 30)))
    common = {
        "key": key,
        "name": row.text("name", key),
        "duty": row.choice("duty", Duty),
        "language": row.choice("language", Language, Language.EN),
        "sites": row.listed("sites"),
        "travel_min": row.number("travel_min", 0.0),
        "reading": tuple(_each(row, "reading", clock_from)),
        "channels": tuple(made for one in channels if (made := _channel(one)) is not None),
        "quiet_from": quiet[0],
        "quiet_to": quiet[1],
        "cost_ratio": _cost_ratio(row),
    }
    row.take("channel")

    def make() -> Person:
        slots = [Slot(weekday=d, starts=a, ends=b) for span in spans for d, a, b in span]
        return Person(**common, slots=tuple(slots))  # type: ignore[arg-type]

    row.leftovers()
    words = {"travel": "travel_min", "slot": "slots", "cost ratio": "cost_ratio"}
    return row.make(make, words)


def _channel(row: Row) -> Channel | None:
    name, address = row.text("name"), row.text("address")
    form = row.text("form", "long")
    row.leftovers()
    return row.make(lambda: Channel(name=name, address=address, form=form), {"form": "form"})


def vehicle_from(
    row: Row,
    hold: HeatedHold | None,
    overrides: tuple[tuple[str, float], ...],
    handover: Handover | None,
    under: Under | None = None,
) -> Vehicle:
    """One ``[[vehicle]]`` or row of a sheet; what has tables of its own was read before."""
    vehicle = Vehicle(
        key=row.text("key"),
        name=row.text("name", ""),
        site=row.text("site"),
        bay=row.text("bay", ""),
        layout=row.text("layout"),
        keeper=row.text("keeper", ""),
        plate_end=row.text("plate_end", ""),
        key_place=row.text("key_place", ""),
        indoors=row.flag("indoors"),
        hold=hold,
        overrides=overrides,
        heat=tuple(_each(row, "heat", source_from)),
        post=row.text("post", ""),
        handover=handover,
        under=under,
    )
    row.leftovers()
    return vehicle


def handover_from(row: Row, prefix: str = "") -> Handover | None:
    """A handover from fields at, fill_l, heat, indoors_from, who and taker."""
    at = row.moment(f"{prefix}at")
    fill_l = row.number(f"{prefix}fill_l", DEFAULT_FILL_L)
    heat = next(iter(_each(row, f"{prefix}heat", source_from)), None)
    indoors = f"{prefix}indoors_from"
    indoors_from = row.moment(indoors) if row.has(indoors) else None
    row.take(indoors)
    who, taker = row.text(f"{prefix}who", ""), row.text(f"{prefix}taker", "")
    if at is None or fill_l is None:
        return None
    return row.make(
        lambda: Handover(
            at=at, fill_l=fill_l, heat=heat, indoors_from=indoors_from, who=who, taker=taker
        ),
        {"litres": f"{prefix}fill_l", "indoors": indoors},
    )


def hold_from(row: Row, prefix: str = "") -> HeatedHold | None:
    """A heated hold from fields source, power_w, setting_c, and what is known of its supply."""
    source = row.text(f"{prefix}source")
    power_w = row.required_number(f"{prefix}power_w")
    setting_c = row.required_number(f"{prefix}setting_c")
    fuel = row.choice(f"{prefix}fuel", Fuel, Fuel.ELECTRIC) if row.has(f"{prefix}fuel") else None
    row.take(f"{prefix}fuel")
    more = {
        "store": row.number(f"{prefix}store"),
        "battery_ah": row.number(f"{prefix}battery_ah"),
        "other_w": row.number(f"{prefix}other_w", 0.0) or 0.0,
    }
    words = {
        "power": "power_w",
        "setting": "setting_c",
        "store": "store",
        "battery": "battery_ah",
        "other load": "other_w",
    }
    return row.make(
        lambda: HeatedHold(
            source=source,
            power_w=power_w,
            setting_c=setting_c,
            fuel=fuel,
            **more,  # type: ignore[arg-type]
        ),
        {word: f"{prefix}{field}" for word, field in words.items()},
    )


def own_numbers(row: Row, table: dict[str, Any]) -> tuple[tuple[str, float], ...]:
    """Overrides from ``[vehicle.own]``; names may be quoted or nested, both read alike."""
    found: list[tuple[str, float]] = []
    for name, value in _flat(table):
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            row.problem(name, f"{name} must be a number.")
        else:
            found.append((name, float(value)))
    return tuple(found)


def _flat(table: dict[str, Any], before: str = "") -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for name, value in table.items():
        whole = f"{before}.{name}" if before else name
        found += _flat(value, whole) if isinstance(value, dict) else [(whole, value)]
    return found


def _each(row: Row, field: str, reader: Callable[[str], Made]) -> list[Made]:
    """Every text of a list read, faults noted; a spreadsheet's cell has semicolons between."""
    value = row.take(field)
    if isinstance(value, str):
        value = [part.strip() for part in value.split(";") if part.strip()]
    texts = [value] if isinstance(value, time) else value or []
    if not isinstance(texts, list):
        row.problem(field, f"{field} must be a list of texts.", 'Write ["...", "..."].')
        return []
    made: list[Made] = []
    for text in texts:
        words = f"{text:%H:%M}" if isinstance(text, time) else str(text)
        try:
            made.append(reader(words))
        except FleetError as wrong:
            row.problem(field, str(wrong))
    return made


def _one(row: Row, field: str, reader: Callable[[str], Made], default: Made) -> Made:
    made = _each(row, field, reader)
    return made[0] if made else default
