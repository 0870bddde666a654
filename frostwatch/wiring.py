"""The one place where adapters are built and the clock is read."""

import os
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from frostwatch import __version__
from frostwatch.errors import FrostwatchError
from frostwatch.service.kit import Kit
from frostwatch.settings import ProviderChoice, Settings, find_config, load_settings

if TYPE_CHECKING:
    from fastapi import FastAPI

    from frostwatch.messages.channels import AppriseChannels
    from frostwatch.ports import ReplyStore, TerrainStore
    from frostwatch.service.first_look import Scout
    from frostwatch.storage.ledger import SqlLedger
    from frostwatch.weather.asking import Parser, Provider
    from frostwatch.weather.cache import PlaceHeights, WeatherCache
    from frostwatch.weather.manners import AttemptLog
    from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer
    from frostwatch.weather.providers.recorded import Recorded

Sleep = Callable[[float], None]
USER_AGENT = f"frostwatch/{__version__}"


def utc_now() -> datetime:
    """The present moment, UTC."""
    return datetime.now(UTC)  # noqa: TID251 - the only clock in the program


def settings_from(config: Path | None) -> tuple[Settings, Path | None]:
    """The settings in force, and the file they came from.

    Raises:
        SettingsError: a setting is missing or wrong.
    """
    return load_settings(config, os.environ), find_config(config, os.environ)


def build_providers(settings: Settings) -> tuple["Provider", ...]:
    """The forecast providers in the order given.

    Raises:
        SettingsError: a provider's terms do not fit the declared use, or a setting is missing.
    """
    return tuple(_provider(choice, settings) for choice in settings.weather.providers)


def _provider(choice: ProviderChoice, settings: Settings) -> "Provider":
    weather = settings.weather
    if choice is ProviderChoice.MET_NORWAY:
        from frostwatch.weather.providers.met_norway import MetNorway

        return MetNorway(
            user_agent=USER_AGENT, contact=weather.contact, base_url=weather.met_norway.base_url
        )
    if choice is ProviderChoice.BRIGHT_SKY:
        from frostwatch.weather.providers.bright_sky import BrightSky

        return BrightSky(user_agent=USER_AGENT, base_url=weather.bright_sky.base_url)
    from frostwatch.weather.providers.open_meteo import OpenMeteo

    return OpenMeteo(open_meteo_server("api", settings))


def open_meteo_server(api: str, settings: Settings) -> "OpenMeteoServer":
    """One of Open-Meteo's hosts, or the server of one's own that stands for all of them.

    Raises:
        SettingsError: the free host for commercial use.
    """
    from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer

    weather = settings.weather
    return OpenMeteoServer(
        api,
        user_agent=f"{USER_AGENT} {weather.contact}".strip(),
        use=weather.use,
        base_url=weather.open_meteo.base_url,
        api_key=weather.open_meteo.api_key.get_secret_value(),
    )


def parsers() -> dict[str, "Parser"]:
    """Provider name -> what reads its recorded replies, in order of preference."""
    from frostwatch.weather.providers import bright_sky_reply, met_norway_reply, open_meteo_reply

    modules = (open_meteo_reply, met_norway_reply, bright_sky_reply)
    return {module.NAME: module.parse for module in modules}


def ensemble_parsers() -> dict[str, "Parser"]:
    """Provider name -> what reads its recorded ensemble replies."""
    from frostwatch.weather.providers import open_meteo_ensemble_reply, open_meteo_reply

    return {open_meteo_reply.NAME: open_meteo_ensemble_reply.parse}


def ground_parsers() -> dict[str, "Parser"]:
    """Provider name -> what reads its recorded replies about its own ground."""
    from frostwatch.weather.providers import open_meteo_ground, open_meteo_reply

    return {open_meteo_reply.NAME: open_meteo_ground.parse_ground}


def reply_parsers() -> dict[str, "Parser"]:
    """Provider name -> what reads its kept replies, ensembles included."""
    from frostwatch.weather.providers import open_meteo_ensemble, open_meteo_ensemble_reply

    names = (open_meteo_ensemble_reply.NAME, open_meteo_ensemble.MEMBERS_NAME)
    return parsers() | dict.fromkeys(names, open_meteo_ensemble_reply.parse)


def build_recorded(folder: Path, site_names: dict[str, Sequence[str]]) -> "Recorded":
    """Forecasts out of a folder of recorded replies; ``site_names``: point key -> sites."""
    from frostwatch.weather.providers.recorded import Recorded

    return Recorded(
        folder,
        sites=site_names,
        parsers=parsers(),
        ensemble_parsers=ensemble_parsers(),
        ground_parsers=ground_parsers(),
    )


def build_cache(
    settings: Settings,
    replies: "ReplyStore",
    attempts: "AttemptLog | None" = None,
    sleep: Sleep = time.sleep,
) -> "WeatherCache":
    """The providers behind their cache.

    Where Open-Meteo is among them, its ensembles and the height of its model's ground come along.

    Args:
        settings: the settings in force.
        replies: where replies are kept.
        attempts: log of requests; None keeps it in this process.
        sleep: how to wait for a provider's budget.

    Raises:
        SettingsError: a provider's terms do not fit the declared use, or a setting is missing.
    """
    from frostwatch.weather.cache import WeatherCache
    from frostwatch.weather.providers.open_meteo_ensemble import OpenMeteoEnsemble
    from frostwatch.weather.providers.open_meteo_ground import OpenMeteoGround

    providers = build_providers(settings)
    asked = ProviderChoice.OPEN_METEO in settings.weather.providers
    ensembles: tuple[Provider | None, Provider | None] = (None, None)
    ground: tuple[Provider, str] | None = None
    if asked:
        model_of = ProviderChoice.OPEN_METEO.value
        ground = (OpenMeteoGround(open_meteo_server("api", settings)), model_of)
    if asked and settings.weather.open_meteo.ensemble:
        server = open_meteo_server("ensemble-api", settings)
        ensembles = (OpenMeteoEnsemble(server), OpenMeteoEnsemble(server, members=True))
    return WeatherCache(
        providers,
        replies,
        ensemble=ensembles[0],
        members=ensembles[1],
        ground=ground,
        attempts=attempts,
        sleep=sleep,
    )


def build_channels(settings: Settings) -> "AppriseChannels":
    """What hands messages over, within the limits of the settings."""
    from frostwatch.messages.channels import AppriseChannels
    from frostwatch.messages.local_outbox import LocalOutbox

    return AppriseChannels(
        LocalOutbox(settings.messages.outbox_folder),
        allow_private=settings.messages.allow_private_addresses,
    )


def build_heights(
    settings: Settings, store: "TerrainStore", attempts: "AttemptLog"
) -> "PlaceHeights | None":
    """Looks up heights that nobody entered; None where Open-Meteo is not among the providers:
    whoever did not choose a service is not made to use it.

    Raises:
        SettingsError: the free host for commercial use.
    """
    from frostwatch.weather.cache.heights import HeightService, PlaceHeights
    from frostwatch.weather.providers.open_meteo_places import HEIGHT_ATTRIBUTION, find_heights

    if ProviderChoice.OPEN_METEO not in settings.weather.providers:
        return None
    server = open_meteo_server("api", settings)
    service = HeightService(
        ask=lambda coordinates, now: find_heights(server, coordinates, now),
        credit=HEIGHT_ATTRIBUTION,
        host=server.host,
        limits=server.limits,
    )
    return PlaceHeights(service, store, attempts)


def open_kit(settings: Settings, sleep: Sleep = time.sleep) -> tuple[Kit, "SqlLedger"]:
    """Everything a pass works with.

    Args:
        settings: the settings in force.
        sleep: how to wait for a provider's budget.

    Raises:
        SettingsError, LedgerError: with how to mend it.
    """
    from frostwatch.service.lessons import Lessons
    from frostwatch.storage.ledger import open_ledger

    ledger = open_ledger(settings.database_url)
    try:
        forecasts = _forecasts(settings, ledger, sleep)
        heights = build_heights(settings, ledger.terrain, ledger.attempts)
    except FrostwatchError:
        ledger.close()
        raise
    kit = Kit(
        ledger=ledger,
        outbox=ledger.outbox,
        channels=build_channels(settings),
        forecasts=forecasts,
        heights=heights,
        members=settings.weather.members,
        public_url=settings.public_url if settings.web.port else "",
        links=ledger.links,
        lessons=Lessons(ledger.lessons),
        plans=ledger.plans,
    )
    return kit, ledger


def build_pages(settings: Settings, kit: Kit, ledger: "SqlLedger") -> "FastAPI":
    """The app of the pages."""
    from frostwatch.service.planner import Planner
    from frostwatch.web.app import build_app

    return build_app(
        ledger,
        utc_now,
        public_url=settings.public_url,
        replies_token=settings.web.replies_token.get_secret_value(),
        scout=_scout(settings, kit),
        planner=Planner(kit=kit),
        allow_private=settings.messages.allow_private_addresses,
    )


def _scout(settings: Settings, kit: Kit) -> "Scout":
    """What looks at places before they are entered; Open-Meteo is asked only if it is set."""
    from functools import partial

    from frostwatch.service.first_look import Scout

    if ProviderChoice.OPEN_METEO not in settings.weather.providers:
        return Scout(kit=kit)
    return Scout(
        kit=kit,
        places=partial(open_meteo_server, "geocoding-api", settings),
        heights=partial(open_meteo_server, "api", settings),
    )


def _forecasts(settings: Settings, ledger: "SqlLedger", sleep: Sleep) -> "WeatherCache | Recorded":
    if ProviderChoice.RECORDED in settings.weather.providers:
        return build_recorded_for(settings, ledger)
    return build_cache(settings, ledger.replies, ledger.attempts, sleep)


def build_recorded_for(settings: Settings, ledger: "SqlLedger") -> "Recorded":
    """Forecasts out of the folder of recorded replies that the settings name."""
    from frostwatch.service.nights import point_of

    names: dict[str, Sequence[str]] = {}
    for site in ledger.load(utc_now()).sites:
        key = point_of(site).key
        names[key] = [*names.get(key, ()), site.key]
    return build_recorded(settings.weather.recorded_folder, names)
