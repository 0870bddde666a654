"""``frostwatch place``: where a place is, how high, and in which time zone."""

from typing import Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import ForecastError


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="place")(place)


def place(
    name: Annotated[str, typer.Argument(help='At least two letters; ", country" narrows it.')],
    count: Annotated[int, typer.Option("--count", min=1, max=100, help="Most places.")] = 10,
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Find a place by name: coordinates, height and time zone for the fleet file."""
    from dataclasses import asdict

    from frostwatch.cli.say import complain, say, say_json
    from frostwatch.weather.forecast import FetchFailure
    from frostwatch.weather.providers.open_meteo_places import PLACE_ATTRIBUTION, find_places
    from frostwatch.wiring import open_meteo_server, settings_from, utc_now

    settings, _ = settings_from(config)
    server = open_meteo_server("geocoding-api", settings)
    found = find_places(server, name, utc_now(), count=count)
    if isinstance(found, FetchFailure):
        raise ForecastError(f"The place could not be looked up: {found.message}")
    if as_json:
        say_json([asdict(one) for one in found])
        return
    if not found:
        complain(f"No place called {name!r} was found. Try fewer letters, or give coordinates.")
        raise typer.Exit(1)
    table = [["latitude", "longitude", "height m", "time zone", "place"]]
    for one in found:
        height = "-" if one.height_m is None else f"{one.height_m:.0f}"
        table.append(
            [
                f"{one.latitude_deg:.4f}",
                f"{one.longitude_deg:.4f}",
                height,
                one.time_zone or "-",
                f"{one.name}, {one.region}".rstrip(", "),
            ]
        )
    say(rows_of(table))
    say(f"\n{PLACE_ATTRIBUTION.text}, {PLACE_ATTRIBUTION.url}, {PLACE_ATTRIBUTION.licence}")
