"""What stands in the way of being told in time: settings, database, people, the last passes.

Each finding has an id that stays, so that it can be looked up and silenced by name.
"""

import os
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from frostwatch.errors import LedgerError, NewerLedgerError, SettingsError
from frostwatch.service.findings import Finding, Weight
from frostwatch.service.ledger_checks import ledger_findings
from frostwatch.settings import ProviderChoice, Settings
from frostwatch.storage import schema
from frostwatch.storage.database import Database
from frostwatch.storage.ledger import SqlLedger


def run_checks(
    settings: Settings,
    now: datetime,
    *,
    build_weather: Callable[[Settings], object],
    config: Path | None = None,
) -> tuple[Finding, ...]:
    """Look at everything once; nothing is changed, nothing is sent.

    Args:
        settings: the settings to look at.
        now: time of the check, UTC.
        build_weather: makes the forecast providers, or raises SettingsError.
        config: file they came from, None if from none.
    """
    return (
        *_weather(settings, build_weather),
        *_folders(settings),
        *_reachability(settings),
        *_secrets(settings, config),
        *_database(settings, now),
    )


def _weather(settings: Settings, build_weather: Callable[[Settings], object]) -> Iterator[Finding]:
    weather = settings.weather
    if ProviderChoice.RECORDED in weather.providers:
        if not (weather.recorded_folder / "forecasts").is_dir():
            yield Finding(
                id="FW203",
                level=Weight.ERROR,
                what=f"weather.recorded_folder: {weather.recorded_folder} has no folder forecasts.",
                hint="Put recorded replies there, or name other weather.providers.",
            )
        return
    try:
        build_weather(settings)
    except SettingsError as wrong:
        yield Finding(id="FW201", level=Weight.ERROR, what=str(wrong), hint="See [weather].")
    if not weather.contact:
        yield Finding(
            id="FW202",
            level=Weight.WARNING,
            what="weather.contact is empty: a provider that minds a request cannot write to you.",
            hint="Give an e-mail or web address at which you can be reached.",
        )


def _folders(settings: Settings) -> Iterator[Finding]:
    folder = settings.messages.outbox_folder
    if not _writable(folder):
        yield Finding(
            id="FW301",
            level=Weight.ERROR,
            what=f"messages.outbox_folder: {folder} cannot be written.",
            hint="Make the folder, let frostwatch write to it, or name another.",
        )


def _reachability(settings: Settings) -> Iterator[Finding]:
    if not settings.service.heartbeat_url:
        yield Finding(
            id="FW302",
            level=Weight.WARNING,
            what="service.heartbeat_url is empty: nobody notices if this service falls silent.",
            hint="Name an address that a monitor elsewhere watches.",
        )
    if not settings.public_url:
        yield Finding(
            id="FW303",
            level=Weight.NOTE,
            what="public_url is empty: messages carry no links.",
            hint="Set it once people can reach this service by a web address.",
        )
    elif not settings.web.port:
        yield Finding(
            id="FW305",
            level=Weight.WARNING,
            what="public_url is set and web.port is 0: messages carry no links.",
            hint="Set a port for the pages, or empty public_url.",
        )
    if settings.web.port and _is_open_and_plain(settings):
        yield Finding(
            id="FW306",
            level=Weight.WARNING,
            what="Passwords and links travel unencrypted: other computers reach the pages by http.",
            hint="Put a proxy that speaks HTTPS before web.address, and name it as public_url.",
        )


def _is_open_and_plain(settings: Settings) -> bool:
    if settings.public_url:
        return settings.public_url.startswith("http:")
    return settings.web.address not in ("127.0.0.1", "::1", "localhost")


def _secrets(settings: Settings, config: Path | None) -> Iterator[Finding]:
    secret = settings.weather.open_meteo.api_key.get_secret_value()
    secret = secret or settings.web.replies_token.get_secret_value()
    secret = secret or ("" if settings.database_url.startswith("sqlite") else "@")
    if os.name == "posix" and config and secret and config.stat().st_mode & 0o004:
        yield Finding(
            id="FW304",
            level=Weight.WARNING,
            what=f"{config} may be read by everybody on this computer, and may hold secrets.",
            hint=f"chmod o-r {config}, or move the secrets into files named by ..._FILE variables.",
        )


def _database(settings: Settings, now: datetime) -> Iterator[Finding]:
    try:
        database = _existing(settings.database_url)
        if database is None:
            yield Finding(
                id="FW103",
                level=Weight.NOTE,
                what="The database is not there yet.",
                hint="It is made when frostwatch first starts.",
            )
            return
        try:
            yield from _contents(database, now, settings)
        finally:
            database.close()
    except NewerLedgerError as newer:
        yield Finding(id="FW102", level=Weight.ERROR, what=str(newer), hint="Nothing was changed.")
    except LedgerError as failure:
        yield Finding(id="FW101", level=Weight.ERROR, what=str(failure), hint="See database_url.")


def _existing(url: str) -> Database | None:
    """The database, unless it is an SQLite file that would only now be made."""
    path = Path(url.removeprefix("sqlite:///"))
    if not url.startswith("sqlite:///") or path.exists():
        return Database(url)
    if not _writable(path.parent):
        raise LedgerError(f"The folder {path.parent} of the database cannot be written.")
    return None


def _contents(database: Database, now: datetime, settings: Settings) -> Iterator[Finding]:
    if not schema.is_current(database):
        yield Finding(
            id="FW103",
            level=Weight.NOTE,
            what=f"The database {database.where} is empty or of an older form.",
            hint="It is brought up to date when frostwatch next starts; make a backup before.",
        )
        return
    yield from ledger_findings(
        SqlLedger(database),
        now,
        allow_private=settings.messages.allow_private_addresses,
        look_up=ProviderChoice.OPEN_METEO in settings.weather.providers,
    )


def _writable(folder: Path) -> bool:
    """Whether files can be written to a folder that is there or could be made."""
    there = next(place for place in (folder, *folder.absolute().parents) if place.exists())
    return there.is_dir() and os.access(there, os.W_OK | os.X_OK)
