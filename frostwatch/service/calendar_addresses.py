"""Addresses at which calendar programs fetch: made, opened, withdrawn.

The secret in an address is the whole right, as the code of an owner's link is. It is shown once and
kept as a digest; a new one ends the one before; it ends with the season as those links do.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from frostwatch.advice.walk import WalkRound
from frostwatch.errors import FleetError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.replies import season_end
from frostwatch.ports import Ledger
from frostwatch.ports.calendars import CalendarAddress, Calendars, Publication
from frostwatch.ports.pages import Pages
from frostwatch.ports.plans import Plans
from frostwatch.reports.publishing import published
from frostwatch.service.calendar_facts import Known, from_boards
from frostwatch.service.calendars import Feed, feed_of_person, feed_of_site
from frostwatch.service.nights import Van


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CalendarDesk:
    """What addresses of calendars work with.

    Attributes:
        ledger: what is known and said.
        pages: what passes made for the pages.
        plans: where handover plans are kept.
        calendars: where the addresses are kept.
    """

    ledger: Ledger
    pages: Pages
    plans: Plans
    calendars: Calendars

    def make(
        self,
        digest: str,
        now: datetime,
        *,
        person: str = "",
        site: str = "",
        vehicles: Sequence[str] = (),
    ) -> CalendarAddress:
        """An address for a person or a site; the one before it opens nothing any more.

        Args:
            digest: of its secret.
            now: aware UTC time.
            person: key of the person whose calendar it opens, or else
            site: key of the site.
            vehicles: it shows these alone; empty for all that are theirs.

        Raises:
            FleetError: that person or site is not entered.
        """
        book = self.ledger.load(now, sites=[site] if site else self.calendars.sites_of(person))
        _entered(
            book.people if person else book.sites, person or site, "person" if person else "site"
        )
        south = max((one.latitude_deg for one in book.sites), default=0.0) < 0.0
        address = CalendarAddress(
            person=person,
            site=site,
            digest=digest,
            made_at=now,
            expires_at=season_end(now, -1.0 if south else 1.0),
            vehicles=tuple(vehicles),
        )
        self.calendars.keep(address)
        return address

    def open(self, digest: str, now: datetime) -> Publication | None:
        """What stands behind an address; None where it opens nothing."""
        address = self.calendars.find(digest, now)
        if address is None:
            return None
        try:
            feed = self._feed(address, now)
        except FleetError:  # the person or site is not entered any more
            return None
        made = published(
            address.publication,
            feed.appointments,
            name=feed.name,
            zone=feed.zone,
            about=feed.about,
            gone=feed.gone,
            now=now,
        )
        return self.calendars.note_fetched(address, made, now)

    def _feed(self, address: CalendarAddress, now: datetime) -> Feed:
        sites = [address.site] if address.site else self.calendars.sites_of(address.person)
        book = self.ledger.load(now, sites=sites)
        yards = {key: self.pages.yard(key, now) for key in sites}

        def facts(site: Site, vans: Sequence[Van]) -> Known:
            yard = yards[site.key]
            board = yard.board if yard is not None else None
            return from_boards(board, self.plans.file(site.key, now), site, vans, now)

        def walks(site: Site) -> WalkRound | None:
            yard = yards[site.key]
            return yard.round if yard is not None else None

        if address.site:
            return feed_of_site(book, facts, walks, address.site, now)
        return feed_of_person(book, facts, walks, address.person, now, only=address.vehicles)


def _entered(found: Sequence[Person] | Sequence[Site], key: str, what: str) -> None:
    if all(one.key != key for one in found):
        raise FleetError(f"{what} {key!r} is not entered. See: frostwatch export fleet")
