"""Changing the people of a place: who is told, how, when, and who leaves."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from urllib.parse import parse_qsl, urlencode

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Channel, Duty, Language, Person, Slot
from frostwatch.messages.channels import shown_address
from frostwatch.ports.accounts import Role
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.storage.fleet_changes import MisfitError
from frostwatch.storage.hours_text import clock_from, range_from, spans_from, spans_text
from frostwatch.storage.vehicle_list import key_from
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
from frostwatch.web.places.site import differing
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError
from frostwatch.web.rights.names import is_email
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.set_up.people_list import SHORT_SCHEMES, reached_by

router = APIRouter()
NAMES = (
    "name",
    "duty",
    "language",
    "reading",
    "travel",
    "slots",
    "quiet",
    "caution",
    "cost_ratio",
    "address",
    "channel",
    "mail_server",
)
WORKS_HERE = (Duty.OPERATOR, Duty.CREW)
MOST_CHANNELS = 8
MAIL_SCHEMES = ("mailto", "mailtos")


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to reach somebody, as the page shows it.

    Attributes:
        name: how people speak of it.
        shown: its address without what opens it.
        form: short or long.
    """

    name: str
    shown: str
    form: str


@router.get("/place/{site}/people")
def people_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Everybody who has to do with the place."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    return desk.page(
        "place_people.html",
        part="people",
        people=people_of(entered, site),
        keeps=_keeps(entered, site),
    )


@router.get("/place/{site}/people/new")
def new_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Somebody who is not entered yet."""
    desk = desk_at(request, visitor, site)
    return _page(desk, None, _fields(None, visitor.language))


@router.post("/place/{site}/people/new")
def add(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Enter somebody."""
    desk = desk_at(request, visitor, site)
    typed = typed_of(form, NAMES)
    entered = desk.room.ledger.entered()
    read = _read(desk, typed, None, entered, frozenset())
    if not isinstance(read, Person):
        return _page(desk, None, typed, faults=read, status=422)
    if entered.person(read.key) is not None:
        here = any(one.key == read.key for one in people_of(entered, site))
        key = "change.person.there" if here else "set.person_taken"
        fault = Fault(field="name", key=key, values={"name": read.name})
        return _page(desk, None, typed, faults=(fault,), status=422)
    try:
        _keep(desk, read, seen="")
    except ChangedMeanwhileError:
        fault = Fault(field="name", key="change.person.there", values={"name": read.name})
        return _page(desk, None, typed, faults=(fault,), status=409)
    except MisfitError as refused:
        return _page(desk, None, typed, faults=misfits(refused, {}, "name"), status=422)
    return RedirectResponse(f"{desk.address}/people?kept=1", 303)


@router.get("/place/{site}/people/{person}")
def person_page(request: Request, visitor: AnyVisitor, site: str, person: str) -> Response:
    """Somebody as they are entered."""
    desk = desk_at(request, visitor, site)
    found = _found(desk, desk.room.ledger.entered(), person)
    return _page(desk, found, _fields(found, visitor.language))


@router.post("/place/{site}/people/{person}")
def change(
    request: Request, visitor: AnyVisitor, site: str, person: str, form: CheckedForm
) -> Response:
    """Change somebody, or say what it does, or what must be put right."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    before = _found(desk, entered, person)
    if not _is_whole(desk, entered, before):
        raise NotForYouError(knows_of_it=True)
    typed, was = typed_of(form, NAMES), str(form.get("was", ""))
    gone = frozenset(str(one) for one in form.getlist("gone"))
    if mark_of(before) != was:
        return _meanwhile(desk, before, typed, gone)
    read = _read(desk, typed, before, entered, gone)
    if not isinstance(read, Person):
        return _page(desk, before, typed, faults=read, gone=gone, status=422)
    effects = tuple(_effects(before, read, desk.site.key))
    if effects and form.get("seen") != mark_of_effects(effects):
        return _page(desk, before, typed, effects=effects, gone=gone)
    try:
        _keep(desk, read, seen=was)
    except ChangedMeanwhileError:
        return _meanwhile(desk, _found(desk, desk.room.ledger.entered(), person), typed, gone)
    except MisfitError as refused:
        faults = misfits(refused, {}, "name")
        return _page(desk, before, typed, faults=faults, gone=gone, status=422)
    return RedirectResponse(f"{desk.address}/people?kept=1", 303)


@router.post("/place/{site}/people/{person}/leave")
def leave(
    request: Request, visitor: AnyVisitor, site: str, person: str, form: CheckedForm
) -> Response:
    """Somebody has no more to do with the place; what they recorded stays."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    before = _found(desk, entered, person)
    fields = _fields(before, visitor.language)
    if mark_of(before) != str(form.get("was", "")):
        return _meanwhile(desk, before, fields, frozenset())

    def made(now: Entered) -> FleetChange:
        there = now.person(person)
        if there is None or mark_of(there) != mark_of(before):
            raise ChangedMeanwhileError
        if _holds(now, person, site):
            raise _StillHereError
        left = tuple(key for key in there.sites if key != site)
        elsewhere = left or any(v.keeper == person for v in now.vehicles)
        elsewhere = elsewhere or any(one.operator == person for one in now.sites)
        if elsewhere:
            return FleetChange(people=(replace(there, sites=left),))
        return FleetChange(gone_people=(person,))

    try:
        desk.room.ledger.change_fleet(made)
    except _StillHereError:
        fault = Fault(field="leave", key="change.person.holds", values={"name": before.name})
        return _page(desk, before, fields, faults=(fault,), status=409)
    except ChangedMeanwhileError:
        return _meanwhile(
            desk, _found(desk, desk.room.ledger.entered(), person), fields, frozenset()
        )
    desk.room.ledger.links.withdraw(person, site=site, now=desk.now)
    _lock_out(desk, person)
    return RedirectResponse(f"{desk.address}/people?kept=1", 303)


class _StillHereError(Exception):
    """Somebody keeps a vehicle at the place, or is written to about it."""


def people_of(entered: Entered, site: str) -> tuple[Person, ...]:
    """Everybody who works at a place, keeps a vehicle there or is written to about it."""
    keepers = {one.keeper for one in entered.vehicles if one.site == site}
    operators = {one.operator for one in entered.sites if one.key == site}
    return tuple(
        one for one in entered.people if site in one.sites or one.key in keepers | operators
    )


def _keeps(entered: Entered, site: str) -> dict[str, list[tuple[str, str]]]:
    """Person -> key and name of the vehicles they keep at a place."""
    found: dict[str, list[tuple[str, str]]] = {}
    for one in entered.vehicles:
        if one.site == site and one.keeper:
            found.setdefault(one.keeper, []).append((one.key, one.name or one.bay or one.key))
    return found


def _holds(entered: Entered, person: str, site: str) -> bool:
    there = entered.site(site)
    return (there is not None and there.operator == person) or any(
        one.site == site and one.keeper == person for one in entered.vehicles
    )


def _found(desk: PlaceDesk, entered: Entered, key: str) -> Person:
    for one in people_of(entered, desk.site.key):
        if one.key == key:
            return one
    raise NotForYouError


def _is_whole(desk: PlaceDesk, entered: Entered, person: Person) -> bool:
    """Whether everything about somebody is in the hands of whoever asks."""
    places = {v.site for v in entered.vehicles if v.keeper == person.key} | {*person.sites}
    places |= {one.key for one in entered.sites if one.operator == person.key}
    return all(desk.account.may(Role.OPERATOR, place) for place in places)


def _fields(person: Person | None, language: Language) -> dict[str, str]:
    if person is None:
        return dict.fromkeys(NAMES, "") | {
            "duty": Duty.OWNER.value,
            "language": language.value,
            "quiet": "21:00-06:30",
        }
    caution, ratio = caution_of(person.cost_ratio)
    spans = [(slot.weekday, slot.starts, slot.ends) for slot in person.slots]
    return dict.fromkeys(NAMES, "") | {
        "name": person.name,
        "duty": person.duty.value,
        "language": person.language.value,
        "reading": ", ".join(f"{clock:%H:%M}" for clock in person.reading),
        "travel": f"{person.travel_min:g}",
        "slots": "\n".join(spans_text(spans, language)),
        "quiet": f"{person.quiet_from:%H:%M}-{person.quiet_to:%H:%M}",
        "caution": caution,
        "cost_ratio": ratio,
    }


def _read(
    desk: PlaceDesk,
    typed: Mapping[str, str],
    before: Person | None,
    entered: Entered,
    gone: frozenset[str],
) -> Person | tuple[Fault, ...]:
    fields = Fields(typed)
    name = fields.text("name", needed=True)
    duty = fields.word("duty", Duty)
    language = fields.word("language", Language)
    reading = fields.each("reading", clock_from, ",;\n")
    travel_min = fields.number("travel", 0, 2880) or 0.0
    slots = fields.each("slots", _slots)
    quiet = fields.each("quiet", range_from)
    ratio = fields.cost_ratio()
    kept = tuple(one for one in (before.channels if before else ()) if one.name not in gone)
    added = tuple(_channel(desk, fields, kept, entered))
    if fields.faults:
        return tuple(fields.faults)
    sites = _sites(before, duty, desk.site.key)
    made = before or Person(key=key_from(name), name=name, duty=duty)
    quiet_from, quiet_to = quiet[0] if quiet else (made.quiet_from, made.quiet_to)
    return replace(
        made,
        name=name,
        duty=duty,
        language=language,
        channels=(*kept, *added),
        sites=sites,
        travel_min=travel_min,
        reading=tuple(reading),
        slots=tuple(one for those in slots for one in those),
        quiet_from=quiet_from,
        quiet_to=quiet_to,
        cost_ratio=ratio,
    )


def _sites(before: Person | None, duty: Duty, here: str) -> tuple[str, ...]:
    """Where they work; who is new belongs here, whatever their duty, until they keep a vehicle."""
    sites = before.sites if before is not None else (here,)
    if before is not None and before.duty in WORKS_HERE and duty not in WORKS_HERE:
        return tuple(one for one in sites if one != here)
    return (*sites, here) if duty in WORKS_HERE and here not in sites else sites


def _slots(text: str) -> tuple[Slot, ...]:
    return tuple(Slot(weekday=day, starts=a, ends=b) for day, a, b in spans_from(text))


def _channel(
    desk: PlaceDesk, fields: Fields, kept: tuple[Channel, ...], entered: Entered
) -> Iterator[Channel]:
    """One way more to reach somebody, where one was typed."""
    typed = fields.text("address", longest=500)
    name = fields.text("channel")
    if not typed:
        if name:
            fields.fault("address", "change.channel.no_address")
        return
    server = fields.raw("mail_server")[:500] or _mail_server(entered, desk.site.key)
    if is_email(typed) and "://" not in server:
        fields.fault("mail_server", "set.mail_server_unread")
        return
    address = reached_by(typed, server)
    fault = desk.room.address_fault(address)
    if fault:
        fields.refused("address", FleetError(fault))
        return
    scheme = address.partition(":")[0].lower()
    taken = {one.name for one in kept}
    free = [f"{scheme} {n}" if n > 1 else scheme for n in range(1, MOST_CHANNELS + 2)]
    name = name or next(one for one in free if one not in taken)
    if name in taken:
        fields.fault("channel", "change.channel.twice")
        return
    if len(kept) >= MOST_CHANNELS:
        fields.fault("address", "change.channel.many", most=MOST_CHANNELS)
        return
    form = "long" if scheme in (*SHORT_SCHEMES, "outbox") else "short"
    yield Channel(name=name, address=address, form=form)


def _mail_server(entered: Entered, site: str) -> str:
    """The server through which others of the place are reached; "" for none."""
    for person in people_of(entered, site):
        for channel in person.channels:
            head, _, query = channel.address.partition("?")
            rest = [(key, value) for key, value in parse_qsl(query) if key != "to"]
            if head.partition("://")[0] in MAIL_SCHEMES and len(rest) < len(parse_qsl(query)):
                return f"{head}?{urlencode(rest)}" if rest else head
    return ""


def _effects(before: Person, after: Person, site: str) -> Iterator[Effect]:
    if before.channels and not after.channels:
        yield Effect(key="change.person.unreached", values={"name": after.name})
    if site in before.sites and site not in after.sites:
        yield Effect(key="change.person.works_not", values={"name": after.name})


def _keep(desk: PlaceDesk, person: Person, *, seen: str) -> None:
    keep_change(
        desk.room.ledger,
        FleetChange(people=(person,)),
        seen=seen,
        present=lambda now: now.person(person.key),
    )


def _lock_out(desk: PlaceDesk, person: str) -> None:
    """Whoever leaves a place may do nothing there any more."""
    accounts = desk.rights.access.accounts
    for account in accounts.listed():
        held = account.roles.get(desk.site.key)
        if account.person == person and held is not None and account.id != desk.account.id:
            accounts.set_role(account.id, desk.site.key, None, was=held)


def _meanwhile(
    desk: PlaceDesk, now: Person, typed: Mapping[str, str], gone: frozenset[str]
) -> Response:
    shown = _fields(now, desk.visitor.language)
    same = {
        name: shown[name] for name in NAMES if name not in ("address", "channel", "mail_server")
    }
    compared = {name: typed[name] for name in same}
    return _page(desk, now, typed, meanwhile=differing(compared, same), gone=gone, status=409)


def _page(
    desk: PlaceDesk,
    person: Person | None,
    fields: Mapping[str, str],
    *,
    faults: tuple[Fault, ...] = (),
    effects: tuple[Effect, ...] = (),
    meanwhile: tuple[tuple[str, str], ...] | None = None,
    gone: frozenset[str] = frozenset(),
    status: int = 200,
) -> Response:
    entered = desk.room.ledger.entered()
    t = desk.tongue
    ways = [
        Way(name=one.name, shown=shown_address(one.address), form=one.form)
        for one in (person.channels if person is not None else ())
    ]
    return desk.page(
        "place_person.html",
        part="people",
        status=status,
        faults=faults,
        effects=effects,
        meanwhile=meanwhile,
        was=mark_of(person),
        seen=mark_of_effects(effects),
        fields=fields,
        person=person,
        ways=ways,
        gone=gone,
        keeps=_keeps(entered, desk.site.key).get(person.key, ()) if person is not None else (),
        is_operator=person is not None and desk.site.operator == person.key,
        whole=person is None or _is_whole(desk, entered, person),
        duties=[(one.value, str(t(f"change.duty.{one.value}"))) for one in Duty],
    )
