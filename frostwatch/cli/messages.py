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
    as_json: AsJson = False,
) -> None:
    """List messages with what became of each."""
    from datetime import timedelta

    from frostwatch.cli.say import say, say_json
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    try:
        rows = ledger.outbox.listed(since=utc_now() - timedelta(days=days))
    finally:
        ledger.close()
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
        say(f"No messages in the last {days:g} days.")
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
