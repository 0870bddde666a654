"""``frostwatch advise``: heat kept on, in use, a trip, a move, a thaw, and what got wet again."""

from typing import Annotated

import typer

from frostwatch.cli.app import Config


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="advise")(advise)


def advise(
    topic: Annotated[
        str, typer.Argument(help="hold, in-use, going, transport, thaw; or wet-again for all.")
    ],
    vehicle: Annotated[str, typer.Argument(help="Key of the vehicle.")] = "",
    at: Annotated[
        str, typer.Option("--at", help="Hour of the trip or move, in the time of its place.")
    ] = "",
    container: Annotated[
        float, typer.Option("--container", min=1, help="In use: container, litres.")
    ] = 12.0,
    a_day: Annotated[
        float, typer.Option("--a-day", min=1, help="In use: waste water a day, litres.")
    ] = 25.0,
    now_at: Annotated[
        str, typer.Option("--now", help="As if it were this moment, with recorded replies.")
    ] = "",
    language: Annotated[str, typer.Option("--language", help="en, de or fr.")] = "en",
    config: Config = None,
) -> None:
    """What to do with one vehicle on an occasion, with the cautions that belong to it."""
    from frostwatch.cli.handover import language_from, plain
    from frostwatch.cli.moments import moment_from, moment_there
    from frostwatch.cli.say import say
    from frostwatch.service import occasions
    from frostwatch.wiring import open_kit, settings_from, utc_now

    settings, _ = settings_from(config)
    now = moment_from(now_at, "--now") if now_at else utc_now()
    spoken = language_from(language)
    kit, ledger = open_kit(settings)
    try:
        book = kit.ledger.load(now)
        moment = None
        if at and vehicle:
            moment = moment_there(at, "--at", book=book, vehicle=vehicle, now=now)
        if topic == occasions.WET_AGAIN:
            lines = occasions.evening_list(book, now, spoken)
        else:
            advice = occasions.advise(
                book,
                kit.forecasts,
                topic,
                vehicle,
                now,
                language=spoken,
                at=moment,
                container_l=container,
                a_day_l=a_day,
                laws=kit.lessons.laws() if kit.lessons is not None else {},
            )
            lines = occasions.in_lines(advice)
    finally:
        ledger.close()
    say(plain("\n".join(lines)))
