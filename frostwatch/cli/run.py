"""``frostwatch run``: the service, or the demo."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import Config

if TYPE_CHECKING:
    from frostwatch.service.demo import Demo
    from frostwatch.service.kit import Kit
    from frostwatch.settings import Settings
    from frostwatch.storage.ledger import SqlLedger


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="run")(run_)


def run_(
    config: Config = None,
    demo: Annotated[
        bool, typer.Option("--demo", help="Invented fleet and weather; nothing leaves here.")
    ] = False,
    folder: Annotated[
        Path, typer.Option("--folder", help="With --demo: its folder, made anew at the start.")
    ] = Path("var/demo"),
    once: Annotated[
        bool, typer.Option("--once", help="With --demo: show what it found, then leave.")
    ] = False,
) -> None:
    """Run the service: a pass an hour and at reading times, the outbox every minute."""
    from frostwatch.wiring import settings_from

    if demo:
        _demo(folder, once=once)
        return
    settings, _ = settings_from(config)
    _serve(settings)


def _serve(settings: "Settings") -> None:
    import platform
    import threading

    from frostwatch.logs import set_up_logs
    from frostwatch.service.schedule import Service, heartbeat_to, sleep_unless, stop_on_signals
    from frostwatch.wiring import open_kit, utc_now

    set_up_logs(settings.service.log_level.value)
    stop = threading.Event()
    kit, ledger = open_kit(settings, sleep=sleep_unless(stop))
    stop_on_signals(stop)
    beat = settings.service.heartbeat_url
    service = Service(
        kit,
        utc_now,
        heartbeat=heartbeat_to(beat) if beat else None,
        prune=ledger.prune,
        host=platform.node(),
    )
    try:
        service.pass_once()
        service.send_once()
        service.run(stop)
    finally:
        ledger.close()


def _demo(folder: Path, *, once: bool) -> None:
    import threading

    from frostwatch.cli.say import end_progress, progress, say
    from frostwatch.logs import set_up_logs
    from frostwatch.service.demo import live_through, prepare
    from frostwatch.service.schedule import Service, stop_on_signals
    from frostwatch.wiring import open_kit, utc_now

    set_up_logs("warning")
    started = utc_now()
    demo = prepare(folder, started)
    kit, ledger = open_kit(demo.settings)
    try:
        live_through(kit, demo, progress=lambda moment: progress(f"demo day, {moment:%H:%M} UTC"))
        end_progress()
        say(_what_it_found(demo, kit, ledger))
        if once:
            return
        offset = demo.now - utc_now()
        stop = threading.Event()
        stop_on_signals(stop)
        say("The demo's clock goes on from there. Ctrl-C ends it.")
        Service(kit, lambda: utc_now() + offset).run(stop)
    finally:
        ledger.close()


def _what_it_found(demo: "Demo", kit: "Kit", ledger: "SqlLedger") -> str:
    from frostwatch.cli.assess import as_table
    from frostwatch.service.pass_ import run_pass

    report = run_pass(kit, demo.now, everything=True, keep=False)
    rows = ledger.outbox.listed(since=demo.begins)
    zones = {site.key: site.zone for site in report.book.sites}
    lines = [f"Demo day, {demo.now:%A %d %B %Y, %H:%M} UTC. All of it is invented.", ""]
    lines += [as_table(report).rsplit("\n", 1)[0], "Said today:"]
    for row in rows:
        at = row.queued_at.astimezone(zones.get(row.message.site, zones[min(zones)]))
        lines.append(f"  {at:%a %H:%M}  to {row.message.recipient} by {row.message.channel}:")
        lines.append(f"             {row.message.short}")
    outbox = demo.settings.messages.outbox_folder
    lines += [
        "" if rows else "  nothing: nobody had to be told anything.",
        f"The whole texts: {outbox}/*.txt",
        f"For machines: {outbox}/messages.jsonl",
    ]
    return "\n".join(lines)
