"""A trip: an owner names the hour they set out, moves it, or stays; and when it has begun.

The hour is kept as a handover's is, so that the same plan leads to it and the same messages tell
it. Once it has come water runs through the vehicle: from then on nobody knows what is in it until
somebody says so, and it is asked about before frost like any other. So it is with a handover of
which nobody wrote down whether it was made ready: the hour has come, and "drained" has run out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import structlog

from frostwatch.advice.going import Going, going
from frostwatch.errors import FrostwatchError, RecordError
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.people import Duty
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import Book, Ledger
from frostwatch.ports.plans import Plans
from frostwatch.records.entries import NOBODY_SAID, Entry, Evidence, State
from frostwatch.service.calendar_facts import Ready
from frostwatch.service.handover_entry import enter
from frostwatch.service.handovers import AHEAD
from frostwatch.service.nights import Memory
from frostwatch.service.open_links import OpenVan
from frostwatch.service.planner import Planner

log = structlog.get_logger()

TRIP, HANDOVER = "trip", "handover"
TRIP_AHEAD = timedelta(days=60)
"""Nobody plans a winter trip further ahead by a link that ends with its winter. Estimate."""
BACK_WITHIN = timedelta(days=30)
"""So long after its hour a trip is still asked about. Estimate."""
SAID_BEFORE = timedelta(hours=36)
"""Water that went in so shortly before belongs to the trip: a plan is made no earlier. Estimate."""
RAN = frozenset({TRIP, "warm-up", HANDOVER})


class HourChangedError(RecordError):
    """Somebody else changed the hour in between; nothing was kept."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trip:
    """A trip as it stands.

    Attributes:
        at: its hour, UTC.
        over: the hour has come.
        list: everything that is put back before any water goes in.
        ready: the vehicle with its plan; None where none was made yet.
        plan_from: from when the plan's hours can be told, UTC.
    """

    at: datetime
    over: bool
    list: Going
    ready: Ready | None
    plan_from: datetime


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TripDesk:
    """What trips work with.

    Attributes:
        plans: where handovers and their plans are kept.
        planner: plans at once; None leaves it to the next pass.
    """

    plans: Plans
    planner: Planner | None = None

    def set_out(self, vehicle: Vehicle, at: datetime | None, *, by: str, now: datetime) -> bool:
        """Keep the hour of a trip, move it, or with None stay; False if it stood so already.

        Raises:
            HourChangedError: somebody else changed it since the vehicle was read.
            RecordError: the hour makes no sense.
        """
        known = vehicle.handover
        if at is not None and not now < at <= now + TRIP_AHEAD:
            raise RecordError("The hour of a trip must lie in the coming 60 days. Give another.")
        if at is None:
            after = None
        else:
            after = Handover(at=at) if known is None else replace(known, at=at, indoors_from=None)
        if after == known:
            return False
        if not enter(self.plans, vehicle, after, by=by, now=now):
            raise HourChangedError("Somebody else changed its hour in between. Name it again.")
        if self.planner is not None:
            self.planner.plan(vehicle.key, now)
        return True

    def trip_of(self, van: OpenVan, site: Site, now: datetime) -> Trip | None:
        """The trip that is ahead of a vehicle, or that it may be wet from; None for none."""
        wanted = van.vehicle.handover
        if wanted is None or now >= wanted.at + BACK_WITHIN:
            return None
        if now >= wanted.at and not van.open:  # back, and seen to
            return None
        board = self.plans.board(site.key)
        made = next(
            (one for one in (board.vans if board else ()) if one.vehicle == van.vehicle.key), None
        )
        fits = made is not None and made.handover == wanted and now < wanted.at
        return Trip(
            at=wanted.at,
            over=now >= wanted.at,
            list=going(van.layout, van.water, wanted.at, van.vehicle.practice),
            ready=Ready(
                site=site,
                vehicle=van.vehicle,
                layout=van.layout,
                water=van.water,
                handover=wanted,
                plan=made.proposed,
                out=made.out,
            )
            if fits and made is not None
            else None,
            plan_from=wanted.at - AHEAD,
        )


def note_trips(ledger: Ledger, book: Book, memory: Memory, now: datetime) -> bool:
    """Record that trips have begun and handovers have come; True if the book is to be read again.

    Nobody has seen it: the hour has come, that is all. What is recorded after it counts.
    """
    entries = tuple(_begun(book, memory, now))
    if not entries:
        return False
    try:
        ledger.add_entries(entries)
    except FrostwatchError as fault:
        log.error("trips not noted", cause=str(fault))
        return False
    return True


def _begun(book: Book, memory: Memory, now: datetime) -> Iterator[Entry]:
    owners = {person.key for person in book.people if person.duty is Duty.OWNER}
    south = {site.key: site.is_south for site in book.sites}
    for vehicle in book.vehicles:
        wanted = vehicle.handover
        if wanted is None or not wanted.at <= now < wanted.at + BACK_WITHIN:
            continue
        known = book.entries.get(vehicle.key, ())
        if _is_known(known, wanted.at):
            continue
        try:
            layout = memory.van(vehicle, known, now, south=south[vehicle.site]).layout
        except FrostwatchError:  # told to the operator by every pass
            continue
        own = vehicle.keeper in owners
        yield Entry(
            vehicle=vehicle.key,
            circuit=layout.items[0].circuit,
            state=State.UNKNOWN,
            evidence=Evidence.PREDICTED,
            by=vehicle.keeper if own else NOBODY_SAID,
            at=wanted.at,
            received_at=now,
            event=TRIP if own else HANDOVER,
        )


def _is_known(entries: Sequence[Entry], at: datetime) -> bool:
    """Water went in for it, or something was recorded since."""
    return any(one.at >= at or (one.event in RAN and one.at >= at - SAID_BEFORE) for one in entries)
