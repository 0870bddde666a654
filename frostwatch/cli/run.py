"""``frostwatch run``: the service with its pages, or the demo."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import Config

if TYPE_CHECKING:
    from fastapi import FastAPI

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
    port: Annotated[
        int | None,
        typer.Option("--port", min=1, max=65535, help="Serve the pages there, not at web.port."),
    ] = None,
    no_pages: Annotated[bool, typer.Option("--no-pages", help="Serve no pages.")] = False,
) -> None:
    """Run the service: a pass an hour and at reading times, the outbox every minute, the pages."""
    from frostwatch.settings import Settings, WebSettings
    from frostwatch.wiring import settings_from

    if demo:
        web = WebSettings() if port is None else WebSettings(port=port)
        if once or no_pages:
            _demo_without_pages(folder, once=once)
        else:
            _demo(folder, web.address, web.port)
        return
    settings, _ = settings_from(config)
    if port is not None:
        web = settings.web.model_copy(update={"port": port})
        settings = Settings.model_copy(settings, update={"web": web})
    _serve(settings, pages=not no_pages)


def _serve(settings: "Settings", *, pages: bool) -> None:
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
        with _pages(settings, kit, ledger, wanted=pages):
            service.pass_once()
            service.send_once()
            service.run(stop)
    finally:
        ledger.close()


@contextmanager
def _pages(
    settings: "Settings", kit: "Kit", ledger: "SqlLedger", *, wanted: bool
) -> Iterator[None]:
    """Serve the pages meanwhile; what they need is loaded only then."""
    if not (wanted and settings.web.port):
        yield
        return
    from frostwatch.web.serving import listening_at, serving
    from frostwatch.wiring import build_pages

    app, web = build_pages(settings, kit, ledger), settings.web
    with listening_at(web.address, web.port) as door, serving(app, door, proxies=web.proxies):
        _log_first_code(app, settings.public_url or f"http://{_host(web.address)}:{web.port}")
        yield


def _log_first_code(app: "FastAPI", address: str) -> None:
    """Where nobody can sign in yet, print how the first one does."""
    import structlog

    from frostwatch.web.rights.desk import rights_of_app

    log = structlog.get_logger()
    log.info("pages", address=address)
    code = rights_of_app(app).first_code()
    if code is not None:
        log.warning(
            "nobody can sign in yet",
            one_time_code=code,
            holds="one day, once",
            choose_a_password_at=f"{address}/sign-in/code?code={code}",
        )


def _host(address: str) -> str:
    return f"[{address}]" if ":" in address else address


def _demo(folder: Path, address: str, port: int) -> None:
    """The demo with its pages; opens at its yard on the morning of a work order."""
    import threading

    from frostwatch.cli.say import end_progress, progress, say
    from frostwatch.logs import set_up_logs
    from frostwatch.service.demo import prepare
    from frostwatch.service.demo_stage import OPENS_AT, SCENES, Stage
    from frostwatch.service.planner import Planner
    from frostwatch.service.schedule import stop_on_signals
    from frostwatch.web.app import build_app
    from frostwatch.web.serving import listening_at, serving
    from frostwatch.wiring import open_kit, utc_now

    set_up_logs("warning")
    url = f"http://{_host(address)}:{port}"
    with listening_at(address, port) as door:
        demo = prepare(folder, utc_now(), public_url=url)
        kit, ledger = open_kit(demo.settings)
        stage = Stage(demo, kit, ledger, utc_now)
        try:
            scene = next(scene for scene in SCENES if scene.key == OPENS_AT)
            stage.set_to(
                stage.moment_of(scene), lambda moment: progress(f"demo day, {moment:%H:%M} UTC")
            )
            end_progress()
            planner = Planner(kit=kit)
            app = build_app(ledger, stage.now, public_url=url, demo=stage, planner=planner)
            with serving(app, door):
                say(f"The demo is at {url}/ and all of it is invented. Ctrl-C ends it.")
                stop = threading.Event()
                stop_on_signals(stop)
                stage.run(stop)
        finally:
            ledger.close()


def _demo_without_pages(folder: Path, *, once: bool) -> None:
    import threading

    from frostwatch.cli.say import end_progress, progress, say
    from frostwatch.logs import set_up_logs
    from frostwatch.service.demo import live_through, prepare
    from frostwatch.service.schedule import Service, stop_on_signals
    from frostwatch.wiring import open_kit, utc_now

    set_up_logs("warning")
    demo = prepare(folder, utc_now())
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
