"""``frostwatch links``: which links owners can open, one more, and taking them back."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from frostwatch.ports import AnswerLink
    from frostwatch.storage.ledger import SqlLedger


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    group = typer.Typer(
        help="The links behind which owners see their vehicle, without an account.",
        no_args_is_help=True,
    )
    group.command(name="make")(make)
    group.command(name="list")(list_)
    group.command(name="withdraw")(withdraw)
    app.add_typer(group, name="links")


@contextmanager
def _ledger(config: Path | None) -> Iterator[tuple["SqlLedger", str]]:
    """The ledger of the settings, and the address of the pages."""
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from

    settings, _ = settings_from(config)
    with closing(open_ledger(settings.database_url)) as ledger:
        yield ledger, settings.public_url


def make(
    vehicle: Annotated[str, typer.Argument(help="Key of the vehicle.")],
    person: Annotated[
        str,
        typer.Option("--person", help="Key of whoever gets it; left out, the vehicle's keeper."),
    ] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Make a link to one vehicle, until the season ends. It is shown once, and is as good as a key:
    whoever has it may answer as that person."""
    from frostwatch.cli.say import say, say_json
    from frostwatch.messages.replies import link_path, new_code
    from frostwatch.service.owner_links import link_by_hand
    from frostwatch.wiring import utc_now

    with _ledger(config) as (ledger, address):
        link = link_by_hand(ledger, vehicle, person, utc_now(), code=new_code())
        ledger.links.keep([link])
    path = f"{address}{link_path(link.code)}"
    if as_json:
        say_json({**_as_json(link), "link": path, "code": link.code})
        return
    say(path)
    say(f"For {link.recipient}, {vehicle} alone, until {link.expires_at:%Y-%m-%d}.")
    if not address:
        say("Put the web address of the pages in front of it: public_url in the settings is empty.")


def list_(
    site: Annotated[str, typer.Argument(help="Key of the site.")],
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Links about a site that still open, without the links themselves."""
    from frostwatch.cli.say import say, say_json
    from frostwatch.wiring import utc_now

    with _ledger(config) as (ledger, _):
        _known(ledger, site)
        found = ledger.links.open_at(site, utc_now())
    if as_json:
        say_json([_as_json(link) for link in found])
        return
    if not found:
        say(f"No link about {site} is open. See: frostwatch links make --help")
        return
    table = [["person", "vehicles", "made (UTC)", "until"]]
    for link in found:
        made, ends = f"{link.made_at:%Y-%m-%d %H:%M}", f"{link.expires_at:%Y-%m-%d}"
        table.append([link.recipient, " ".join(link.draft.vehicles) or "-", made, ends])
    say(rows_of(table))


def withdraw(
    person: Annotated[str, typer.Argument(help="Key of the person.")],
    site: Annotated[str, typer.Option("--site", help="Key of the site.")],
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Make everything open nothing that one person was sent about a site."""
    from frostwatch.cli.say import say, say_json
    from frostwatch.wiring import utc_now

    with _ledger(config) as (ledger, _):
        _known(ledger, site)
        ended = ledger.links.withdraw(person, site=site, now=utc_now())
    if not ended:
        raise FleetError(f"{person!r} has no open link about {site}. See: frostwatch links list")
    if as_json:
        say_json({"person": person, "site": site, "withdrawn": ended})
        return
    say(f"{ended} link{'s' * (ended != 1)} of {person} about {site} open nothing any more.")


def _known(ledger: "SqlLedger", site: str) -> None:
    names = ledger.pages.site_names()
    if site not in names:
        known = ", ".join(names) or "none is entered yet"
        raise FleetError(f"There is no site {site!r}. There are: {known}.")


def _as_json(link: "AnswerLink") -> dict[str, object]:
    return {
        "person": link.recipient,
        "site": link.draft.site,
        "vehicles": list(link.draft.vehicles),
        "made_at": link.made_at.isoformat(),
        "expires_at": link.expires_at.isoformat(),
    }
