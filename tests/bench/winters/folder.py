"""A winter as a folder that ``frostwatch replay`` reads."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Duty, Person
from frostwatch.records.entries import Entry
from frostwatch.storage.entry_files import write_entries_csv
from frostwatch.storage.fleet_write import write_fleet_toml
from tests.bench.winters.cases import Case, fillings
from tests.bench.winters.fast import DELAY, Made


def write_folder(
    path: Path,
    made: Made,
    person: Person,
    cases: Sequence[Case],
    *,
    refilled: bool = True,
    until: datetime | None = None,
) -> None:
    """Fleet, entries and all replies of a winter.

    Every vehicle of an owner is an owner's of its own, so that nobody's messages are grouped; a
    crew looks after all of them.

    Args:
        path: an empty folder.
        made: the forecasts.
        person: who is told.
        cases: the vehicles.
        refilled: every week, otherwise only once.
        until: replies that arrive later are left out.
    """
    owners = person.duty is Duty.OWNER
    people = tuple(replace(person, key=f"{person.key}-{c.key}") for c in cases)
    vehicles = tuple(
        replace(case.vehicle(made.site), keeper=one.key if owners else "")
        for case, one in zip(cases, people, strict=True)
    )
    crew = (replace(person, sites=(made.site.key,)),)
    fleet = Fleet(sites=(made.site,), people=people if owners else crew, vehicles=vehicles)
    weeks = fillings(made.winter) if refilled else fillings(made.winter)[:1]
    entries: list[Entry] = [e for at in weeks for case in cases for e in case.filled(made.site, at)]
    path.mkdir(parents=True, exist_ok=True)
    (path / "fleet.toml").write_text(write_fleet_toml(fleet))
    (path / "entries.csv").write_text(write_entries_csv(entries))
    replies = path / "forecasts" / "open-meteo" / made.site.key
    replies.mkdir(parents=True)
    for issue in made.issues:
        at = issue.at + DELAY
        if until is None or at <= until:
            (replies / f"{at:%Y%m%dT%H%M%SZ}.json").write_bytes(made.body(issue))
