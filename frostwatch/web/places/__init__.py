"""Changing a place that is entered already: site, vehicles, people, and who gets in.

For operators of the place alone. What a change does to the record is said before it is kept, and
what it did stands in the record. Whoever changes something that somebody else changed meanwhile is
told, and nothing they typed is lost.
"""

from collections.abc import Callable

from fastapi import FastAPI

from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.places import (
    accounts,
    hub,
    links,
    people,
    site,
    tokens,
    vehicle_lists,
    vehicles,
)
from frostwatch.web.places.room import PlacesRoom
from frostwatch.web.routing import take_in

ROUTERS = (
    hub.router,
    site.router,
    people.router,
    vehicles.router,
    vehicle_lists.router,
    accounts.router,
    tokens.router,
    links.router,
)


def install(
    app: FastAPI,
    ledger: SqlLedger,
    *,
    public_url: str = "",
    may_enter: bool = False,
    address_fault: Callable[[str], str],
) -> None:
    """Put the pages into an app.

    Args:
        app: the app; its rights and its pages are installed already.
        ledger: where everything is kept.
        public_url: web address under which people reach this service, "" for none.
        may_enter: whether further places can be entered here.
        address_fault: why nothing could be sent to an address, "" if it looks right.
    """
    app.state.places = PlacesRoom(
        ledger=ledger, address=public_url, may_enter=may_enter, address_fault=address_fault
    )
    take_in(app, *ROUTERS)
