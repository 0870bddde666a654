"""How a page about one vehicle begins: who asks, which vehicle, and how it stands this minute."""

from dataclasses import dataclass

from fastapi import Request
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse

from frostwatch.ports.accounts import Account, Role
from frostwatch.ports.pages import VehicleFile
from frostwatch.web.pages.issue import credit_line, issue_line
from frostwatch.web.pages.room import Place, place_of, render, room_of, tongue_of
from frostwatch.web.pages.vehicle_now import VehicleNow, vehicle_now
from frostwatch.web.rights import NotForYouError, Visitor
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class BegunVehicle:
    """A page about one vehicle, begun."""

    visitor: Visitor
    account: Account
    place: Place
    tongue: Tongue
    now: VehicleNow

    @property
    def by(self) -> str:
        """Under which name the record is written."""
        return self.account.person or self.account.name

    @property
    def address(self) -> str:
        """Where the vehicle's page is."""
        return f"/v/{self.now.file.vehicle.key}"

    def page(
        self, request: Request, template: str, *, status: int = 200, **values: object
    ) -> HTMLResponse:
        """The page, rendered."""
        yard = self.now.yard
        return render(
            request,
            template,
            tongue=self.tongue,
            visitor=self.visitor,
            place=self.place,
            status=status,
            here="vehicle",
            key=self.now.file.vehicle.key,
            issue=issue_line(yard, self.tongue),
            credit=credit_line(yard),
            **values,
        )


def begin_vehicle(request: Request, visitor: Visitor, key: str, role: Role) -> BegunVehicle:
    """Begin a page about one vehicle.

    Raises:
        NotSignedInError: nobody is signed in.
        NotForYouError: there is no such vehicle, or it is not theirs to see.
    """
    visitor.signed_in()
    room = room_of(request)
    now = room.clock()
    file: VehicleFile | None = room.pages.vehicle(key, now)
    if file is None:
        raise NotForYouError
    account = visitor.must(role, file.site.key)
    place = place_of(request, visitor, file.site.key)
    assert place is not None
    return BegunVehicle(
        visitor=visitor,
        account=account,
        place=place,
        tongue=tongue_of(visitor, file.site, now),
        now=vehicle_now(file, now),
    )


def typed(form: FormData) -> dict[str, str]:
    """What was typed into a form."""
    return {key: value for key, value in form.items() if isinstance(value, str)}
