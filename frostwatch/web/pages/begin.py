"""How a page about a whole site begins: who asks, which site, and how it stands this minute."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import Request
from starlette.responses import HTMLResponse

from frostwatch.web.pages.issue import credit_line, issue_line
from frostwatch.web.pages.room import Place, place_of, render, room_of, tongue_of
from frostwatch.web.pages.yard_now import YardNow, yard_now
from frostwatch.web.rights import Visitor
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A page about a site, begun.

    Attributes:
        request: the request.
        visitor: who asks.
        place: the site.
        tongue: language, zone and moment.
        now: how the site stands.
        here: which page of the navigation it is.
    """

    request: Request
    visitor: Visitor
    place: Place
    tongue: Tongue
    now: YardNow
    here: str

    def page(self, template: str, *, status: int = 200, **values: Any) -> HTMLResponse:
        """The page, rendered."""
        return render(
            self.request,
            template,
            tongue=self.tongue,
            visitor=self.visitor,
            place=self.place,
            status=status,
            here=self.here,
            issue=issue_line(self.now, self.tongue),
            credit=credit_line(self.now),
            **values,
        )


def begin(
    request: Request, visitor: Visitor, *, here: str, site: str | None = None
) -> Begun | HTMLResponse:
    """Begin a page about a site; where there is no site, or no vehicle, that is the page.

    Args:
        request: the request.
        visitor: who asks.
        here: which page of the navigation it is.
        site: key of the site, where the page itself says so; else it stands in the query.

    Raises:
        NotSignedInError: nobody is signed in.
        NotForYouError: the site asked for is not there, or not theirs to see.
    """
    place = place_of(request, visitor, site)
    room = room_of(request)
    now = room.clock()
    yard = room.pages.yard(place.key, now) if place is not None else None
    if place is None or yard is None:
        tongue = Tongue(language=visitor.language, zone=ZoneInfo("UTC"), now=now)
        return render(
            request, "no_site.html", tongue=tongue, visitor=visitor, place=None, here=here
        )
    begun = Begun(
        request=request,
        visitor=visitor,
        place=place,
        tongue=tongue_of(visitor, yard.site, now),
        now=yard_now(yard, now),
        here=here,
    )
    return begun if begun.now.lines else begun.page("no_vehicles.html")
