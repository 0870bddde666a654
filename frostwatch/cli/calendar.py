"""``frostwatch calendar``: slots, rounds, handover steps and thaw checks as an iCalendar file."""

from pathlib import Path
from typing import Annotated

import typer

from frostwatch.cli.app import Config
from frostwatch.errors import FleetError, FrostwatchError


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="calendar")(calendar)


def calendar(
    person: Annotated[str, typer.Option("--person", help="Key of the person.")] = "",
    site: Annotated[str, typer.Option("--site", help="Key of the site.")] = "",
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write; without it, standard output.")
    ] = None,
    now_at: Annotated[
        str, typer.Option("--now", help="As if it were this moment, with recorded replies.")
    ] = "",
    config: Config = None,
) -> None:
    """Write the calendar of a person or a site (RFC 5545), to be read into any calendar."""
    from frostwatch.cli.moments import moment_from
    from frostwatch.cli.say import say
    from frostwatch.reports.calendar import calendar_of
    from frostwatch.service.calendars import feed_of_person, feed_of_site
    from frostwatch.wiring import open_kit, settings_from, utc_now

    if bool(person) is bool(site):
        raise FleetError("calendar: give --person or --site, one of them.")
    settings, _ = settings_from(config)
    now = moment_from(now_at, "--now") if now_at else utc_now()
    kit, ledger = open_kit(settings)
    try:
        book = kit.ledger.load(now)
        laws = kit.lessons.laws() if kit.lessons is not None else {}
        make, key = (feed_of_person, person) if person else (feed_of_site, site)
        feed = make(book, kit.forecasts, ledger.pages, key, now, laws)
    finally:
        ledger.close()
    text = calendar_of(feed.appointments, name=feed.name, zone=feed.zone, now=now)
    if out is None:
        say(text.decode().removesuffix("\n"))
        return
    try:
        out.write_bytes(text)
    except OSError as failure:
        raise FrostwatchError(
            f"--out: {out} cannot be written: {failure.strerror or failure}."
        ) from failure
