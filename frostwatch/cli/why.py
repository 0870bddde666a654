"""``frostwatch why``: what was decided about a vehicle, for whom, and on which numbers."""

from typing import Annotated

import typer

from frostwatch.cli.app import AsJson, Config


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="why")(why)


def why(
    vehicle: Annotated[str, typer.Argument(help="Key, bay or name of the vehicle.")],
    at: Annotated[
        str, typer.Option("--at", help="The moment asked for: 07:40, 2026-12-01 07:40; else now.")
    ] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Why something was said about a vehicle, or nothing: the stored decisions of that moment."""
    from frostwatch.cli.moments import local_moment
    from frostwatch.cli.say import complain, say, say_json
    from frostwatch.cli.why_words import reasons_as_json, reasons_in_words
    from frostwatch.fleet.finding import vehicle_meant
    from frostwatch.service.why import reasons_at
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    now = utc_now()
    try:
        moment = now
        if at:
            book = ledger.load(now)
            key = vehicle_meant(vehicle, book.vehicles).site
            zone = next(site.zone for site in book.sites if site.key == key)
            moment = local_moment(at, "--at", zone, now)
        found = reasons_at(ledger, vehicle, moment, now)
    finally:
        ledger.close()
    if moment > now:
        complain(f"{at} has not come yet: this is what was decided last, not what will be.")
    if as_json:
        say_json(reasons_as_json(found))
    else:
        say(reasons_in_words(found))
