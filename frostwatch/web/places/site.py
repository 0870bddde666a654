"""Changing the place itself: where it is, when somebody is there, bays, posts, when to call."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from enum import StrEnum
from typing import TypeVar

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import Caution, Lie, Shelter, Shift, Site, SiteKind
from frostwatch.ports.changes import FleetChange
from frostwatch.storage.bay_ranges import bays_from, bays_text
from frostwatch.storage.fleet_changes import MisfitError
from frostwatch.storage.heat_text import posts_from, posts_text
from frostwatch.storage.hours_text import spans_from, spans_text
from frostwatch.storage.roof_text import roof_from, roofs_text
from frostwatch.web.places.fields import Fields, caution_of, typed_of
from frostwatch.web.places.keeping import (
    ChangedMeanwhileError,
    Effect,
    keep_change,
    mark_of,
    mark_of_effects,
    misfits,
)
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.rights import AnyVisitor, CheckedForm
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.set_up.place_form import place_fields, site_from

router = APIRouter()
Read = TypeVar("Read")
NAMES = (
    "name",
    "kind",
    "where",
    "height",
    "zone",
    "hours",
    "lie",
    "shelter",
    "crew",
    "operator",
    "caution",
    "cost_ratio",
    "gas_off",
    "bays",
    "posts",
    "supply",
    "roofs",
)
FROM_SET_UP = (
    "name",
    "kind",
    "latitude_deg",
    "longitude_deg",
    "height_m",
    "time_zone",
    "lie",
    "shelter",
    "crew",
    "gas_allowed",
)
"""What is read as the set-up reads it."""
MOST_NAMES = 10_000
FAR_DEG = 0.02
"""About two kilometres: from here on what was learnt about a place's nights is another place's.
Estimate."""
FAR_M = 100.0
"""The same in height. Estimate."""
MOST_SUPPLY_W = 1e7


@router.get("/place/{site}/place")
def site_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """The place as it is entered."""
    desk = desk_at(request, visitor, site)
    return _page(desk, site_fields(desk.site, visitor.language))


@router.post("/place/{site}/place")
def change(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Change it, or say what the change does, or what must be put right."""
    desk = desk_at(request, visitor, site)
    typed = typed_of(form, NAMES)
    was = str(form.get("was", ""))
    if mark_of(desk.site) != was:
        return _meanwhile(desk, typed)
    read = site_read(typed, desk.site, visitor.language)
    if not isinstance(read, Site):
        return _page(desk, typed, faults=read, status=422)
    effects = tuple(effects_of(desk.site, read))
    if effects and form.get("seen") != mark_of_effects(effects):
        return _page(desk, typed, effects=effects)
    try:
        keep_change(
            desk.room.ledger,
            FleetChange(sites=(read,)),
            seen=was,
            present=lambda now: now.site(site),
        )
    except ChangedMeanwhileError:
        return _meanwhile(desk_at(request, visitor, site), typed)
    except MisfitError as refused:
        faults = misfits(refused, {"post": "posts", "bay": "bays", "roof": "roofs"}, "bays")
        return _page(desk, typed, faults=faults, status=422)
    if _is_elsewhere(desk.site, read):
        desk.room.ledger.lessons.forget(site, desk.now)
    return RedirectResponse(f"{desk.address}/place?kept=1", 303)


def site_fields(site: Site, language: Language) -> dict[str, str]:
    """The fields of a site."""
    caution, ratio = caution_of(site.cost_ratio)
    spans = [(shift.weekday, shift.opens, shift.closes) for shift in site.shifts]
    return {
        **place_fields(site, language),
        "hours": "\n".join(spans_text(spans, language)),
        "operator": site.operator,
        "caution": caution,
        "cost_ratio": ratio,
        "bays": "\n".join(bays_text(site.bays)),
        "posts": "\n".join(posts_text(site.posts)),
        "roofs": "\n".join(roofs_text(site.roofs, site.zone, language)),
        "supply": "" if site.supply_w is None else f"{site.supply_w:g}",
    }


def site_read(
    typed: Mapping[str, str], before: Site, language: Language
) -> Site | tuple[Fault, ...]:
    """The site that the fields mean, or what must be put right.

    What is shown rounded and was not touched stays as exact as it was.
    """
    shown = site_fields(before, language)
    fields = Fields(typed)
    plain = {**typed, "caution": Caution.BALANCED.value}
    base = site_from(plain, key=before.key, language=language)
    shifts = fields.each("hours", lambda text: _shifts(text))
    ratio = fields.cost_ratio()
    if not fields.raw("caution"):
        fields.fault("caution", "set.choose")
    bays = _run(fields, "bays", lambda text: bays_from([text]))
    posts = _run(fields, "posts", posts_from)
    roofs = fields.each("roofs", lambda text: roof_from(text, before.zone), "\n")
    supply_w = fields.number("supply", 100, MOST_SUPPLY_W)
    if not isinstance(base, Site) or fields.faults or ratio is None:
        return (*(() if isinstance(base, Site) else base), *fields.faults)
    # what the form does not ask stays as it is
    site = replace(
        before,
        **{name: getattr(base, name) for name in FROM_SET_UP},
        shifts=tuple(one for those in shifts for one in those),
        cost_ratio=ratio,
        bays=bays,
        posts=posts,
        supply_w=supply_w,
        roofs=tuple(roofs),
        operator=fields.raw("operator"),
    )
    if typed["where"].strip() == shown["where"]:
        site = replace(site, latitude_deg=before.latitude_deg, longitude_deg=before.longitude_deg)
    if typed["height"].strip() == shown["height"]:
        site = replace(site, height_m=before.height_m)
    return site


def _run(fields: Fields, name: str, reader: Callable[[str], tuple[Read, ...]]) -> tuple[Read, ...]:
    """Names and runs of names, one line each, as long as there are not too many of them."""
    found: list[Read] = []
    for those in fields.one_by_one(name, reader, "\n"):
        found += those
        if len(found) > MOST_NAMES:
            fields.fault(name, "change.many", most=MOST_NAMES)
            break
    return tuple(found)


def effects_of(before: Site, after: Site) -> list[Effect]:
    """What a change of the place does beside what its fields say."""
    found = []
    if _is_elsewhere(before, after):
        found.append(Effect(key="change.site.elsewhere"))
    gone = [bay for bay in before.bays if bay not in after.bays]
    if gone:
        found.append(Effect(key="change.site.bays_gone", values={"bays": ", ".join(gone[:20])}))
    if before.operator and before.operator != after.operator:
        found.append(Effect(key="change.site.operator"))
    return found


def _is_elsewhere(before: Site, after: Site) -> bool:
    moved = max(
        abs(before.latitude_deg - after.latitude_deg),
        abs(before.longitude_deg - after.longitude_deg),
    )
    known = before.height_m is not None and after.height_m is not None
    higher = abs((after.height_m or 0.0) - (before.height_m or 0.0)) if known else 0.0
    return moved > FAR_DEG or higher > FAR_M


def _shifts(text: str) -> tuple[Shift, ...]:
    return tuple(Shift(weekday=day, opens=a, closes=b) for day, a, b in spans_from(text))


def _meanwhile(desk: PlaceDesk, typed: dict[str, str]) -> Response:
    now = site_fields(desk.site, desk.visitor.language)
    return _page(desk, typed, meanwhile=differing(typed, now), status=409)


def differing(typed: Mapping[str, str], now: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Field and present content of what is entered otherwise than it was typed."""
    return tuple(
        (name, now.get(name, ""))
        for name, text in typed.items()
        if text.strip().replace("\r\n", "\n") != now.get(name, "").strip()
    )


def _page(
    desk: PlaceDesk,
    fields: Mapping[str, str],
    *,
    faults: tuple[Fault, ...] = (),
    effects: tuple[Effect, ...] = (),
    meanwhile: tuple[tuple[str, str], ...] | None = None,
    status: int = 200,
) -> Response:
    people = [(one.key, one.name) for one in desk.room.ledger.people_at(desk.site.key)]
    return desk.page(
        "place_site.html",
        part="place",
        status=status,
        faults=faults,
        effects=effects,
        meanwhile=meanwhile,
        was=mark_of(desk.site),
        seen=mark_of_effects(effects),
        fields=fields,
        kinds=_named(desk, "kind", SiteKind),
        lies=_named(desk, "lie", Lie),
        shelters=_named(desk, "shelter", Shelter),
        people=people,
    )


def _named(desk: PlaceDesk, field: str, words: type[StrEnum]) -> list[tuple[str, str]]:
    texts = desk.tongue.words.texts
    return [(word.value, str(texts[f"set.{field}.{word.value}"])) for word in words]
