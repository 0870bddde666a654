"""A link to one vehicle that is made by hand: for whoever lost theirs, or was never written to."""

from datetime import datetime

from frostwatch.advice.drafts import voice_of
from frostwatch.errors import FleetError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.replies import season_end
from frostwatch.messages.wording.draft import Draft, Facts, Kind, Level
from frostwatch.ports import AnswerLink, Ledger
from frostwatch.ports.links import BY_HAND
from frostwatch.service.open_links import looks_after


def link_by_hand(
    ledger: Ledger, vehicle: str, person: str, now: datetime, *, code: str
) -> AnswerLink:
    """A link that opens a vehicle's page for somebody, until the season ends.

    It tells the newest word that they were sent about it, and how it stands where there was none.
    It is not kept here.

    Args:
        ledger: what is known.
        vehicle: key of the vehicle.
        person: key of the person, "" for its keeper, or whoever the place is told to.
        now: aware UTC time.
        code: of the link.

    Raises:
        FleetError: there is no such vehicle or person, or they have no say over it.
    """
    book = ledger.load(now)
    found = next((one for one in book.vehicles if one.key == vehicle), None)
    if found is None:
        raise FleetError(f"There is no vehicle {vehicle!r}. Give the key of one that is entered.")
    site = next(one for one in book.sites if one.key == found.site)
    key = person or found.keeper or site.operator
    if not key:
        raise FleetError(f"{vehicle} has no keeper. Name who is to have the link.")
    who = next((one for one in book.people if one.key == key), None)
    if who is None:
        raise FleetError(f"There is no person {key!r}. Give the key of somebody who is entered.")
    if not looks_after(who, found, site):
        raise FleetError(f"{who.name} has no say over {vehicle}. Enter them as its keeper first.")
    return _link(found, site, who, now, code)


def _link(vehicle: Vehicle, site: Site, person: Person, now: datetime, code: str) -> AnswerLink:
    draft = Draft(
        key=f"link/{vehicle.key}/{person.key}",
        revision=1,
        site=site.key,
        recipient=person.key,
        kind=Kind.OUTLOOK,
        level=Level.NONE,
        reason=BY_HAND,
        voice=voice_of(person, site),
        vehicles=(vehicle.key,),
        at=now,
        facts=Facts(place=site.name, zone=site.time_zone),
    )
    expires = season_end(now, site.latitude_deg)
    return AnswerLink(code=code, draft=draft, made_at=now, expires_at=expires)
