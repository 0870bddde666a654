"""One's own settings: language, light or dark, keys on the round, password, other devices."""

from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.web.look import keep_on_device
from frostwatch.web.pages.room import KEYS_COOKIE, render, room_of
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError, Visitor
from frostwatch.web.rights.asking import address_of, sign_device_in
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.own_password import WRONG, change_own_password
from frostwatch.web.rights.passwords import LONGEST
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.words import Tongue

router = APIRouter(include_in_schema=False)
NO_STORE = {"cache-control": "no-store"}


@router.get("/own")
def own_page(request: Request, visitor: AnyVisitor, kept: str = "") -> Response:
    """What somebody can settle for themselves."""
    return _page(request, visitor, kept=kept == "password")


@router.post("/own/keys")
def choose_keys(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Whether keys go from stop to stop on the round, on this device."""
    visitor.signed_in()
    answer = RedirectResponse("/own", 303, headers=NO_STORE)
    keep_on_device(request, answer, KEYS_COOKIE, "on" if form.get("keys") else "")
    return answer


@router.post("/own/password")
def change_password(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Change one's own password; every other device is signed out."""
    account = visitor.signed_in()
    if visitor.session is None:
        raise NotForYouError(knows_of_it=True)
    rights = rights_of(request)
    opened = change_own_password(
        rights,
        account,
        before=str(form.get("before", ""))[: LONGEST + 1],
        after=str(form.get("after", ""))[: LONGEST + 1],
        address=address_of(request),
        lasting=visitor.session.lasting,
    )
    if isinstance(opened, str):
        fault = (
            Fault(field="before", key="own.password.wrong")
            if opened == WRONG
            else Fault(field="after", key=f"code.{opened}")
        )
        return _page(request, visitor, faults=(fault,), status=422)
    answer = RedirectResponse("/own?kept=password", 303, headers=NO_STORE)
    sign_device_in(answer, rights, *opened)
    return answer


@router.post("/own/devices")
def sign_others_out(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Sign every other device out."""
    account = visitor.signed_in()
    if visitor.session is None:
        raise NotForYouError(knows_of_it=True)
    rights_of(request).access.sessions.close_others(account.id, visitor.session.digest)
    return RedirectResponse("/own", 303, headers=NO_STORE)


def _page(
    request: Request,
    visitor: Visitor,
    *,
    faults: tuple[Fault, ...] = (),
    kept: bool = False,
    status: int = 200,
) -> Response:
    account, room = visitor.signed_in(), room_of(request)
    names = room.pages.site_names()
    devices = rights_of(request).access.sessions.count(account.id, room.clock())
    answer = render(
        request,
        "own.html",
        tongue=Tongue(language=visitor.language, zone=ZoneInfo("UTC"), now=room.clock()),
        visitor=visitor,
        place=None,
        here="own",
        status=status,
        faults=faults,
        kept=kept,
        others=max(devices - 1, 0),
        roles=[(names[site], role.value) for site, role in account.roles.items() if site in names],
    )
    answer.headers.update(NO_STORE)
    return answer
