"""``frostwatch tonight``: one van, no set-up."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any
from zoneinfo import ZoneInfo

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError
from frostwatch.fleet.sites import Lie, Shelter

if TYPE_CHECKING:
    from frostwatch.advice.harm import Chance
    from frostwatch.ports import Forecasts, Heights
    from frostwatch.service.tonight import Outlook
    from frostwatch.weather.learning import Learnt
    from frostwatch.weather.terrain import Terrain


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="tonight")(tonight)


def tonight(
    lat: Annotated[
        float | None, typer.Option("--lat", help="Latitude in degrees, north positive.")
    ] = None,
    lon: Annotated[
        float | None, typer.Option("--lon", help="Longitude in degrees, east positive.")
    ] = None,
    site: Annotated[
        str,
        typer.Option("--site", help="Instead of a place: a site that is entered, as it is known."),
    ] = "",
    layout: Annotated[
        str, typer.Option("--layout", help="A name from: frostwatch layouts")
    ] = "coachbuilt-seat-tank",
    water: Annotated[
        str,
        typer.Option(
            "--water", help="Litres by circuit: fresh=20,waste=8,heater=10. Unnamed is unknown."
        ),
    ] = "",
    height: Annotated[
        float | None, typer.Option("--height", help="Metres above sea level, if you know.")
    ] = None,
    zone: Annotated[
        str, typer.Option("--zone", help="Time zone of the hours shown; this computer's without.")
    ] = "",
    replies: Annotated[
        Path | None,
        typer.Option("--replies", help="Folder of recorded replies, instead of asking anybody."),
    ] = None,
    at: Annotated[
        str, typer.Option("--at", help="With --replies: the moment, ISO 8601 with offset or Z.")
    ] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """What the water in one van does in the coming nights, with nothing set up."""
    from frostwatch.cli.moments import moment_from
    from frostwatch.cli.say import say, say_json
    from frostwatch.logs import set_up_logs
    from frostwatch.service.tonight import look_ahead, parse_water
    from frostwatch.weather.members import DEFAULT_LAW
    from frostwatch.wiring import utc_now

    set_up_logs("error")
    now = moment_from(at, "--at") if at else utc_now()
    place = _place(site, lat, lon, height, config, now)
    forecasts, heights = _weather(config, replies, place)
    outlook = look_ahead(
        forecasts,
        heights=heights,
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        height_m=place.height_m,
        lie=place.lie,
        shelter=place.shelter,
        law=place.learnt.law if place.learnt is not None else DEFAULT_LAW,
        site_key=place.key,
        layout=layout,
        water=parse_water(water),
        now=now,
    )
    if as_json:
        said = place.learnt.sentence if place.learnt is not None else None
        say_json(_as_json(outlook) | {"learnt": said, "nobody_told": list(place.nobody_told)})
    else:
        say(_in_words(outlook, _zone(zone or place.time_zone)))
        for one in place.nobody_told:
            say(one)
        if place.learnt is not None:
            say(place.learnt.sentence)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where the van stands, and what is known of the place."""

    key: str = "here"
    latitude_deg: float
    longitude_deg: float
    height_m: float | None
    lie: Lie = Lie.OPEN
    shelter: Shelter = Shelter.OPEN
    time_zone: str = ""
    learnt: "Learnt | None" = None
    nobody_told: tuple[str, ...] = ()
    terrain: "Mapping[str, Terrain]" = field(default_factory=dict)


def _place(
    site: str,
    lat: float | None,
    lon: float | None,
    height: float | None,
    config: Path | None,
    now: datetime,
) -> _Place:
    """The coordinates given, or an entered site with what its nights taught."""
    if not site:
        if lat is None or lon is None:
            raise FleetError("Say where: --lat and --lon, or --site with the key of a site.")
        return _Place(latitude_deg=lat, longitude_deg=lon, height_m=height)
    if lat is not None or lon is not None or height is not None:
        raise FleetError("--site stands for --lat, --lon and --height: give one or the other.")
    from frostwatch.fleet.finding import site_meant
    from frostwatch.service.stand_ins import unattended
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.weather.terrain import place_of
    from frostwatch.wiring import settings_from

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    try:
        book = ledger.load(now)
        known = site_meant(site, book.sites)
        missing = [one for one in unattended(book).values() if one.site.key == known.key]
        lesson = ledger.lessons.lessons().get(known.key)
        place = place_of(known.latitude_deg, known.longitude_deg)
        terrain = ledger.terrain.known([place])
    finally:
        ledger.close()
    return _Place(
        key=known.key,
        latitude_deg=known.latitude_deg,
        longitude_deg=known.longitude_deg,
        height_m=known.height_m,
        lie=known.lie,
        shelter=known.shelter,
        time_zone=known.time_zone,
        learnt=lesson.in_force if lesson is not None else None,
        nobody_told=tuple(
            f"{one.site.name}: {one} Enter a keeper or an operator." for one in missing
        ),
        terrain=terrain,
    )


def _weather(
    config: Path | None, replies: Path | None, place: _Place
) -> "tuple[Forecasts, Heights | None]":
    from frostwatch.weather.cache import MemoryReplies, MemoryTerrain
    from frostwatch.weather.forecast import point_for
    from frostwatch.weather.manners import MemoryAttempts
    from frostwatch.wiring import build_cache, build_heights, build_recorded, settings_from

    if replies is not None:
        key = point_for(place.latitude_deg, place.longitude_deg, place.height_m).key
        folder = replies / "forecasts"
        names = sorted({f.name for f in folder.glob("*/*") if f.is_dir()})
        return build_recorded(replies, {key: names}), None
    settings, _ = settings_from(config)
    attempts = MemoryAttempts()
    heights = build_heights(settings, MemoryTerrain(dict(place.terrain)), attempts)
    return build_cache(settings, MemoryReplies(), attempts), heights


def _zone(name: str) -> ZoneInfo:
    from tzlocal import get_localzone_name

    try:
        return ZoneInfo(name or get_localzone_name() or "UTC")
    except (KeyError, ValueError, OSError) as unknown:
        raise FleetError(
            f"--zone: {name!r} is not known. Give an IANA name such as Europe/Paris."
        ) from unknown


def _in_words(outlook: "Outlook", zone: ZoneInfo) -> str:
    likely_c, cold_c, at = outlook.coldest()
    lines = [
        f"Air: about {_degrees(likely_c)} at the coldest, {_hour(at, zone)}, "
        f"perhaps {_degrees(cold_c)}.",
    ]
    frozen = [row for row in outlook.items if row.harm.earliest_h < float("inf")]
    if frozen:
        first = min(frozen, key=lambda row: row.harm.earliest_h)
        when = _hour(_time(outlook, first.harm.earliest_h), zone)
        lines.insert(0, f"Frost could do harm from {when}, first in: {first.item.key}.")
    elif any(row.ice.earliest_h < float("inf") for row in outlook.items):
        lines.insert(0, "Some ice is possible; harm is not likely in the hours that are known.")
    else:
        lines.insert(0, f"No ice is likely in the {outlook.hours:.0f} h that are known.")
    table = [["item", "stands", "L", "ice from", "likely", "harm from", "likely", "chance"]]
    for row in outlook.items:
        table.append(
            [
                row.item.key,
                row.item.place.value,
                f"{row.litres:.1f}",
                *_two_hours(outlook, row.ice, zone),
                *_two_hours(outlook, row.harm, zone),
                f"{100.0 * row.harm.probability:.0f} %",
            ]
        )
    lines += ["", rows_of(table), ""]
    for row in outlook.items:
        if row.emptied.likely_h < float("inf"):
            when = _hour(_time(outlook, row.emptied.likely_h), zone)
            lines.append(
                f"The heater tank ({row.item.key}) will probably empty itself about {when}; "
                "nothing is broken by that."
            )
    lines += _foot(outlook, zone)
    return "\n".join(lines)


def _foot(outlook: "Outlook", zone: ZoneInfo) -> list[str]:
    issue = outlook.forecast.known_since
    credit = "; ".join(f"{a.text}, {a.url}, {a.licence}" for a in outlook.forecast.attribution)
    lines = [
        f"Hours in {zone.key}. Estimate from the forecast of {_hour(issue, zone)} and what you "
        "told; look before you act; handbook first. Not a public warning.",
        "Draining: hot water may leave by the floor outlet, drained water makes ice underfoot, "
        "waste goes to a foul drain.",
    ]
    if outlook.standing.reason:
        lines.append(outlook.standing.reason)
    credit += " (modified: corrected to the place)"
    return [*lines, *outlook.place_notes, *outlook.air.notes, credit]


def _time(outlook: "Outlook", hour: float) -> datetime:
    from datetime import timedelta

    return outlook.now + timedelta(hours=hour)


def _two_hours(outlook: "Outlook", chance: "Chance", zone: ZoneInfo) -> tuple[str, str]:
    hours = (chance.earliest_h, chance.likely_h)
    first, likely = (
        _hour(_time(outlook, hour), zone) if hour < float("inf") else "-" for hour in hours
    )
    return first, likely


def _hour(moment: datetime, zone: ZoneInfo) -> str:
    return f"{moment.astimezone(zone):%a %d %b %H:%M}"


def _degrees(air_c: float) -> str:
    return f"{air_c:.1f} °C".replace("-", "−")


def _as_json(outlook: "Outlook") -> dict[str, Any]:
    likely_c, cold_c, at = outlook.coldest()

    def chance(of: "Chance") -> dict[str, Any]:
        hours = {"earliest": of.earliest_h, "likely": of.likely_h}
        times = {
            name: _time(outlook, hour).isoformat() if hour < float("inf") else None
            for name, hour in hours.items()
        }
        return {"probability": round(of.probability, 4), **times}

    return {
        "now": outlook.now.isoformat(),
        "hours": outlook.hours,
        "provider": outlook.forecast.provider,
        "issued_at": outlook.forecast.known_since.isoformat(),
        "standing": outlook.standing.fitness.value,
        "coldest": {
            "likely_c": round(likely_c, 2),
            "cold_c": round(cold_c, 2),
            "at": at.isoformat(),
        },
        "items": [
            {
                "item": row.item.key,
                "circuit": row.item.circuit.value,
                "place": row.item.place.value,
                "litres": round(row.litres, 3),
                "ice": chance(row.ice),
                "harm": chance(row.harm),
                "empties_itself": chance(row.emptied),
            }
            for row in outlook.items
        ],
        "notes": [*outlook.place_notes, *outlook.air.notes],
        "attribution": [
            {"text": a.text, "url": a.url, "licence": a.licence}
            for a in outlook.forecast.attribution
        ],
    }
