"""Calendars that people's programs fetch: addresses, and what was last shown behind each."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class Appointment:
    """One entry of a calendar.

    Attributes:
        key: what it stands for; the same key is the same entry moved.
        starts: its start, UTC.
        ends: its end, UTC; later than the start.
        summary: one line.
        description: what to know, lines.
        location: where.
        told_before: reminder so long before it; None for none.
        all_day: it says something of a day and takes no time of it.
        fleeting: it goes as soon as it no longer holds, begun or not.
        kin: vehicles it calls for, where those name it better than its key does: of what was shown
            under the same beginning of a key, it is the one that called for most of them.
    """

    key: str
    starts: datetime
    ends: datetime
    summary: str
    description: str = ""
    location: str = ""
    told_before: timedelta | None = None
    all_day: bool = False
    fleeting: bool = False
    kin: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """An appointment as it was last shown behind an address.

    Attributes:
        appointment: what it says.
        first_at: when it was first shown, UTC: part of its identity, so that a key that comes
            again after its appointment is over is another appointment.
        sequence: how often its hours moved, or it was called off or on again (RFC 5545, 3.8.7.4).
        changed_at: when anything of it changed last, UTC.
        gone: it was called off before it began.
    """

    appointment: Appointment
    first_at: datetime | None = None
    sequence: int = 0
    changed_at: datetime
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """A whole calendar as it was last shown.

    Attributes:
        changed_at: when anything of it changed last, UTC.
        name: shown for it.
        zone: IANA zone in which to show it.
        about: what it rests on, a sentence.
        shown: key -> appointment.
    """

    changed_at: datetime
    name: str
    zone: str
    about: str = ""
    shown: Mapping[str, Shown] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarAddress:
    """Where a person's, or a site's, calendar can be fetched by whoever knows the address.

    Attributes:
        person: key of the person whose it is, "" for a site's.
        site: key of the site whose it is, "" for a person's.
        digest: SHA-256 of the secret in the address, hexadecimal.
        made_at: when the secret was made, UTC.
        expires_at: it opens nothing from then on, UTC.
        vehicles: it shows these alone; empty for all that are theirs.
        fetched_at: when it was last fetched, UTC, kept to an hour; None if never.
        publication: what was last shown; None if nothing was.
    """

    person: str = ""
    site: str = ""
    digest: str
    made_at: datetime
    expires_at: datetime
    vehicles: tuple[str, ...] = ()
    fetched_at: datetime | None = None
    publication: Publication | None = None

    @property
    def whose(self) -> str:
        """Whose calendar it is: each has one address at a time."""
        return f"person/{self.person}" if self.person else f"site/{self.site}"


class Calendars(Protocol):
    """Where addresses of calendars are kept. Raises LedgerError."""

    def keep(self, address: CalendarAddress) -> None:
        """Keep an address; the one that was before opens nothing any more."""
        ...

    def find(self, digest: str, now: datetime) -> CalendarAddress | None:
        """The address of that digest unless it has expired."""
        ...

    def of(self, whose: str) -> CalendarAddress | None:
        """The address of a person or site, expired ones too."""
        ...

    def note_fetched(
        self, address: CalendarAddress, publication: Publication, now: datetime
    ) -> Publication:
        """Keep what is shown now; where somebody else fetched meanwhile, what they were shown."""
        ...

    def withdraw(self, whose: str) -> bool:
        """Make the address of a person or site open nothing; False if there is none."""
        ...

    def sites_of(self, person: str) -> tuple[str, ...]:
        """Keys of the sites at which a person may have something to do."""
        ...
