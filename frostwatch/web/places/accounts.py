"""Who signs in at a place, and what they may do there."""

from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role, RoleChange
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError
from frostwatch.web.rights.names import doubt_about, is_email
from frostwatch.web.set_up.fault import Fault

router = APIRouter()
NOBODY = "none"
FIELDS = ("email", "name", "role", "language", "person", "everywhere")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Somebody who signs in at the place.

    Attributes:
        account: their account.
        own: it is whoever looks at the page.
        role: role at this place alone, "" for none.
        whole: whoever looks may withdraw the account and give it a new code.
    """

    account: Account
    own: bool
    role: str
    whole: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Invited:
    """How somebody gets in, shown once.

    Attributes:
        email: what they sign in with.
        code: one-time code, "" where they have an account already.
        link: the page on which the code is typed in already, "" where the service has no address.
    """

    email: str
    code: str
    link: str


@router.get("/place/{site}/accounts")
def accounts_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Who signs in here."""
    return _page(desk_at(request, visitor, site))


@router.post("/place/{site}/accounts")
def add(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Let somebody in: a new account with its one-time code, or a role for one that is there."""
    desk = desk_at(request, visitor, site)
    typed = {name: _text(form, name).strip() for name in FIELDS}
    faults = tuple(_faults(desk, typed))
    if faults:
        return _page(desk, typed=typed, faults=faults, status=422)
    email = typed["email"].casefold()
    there = desk.rights.access.accounts.by_email(email)
    if there is not None:
        if there.role_at(desk.site.key) is not None:
            fault = Fault(field="email", key="accounts.there", values={"email": email})
            return _page(desk, typed=typed, faults=(fault,), status=422)
        accounts, role = desk.rights.access.accounts, Role(typed["role"])
        if typed["everywhere"]:
            accounts.set_everywhere(there.id, role, was=there.everywhere)
        else:
            accounts.set_role(there.id, desk.site.key, role, was=there.roles.get(desk.site.key))
        return _page(desk, invited=Invited(email=email, code="", link=""))
    try:
        made = desk.rights.access.accounts.add(_account(desk, typed, email))
    except LedgerError:  # somebody else was quicker by a moment
        fault = Fault(field="email", key="accounts.there", values={"email": email})
        return _page(desk, typed=typed, faults=(fault,), status=409)
    return _page(desk, invited=_invited(desk, made))


@router.post("/place/{site}/accounts/{account}/role")
def change_role(
    request: Request, visitor: AnyVisitor, site: str, account: int, form: CheckedForm
) -> Response:
    """Change what somebody may do here, or take it from them."""
    desk = desk_at(request, visitor, site)
    other = _other(desk, account)
    word, was = _text(form, "role"), _text(form, "was")
    if word not in (*Role, NOBODY):
        fault = Fault(field=f"role-{account}", key="set.choose")
        return _page(desk, faults=(fault,), status=422)
    changed = desk.rights.access.accounts.set_role(
        other.id,
        desk.site.key,
        None if word == NOBODY else Role(word),
        was=Role(was) if was in set(Role) else None,
    )
    if changed is RoleChange.MEANWHILE:
        fault = Fault(
            field=f"role-{account}", key="accounts.meanwhile", values={"name": other.name}
        )
        return _page(desk, faults=(fault,), status=409)
    return _back(desk)


@router.post("/place/{site}/accounts/{account}/everywhere")
def change_everywhere(
    request: Request, visitor: AnyVisitor, site: str, account: int, form: CheckedForm
) -> Response:
    """Change what somebody may do at every place, present and future, or take it from them."""
    desk = desk_at(request, visitor, site)
    other = _other(desk, account)
    if not _gives_everywhere(desk):
        raise NotForYouError(knows_of_it=True)
    word, was = _text(form, "role"), _text(form, "was")
    field = f"everywhere-{account}"
    if word not in (*Role, NOBODY):
        return _page(desk, faults=(Fault(field=field, key="set.choose"),), status=422)
    changed = desk.rights.access.accounts.set_everywhere(
        other.id,
        None if word == NOBODY else Role(word),
        was=Role(was) if was in set(Role) else None,
    )
    if changed is not RoleChange.DONE:
        key = f"accounts.{changed.value}"
        fault = Fault(field=field, key=key, values={"name": other.name})
        return _page(desk, faults=(fault,), status=409)
    return _back(desk)


@router.post("/place/{site}/accounts/{account}/code")
def new_code(
    request: Request, visitor: AnyVisitor, site: str, account: int, form: CheckedForm
) -> Response:
    """A new one-time code, for a forgotten password."""
    desk = desk_at(request, visitor, site)
    other = _managed(desk, account)
    return _page(desk, invited=_invited(desk, other))


@router.post("/place/{site}/accounts/{account}/withdraw")
def withdraw(
    request: Request, visitor: AnyVisitor, site: str, account: int, form: CheckedForm
) -> Response:
    """Take an account out; its devices are signed out at once. What it recorded stays."""
    desk = desk_at(request, visitor, site)
    other = _managed(desk, account)
    if desk.rights.access.accounts.withdraw(other.id) is RoleChange.LAST:
        fault = Fault(field=f"role-{account}", key="accounts.last", values={"name": other.name})
        return _page(desk, faults=(fault,), status=409)
    return _back(desk)


def _gives_everywhere(desk: PlaceDesk) -> bool:
    """Nobody gives more than they have."""
    return desk.account.everywhere is Role.OPERATOR


def may_manage(actor: Account, other: Account) -> bool:
    """Whether somebody has a whole account in their hands, not only its role at one place.

    A code lets its holder in as the account, so it may never open more than its giver has.
    """
    if actor.everywhere is Role.OPERATOR:
        return True
    return other.everywhere is None and all(actor.may(Role.OPERATOR, site) for site in other.roles)


def _other(desk: PlaceDesk, number: int) -> Account:
    """Somebody else who signs in here. Nobody changes what they themselves may do."""
    for account in desk.rights.access.accounts.listed():
        if account.id == number and account.role_at(desk.site.key) is not None:
            if account.id == desk.account.id:
                raise NotForYouError(knows_of_it=True)
            return account
    raise NotForYouError


def _managed(desk: PlaceDesk, account: int) -> Account:
    """An account that the visitor may manage.

    Raises:
        NotForYouError: the visitor may not, or there is none here.
    """
    other = _other(desk, account)
    if not may_manage(desk.account, other):
        raise NotForYouError(knows_of_it=True)
    return other


def _faults(desk: PlaceDesk, typed: dict[str, str]) -> list[Fault]:
    found = []
    if not is_email(typed["email"]):
        found.append(Fault(field="email", key="code.no_email"))
    doubt = doubt_about(typed["name"]) if typed["name"] else None
    if doubt is not None:
        found.append(Fault(field="name", key=f"set.text_{doubt.value}"))
    if typed["role"] not in set(Role):
        found.append(Fault(field="role", key="set.choose"))
    if typed["everywhere"] and not _gives_everywhere(desk):
        raise NotForYouError(knows_of_it=True)
    if typed["language"] not in set(Language):
        found.append(Fault(field="language", key="set.choose"))
    if typed["person"] and typed["person"] not in dict(_people(desk)):
        found.append(Fault(field="person", key="set.choose"))
    return found


def _account(desk: PlaceDesk, typed: dict[str, str], email: str) -> Account:
    return Account(
        email=email,
        name=typed["name"] or email.partition("@")[0],
        person=typed["person"],
        language=Language(typed["language"]),
        everywhere=Role(typed["role"]) if typed["everywhere"] else None,
        roles={} if typed["everywhere"] else {desk.site.key: Role(typed["role"])},
        made_at=desk.now,
    )


def _invited(desk: PlaceDesk, account: Account) -> Invited:
    code = desk.rights.new_code(account.id)
    query = urlencode({"code": code, "email": account.email})
    link = f"{desk.room.address}/sign-in/code?{query}" if desk.room.address else ""
    return Invited(email=account.email, code=code, link=link)


def _people(desk: PlaceDesk) -> list[tuple[str, str]]:
    """Key and name of everybody who has to do with the place."""
    people = desk.room.ledger.people_at(desk.site.key)
    return [(person.key, person.name) for person in people]


def _back(desk: PlaceDesk) -> Response:
    return RedirectResponse(f"{desk.address}/accounts", 303, headers={"cache-control": "no-store"})


def _page(
    desk: PlaceDesk,
    *,
    typed: dict[str, str] | None = None,
    faults: tuple[Fault, ...] = (),
    invited: Invited | None = None,
    status: int = 200,
) -> Response:
    key = desk.site.key
    empty = dict.fromkeys(FIELDS, "") | {
        "role": Role.CREW.value,
        "language": desk.visitor.language.value,
    }
    rows = [
        Row(
            account=account,
            own=account.id == desk.account.id,
            role=account.roles[key].value if key in account.roles else "",
            whole=may_manage(desk.account, account),
        )
        for account in desk.rights.access.accounts.listed()
        if account.role_at(key) is not None
    ]
    return desk.page(
        "place_accounts.html",
        part="accounts",
        status=status,
        faults=faults,
        rows=rows,
        invited=invited,
        typed=typed or empty,
        roles=[role.value for role in Role],
        people=_people(desk),
        gives_everywhere=_gives_everywhere(desk),
    )


def _text(form: FormData, name: str) -> str:
    value = form.get(name, "")
    return value[:254] if isinstance(value, str) else ""
