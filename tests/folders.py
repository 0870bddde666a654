"""Replay folders for tests: a small yard, an invented course of the air, replies every 3 hours."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry
from frostwatch.storage.entry_files import write_entries_csv
from frostwatch.storage.fleet_write import write_fleet_toml
from frostwatch.weather.providers.recorded import ARRIVAL
from tests.worlds import Weather, open_meteo_reply

DELAY = timedelta(minutes=5)


def write_folder(
    path: Path,
    *,
    sites: Sequence[Site],
    people: Sequence[Person],
    vehicles: Sequence[Vehicle],
    entries: Sequence[Entry],
) -> Path:
    """A replay folder without any forecasts yet."""
    path.mkdir(parents=True, exist_ok=True)
    fleet = Fleet(sites=tuple(sites), people=tuple(people), vehicles=tuple(vehicles))
    (path / "fleet.toml").write_text(write_fleet_toml(fleet), encoding="utf-8")
    (path / "entries.csv").write_text(write_entries_csv(entries), encoding="utf-8")
    return path


def write_replies(
    path: Path, site: str, weather: Weather, first: datetime, last: datetime, every_h: int = 3
) -> list[Path]:
    """Replies issued from ``first`` to ``last``, each of which arrives five minutes later."""
    folder = path / "forecasts" / "open-meteo" / site
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    while first <= last:
        file = folder / f"{first + DELAY:{ARRIVAL}}.json"
        file.write_bytes(open_meteo_reply(weather, first))
        written.append(file)
        first += timedelta(hours=every_h)
    return written
