"""Leave alone, as a page: instead of the round where frost came first, or asked for by itself."""

from starlette.responses import HTMLResponse

from frostwatch.advice.afterwards import looked_back_to
from frostwatch.ports.accounts import Role
from frostwatch.web.pages.begin import Begun
from frostwatch.web.pages.late_view import late_view
from frostwatch.web.pages.owners_view import JUST_TOLD, letters_now, owners_open
from frostwatch.web.pages.room import room_of
from frostwatch.web.rights import Visitor


def late_page(begun: Begun, visitor: Visitor) -> HTMLResponse:
    """What is to be left alone at a site."""
    now = begun.now.now
    acted = begun.now.board.acted if begun.now.board is not None else None
    since = looked_back_to(now, acted)
    read = room_of(begun.request).pages.air_read(begun.place.key, since, now)
    return begun.page(
        "late.html",
        late=late_view(begun.now, begun.tongue, read=read),
        owners=owners_to_write(begun, visitor),
        may_walk=visitor.may(Role.CREW, begun.place.key),
    )


def owners_to_write(begun: Begun, visitor: Visitor) -> int | None:
    """Owners who could be written to; None where nobody keeps a vehicle that needs anything, or
    it is not for this visitor to write."""
    concerned = letters_now(begun.now).letters
    if not concerned or not visitor.may(Role.OPERATOR, begun.place.key):
        return None
    room = room_of(begun.request)
    return owners_open(begun.now, room.letters.told_at(begun.place.key, begun.now.now - JUST_TOLD))
