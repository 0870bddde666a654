"""``frostwatch weather``: what is known about the air at a site, from whom, how old, how sure."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from frostwatch.fleet.sites import Site
    from frostwatch.ports import Lesson
    from frostwatch.storage.ledger import SqlLedger
    from frostwatch.weather.cache.view import PlaceView, ProviderView


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="weather")(weather)


def weather(
    site: Annotated[str, typer.Argument(help="Key of the site; without it, every site.")] = "",
    learning: Annotated[
        str,
        typer.Option("--learning", help="off: this site by the default error again. on: learnt."),
    ] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """What is known about the weather of a site; nobody is asked anything."""
    from frostwatch.cli.say import say, say_json
    from frostwatch.service.nights import point_of
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.weather.cache.view import place_view
    from frostwatch.wiring import build_cache, settings_from, utc_now

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    now = utc_now()
    try:
        sites = [one for one in ledger.load(now).sites if site in ("", one.key)]
        if not sites:
            raise FleetError(f"site {site!r} is not entered. See: frostwatch export fleet")
        if learning:
            _set_learning(ledger, site, sites, learning)
        lessons = ledger.lessons.lessons()
        cache = build_cache(settings, ledger.replies, ledger.attempts)
        views = [
            (one, place_view(cache, point_of(one), now), lessons.get(one.key)) for one in sites
        ]
    finally:
        ledger.close()
    members = settings.weather.members
    if as_json:
        say_json([_as_json(one, view, now, members, lesson) for one, view, lesson in views])
        return
    for one, view, lesson in views:
        say(_in_words(one, view, now, members, lesson))


def _set_learning(ledger: "SqlLedger", site: str, sites: "Sequence[Site]", word: str) -> None:
    from frostwatch.service.lessons import set_learning

    if word not in ("on", "off") or not site:
        raise FleetError("--learning is on or off, for one site: frostwatch weather SITE ...")
    set_learning(ledger.lessons, sites[0], learning=word == "on")


def _nights(
    one: "Site", view: "PlaceView", now: datetime, members: int, lesson: "Lesson | None"
) -> list[dict[str, Any]]:
    """Lowest air of each coming night, noon to noon: likely, cold, spread."""
    from datetime import timedelta

    import numpy as np

    from frostwatch.service.nights import air_of
    from frostwatch.weather.members import DEFAULT_LAW

    if view.forecast is None or not view.standing.usable:
        return []
    colder_k = view.standing.colder_k
    learnt = lesson.in_force if lesson is not None else None
    law = learnt.law if learnt is not None else DEFAULT_LAW
    air = air_of(one, view.forecast, now, colder_k=colder_k, members=members, law=law)
    nights: dict[str, list[int]] = {}
    for index in range(air.now_index, air.air_c.shape[1]):
        moment = (air.start + timedelta(hours=index)).astimezone(one.zone)
        nights.setdefault(f"{moment - timedelta(hours=12):%a %d %b}", []).append(index)
    found = []
    for night, hours in nights.items():
        lowest = air.air_c[:, hours].min(axis=1)
        found.append(
            {
                "night": night,
                "likely_c": round(float(np.median(lowest)), 1),
                "cold_c": round(float(np.quantile(lowest, 0.1)), 1),
                "mild_c": round(float(np.quantile(lowest, 0.9)), 1),
                "below_0_probability": round(
                    (float((lowest < 0.0).sum()) + 0.5) / (len(lowest) + 1.0), 3
                ),
            }
        )
    return found


def _in_words(
    one: "Site", view: "PlaceView", now: datetime, members: int, lesson: "Lesson | None"
) -> str:
    from frostwatch.cli.readings import learnt_lines

    lines = [f"{one.name} ({one.key}), asked for as {view.point.key}"]
    known = view.standing
    if view.forecast is None or not known.usable:
        lines.append(f"No usable forecast. {known.reason} This does not mean no frost.")
    else:
        issue = view.forecast.known_since.astimezone(one.zone)
        lines.append(
            f"Rests on {view.forecast.provider}, {issue:%a %d %b %H:%M}, {known.age_h:.1f} h old, "
            f"{known.future_h:.0f} h ahead. {known.reason}".rstrip()
        )
        lines += [f"  {warning}" for warning in view.forecast.warnings]
        table = [["night after", "lowest likely", "cold 1 in 10", "mild 9 in 10", "below 0"]]
        for night in _nights(one, view, now, members, lesson):
            table.append(
                [
                    night["night"],
                    f"{night['likely_c']:.1f} °C",
                    f"{night['cold_c']:.1f} °C",
                    f"{night['mild_c']:.1f} °C",
                    f"{100 * night['below_0_probability']:.0f} %",
                ]
            )
        lines += [rows_of(table)]
    lines += learnt_lines(one.key, lesson)
    lines += [_provider(provider, one) for provider in view.providers]
    if view.forecast is not None:
        lines += [f"{a.text}, {a.url}, {a.licence}" for a in view.forecast.attribution]
    return "\n".join([*lines, ""])


def _provider(view: "ProviderView", one: "Site") -> str:
    age = "nothing yet" if view.forecast is None else f"{view.standing.age_h:.1f} h old"
    budget = "" if view.budget_today is None else f" of {view.budget_today:.0f}"
    words = (
        f"{view.name}: {age}; next request {view.next_ask_at.astimezone(one.zone):%a %H:%M}, "
        f"weight {view.next_weight:g}; spent today {view.spent_today:g}{budget}."
    )
    if view.last_failure is not None:
        words += f" Last answer: {view.last_failure.message}"
    return words


def _as_json(
    one: "Site", view: "PlaceView", now: datetime, members: int, lesson: "Lesson | None"
) -> dict[str, Any]:
    from frostwatch.cli.readings import lesson_as_json

    forecast = view.forecast
    return {
        "site": one.key,
        "point": view.point.key,
        "usable": view.standing.usable,
        "fitness": view.standing.fitness.value,
        "reason": view.standing.reason,
        "provider": forecast.provider if forecast else None,
        "issued_at": forecast.known_since.isoformat() if forecast else None,
        "valid_to": forecast.valid_to.isoformat() if forecast else None,
        "warnings": list(forecast.warnings) if forecast else [],
        "learnt": lesson_as_json(lesson),
        "nights": _nights(one, view, now, members, lesson),
        "providers": [
            {
                "name": each.name,
                "has_forecast": each.forecast is not None,
                "next_ask_at": each.next_ask_at.isoformat(),
                "next_weight": each.next_weight,
                "spent_today": each.spent_today,
                "budget_today": each.budget_today,
                "last_failure": each.last_failure.message if each.last_failure else None,
            }
            for each in view.providers
        ],
        "attribution": [
            {"text": a.text, "url": a.url, "licence": a.licence}
            for a in (forecast.attribution if forecast else ())
        ],
    }
