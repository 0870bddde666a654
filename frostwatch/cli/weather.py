"""``frostwatch weather``: what is known about the air at a site, from whom, how old, how sure."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config
from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from frostwatch.cli.weather_words import Look
    from frostwatch.fleet.sites import Site
    from frostwatch.settings import Settings
    from frostwatch.storage.ledger import SqlLedger
    from frostwatch.weather.cache.view import PlaceView
    from frostwatch.weather.forecast import Point


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="weather")(weather)


def weather(
    site: Annotated[str, typer.Argument(help="Key of the site; without it, every site.")] = "",
    learning: Annotated[
        str,
        typer.Option("--learning", help="off: this site by the default error again. on: learnt."),
    ] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """What is known about the weather of a site; nobody is asked anything."""
    from frostwatch.cli.say import say, say_json
    from frostwatch.cli.weather_words import as_record, in_words
    from frostwatch.fleet.finding import site_meant
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    now = utc_now()
    try:
        sites = ledger.load(now).sites
        if not sites:
            raise FleetError("No site is entered. Import a fleet: frostwatch import FILE")
        if site:
            sites = (site_meant(site, sites),)

        if learning:
            _set_learning(ledger, site, sites, learning)
        looks = _looked_at(settings, ledger, sites, now)
    finally:
        ledger.close()
    members = settings.weather.members
    if as_json:
        say_json([as_record(look, now, members) for look in looks])
        return
    for look in looks:
        say(in_words(look, now, members))


def _set_learning(ledger: "SqlLedger", site: str, sites: "Sequence[Site]", word: str) -> None:
    from frostwatch.service.lessons import set_learning

    if word not in ("on", "off") or not site:
        raise FleetError("--learning is on or off, for one site: frostwatch weather SITE ...")
    set_learning(ledger.lessons, sites[0], learning=word == "on")


def _looked_at(
    settings: "Settings", ledger: "SqlLedger", sites: "Sequence[Site]", now: datetime
) -> "list[Look]":
    """What is known of the heights, the weather and the lessons of each site."""
    from frostwatch.cli.weather_words import Look
    from frostwatch.service.heights import heights_of
    from frostwatch.service.nights import point_of
    from frostwatch.settings import ProviderChoice
    from frostwatch.weather.cache import KeptHeights
    from frostwatch.weather.cache.view import place_view, recorded_view
    from frostwatch.weather.forecast import Forecast
    from frostwatch.wiring import build_cache, build_recorded_for

    look_up = ProviderChoice.OPEN_METEO in settings.weather.providers
    heights = heights_of(sites, KeptHeights(ledger.terrain) if look_up else None, now)
    lessons = ledger.lessons.lessons()
    view_of: Callable[[Point], PlaceView]
    if ProviderChoice.RECORDED in settings.weather.providers:
        recorded = build_recorded_for(settings, ledger)
        view_of = lambda point: recorded_view(recorded, point, now)  # noqa: E731
    else:
        cache = build_cache(settings, ledger.replies, ledger.attempts)
        view_of = lambda point: place_view(cache, point, now)  # noqa: E731
    found = []
    for one in heights.sites:
        view = view_of(point_of(one))
        fitted = heights.fitted(one.key, view.forecast)
        found.append(
            Look(
                site=one,
                view=view,
                forecast=fitted if isinstance(fitted, Forecast) else None,
                heights=heights,
                lesson=lessons.get(one.key),
            )
        )
    return found
