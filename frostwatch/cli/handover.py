"""``frostwatch handover``: when to switch the heating on for a vehicle that must be ready."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from frostwatch.cli.app import AsJson, Config, rows_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from frostwatch.advice.handover import Plan
    from frostwatch.advice.plan_words import PlanWords
    from frostwatch.advice.ways_out import WaysOut
    from frostwatch.fleet.heat import Handover, HeatSource
    from frostwatch.fleet.people import Language
    from frostwatch.service.handovers import Planned, SiteDay, SiteWeather

InLanguage = Annotated[
    str, typer.Option("--language", help="en, de, fr: what the plan is written in.")
]


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="handover")(handover)


def handover(
    vehicle: Annotated[
        str, typer.Argument(help="Key of the vehicle; without it, all of the next three days.")
    ] = "",
    at: Annotated[
        str,
        typer.Option("--at", help="Hour of the handover, ISO 8601 with offset or Z."),
    ] = "",
    fill: Annotated[float, typer.Option("--fill", help="Water to be put in, litres.")] = 0.0,
    heat: Annotated[
        list[str] | None,
        typer.Option("--heat", help='A source, "gas 4000 W"; may be given again.'),
    ] = None,
    now_at: Annotated[
        str, typer.Option("--now", help="Plan as if it were this moment, with recorded replies.")
    ] = "",
    language: InLanguage = "en",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Plan a handover or a trip backwards from its hour: heating on by when, step by step."""
    from frostwatch.cli.moments import moment_from
    from frostwatch.cli.say import say, say_json
    from frostwatch.service.handovers import days_of, plan_one
    from frostwatch.storage.heat_text import source_from
    from frostwatch.wiring import open_kit, settings_from, utc_now

    settings, _ = settings_from(config)
    now = moment_from(now_at, "--now") if now_at else utc_now()
    sources = [source_from(text) for text in heat or ()]
    kit, ledger = open_kit(settings)
    try:
        book = kit.ledger.load(now)
        laws = kit.lessons.laws() if kit.lessons is not None else {}
        if not vehicle:
            days = days_of(book, kit.forecasts, now, laws=laws)
            if as_json:
                say_json([_day_as_json(day) for day in days])
            else:
                say(plain(_days_in_words(days, language_from(language), now)))
            return
        wanted = _wanted(at, fill)
        one, weather = plan_one(
            book, kit.forecasts, vehicle, now, handover=wanted, sources=sources, laws=laws
        )
    finally:
        ledger.close()
    if as_json:
        say_json(_as_json(one, weather))
    else:
        say(plain(_in_words(one, weather, language_from(language), now)))


def plain(text: str) -> str:
    """Words for a terminal: no spaces that look like others and are found by no search."""
    return text.replace("\u00a0", " ")


def _wanted(at: str, fill: float) -> "Handover | None":
    from frostwatch.cli.moments import moment_from
    from frostwatch.errors import FleetError
    from frostwatch.fleet.heat import Handover

    if not at:
        if fill:
            raise FleetError("--fill: give the hour with --at too.")
        return None
    moment = moment_from(at, "--at")
    return Handover(at=moment, fill_l=fill) if fill else Handover(at=moment)


def language_from(word: str) -> "Language":
    """The language of a word.

    Raises:
        FleetError: nobody has written anything in it.
    """
    from frostwatch.errors import FleetError
    from frostwatch.fleet.people import Language

    try:
        return Language(word.casefold())
    except ValueError as unknown:
        known = ", ".join(Language)
        raise FleetError(f"--language: {word!r} is not known. Give one of {known}.") from unknown


def _in_words(one: "Planned", weather: "SiteWeather", language: "Language", now: "datetime") -> str:
    from frostwatch.advice.plan_words import name_of, words_for

    words = words_for(language, one.case.site, now)
    text, plan = words.texts.plan, one.best
    lines = [words.head(plan, name_of(one.case.vehicle))]
    if weather.colder_k > 0.0:
        lines.append(text["older"].format(colder=words.speech.number(weather.colder_k)))
    if not plan.fits:
        lines += [words.why_not(plan)]
        if one.out is not None:
            lines += ["", text["ways"], *(f"- {way}" for way in words.ways(plan, one.out))]
    if plan.steps:
        lines += ["", *words.facts(plan, one.case), ""]
        for step in words.steps(plan, one.case):
            lines.append(f"{step.starts:>6}  {step.what}.")
            if step.gate:
                lines.append(f"        -> {text['go on when']}: {step.gate}")
            lines += [f"        ! {hazard}" for hazard in step.hazards]
    if len(one.plans) > 1:
        lines += ["", text["others"], _sources(one.plans, words)]
    credit = "; ".join(f"{a.text}, {a.url}, {a.licence}" for a in weather.forecast.attribution)
    return "\n".join([*lines, "", text["foot"], credit])


def _sources(plans: "Sequence[Plan]", words: "PlanWords") -> str:
    cannot = words.texts.plan["cannot"]
    return rows_of(
        [
            [
                words.heat(plan.source),
                words.hour(plan.on_by) if plan.on_by and plan.fits else cannot,
                words.why_not(plan),
            ]
            for plan in plans
        ]
    )


def _days_in_words(days: "Sequence[SiteDay]", language: "Language", now: "datetime") -> str:
    from frostwatch.advice.plan_words import name_of, words_for
    from frostwatch.advice.shared_order import posts_for

    if not days:
        return "No handover in the next three days."
    parts = []
    for day in days:
        words = words_for(language, day.site, now)
        names = {one.case.vehicle.key: name_of(one.case.vehicle) for one in day.planned}
        lines = [day.site.name]
        for one in day.planned:
            plan = one.best
            lines.append(words.head(plan, names[plan.vehicle]))
            if not plan.fits:
                lines.append(f"  {words.why_not(plan)}")
            if one.out is not None:
                lines += [f"  - {way}" for way in words.ways(plan, one.out)]
        lines += [words.clash(conflict, names) for conflict in day.conflicts]
        if day.order is not None:
            lines += [words.texts.plan["order"]]
            posts = posts_for(day.order, day.site)
            lines += [f"  {line}" for line in words.order(day.order, names, posts)]
        parts.append("\n".join([*lines, words.texts.plan["foot"]]))
    return "\n\n".join(parts)


def _as_json(one: "Planned", weather: "SiteWeather") -> dict[str, Any]:
    return {
        "vehicle": one.case.vehicle.key,
        "site": one.case.site.key,
        "at": one.case.handover.at.isoformat(),
        "now": one.case.now.isoformat(),
        "provider": weather.forecast.provider,
        "issued_at": weather.forecast.known_since.isoformat(),
        "colder_k": weather.colder_k,
        "best": _plan_as_json(one.best),
        "plans": [_plan_as_json(plan) for plan in one.plans],
        "ways_out": _ways_as_json(one.out) if one.out else None,
    }


def _plan_as_json(plan: "Plan") -> dict[str, Any]:
    return {
        "source": _source(plan.source),
        "fits": plan.fits,
        "trouble": plan.trouble.value if plan.trouble else None,
        "begins": _iso(plan.begins),
        "on_by": _iso(plan.on_by),
        "ready_at": _iso(plan.ready_at),
        "ready_likely": _iso(plan.ready_likely),
        "valve_from": _iso(plan.valve_from),
        "valve_to": _iso(plan.valve_to),
        "soak_c": _pair(plan.soak_c),
        "outside_c": _pair(plan.outside_c),
        "cabin_c": _pair(plan.cabin_c),
        "heat_kwh": round(plan.heat_kwh, 2),
        "stored_kwh": round(plan.stored_kwh, 2),
        "lost_kwh": round(plan.lost_kwh, 2),
        "water_kwh": round(plan.water_kwh, 2),
        "draws_w": plan.draws_w,
        "cold_spots": list(plan.cold_spots),
        "steps": [
            {
                "step": step.step.value,
                "starts": step.starts.isoformat(),
                "ends": step.ends.isoformat(),
                "likely": _iso(step.likely),
                "gate": step.gate.value if step.gate else None,
                "hands_on": step.hands_on,
            }
            for step in plan.steps
        ],
    }


def _ways_as_json(out: "WaysOut") -> dict[str, Any]:
    return {
        "indoors_by": out.indoors_by.isoformat(),
        "other": {"source": _source(out.other.source), "on_by": _iso(out.other.on_by)}
        if out.other
        else None,
        "power_w": out.power_w,
        "power_on_by": _iso(out.power_on_by),
        "later": _iso(out.later),
    }


def _day_as_json(day: "SiteDay") -> dict[str, Any]:
    return {
        "site": day.site.key,
        "handovers": [
            {
                "vehicle": one.case.vehicle.key,
                "at": one.case.handover.at.isoformat(),
                "best": _plan_as_json(one.best),
                "ways_out": _ways_as_json(one.out) if one.out else None,
            }
            for one in day.planned
        ],
        "conflicts": [
            {
                "what": conflict.what.value,
                "at": conflict.at.isoformat(),
                "vehicles": list(conflict.vehicles),
                "need": conflict.need,
                "have": conflict.have,
            }
            for conflict in day.conflicts
        ],
        "order": None
        if day.order is None
        else {
            "exact": day.order.exact,
            "left_over": list(day.order.left_over),
            "choices": [
                {
                    "vehicle": choice.plan.vehicle,
                    "source": _source(choice.plan.source),
                    "on_by": _iso(choice.plan.on_by),
                    "hour": choice.hour.isoformat(),
                    "late_min": choice.late_min,
                }
                for choice in day.order.choices
            ],
        },
    }


def _source(source: "HeatSource") -> dict[str, Any]:
    return {"fuel": source.fuel.value, "power_w": source.power_w}


def _iso(moment: "datetime | None") -> str | None:
    return moment.isoformat() if moment else None


def _pair(values: tuple[float, float] | None) -> dict[str, float] | None:
    return {"likely": round(values[0], 2), "cold": round(values[1], 2)} if values else None
