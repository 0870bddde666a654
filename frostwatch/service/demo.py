"""The demo: three invented places, an invented cold spell that begins tomorrow, a clock of its own.

Nothing leaves the computer: forecasts come from files, messages go into a folder.
"""

import shutil
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from frostwatch.advice.slots import Diary
from frostwatch.errors import FleetError, SettingsError
from frostwatch.fleet.people import Person
from frostwatch.fleet.roofs import Under
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.outbox import flush
from frostwatch.messages.replies import new_code
from frostwatch.service.demo_weather import midnight_of, write_replies
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory
from frostwatch.service.owner_links import link_by_hand
from frostwatch.service.pass_ import run_pass
from frostwatch.settings import MessageSettings, ProviderChoice, Settings, WeatherSettings

if TYPE_CHECKING:
    from frostwatch.storage.ledger import SqlLedger

PLACES = ("yard", "owner", "forecourt")
BEGINS = timedelta(hours=5)
"""The demo's day is lived through from 05:00 UTC ..."""
NOW = timedelta(hours=18, minutes=30)
"""... to 18:30 UTC, when yard, owner and forecourt have all been written to."""
STEP = timedelta(hours=3)
"""Between looks, beside the moments at which somebody reads: as often as a forecast is issued."""
OWN_FILES = frozenset({"demo.db", "demo.db-shm", "demo.db-wal", "outbox", "recorded"})
"""All that a demo leaves in its folder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    """A prepared demo.

    Attributes:
        folder: where its database, forecasts and messages are.
        settings: settings that point there.
        begins: first moment of the demo's day, UTC.
        now: the moment at which it is handed to the reader, UTC.
    """

    folder: Path
    settings: Settings
    begins: datetime
    now: datetime


def source_folder() -> Path:
    """Where the demo's files are.

    Raises:
        SettingsError: they were not installed along.
    """
    folder = Path(__file__).parents[2] / "config" / "demo"
    if not folder.is_dir():
        raise SettingsError(
            f"{folder} is missing: the demo's files are part of the source tree. "
            "Start the demo from there with: make run"
        )
    return folder


def prepare(folder: Path, today: datetime, *, public_url: str = "") -> Demo:
    """Lay out the demo anew: its database, forecasts and outbox.

    Args:
        folder: emptied of an earlier demo.
        today: a moment of the day on which the demo is to play, UTC.
        public_url: address of its pages, "" for none.

    Raises:
        SettingsError: the folder holds anything that no demo put there, or cannot be made.
    """
    from frostwatch.storage.ledger import open_ledger

    _make_room(folder)
    midnight = midnight_of(today)
    places = tomllib.loads((source_folder() / "weather.toml").read_text(encoding="utf-8"))
    write_replies(folder / "recorded", places["place"], midnight)
    settings = Settings(
        database_url=f"sqlite:///{folder / 'demo.db'}",
        public_url=public_url,
        weather=WeatherSettings(
            providers=(ProviderChoice.RECORDED,), recorded_folder=folder / "recorded"
        ),
        messages=MessageSettings(outbox_folder=folder / "outbox"),
    )
    ledger = open_ledger(settings.database_url)
    try:
        enter_places(ledger, midnight, begins=midnight + BEGINS)
    finally:
        ledger.close()
    return Demo(folder=folder, settings=settings, begins=midnight + BEGINS, now=midnight + NOW)


def _make_room(folder: Path) -> None:
    """An empty folder; whatever no demo made is never touched."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        there = sorted(folder.iterdir())
        strange = [path.name for path in there if path.name not in OWN_FILES]
        if strange:
            raise SettingsError(
                f"--folder: {folder} holds {strange[0]!r}, which is not the demo's, and would be "
                "emptied. Name a folder that is empty or does not exist."
            )
        for path in there:
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink()
    except OSError as failure:
        raise SettingsError(
            f"--folder: {folder} cannot be used: {failure.strerror or failure}."
        ) from failure


def forget_messages(demo: Demo) -> None:
    """Empty the demo's own outbox folder: a story that starts over has written to nobody yet.

    Raises:
        SettingsError: the folder cannot be emptied.
    """
    outbox = demo.folder / "outbox"
    try:
        if outbox.is_dir():
            shutil.rmtree(outbox)
    except OSError as failure:
        raise SettingsError(
            f"{outbox} cannot be emptied: {failure.strerror or failure}. Close what holds it open."
        ) from failure


def enter_places(ledger: "SqlLedger", midnight: datetime, *, begins: datetime) -> None:
    """Enter the three places with what is recorded about them.

    Args:
        ledger: an empty one.
        midnight: 00:00 UTC of the demo's day.
        begins: readings before it count as served, UTC.

    Raises:
        FleetError: one of the demo's files cannot be read.
    """
    from frostwatch.storage.entry_files import read_entries_csv, shifted
    from frostwatch.storage.fleet_files import read_fleet_toml

    for place in PLACES:
        read = read_fleet_toml((source_folder() / f"{place}.toml").read_text(encoding="utf-8"))
        if isinstance(read, list):
            raise FleetError(f"config/demo/{place}.toml: {read[0]}")
        entries_text = (source_folder() / f"{place}-entries.csv").read_text(encoding="utf-8")
        entries = read_entries_csv(entries_text, read.fleet)
        if isinstance(entries, list):
            raise FleetError(f"config/demo/{place}-entries.csv: {entries[0]}")
        anchor = read.anchor or midnight
        by = midnight - midnight_of(anchor)
        fleet = read.fleet
        ledger.save_fleet(
            sites=[_rotated_site(site, by.days) for site in fleet.sites],
            people=[_rotated_person(person, by.days) for person in fleet.people],
            vehicles=[_moved(vehicle, by) for vehicle in fleet.vehicles],
        )
        ledger.add_entries(shifted((*read.entries, *entries), by))
        if place == "owner":
            vehicle = fleet.vehicles[0].key
            ledger.links.keep([link_by_hand(ledger, vehicle, "", begins, code=new_code())])
        for site in fleet.sites:
            ledger.commit(site.key, begins, judged_to=begins)


def _rotated_site(site: Site, days: int) -> Site:
    """The demo's story keeps its weekdays: whoever comes on its Friday comes on that day."""
    roofs = tuple(replace(r, under=_stays_later(r.under, timedelta(days=days))) for r in site.roofs)
    shifts = tuple(replace(s, weekday=(s.weekday + days) % 7) for s in site.shifts)
    return replace(site, shifts=shifts, roofs=roofs)


def _rotated_person(person: Person, days: int) -> Person:
    slots = tuple(replace(s, weekday=(s.weekday + days) % 7) for s in person.slots)
    return replace(person, slots=slots)


def _moved(vehicle: Vehicle, by: timedelta) -> Vehicle:
    """Its handover, the hour it leaves a building and its handbook move with the story."""
    handover = vehicle.handover
    if handover is not None:
        handover = replace(handover, at=handover.at + by)
    return replace(
        vehicle,
        handover=handover,
        under=None if vehicle.under is None else _stays_later(vehicle.under, by),
        handbook=tuple(replace(one, at=_later(one.at, by)) for one in vehicle.handbook),
        own_from=tuple(replace(one, at=_later(one.at, by)) for one in vehicle.own_from),
    )


def _later(at: datetime | None, by: timedelta) -> datetime | None:
    return at + by if at is not None else None


def _stays_later(under: Under, by: timedelta) -> Under:
    return replace(under, until=_later(under.until, by))


def live_through(
    kit: Kit,
    demo: Demo,
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    memory: Memory | None = None,
    progress: Callable[[datetime], None] | None = None,
) -> None:
    """Play the demo: every pass and every message of a stretch of it.

    What the pages show is made by the last pass alone: nobody looked in between.

    Args:
        kit: the demo's adapters.
        demo: the demo.
        since: moment up to which it was played before, UTC; None for its beginning.
        until: moment up to which it is played, UTC; None for the one it is handed over at.
        memory: what earlier passes of this process worked out.
        progress: called with each moment.
    """
    begins, ends = since or demo.begins, until or demo.now
    memory = memory or Memory()
    quick = replace(kit, boards=False, near_only=True)
    for moment in _moments(kit, begins, ends):
        if progress is not None:
            progress(moment)
        run_pass(kit if moment == ends else quick, moment, memory=memory)
        flush(kit.outbox, kit.channels, moment, limit=100)


def _moments(kit: Kit, begins: datetime, ends: datetime) -> Sequence[datetime]:
    """A look at each forecast of a stretch, whenever somebody reads, and at its end."""
    found = {begins + n * STEP for n in range(int((ends - begins) / STEP) + 1)} | {ends}
    book = kit.ledger.load(begins)
    for site in book.sites:
        day, last = (moment.astimezone(site.zone).date() for moment in (begins, ends))
        while day <= last:
            for person in book.people:
                found |= set(Diary(person=person, site=site).readings_on(day))
            day += timedelta(days=1)
    return sorted(moment for moment in found if begins <= moment <= ends)
