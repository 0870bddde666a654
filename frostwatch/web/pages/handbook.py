"""A vehicle's handbook and its own figures: entered, changed and taken out again by who runs it."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.handbook_words import clause, default_clause
from frostwatch.advice.plan_words import words_for
from frostwatch.errors import FleetError
from frostwatch.fleet.handbook import Rule
from frostwatch.fleet.layouts import CATALOGUE, layout_of
from frostwatch.fleet.layouts.overrides import number_in
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.accounts import Role
from frostwatch.web.pages.handbook_form import BookFault, ReadBook, Reading, as_entered, words_of
from frostwatch.web.pages.handbook_view import capital, figure_name, offered, scale_of, told
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.vehicle_begin import BegunVehicle, begin_vehicle, typed
from frostwatch.web.rights import AnyVisitor, CheckedForm
from frostwatch.web.words import Tongue

router = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleField:
    """One rule on the form.

    Attributes:
        name: of the rule, as its fields are called.
        label: what it is about.
        usual: what holds where nothing is entered.
        options: what can be chosen, with words; empty for a number.
    """

    name: str
    label: Markup
    usual: str
    options: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureField:
    """One figure on the form.

    Attributes:
        name: its dotted name.
        label: what it is, with its unit.
        usual: what the kind of vehicle has; "" where nobody can say.
    """

    name: str
    label: str
    usual: str


@router.get("/v/{key}/handbook")
def handbook_page(request: Request, visitor: AnyVisitor, key: str) -> HTMLResponse:
    """The form, as things are entered."""
    begun = begin_vehicle(request, visitor, key, Role.OPERATOR)
    return _form(request, begun, None)


@router.post("/v/{key}/handbook")
def enter(request: Request, visitor: AnyVisitor, key: str, form: CheckedForm) -> Response:
    """Keep what was changed, or show what is to be put right with all that was typed."""
    begun = begin_vehicle(request, visitor, key, Role.OPERATOR)
    vehicle = begun.now.file.vehicle
    try:
        layout = layout_of(vehicle)
    except FleetError:
        return _form(request, begun, None, status=422)
    read = Reading(vehicle, layout, typed(form), begun.by, begun.tongue.now).read()
    if read.faults:
        return _form(request, begun, read, status=422)

    def change(one: Vehicle) -> Vehicle:
        for step in read.entered:
            one = step.change(one)
        return one

    if read.entered:
        try:
            entries = [step.entry for step in read.entered]
            room_of(request).vehicles.change_vehicle(key, change, entries)
        except FleetError as wrong:
            return _form(request, begun, read, status=422, why=str(wrong))
    return RedirectResponse(f"{begun.address}#book", status_code=303)


def _form(
    request: Request,
    begun: BegunVehicle,
    read: ReadBook | None,
    *,
    status: int = 200,
    why: str = "",
) -> HTMLResponse:
    t, vehicle = begun.tongue, begun.now.file.vehicle
    try:
        layout = layout_of(vehicle)
    except FleetError:
        return begun.page(
            request,
            "handbook.html",
            status=status,
            bay=begun.now.line.name,
            form=None,
            rules=(),
            figures=(),
            faults=(),
            why=why,
        )
    form = read or as_entered(vehicle, layout)
    rules = tuple(_rule_field(rule, begun) for rule in Rule)
    figures = tuple(_figure_field(name, vehicle, t) for name in offered(vehicle, layout))
    labels = {f"rule-{field.name}": str(field.label) for field in rules}
    labels |= {f"page-{field.name}": str(field.label) for field in rules}
    labels |= {f"{what}-{field.name}": field.label for field in figures for what in ("own", "from")}
    return begun.page(
        request,
        "handbook.html",
        status=status,
        bay=begun.now.line.name,
        form=form,
        rules=rules,
        figures=figures,
        faults=[(fault.field, _said(fault, labels, t)) for fault in form.faults],
        why=why,
    )


def _said(fault: BookFault, labels: dict[str, str], t: Tongue) -> Markup:
    say = t.speech.number
    return t(
        fault.key,
        what=labels.get(fault.field, ""),
        low=say(fault.low, 0 if fault.low == int(fault.low) else 2),
        high=say(fault.high, 0 if fault.high == int(fault.high) else 2),
    )


def _rule_field(rule: Rule, begun: BegunVehicle) -> RuleField:
    words = words_for(begun.tongue.language, begun.now.file.site, begun.tongue.now)
    return RuleField(
        name=rule.name,
        label=begun.tongue(f"hb.rule.{rule.value}"),
        usual=default_clause(rule, words),
        options=tuple((says, capital(clause(rule, says, words))) for says in words_of(rule)),
    )


def _figure_field(name: str, vehicle: Vehicle, t: Tongue) -> FigureField:
    layout = CATALOGUE.get(vehicle.layout)
    usual = number_in(layout, name) if layout is not None else None
    unit = t.shared.litre if name.endswith("_l") else scale_of(name)[1]
    return FigureField(
        name=name,
        label=f"{figure_name(name, layout, t)}, {unit}",
        usual=told(name, usual, t) if usual is not None else "",
    )
