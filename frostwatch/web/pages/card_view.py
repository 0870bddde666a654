"""A plan and its handover card, for paper."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from markupsafe import Markup

from frostwatch.advice.plan_words import words_for
from frostwatch.web.pages.plans_now import PlansNow, VanNow
from frostwatch.web.pages.rows import about
from frostwatch.web.pages.stairs_view import Stairs, stairs_of
from frostwatch.web.words import Tongue

A_DAY = timedelta(hours=24)
"""The forecast that stands on the card reaches so far beyond the hour."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """Where water is let out."""

    name: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView:
    """What is printed.

    Attributes:
        vehicle: key of the vehicle.
        bay: what it is called.
        about: kind, plate and key.
        head: heating on by when.
        facts: what the hours rest on.
        ways: what to do instead, where it does not fit.
        stairs: the steps; None where no hour does.
        mind: every caution once.
        points: where the water is let out.
        air: the forecast of the day that follows the hour, in a sentence.
        rule: what holds in frost.
        made: when the plan was made; None for one under way.
        printed: when it was printed.
    """

    vehicle: str
    bay: str
    about: str
    head: Markup
    facts: tuple[str, ...]
    ways: tuple[str, ...]
    stairs: Stairs | None
    mind: tuple[str, ...]
    points: tuple[Point, ...]
    air: Markup
    rule: Markup
    made: Markup | None
    printed: Markup


def card_view(now: PlansNow, van: VanNow, tongue: Tongue, *, heat: str = "") -> CardView:
    """Put one plan and its card into words."""
    t, plan = tongue, van.plan(heat)
    assert plan is not None
    words = words_for(t.language, van.site, t.now)
    values = {"bay": van.line.name, "at": t.hour(plan.at)}
    if plan.on_by is None or not (plan.fits or van.under_way):
        head = t("card.plan.cannot", **values)
    else:
        key = "card.plan.on" if van.under_way is not None else "card.plan"
        head = t(key, on=t.hour(plan.on_by), **values)
    board = now.board
    out = van.plans.out if van.plans is not None and not plan.fits else None
    return CardView(
        vehicle=van.vehicle.key,
        bay=van.line.name,
        about=about(van.vehicle, t),
        head=head,
        facts=tuple(words.facts(plan, van)),
        ways=tuple(words.ways(plan, out)) if out is not None else (),
        stairs=stairs_of(van, plan, words, t),
        mind=words.hazards(plan),
        points=_points(van, t),
        air=_air_after(now, plan.at, t),
        rule=t("card.rule" if van.vehicle.practice.container else "card.rule.empty"),
        made=t("plans.credit", at=t.hour(board.at), issue=t.hour(board.issued_at))
        if board is not None and van.under_way is None
        else None,
        printed=t("card.printed", at=t.hour(t.now)),
    )


def _air_after(now: PlansNow, at: datetime, t: Tongue) -> Markup:
    """What the air does after the vehicle was given away: that is what whoever takes it meets."""
    board, since = now.now.board, max(at, t.now)
    issued_at = board.basis.issued_at if board is not None else None
    day = board.air.between(since, since + A_DAY) if board is not None and board.air else None
    if day is None or issued_at is None:
        return t("card.no_air")
    coldest_at, likely_c, cold_c = day.lowest()
    return t(
        "card.air.after",
        at=t.hour(since),
        to=t.hour(day.end),
        coldest=t.about(coldest_at),
        min=t.degrees(likely_c),
        mincold=t.degrees(cold_c),
        issue=t.hour(issued_at),
        printed=t.hour(t.now),
    )


def _points(van: VanNow, t: Tongue) -> tuple[Point, ...]:
    """Each outlet of the vehicle once."""
    found: dict[str, Point] = {}
    for item in van.layout.items:
        if item.lets_go and item.lets_go not in found:
            how = t.words.lets_go.get(item.lets_go, item.lets_go)
            found[item.lets_go] = Point(name=t.words.circuits[item.circuit], how=how)
    return tuple(found.values())
