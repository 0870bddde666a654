"""``frostwatch calendar``: a calendar as a file, or the address at which programs fetch it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import Config
from frostwatch.errors import FleetError, FrostwatchError

if TYPE_CHECKING:
    from datetime import datetime

    from frostwatch.ports.calendars import Publication
    from frostwatch.settings import Settings


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="calendar")(calendar)


def calendar(
    person: Annotated[str, typer.Option("--person", help="Key of the person.")] = "",
    site: Annotated[str, typer.Option("--site", help="Key of the site.")] = "",
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write; without it, standard output.")
    ] = None,
    address: Annotated[
        bool,
        typer.Option(
            "--address",
            help="Make an address at which calendar programs fetch it; ends the one before.",
        ),
    ] = False,
    withdraw: Annotated[
        bool, typer.Option("--withdraw", help="Make its address open nothing any more.")
    ] = False,
    now_at: Annotated[
        str, typer.Option("--now", help="As if it were this moment, with recorded replies.")
    ] = "",
    config: Config = None,
) -> None:
    """Write the calendar of a person or a site (RFC 5545), or say where it can be fetched."""
    from frostwatch.cli.moments import moment_from
    from frostwatch.wiring import settings_from, utc_now

    if bool(person) is bool(site):
        raise FleetError("calendar: give --person or --site, one of them.")
    if sum((address, withdraw, out is not None)) > 1:
        raise FleetError("calendar: give --out, --address or --withdraw, one of them.")
    settings, _ = settings_from(config)
    now = moment_from(now_at, "--now") if now_at else utc_now()
    if address or withdraw:
        _address(settings, person, site, now, withdraw=withdraw)
        return
    _write(_publication(settings, person, site, now), out)


def _publication(settings: "Settings", person: str, site: str, now: "datetime") -> "Publication":
    """The calendar from the forecast as it is."""
    from frostwatch.reports.publishing import once
    from frostwatch.service.calendar_facts import from_forecasts
    from frostwatch.service.calendars import feed_of_person, feed_of_site
    from frostwatch.weather.members import DEFAULT_LAW
    from frostwatch.wiring import open_kit

    kit, ledger = open_kit(settings)
    try:
        book = kit.ledger.load(now)
        laws = kit.lessons.laws() if kit.lessons is not None else {}
        yards = {one.key: ledger.pages.yard(one.key, now) for one in book.sites}
        feed = (feed_of_person if person else feed_of_site)(
            book,
            lambda at, vans: from_forecasts(
                kit.forecasts, at, vans, now, laws.get(at.key, DEFAULT_LAW)
            ),
            lambda at: yard.round if (yard := yards[at.key]) is not None else None,
            person or site,
            now,
        )
    finally:
        ledger.close()
    return once(feed.appointments, name=feed.name, zone=feed.zone, about=feed.about, now=now)


def _write(publication: "Publication", out: Path | None) -> None:
    from frostwatch.cli.say import say
    from frostwatch.reports.calendar import calendar_of

    text = calendar_of(publication)
    if out is None:
        say(text.decode().removesuffix("\n"))
        return
    try:
        out.write_bytes(text)
    except OSError as failure:
        raise FrostwatchError(
            f"--out: {out} cannot be written: {failure.strerror or failure}."
        ) from failure
    count = sum(not one.appointment.all_day for one in publication.shown.values())
    say(f"{out}: {publication.name}, {count} entr{'y' if count == 1 else 'ies'}.")
    say(publication.about)


def _address(
    settings: "Settings", person: str, site: str, now: "datetime", *, withdraw: bool
) -> None:
    from frostwatch.cli.say import say
    from frostwatch.service.calendar_addresses import CalendarDesk
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.web.rights.secret import digest_of, new_secret

    whose = f"person {person}" if person else f"site {site}"
    ledger = open_ledger(settings.database_url)
    try:
        desk = CalendarDesk(
            ledger=ledger, pages=ledger.pages, plans=ledger.plans, calendars=ledger.calendars
        )
        if withdraw:
            if not ledger.calendars.withdraw(f"person/{person}" if person else f"site/{site}"):
                raise FrostwatchError(f"{whose}: there is no address to withdraw.")
            say(f"{whose}: the address opens nothing any more.")
            return
        secret = new_secret()
        made = desk.make(digest_of(secret), now, person=person, site=site)
    finally:
        ledger.close()
    say(f"{settings.public_url or 'PAGES'}/calendar/{secret}.ics")
    say(
        f"{whose}: it is shown this once, holds until {made.expires_at:%Y-%m-%d}, and ends the one "
        "before. Whoever has it sees what stands in it."
    )
