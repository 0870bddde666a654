"""``frostwatch people``: who is told, how they are reached, and whether it works."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import ChannelError

if TYPE_CHECKING:
    from datetime import datetime

    from frostwatch.fleet.people import Person
    from frostwatch.ports import Book
    from frostwatch.service.trials import Trial

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    group = typer.Typer(
        help="Who is told, how they are reached, and whether it works.", no_args_is_help=True
    )
    group.command(name="list")(list_)
    group.command(name="test")(try_out_)
    app.add_typer(group, name="people")


def list_(config: Config = None, as_json: AsJson = False) -> None:
    """Everybody with duty, reach, quiet hours and channels; what opens a channel is not shown."""
    from frostwatch.cli.say import say, say_json
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    try:
        book = ledger.load(utc_now())
        refusing = ledger.outbox.refusing_channels()
    finally:
        ledger.close()
    found = [_as_json(person, book, refusing) for person in book.people]
    if as_json:
        say_json(found)
        return
    if not found:
        say("Nobody is entered yet. Import a fleet: frostwatch import FILE.")
        return
    for person in found:
        say(_in_words(person))


def _as_json(
    person: "Person", book: "Book", refusing: dict[tuple[str, str], str]
) -> dict[str, Any]:
    from frostwatch.messages.channels import shown_address
    from frostwatch.service.trials import sites_of

    return {
        "person": person.key,
        "name": person.name,
        "duty": person.duty.value,
        "language": person.language.value,
        "sites": [site.key for site in sites_of(person, book)],
        "vehicles": [one.key for one in book.vehicles if one.keeper == person.key],
        "travel_min": person.travel_min,
        "reading": [f"{at:%H:%M}" for at in person.reading],
        "slots": [f"{DAYS[s.weekday]} {s.starts:%H:%M}-{s.ends:%H:%M}" for s in person.slots],
        "quiet": [f"{person.quiet_from:%H:%M}", f"{person.quiet_to:%H:%M}"],
        "channels": [
            {
                "name": channel.name,
                "form": channel.form,
                "address": shown_address(channel.address),
                "refused": refusing.get((person.key, channel.name)),
            }
            for channel in person.channels
        ],
    }


def _in_words(person: dict[str, Any]) -> str:
    where = ", ".join(person["sites"]) or "no site"
    lines = [f"{person['name']} ({person['person']}): {person['duty']} at {where}"]
    if person["vehicles"]:
        lines.append(f"  keeps {', '.join(person['vehicles'])}")
    reads = ", ".join(person["reading"]) or "at the usual hours of the duty"
    from frostwatch.fleet.people import Duty

    usual = "by daylight" if person["duty"] == Duty.OWNER.value else "in working hours"
    can = ", ".join(person["slots"]) or usual
    lines.append(f"  reads {reads}; can come {can}; way {person['travel_min']:g} min")
    lines.append(f"  quiet {person['quiet'][0]}-{person['quiet'][1]}, in {person['language']}")
    table = [["  channel", "form", "address", "last time"]]
    for one in person["channels"]:
        state = f"refused: {one['refused']}" if one["refused"] else "-"
        table.append([f"  {one['name']}", one["form"], one["address"], state])
    lines.append(rows_of(table) if person["channels"] else "  no channel: nothing reaches them")
    return "\n".join([*lines, ""])


def try_out_(
    name: Annotated[str, typer.Argument(help="Key or name of the person.")],
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Also in the person's quiet hours.")
    ] = False,
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Send one trial message over each of a person's channels; status 1 if one did not take it."""
    from frostwatch.cli.say import say_json
    from frostwatch.fleet.finding import person_meant
    from frostwatch.ports import Refused
    from frostwatch.service.trials import try_out
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import build_channels, settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    now = utc_now()
    try:
        book = ledger.load(now)
        person = person_meant(name, book.people)
        if not anyway:
            _leave_in_peace(person, book, now)
        trials = []
        for trial in try_out(person, build_channels(settings), ledger.outbox, now):
            trials.append(trial)
            if not as_json:
                _say_trial(trial)
    finally:
        ledger.close()
    if as_json:
        say_json([_trial_as_json(trial) for trial in trials])
    if any(isinstance(trial.outcome, Refused) for trial in trials):
        raise typer.Exit(1)


def _leave_in_peace(person: "Person", book: "Book", now: "datetime") -> None:
    from frostwatch.advice.slots import Diary
    from frostwatch.service.trials import sites_of

    for site in sites_of(person, book)[:1]:
        diary = Diary(person=person, site=site)
        if diary.is_quiet(now):
            until = f"{diary.quiet_ends(now).astimezone(site.zone):%H:%M}"
            raise ChannelError(
                f"{person.name} has quiet hours until {until}. Try then, or add --anyway."
            )


def _say_trial(trial: "Trial") -> None:
    from frostwatch.cli.say import say
    from frostwatch.messages.channels import shown_address
    from frostwatch.ports import Refused

    where = f"{trial.channel.name} ({shown_address(trial.channel.address)})"
    outcome = trial.outcome
    if not isinstance(outcome, Refused):
        note = f": {outcome.note}" if outcome.note else ""
        say(f"{where}: taken{note}. Ask whether it was read.")
    elif outcome.permanent:
        say(f"{where}: refused for good: {outcome.reason}")
    else:
        say(f"{where}: not taken now, it may pass: {outcome.reason}")


def _trial_as_json(trial: "Trial") -> dict[str, Any]:
    from frostwatch.ports import Refused

    outcome = trial.outcome
    refused = isinstance(outcome, Refused)
    return {
        "channel": trial.channel.name,
        "form": trial.channel.form,
        "taken": not refused,
        "permanent": outcome.permanent if isinstance(outcome, Refused) else None,
        "reason": outcome.reason if isinstance(outcome, Refused) else outcome.note,
    }
