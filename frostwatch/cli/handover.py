"""``frostwatch handover``: when to switch the heating on for a vehicle that must be ready."""

from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from frostwatch.advice.handover import Plan
    from frostwatch.advice.plan_words import PlanWords
    from frostwatch.fleet.heat import Handover
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
        typer.Option("--at", help="Hour of the handover, in the time of its place."),
    ] = "",
    fill: Annotated[float, typer.Option("--fill", help="Water to be put in, litres.")] = 0.0,
    heat: Annotated[
        list[str] | None,
        typer.Option("--heat", help='A source, "gas 4000 W"; may be given again.'),
    ] = None,
    on: Annotated[
        str, typer.Option("--on", help="Heating is on since then: how the plan goes on.")
    ] = "",
    passed: Annotated[
        list[str] | None,
        typer.Option("--passed", help="With --on: STEP=TIME of a gate that was passed."),
    ] = None,
    now_at: Annotated[
        str, typer.Option("--now", help="Plan as if it were this moment, with recorded replies.")
    ] = "",
    enter: Annotated[
        bool, typer.Option("--enter", help="Keep it: enter the handover, or move it; with --by.")
    ] = False,
    take_off: Annotated[
        bool, typer.Option("--take-off", help="Take the handover off; with --by.")
    ] = False,
    by: Annotated[str, typer.Option("--by", help="With --enter, --take-off: who says so.")] = "",
    indoors_from: Annotated[
        str,
        typer.Option(
            "--indoors-from", help="With --enter: into a warm building from; no for none."
        ),
    ] = "",
    post: Annotated[
        str, typer.Option("--post", help="With --enter: the post it stands at, or any.")
    ] = "",
    who: Annotated[str, typer.Option("--who", help="With --enter: who makes it ready.")] = "",
    taker: Annotated[str, typer.Option("--taker", help="With --enter: whom it is handed to.")] = "",
    meant: Annotated[
        bool, typer.Option("--meant", help="With --enter: an hour at which nobody works is meant.")
    ] = False,
    language: InLanguage = "en",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Plan a handover or a trip backwards from its hour: heating on by when, step by step."""
    from frostwatch.cli.handover_entry import Typed, enter_typed, kept_as_json, refuse_mixtures
    from frostwatch.cli.handover_entry import take_off as take_it_off
    from frostwatch.cli.handover_json import day_as_json, one_as_json, progress_as_json
    from frostwatch.cli.handover_progress import passed_gates, under_way_in_words
    from frostwatch.cli.moments import moment_from, moment_there
    from frostwatch.cli.say import say, say_json
    from frostwatch.service.handover_asked import plan_one, under_way
    from frostwatch.service.handovers import days_of
    from frostwatch.storage.heat_text import source_from
    from frostwatch.wiring import open_kit, settings_from, utc_now

    typed = Typed(
        at=at,
        fill_l=fill,
        heat=_only(heat or ()) if enter else "",
        indoors_from=indoors_from,
        post=post,
        who=who,
        taker=taker,
        by=by,
        meant=meant,
    )
    refuse_mixtures(vehicle, typed, enter=enter, off=take_off, on=bool(on or passed))
    settings, _ = settings_from(config)
    now = moment_from(now_at, "--now") if now_at else utc_now()
    sources = [] if enter or take_off else [source_from(text) for text in heat or ()]
    kit, ledger = open_kit(settings)
    try:
        book = kit.ledger.load(now)
        laws = kit.lessons.laws() if kit.lessons is not None else {}
        if enter or take_off:
            keep = take_it_off if take_off else enter_typed
            said = plain(keep(kit, book, vehicle, typed, now, language))
            if as_json:
                say_json(kept_as_json(kit.ledger.load(now), vehicle, said))
            else:
                say(said)
            return
        if not vehicle:
            days = days_of(book, kit.forecasts, now, laws=laws)
            if as_json:
                say_json([day_as_json(day) for day in days])
            else:
                say(plain(_days_in_words(days, language_from(language), now)))
            return
        there = partial(moment_there, book=book, vehicle=vehicle, now=now)
        wanted = _wanted(at, fill, there)
        if on:
            since, done = there(on, "--on"), passed_gates(passed or [], there)
            case, plan, progress, _ = under_way(
                book,
                kit.forecasts,
                vehicle,
                now,
                since,
                done,
                handover=wanted,
                sources=sources,
                laws=laws,
            )
            if as_json:
                say_json(progress_as_json(plan, progress))
            else:
                say(plain(under_way_in_words(case, plan, progress, language_from(language), now)))
            return
        one, weather = plan_one(
            book, kit.forecasts, vehicle, now, handover=wanted, sources=sources, laws=laws
        )
    finally:
        ledger.close()
    if as_json:
        say_json(one_as_json(one, weather))
    else:
        say(plain(_in_words(one, weather, language_from(language), now)))


def _only(heat: "Sequence[str]") -> str:
    from frostwatch.errors import FleetError

    if len(heat) > 1:
        raise FleetError("--heat: with --enter give one source, or any.")
    return heat[0] if heat else ""


def plain(text: str) -> str:
    """Words for a terminal: no spaces that look like others and are found by no search."""
    return text.replace("\u00a0", " ")


def _wanted(at: str, fill: float, there: "Callable[[str, str], datetime]") -> "Handover | None":
    from frostwatch.errors import FleetError
    from frostwatch.fleet.heat import Handover

    if not at:
        if fill:
            raise FleetError("--fill: give the hour with --at too.")
        return None
    moment = there(at, "--at")
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
    if one.valve_only is not None and one.valve_only.on_by is not None:
        on = words.hour(one.valve_only.on_by)
        lines += ["", text["valve only"].format(heat=words.heat(plan.source), on=on)]
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
    from frostwatch.advice.shared_words import clash_words, order_words

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
        lines += [clash_words(words, conflict, names) for conflict in day.conflicts]
        if day.order is not None:
            lines += [words.texts.plan["order"]]
            posts = posts_for(day.order)
            lines += [f"  {line}" for line in order_words(words, day.order, names, posts)]
        parts.append("\n".join([*lines, words.texts.plan["foot"]]))
    return "\n\n".join(parts)
