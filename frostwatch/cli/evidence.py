"""``frostwatch evidence``: what a past judgement rested on, and whether it comes out the same."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from frostwatch.ports import PassBasis, Reply
    from frostwatch.service.again import Again, Told
    from frostwatch.storage.ledger import SqlLedger
    from frostwatch.weather.forecast import Point

CREDITS = "CREDITS.txt"
"""Lies beside saved replies: their licences ask for it wherever they go."""


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="evidence")(evidence)


def evidence(
    site: Annotated[str, typer.Argument(help="Key of the site.")],
    at: Annotated[
        str,
        typer.Option("--at", help="The last judgement up to this moment, ISO 8601, again."),
    ] = "",
    save: Annotated[
        Path | None,
        typer.Option("--save", help="With --at: folder for the replies, as they were received."),
    ] = None,
    days: Annotated[int, typer.Option("--days", min=1, help="Without --at: days listed.")] = 14,
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """List past judgements of a site, or work one out again from the kept replies.

    What was said is kept for a season, silence for a fortnight. Status 1 if a message differs.
    """
    from datetime import timedelta

    from frostwatch.cli.moments import moment_from
    from frostwatch.cli.say import say, say_json
    from frostwatch.logs import set_up_logs
    from frostwatch.service.again import work_again
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import parsers, settings_from, utc_now

    set_up_logs("warning")
    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    try:
        if not at:
            kept = ledger.bases.listed(site, since=utc_now() - timedelta(days=days))
            say_json([_row_as_json(one) for one in kept]) if as_json else say(_listed(site, kept))
            return
        basis = ledger.bases.at(site, moment_from(at, "--at"))
        if basis is None:
            raise FleetError(f"Nothing is kept of site {site!r} up to {at}.")
        again = work_again(basis, ledger, parsers(), public_url=settings.public_url)
        saved = _save(ledger, basis, save) if save is not None else []
    finally:
        ledger.close()
    say_json(_as_json(again)) if as_json else say("\n".join([_in_words(again), *saved]))
    if not again.same:
        raise typer.Exit(1)


def _save(ledger: "SqlLedger", basis: "PassBasis", folder: Path) -> list[str]:
    """Write the replies a judgement rested on, in the shape of a replay folder."""
    from frostwatch.service.nights import point_of
    from frostwatch.weather.providers.recorded import ARRIVAL

    frame = basis.frame
    if frame is None:
        return ["There was no reply to save."]
    lines: list[str] = []
    credit: dict[str, None] = {}
    for kind, number in (("forecasts", frame.reply_id), ("ensemble", frame.spread_reply_id)):
        reply = ledger.replies.reply(number) if number else None
        if reply is None:
            continue
        place = folder / kind / frame.provider / basis.site.key
        place.mkdir(parents=True, exist_ok=True)
        file = place / f"{reply.fetched_at:{ARRIVAL}}.json"
        file.write_bytes(reply.payload)
        lines.append(f"Saved: {file}")
        credit |= dict.fromkeys(_credit_of(reply, point_of(basis.site)))
    if credit:
        (folder / CREDITS).write_text("\n".join([*credit, ""]), encoding="utf-8")
        lines.append(f"Whom to name with them: {folder / CREDITS}")
    return lines


def _credit_of(reply: "Reply", point: "Point") -> list[str]:
    """Words the licence of a kept reply asks for."""
    from frostwatch.weather.forecast import Forecast
    from frostwatch.wiring import reply_parsers

    parse = reply_parsers().get(reply.provider)
    frame = parse(reply.payload, [point], reply.fetched_at)[point.key] if parse else None
    if not isinstance(frame, Forecast):
        return []
    return [f"{a.text}, {a.url}, {a.licence}" for a in frame.attribution]


def _listed(site: str, kept: "Sequence[PassBasis]") -> str:
    if not kept:
        return f"No judgement of {site} is kept in these days."
    table = [["judged at", "told", "vehicles", "provider", "reply", "error"]]
    for one in kept:
        frame = one.frame
        table.append(
            [
                _hour(one.at, one.site.zone),
                "somebody" if one.said else "nobody",
                str(len(one.vehicles)),
                frame.provider if frame else "none",
                f"{frame.reply_id} of {_hour(frame.fetched_at, one.site.zone)}" if frame else "-",
                "learnt here" if one.learnt else "default",
            ]
        )
    return rows_of(table)


def _in_words(again: "Again") -> str:
    basis, zone = again.basis, again.basis.site.zone
    lines = [f"{basis.site.name}, judged {_hour(basis.at, zone)}, worked out again."]
    frame = basis.frame
    if frame is None or again.reply_arrived_at is None:
        lines.append("It rested on no forecast.")
    else:
        spread = f", spread of reply {frame.spread_reply_id}" if frame.spread_reply_id else ""
        lines.append(
            f"Air: reply {frame.reply_id} of {frame.provider}, received "
            f"{_hour(again.reply_arrived_at, zone)}{spread}."
        )
        if not again.same_air:
            lines.append("It does NOT give the air that was decided on.")
    lines.append(basis.learnt.sentence if basis.learnt else "Error: the default, nothing learnt.")
    if again.work.failed:
        lines.append(f"It fails now: {again.work.failed}")
    if not again.told:
        lines.append("Nobody was told anything, and nobody is now.")
    for one in again.told:
        lines += _told_lines(one)
    return "\n".join(lines)


def _told_lines(one: "Told") -> list[str]:
    verdict = "the same" if one.same else "DIFFERENT"
    was = one.kept[0].message if one.kept else None
    now = one.again[0] if one.again else None
    said = was or now
    if said is None:
        return ["A message without a channel: the same."]
    lines = [f"{said.kind} to {said.recipient}: {verdict}", f"    {said.short}"]
    if not one.same:
        lines.append(f"    now: {now.short if now else 'nothing'}")
    return lines


def _row_as_json(one: "PassBasis") -> dict[str, Any]:
    frame = one.frame
    return {
        "at": one.at.isoformat(),
        "said": one.said,
        "vehicles": [vehicle.key for vehicle in one.vehicles],
        "provider": frame.provider if frame else None,
        "reply": frame.reply_id or None if frame else None,
        "spread_reply": frame.spread_reply_id or None if frame else None,
        "received_at": frame.fetched_at.isoformat() if frame else None,
        "learnt": one.learnt.sentence if one.learnt else None,
    }


def _as_json(again: "Again") -> dict[str, Any]:
    return _row_as_json(again.basis) | {
        "same": again.same,
        "same_air": again.same_air,
        "failed": again.work.failed or None,
        "messages": [
            {
                "same": one.same,
                "kept": [_message(row.message) for row in one.kept],
                "again": [_message(message) for message in one.again],
            }
            for one in again.told
        ],
    }


def _message(message: Any) -> dict[str, str]:
    names = ("recipient", "channel", "kind", "subject", "short", "long")
    return {name: getattr(message, name) for name in names}


def _hour(moment: "datetime", zone: "ZoneInfo") -> str:
    return f"{moment.astimezone(zone):%a %Y-%m-%d %H:%M}"
