"""Addresses of calendars in their table."""

import json
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, delete, select, update

from frostwatch.fleet.people import Person
from frostwatch.ports.calendars import CalendarAddress, Publication
from frostwatch.storage.bodies import from_body, read_again, to_body
from frostwatch.storage.calendar_tables import CalendarAddressRow
from frostwatch.storage.database import Database, upsert
from frostwatch.storage.fleet_rows import load_sites
from frostwatch.storage.tables import PersonRow, VehicleRow, table_of

FETCHED_EVERY = timedelta(hours=1)
"""How closely the last fetch is noted: spares a write for most of them."""

_address = table_of(CalendarAddressRow)
_person = table_of(PersonRow)
_vehicle = table_of(VehicleRow)


class SqlCalendars:
    """Addresses of calendars on SQLite or PostgreSQL. Implements ``ports.calendars.Calendars``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, address: CalendarAddress) -> None:
        """Keep an address instead of the one that was; what that one showed is forgotten."""
        row = {
            "whose": address.whose,
            "digest": address.digest,
            "made_at": address.made_at,
            "expires_at": address.expires_at,
            "vehicles": json.dumps(address.vehicles),
            "fetched_at": address.fetched_at,
            "shown": "",
        }
        with self._database.writing() as connection:
            upsert(connection, _address, [row], ["whose"])

    def find(self, digest: str, now: datetime) -> CalendarAddress | None:
        """The address of that digest unless it has expired."""
        found = self._one(_address.c.digest == digest)
        return found if found is not None and now < found.expires_at else None

    def of(self, whose: str) -> CalendarAddress | None:
        """The address of a person or site, expired ones too."""
        return self._one(_address.c.whose == whose)

    def note_fetched(
        self, address: CalendarAddress, publication: Publication, now: datetime
    ) -> Publication:
        """Keep what is shown now; where somebody else fetched meanwhile, what they were shown."""
        seen = address.fetched_at
        if publication == address.publication and seen is not None and now - seen < FETCHED_EVERY:
            return publication
        before = _body(address.publication)
        with self._database.writing() as connection:
            kept = connection.execute(
                update(_address)
                .where(_address.c.digest == address.digest, _address.c.shown == before)
                .values(shown=_body(publication), fetched_at=now)
            )
            if kept.rowcount == 1:
                return publication
            shown = connection.scalar(
                select(_address.c.shown).where(_address.c.digest == address.digest)
            )
        return _publication(shown) or publication

    def withdraw(self, whose: str) -> bool:
        """Make the address of a person or site open nothing; False if there is none."""
        with self._database.writing() as connection:
            gone = connection.execute(delete(_address).where(_address.c.whose == whose))
            return gone.rowcount == 1

    def sites_of(self, person: str) -> tuple[str, ...]:
        """Keys of the sites at which a person may have something to do."""
        with self._database.reading() as connection:
            own = _own_sites(connection, person)
            return tuple(
                site.key
                for site in load_sites(connection, None)
                if site.key in own or site.operator == person
            )

    def _one(self, wanted: Any) -> CalendarAddress | None:
        with self._database.reading() as connection:
            row = connection.execute(select(_address).where(wanted)).first()
        if row is None:
            return None
        kind, _, key = row.whose.partition("/")
        return CalendarAddress(
            person=key if kind == "person" else "",
            site=key if kind == "site" else "",
            digest=row.digest,
            made_at=row.made_at,
            expires_at=row.expires_at,
            vehicles=tuple(json.loads(row.vehicles)),
            fetched_at=row.fetched_at,
            publication=_publication(row.shown),
        )


def end_addresses_of_links(connection: Connection, person: str) -> None:
    """Make what somebody got by a link open nothing: it shows no more than the link did."""
    by_link = _address.c.vehicles != json.dumps(())
    connection.execute(delete(_address).where(_address.c.whose == f"person/{person}", by_link))


def prune_addresses(connection: Connection, before: datetime) -> None:
    """Drop addresses that ended before then."""
    connection.execute(delete(_address).where(_address.c.expires_at < before))


def _own_sites(connection: Connection, person: str) -> set[str]:
    kept = connection.scalars(select(_vehicle.c.site).where(_vehicle.c.keeper == person).distinct())
    own = set(kept)
    body = connection.scalar(select(_person.c.body).where(_person.c.key == person))
    if body is not None:
        own |= set(read_again(Person, body, where=f"person {person}").sites)
    return own


def _body(publication: Publication | None) -> str:
    return "" if publication is None else to_body(Publication, publication)


def _publication(body: str | None) -> Publication | None:
    return from_body(Publication, body, where="a calendar that was shown") if body else None
