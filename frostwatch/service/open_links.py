"""What a link opens: whose it is, what was told, and how its vehicles stand now. Reads only."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.advice.answers import latest_answer
from frostwatch.advice.jobs import still_wet
from frostwatch.advice.reminders import Answer, AnswerKind, Reminder
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.messages.replies import plain_code
from frostwatch.messages.wording.draft import Draft, Kind
from frostwatch.ports import AnswerLink, Book, Ledger, LinkStore
from frostwatch.records.entries import Entry, State
from frostwatch.records.standing_water import CircuitWater, water_of
from frostwatch.records.statements import was_withdrawn, withdrawn
from frostwatch.service.link_words import (
    may_look,
    thaw_word,
    undone_at,
    was_written_to_since,
)

ABOUT_A_SPELL = frozenset(
    {
        Kind.OUTLOOK,
        Kind.WORK_ORDER,
        Kind.LAST_CALL,
        Kind.LEAVE_ALONE,
        Kind.THAW_CHECK,
        Kind.CHECK_REQUEST,
    }
)
"""Kinds that lose their point when their spell is over."""


class Closed(StrEnum):
    """Why a link opens nothing. What it was for is not told."""

    NOT_KNOWN = "not known"
    EXPIRED = "expired"


class Due(StrEnum):
    """How a vehicle stands with the person who opened the link."""

    ASKED = "asked"
    ANSWERED = "answered"
    NOTHING = "nothing"
    LAPSED = "lapsed"
    TOO_LATE = "too late"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenVan:
    """One vehicle of an open link.

    Attributes:
        vehicle: the vehicle.
        layout: its layout with its overrides applied.
        water: what its circuits hold.
        open: circuits that somebody should see to.
        answer: the answer that counts; None for none.
        answered: how often this person answered about it since the link was made.
        own_entries: what this person's answers recorded since then and did not take back.
        undoable: the answer that this person can take back; None where nothing of theirs counts,
            or where it took back itself what they had said before.
        undone_at: when they took one back, UTC; None where they answered again since, or never did.
        proof: what a photograph of theirs says again, as seen; None where none does.
        due: how it stands.
        last: its newest entry that nobody took back; None if nobody ever recorded it.
        matters: what stands about it, whoever was told.
        thawed: it may be looked at, and the person was sent too many messages to be told so.
    """

    vehicle: Vehicle
    layout: Layout
    water: tuple[CircuitWater, ...]
    open: tuple[CircuitWater, ...]
    answer: Answer | None
    answered: int
    own_entries: tuple[Entry, ...]
    undoable: Answer | None
    undone_at: datetime | None
    proof: Entry | None
    due: Due
    last: Entry | None
    matters: tuple[Reminder, ...]
    thawed: bool = False

    @property
    def name(self) -> str:
        """What people call it."""
        return self.vehicle.name or self.vehicle.bay or self.vehicle.key

    def matter_keys(self, recipient: str | None) -> tuple[str, ...]:
        """Keys of what stands about it, for one person or for all."""
        return tuple(
            matter.key
            for matter in self.matters
            if recipient is None or matter.recipient == recipient
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenLink:
    """A link that opens.

    Attributes:
        link: the link.
        draft: the newest word about the same vehicles to the same person.
        person: whose link it is.
        site: where the vehicles stand.
        vans: its vehicles that the person still looks after, in the order they were told.
        names: key of a person -> how they are called.
    """

    link: AnswerLink
    draft: Draft
    person: Person
    site: Site
    vans: tuple[OpenVan, ...]
    names: Mapping[str, str]


def open_link(ledger: Ledger, links: LinkStore, code: str, now: datetime) -> OpenLink | Closed:
    """What stands behind a code. Changes nothing, however often it is opened.

    Args:
        ledger: what is known.
        links: where links are kept.
        code: the code as it came.
        now: aware UTC time.
    """
    plain = plain_code(code)
    link = links.find(plain) if plain else None
    if link is None:
        return Closed.NOT_KNOWN
    if now >= link.expires_at:
        return Closed.EXPIRED
    book = ledger.load(now, sites=[link.draft.site])
    site = next((site for site in book.sites if site.key == link.draft.site), None)
    person = next((person for person in book.people if person.key == link.recipient), None)
    if site is None or person is None:
        return Closed.EXPIRED
    vans = tuple(_vans(book, link, person, site, now))
    if link.draft.vehicles and not vans:
        return Closed.EXPIRED
    draft = _newest(links, link)
    if any(van.thawed for van in vans):
        draft = thaw_word(draft, person, site, now)
    return OpenLink(
        link=link,
        draft=draft,
        person=person,
        site=site,
        vans=vans,
        names={one.key: one.name for one in book.people},
    )


def open_circuits(water: Sequence[CircuitWater]) -> tuple[CircuitWater, ...]:
    """Circuits that somebody should see to: wet or unknown, and not dosed."""
    return tuple(entry for entry in still_wet(water) if entry.state is not State.DOSED)


def looks_after(person: Person, vehicle: Vehicle, site: Site) -> bool:
    """Whether a person may still speak for a vehicle."""
    if vehicle.site != site.key:
        return False
    staff = person.duty is not Duty.OWNER and site.key in person.sites
    return staff or person.key in (vehicle.keeper, site.operator)


def _newest(links: LinkStore, link: AnswerLink) -> Draft:
    """An old link shows the newest word: a work order may have become a leave it alone."""
    for later in links.made_for(link.recipient, since=link.told_since):
        same = later.draft.site == link.draft.site and not later.is_by_hand
        if same and later.draft.vehicles == link.draft.vehicles:
            return later.draft
    return link.draft


def _vans(book: Book, link: AnswerLink, person: Person, site: Site, now: datetime) -> list[OpenVan]:
    by_key = {vehicle.key: vehicle for vehicle in book.vehicles}
    found = []
    for key in link.draft.vehicles:
        vehicle = by_key.get(key)
        if vehicle is None or not looks_after(person, vehicle, site):
            continue
        try:
            layout = layout_of(vehicle)
        except FrostwatchError:  # told to the operator by every pass
            continue
        found.append(_van(book, link, person, site, vehicle, layout, now))
    return found


def _van(
    book: Book,
    link: AnswerLink,
    person: Person,
    site: Site,
    vehicle: Vehicle,
    layout: Layout,
    now: datetime,
) -> OpenVan:
    entries = book.entries.get(vehicle.key, ())
    water = water_of(vehicle, layout, entries, now, south=site.is_south)
    matters = tuple(
        m for m in book.reminders.get(vehicle.site, ()) if m.vehicle == vehicle.key and not m.about
    )
    since = min([link.made_at, *(m.raised_at for m in matters if m.recipient == person.key)])
    answers = [a for a in book.answers.get(vehicle.key, ()) if a.at >= since]
    answer = latest_answer(answers, vehicle.key, person.key)
    open_now = open_circuits(water)
    refilled = answer is not None and answer.kind is AnswerKind.DONE and bool(open_now)
    own = _own(entries, person.key, since)
    thawed = any(may_look(m, person.key) for m in matters)
    asking = [m for m in matters if not (thawed and m.kind is Kind.LEAVE_ALONE)]
    newer = was_written_to_since(answer, matters, person.key)
    due = _due(link, asking, bool(matters), open_now, None if refilled or newer else answer)
    return OpenVan(
        vehicle=vehicle,
        layout=layout,
        water=water,
        open=open_now,
        answer=None if refilled else answer,
        answered=sum(a.by == person.key for a in answers),
        own_entries=own,
        undoable=None if refilled else _undoable(answer, person.key, entries),
        undone_at=undone_at(answers, person.key),
        proof=next((entry for entry in entries if _proves(entry, own)), None),
        due=due
        if link.draft.kind is not Kind.WARM_UP or not _is_ahead(vehicle, now)
        else Due.NOTHING,
        last=_last(entries),
        matters=matters,
        thawed=due is Due.ASKED and thawed,
    )


def _is_ahead(vehicle: Vehicle, now: datetime) -> bool:
    """It is made ready for an hour to come, and nobody is asked whether it is drained."""
    return vehicle.handover is not None and now < vehicle.handover.at


def _own(entries: Sequence[Entry], person: str, since: datetime) -> tuple[Entry, ...]:
    mine = [e for e in entries if e.by == person and e.received_at >= since]
    back = withdrawn(mine)
    return tuple(e for e in mine if e.event == "answer" and not was_withdrawn(e, back))


def _last(entries: Sequence[Entry]) -> Entry | None:
    """The newest entry that nobody took back."""
    gone = withdrawn(entries)
    return next((e for e in reversed(entries) if not was_withdrawn(e, gone)), None)


def _undoable(answer: Answer | None, person: str, entries: Sequence[Entry]) -> Answer | None:
    """The answer that counts, if it is theirs and took nothing back."""
    if answer is None or answer.by != person:
        return None
    took_back = any(
        (entry.by, entry.received_at, entry.event) == (person, answer.at, "taken back")
        for entry in entries
    )
    return None if took_back else answer


def _proves(entry: Entry, own: Sequence[Entry]) -> bool:
    return entry.event == "photo" and any(
        (entry.by, entry.circuit, entry.at) == (one.by, one.circuit, one.at) for one in own
    )


def _due(
    link: AnswerLink,
    matters: Sequence[Reminder],
    stands: bool,
    open_now: Sequence[CircuitWater],
    answer: Answer | None,
) -> Due:
    done = answer is not None and answer.kind is AnswerKind.DONE
    if done:
        return Due.ANSWERED
    if not open_now:
        return Due.NOTHING
    if any(matter.kind is Kind.LEAVE_ALONE for matter in matters):
        return Due.TOO_LATE
    if answer is not None:
        return Due.ANSWERED
    if not stands and link.draft.kind in ABOUT_A_SPELL:
        return Due.LAPSED
    return Due.ASKED
