"""``frostwatch assess``: one pass now, and a table of how every vehicle stands."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Any

import typer

from frostwatch.cli.app import AsJson, Config, rows_of

if TYPE_CHECKING:
    from frostwatch.service.nights import Van
    from frostwatch.service.pass_ import PassReport, SiteWork


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="assess")(assess)


def assess(
    config: Config = None,
    look_only: Annotated[
        bool, typer.Option("--look-only", help="Keep nothing and queue no message.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Do one pass now: read, work out every night, decide, queue what is due; then show it."""
    from frostwatch.cli.say import end_progress, progress, say, say_json
    from frostwatch.logs import set_up_logs
    from frostwatch.service.pass_ import run_pass
    from frostwatch.wiring import open_kit, settings_from, utc_now

    set_up_logs("warning")
    settings, _ = settings_from(config)
    kit, ledger = open_kit(settings)
    try:
        report = run_pass(kit, utc_now(), everything=True, keep=not look_only, progress=progress)
    finally:
        ledger.close()
    end_progress()
    if as_json:
        say_json(list(rows_as_json(report)))
    else:
        say(as_table(report))
    if report.failed:
        raise typer.Exit(1)


def as_table(report: "PassReport") -> str:
    """Every site with its vehicles, the ones to go to first."""
    parts = []
    for work in report.sites:
        if work.unattended is not None:
            parts.append(f"{work.site.name}: {work.unattended} Enter a keeper or an operator.")
        parts += [_head(work), *(f"Left out, not reckoned with: {one}" for one in work.left_out)]
        parts += [_site_table(work), ""]
    if not report.sites:
        return (
            "No site is entered, so nothing was looked at. Import a fleet: frostwatch import FILE"
        )
    queued = "1 message" if report.messages == 1 else f"{report.messages} messages"
    said = f"{queued} queued." if report.messages else "Nothing to say now."
    return "\n".join([*parts, *_credits(report), said])


def _credits(report: "PassReport") -> list[str]:
    """Whom to name for the weather, each once."""
    named = dict.fromkeys(words for work in report.sites for words in work.view.forecast.credit)
    return [f"Weather: {'; '.join(named)}. Corrected to the place."] if named else []


def _head(work: "SiteWork") -> str:
    if work.failed:
        return f"{work.site.name}: this pass failed: {work.failed}"
    if work.forecast is None:
        return (
            f"{work.site.name}: no usable forecast. {work.why_none} This does not mean no frost: "
            f"{len(work.wet)} of {len(work.vans)} vehicles are wet or unknown."
        )
    issue = work.forecast.known_since.astimezone(work.site.zone)
    older = f" {work.view.forecast.standing.reason}" if work.view.forecast.standing.reason else ""
    return (
        f"{work.site.name}: {len(work.wet)} of {len(work.vans)} vehicles are wet or unknown. "
        f"Forecast of {issue:%a %d %b %H:%M}, {work.forecast.provider}.{older}"
    )


def _site_table(work: "SiteWork") -> str:
    table = [["bay", "vehicle", "holds", "ice from", "harm from", "likely", "chance"]]
    for row in sorted(_rows(work), key=lambda row: (row["sort"], row["bay"], row["vehicle"])):
        chance = row["probability"]
        table.append(
            [
                row["bay"] or "-",
                row["vehicle"],
                row["holds"],
                row["ice_from"] or "-",
                row["harm_from"] or "-",
                row["harm_likely"] or "-",
                "-" if chance is None else f"{100.0 * chance:.0f} %",
            ]
        )
    return rows_of(table)


def _rows(work: "SiteWork") -> Iterator[dict[str, Any]]:
    for van in work.vans:
        night = work.nights.get(van.vehicle.key)
        row: dict[str, Any] = {
            "site": work.site.key,
            "bay": van.vehicle.bay,
            "vehicle": van.vehicle.key,
            "holds": _holds(van),
            "ice_from": None,
            "harm_from": None,
            "harm_likely": None,
            "probability": None,
            "sort": 1e9 if not van.is_wet else 1e8,
        }
        if night is not None:
            ice, harm = night.ice_by(night.hours), night.harm_by(night.hours)
            for name, hour in (
                ("ice_from", ice.earliest_h),
                ("harm_from", harm.earliest_h),
                ("harm_likely", harm.likely_h),
            ):
                at = night.at(hour)
                row[name] = f"{at.astimezone(work.site.zone):%a %d %H:%M}" if at else None
            row["probability"] = round(harm.probability, 4)
            row["sort"] = min(harm.earliest_h, 1e7) - harm.probability
        yield row


def _holds(van: "Van") -> str:
    wet = [entry for entry in van.water if entry.is_wet]
    if not wet:
        return "nothing known to hold water"
    unknown = sum(entry.state.value == "unknown" for entry in wet)
    litres = sum(entry.litres_cost_l for entry in wet)
    words = f"{litres:.0f} L in {len(wet)} circuits"
    return f"{words}, {unknown} unknown" if unknown else words


def rows_as_json(report: "PassReport") -> Iterator[dict[str, Any]]:
    """The same rows for machines, and the sites that have no forecast or failed."""
    for work in report.sites:
        yield {
            "site": work.site.key,
            "forecast": work.forecast.provider if work.forecast else None,
            "issued_at": work.forecast.known_since.isoformat() if work.forecast else None,
            "no_forecast": work.why_none or None,
            "failed": work.failed or None,
            "left_out": list(work.left_out),
            "unattended": str(work.unattended) if work.unattended else None,
            "wet": len(work.wet),
            "messages": work.messages,
            "attribution": list(work.view.forecast.credit),
            "vehicles": [
                {name: value for name, value in row.items() if name != "sort"}
                for row in _rows(work)
            ],
        }
