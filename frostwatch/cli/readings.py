"""``frostwatch readings``: what a thermometer at a site showed, and what follows from it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError, RecordError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from frostwatch.fleet.sites import Site
    from frostwatch.ports import Intake, Lesson
    from frostwatch.storage.ledger import SqlLedger
    from frostwatch.storage.thermometer_files import ReadingsFile


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="readings")(readings)


def readings(
    site: Annotated[str, typer.Argument(help="Key of the site.")],
    file: Annotated[
        Path | None, typer.Argument(help="The thermometer's CSV; without it a list is shown.")
    ] = None,
    clock: Annotated[
        str,
        typer.Option("--clock", help="Times without offset are: local (the site's), utc, +01:00."),
    ] = "local",
    column: Annotated[
        str, typer.Option("--column", help="Header of the air outdoors, if there are several.")
    ] = "",
    dates: Annotated[
        str, typer.Option("--dates", help="For 03/04/2026: day-first or month-first.")
    ] = "",
    forget: Annotated[
        str,
        typer.Option("--forget", help="Leave readings aside: their number, or all. Kept anyway."),
    ] = "",
    use_again: Annotated[
        str, typer.Option("--use-again", help="Let them count again: their number, or all.")
    ] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Take in a thermometer's readings of the air outdoors, list them, or leave them aside.

    All of a file is taken, or nothing of it. After 30 nights the site's own error is used.
    """
    from frostwatch.cli.say import say, say_json
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    if sum(bool(one) for one in (file, forget, use_again)) > 1:
        raise FleetError("Give a file, --forget or --use-again: one thing at a time.")
    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    now = utc_now()
    try:
        place = _site(ledger, site, now)
        words = ""
        if file is not None:
            words = _take(ledger, place, file, now, clock=clock, column=column, dates=dates)
        elif forget or use_again:
            words = _set_aside(ledger, place, forget or use_again, now, again=bool(use_again))
        intakes = ledger.lessons.intakes(place.key)
        lesson = ledger.lessons.lessons().get(place.key)
    finally:
        ledger.close()
    if as_json:
        say_json(as_json_of(place.key, intakes, lesson))
        return
    say(
        "\n".join([*filter(None, [words]), _list(place, intakes), *learnt_lines(place.key, lesson)])
    )


def _site(ledger: "SqlLedger", key: str, now: "datetime") -> "Site":
    from frostwatch.fleet.finding import site_meant

    return site_meant(key, ledger.load(now).sites)


def _take(
    ledger: "SqlLedger",
    site: "Site",
    file: Path,
    now: "datetime",
    *,
    clock: str,
    column: str,
    dates: str,
) -> str:
    from frostwatch.service.lessons import take_readings

    read = _read(file, site, clock=clock, column=column, dates=dates)
    intake, _ = take_readings(ledger.lessons, site, read.readings, name=file.name, now=now)
    words = f"{file}: {intake.count} readings taken in as number {intake.id}"
    repeated = len(read.readings) - intake.count
    if repeated:
        words += f", {repeated} of a moment given before left out"
    if read.without_value:
        words += f", {read.without_value} rows without a value"
    if read.column:
        words += f"; the air is column {read.column!r}"
    return f"{words}.\n"


def _read(file: Path, site: "Site", *, clock: str, column: str, dates: str) -> "ReadingsFile":
    from frostwatch.storage.sheets import decoded
    from frostwatch.storage.thermometer_files import read_thermometer_csv, zone_of
    from frostwatch.storage.thermometer_times import DayOrder

    zone = zone_of(clock, site.zone)
    if zone is None:
        raise RecordError(f"--clock: {clock!r} is not known. Write local, utc, or +01:00.")
    if dates and dates not in list(DayOrder):
        raise RecordError(f"--dates: {dates!r} is not known. Write day-first or month-first.")
    try:
        text = decoded(file.read_bytes())
    except OSError as unreadable:
        raise RecordError(f"{file} cannot be read: {unreadable.strerror}.") from unreadable
    order = DayOrder(dates) if dates else None
    found = (
        text
        if isinstance(text, list)
        else read_thermometer_csv(text, zone, column=column, day_order=order)
    )
    if isinstance(found, list):
        lines = [f"{file}: nothing was taken in; to mend:", *(f"{file}: {one}" for one in found)]
        raise RecordError("\n".join(lines))
    return found


def _set_aside(
    ledger: "SqlLedger", site: "Site", which: str, now: "datetime", *, again: bool
) -> str:
    from frostwatch.service.lessons import forget

    if which != "all" and not which.isdecimal():
        raise RecordError(f"{which!r} is no number of readings. Write a number, or all.")
    number = None if which == "all" else int(which)
    changed, _ = forget(ledger.lessons, site, number, now, again=again)
    names = ", ".join(f"{one.id} ({one.name})" for one in changed)
    if again:
        return f"These count again: {names}.\n"
    back = f"frostwatch readings {site.key} --use-again {which}"
    return f"Left aside, not deleted: {names}. Back with: {back}\n"


def _list(site: "Site", intakes: "Sequence[Intake]") -> str:
    if not intakes:
        return f"No readings of a thermometer at {site.name}."
    table = [["number", "taken in", "readings", "from", "to", "counts", "name"]]
    for one in intakes:
        first, last, at = (
            moment.astimezone(site.zone) for moment in (one.first_at, one.last_at, one.received_at)
        )
        table.append(
            [
                str(one.id),
                f"{at:%Y-%m-%d %H:%M}",
                str(one.count),
                f"{first:%Y-%m-%d %H:%M}",
                f"{last:%Y-%m-%d %H:%M}",
                "left aside" if one.forgotten_at else "yes",
                one.name,
            ]
        )
    return rows_of(table)


def learnt_lines(site: str, lesson: "Lesson | None") -> list[str]:
    """What a site's nights taught, whether it is used, and how to undo it."""
    if lesson is None or lesson.learnt is None:
        words = (
            "Nothing learnt here yet: the default error holds. It takes 30 nights of readings, or "
            "of a provider that tells the past hours too."
        )
        if lesson is not None and not lesson.learning:
            words += f" Learning is off; on with: frostwatch weather {site} --learning on"
        return [words]
    said = f"Learnt: {lesson.learnt.sentence}"
    if not lesson.learning:
        return [said, f"Not used; used again with: frostwatch weather {site} --learning on"]
    return [said, f"Undone with: frostwatch weather {site} --learning off"]


def lesson_as_json(lesson: "Lesson | None") -> dict[str, Any]:
    """The same for machines."""
    learnt = lesson.learnt if lesson is not None else None
    return {
        "used": lesson is not None and lesson.in_force is not None,
        "learning": lesson is None or lesson.learning,
        "source": learnt.source.value if learnt else None,
        "nights": learnt.nights if learnt else None,
        "first": learnt.first.isoformat() if learnt else None,
        "last": learnt.last.isoformat() if learnt else None,
        "mean_error_k": round(learnt.mean_error_k, 3) if learnt else None,
        "site_bias_k": round(learnt.law.site_bias_k, 3) if learnt else None,
        "by_day_k": [round(one, 3) for one in learnt.law.by_day_k] if learnt else None,
        "site_k": round(learnt.law.site_k, 3) if learnt else None,
    }


def as_json_of(site: str, intakes: "Sequence[Intake]", lesson: "Lesson | None") -> dict[str, Any]:
    """Everything the command shows."""
    return {
        "site": site,
        "readings": [
            {
                "number": one.id,
                "name": one.name,
                "received_at": one.received_at.isoformat(),
                "count": one.count,
                "first_at": one.first_at.isoformat(),
                "last_at": one.last_at.isoformat(),
                "counts": one.forgotten_at is None,
            }
            for one in intakes
        ],
        "learnt": lesson_as_json(lesson),
    }
