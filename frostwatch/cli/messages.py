"""``frostwatch messages``: what was said, to whom, and what became of it."""

from typing import Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="messages")(messages)


def messages(
    config: Config = None,
    days: Annotated[float, typer.Option("--days", help="How far back to look.")] = 14.0,
    to: Annotated[str, typer.Option("--to", help="Only to this person, by key or name.")] = "",
    site: Annotated[str, typer.Option("--site", help="Only about this site.")] = "",
    as_json: AsJson = False,
) -> None:
    """List messages with what became of each."""
    from datetime import timedelta

    from frostwatch.cli.say import say, say_json
    from frostwatch.fleet.finding import person_meant, site_meant
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    now = utc_now()
    try:
        rows = ledger.outbox.listed(since=now - timedelta(days=days))
        book = ledger.load(now) if to or site else None
    finally:
        ledger.close()
    if book is not None and to:
        person = person_meant(to, book.people).key
        rows = tuple(row for row in rows if row.message.recipient == person)
    if book is not None and site:
        place = site_meant(site, book.sites).key
        rows = tuple(row for row in rows if row.message.site == place)
    if as_json:
        for row in rows:
            say_json(
                {
                    "queued_at": row.queued_at.isoformat(),
                    "to": row.message.recipient,
                    "channel": row.message.channel,
                    "site": row.message.site,
                    "kind": row.message.kind,
                    "status": row.status.value,
                    "attempts": row.attempts,
                    "sent_at": row.sent_at.isoformat() if row.sent_at else None,
                    "result": row.result,
                    "short": row.message.short,
                }
            )
        return
    if not rows:
        chosen = " that fit" if to or site else ""
        say(f"No messages{chosen} in the last {days:g} days.")
        return
    table = [["queued (UTC)", "to", "over", "kind", "became", "the channel said", "text"]]
    table += [
        [
            f"{row.queued_at:%Y-%m-%d %H:%M}",
            row.message.recipient,
            row.message.channel,
            row.message.kind,
            row.status.value,
            row.result or "-",
            row.message.short,
        ]
        for row in rows
    ]
    say(rows_of(table))
