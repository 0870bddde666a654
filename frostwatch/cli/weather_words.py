"""What ``frostwatch weather`` says of one site, in words and as a record."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from frostwatch.cli.app import rows_of
from frostwatch.cli.readings import learnt_lines, lesson_as_json
from frostwatch.errors import NoForecastError
from frostwatch.fleet.sites import Site
from frostwatch.ports import Lesson
from frostwatch.service.heights import SiteHeights
from frostwatch.service.nights import air_of
from frostwatch.weather.cache.view import PlaceView, ProviderView
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.members import DEFAULT_LAW
from frostwatch.weather.site_air import SiteAir


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Look:
    """One site as the command looks at it.

    Attributes:
        site: with its height, if that is known.
        view: what is at hand for its place.
        forecast: the frame that decisions rest on, fitted to what is known of the height.
        heights: where heights come from.
        lesson: what its nights taught, None if nothing.
    """

    site: Site
    view: PlaceView
    forecast: Forecast | None
    heights: SiteHeights
    lesson: Lesson | None


def in_words(look: Look, now: datetime, members: int) -> str:
    """Place, what is known and from whom, how sure, who is asked next, whom to credit."""
    one, view, heights = look.site, look.view, look.heights
    place = f"{one.latitude_deg:.4f}, {one.longitude_deg:.4f}, asked for as {view.point.key}"
    lines = [f"{one.name} ({one.key})", f"  Place: {place}."]
    if one.height_m is not None and one.key not in heights.looked_up:
        lines.append(f"  Height {one.height_m:.0f} m, as entered.")
    if look.forecast is None or one.key in heights.looked_up:
        lines += [f"  {note}" for note in heights.notes(one.key)]
    known, forecast = view.standing, look.forecast
    air = _air(look, now, members)
    if forecast is None or air is None:
        lines.append(f"  No usable forecast. {known.reason} This does not mean no frost.")
    else:
        issued = "issued" if forecast.issued_at else "received"
        issue = f"{issued} {forecast.known_since.astimezone(one.zone):%a %d %b %H:%M}"
        lines.append(
            f"  Known from {forecast.provider}: {issue}, {known.age_h:.1f} h old, reaches "
            f"{known.future_h:.0f} h ahead. {known.reason}".rstrip()
        )
        lines += [f"  {words}" for words in (*forecast.warnings, *air.notes)]
        lines += ["", _indented(_night_table(_nights(one, air)))]
        lines.append("  " + _doubt_in_words(forecast))
    lines += [*(f"  {words}" for words in learnt_lines(one.key, look.lesson)), ""]
    if view.providers:
        lines += [_indented(_provider_table(view, one))]
    lines += [
        f"  {each.name}, last answer: {each.last_failure.message}"
        for each in view.providers
        if each.last_failure is not None
    ]
    if forecast is not None:
        lines += [f"  {a.text}, {a.url}, {a.licence}" for a in forecast.attribution]
        lines.append("  Modified: corrected to the place.")
    return "\n".join([*lines, ""])


def as_record(look: Look, now: datetime, members: int) -> dict[str, Any]:
    """The same for programs."""
    one, view, forecast = look.site, look.view, look.forecast
    air = _air(look, now, members)
    return {
        "site": one.key,
        "point": view.point.key,
        "height_m": one.height_m,
        "height_looked_up": one.key in look.heights.looked_up,
        "usable": air is not None,
        "fitness": view.standing.fitness.value,
        "reason": view.standing.reason,
        "provider": forecast.provider if forecast else None,
        "issued_at": forecast.known_since.isoformat() if forecast else None,
        "age_h": round(view.standing.age_h, 2) if forecast else None,
        "valid_to": forecast.valid_to.isoformat() if forecast else None,
        "warnings": list(forecast.warnings) if forecast else [],
        "notes": list(air.notes) if air else [],
        "learnt": lesson_as_json(look.lesson),
        "nights": _nights(one, air) if air else [],
        "providers": [_provider_record(each) for each in view.providers],
        "attribution": [
            {"text": a.text, "url": a.url, "licence": a.licence}
            for a in (forecast.attribution if forecast else ())
        ],
    }


def _air(look: Look, now: datetime, members: int) -> SiteAir | None:
    """The air at the site as a pass would see it; None without a usable forecast."""
    known, learnt = look.view.standing, look.lesson.in_force if look.lesson else None
    if look.forecast is None or not known.usable:
        return None
    law = learnt.law if learnt is not None else DEFAULT_LAW
    try:
        return air_of(
            look.site, look.forecast, now, colder_k=known.colder_k, members=members, law=law
        )
    except NoForecastError:
        return None


def _nights(one: Site, air: SiteAir) -> list[dict[str, Any]]:
    """Lowest air of each coming night, noon to noon: likely, cold, mild, how sure."""
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
                "give_or_take_k": round(float(np.std(lowest)), 1),
                "below_0_probability": round(
                    (float((lowest < 0.0).sum()) + 0.5) / (len(lowest) + 1.0), 3
                ),
            }
        )
    return found


def _night_table(nights: list[dict[str, Any]]) -> str:
    head = ["night after", "lowest likely", "give or take", "cold 1 in 10", "mild 9 in 10"]
    table = [[*head, "below 0"]]
    for night in nights:
        table.append(
            [
                night["night"],
                f"{night['likely_c']:.1f} °C",
                f"{night['give_or_take_k']:.1f} K",
                f"{night['cold_c']:.1f} °C",
                f"{night['mild_c']:.1f} °C",
                f"{100 * night['below_0_probability']:.0f} %",
            ]
        )
    return rows_of(table)


def _doubt_in_words(forecast: Forecast) -> str:
    """What the doubt rests on."""
    if "air_spread_k" in forecast.columns:
        return (
            "The doubt is the usual error of forecasts of that age, or an ensemble's own spread "
            "where that is wider."
        )
    return "The doubt is the usual error of forecasts of that age; no ensemble is at hand."


def _provider_table(view: PlaceView, one: Site) -> str:
    """Who has said what, and what asking again will cost."""
    table = [["provider", "at hand", "asked", "not before", "next costs", "host used today"]]
    for each in view.providers:
        age = "nothing yet" if each.forecast is None else f"{each.standing.age_h:.1f} h old"
        if each.forecast is not None and each.forecast.model:
            age += f", {each.forecast.model}"
        budget = "" if each.budget_today is None else f" of {each.budget_today:,.0f}"
        table.append(
            [
                each.name,
                age,
                each.asked_when or "always",
                f"{each.next_ask_at.astimezone(one.zone):%a %d %b %H:%M}",
                f"{each.next_weight:g}",
                f"{each.spent_today:g}{budget}",
            ]
        )
    return rows_of(table)


def _provider_record(each: ProviderView) -> dict[str, Any]:
    return {
        "name": each.name,
        "has_forecast": each.forecast is not None,
        "age_h": round(each.standing.age_h, 2) if each.forecast else None,
        "asked_when": each.asked_when or "always",
        "next_ask_at": each.next_ask_at.isoformat(),
        "next_weight": each.next_weight,
        "spent_today": each.spent_today,
        "budget_today": each.budget_today,
        "last_failure": each.last_failure.message if each.last_failure else None,
    }


def _indented(table: str) -> str:
    return "\n".join(f"    {line}" for line in table.splitlines())
