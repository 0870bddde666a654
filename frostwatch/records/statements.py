"""Which statements count, in which order, until when, and which contradict each other."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from functools import lru_cache

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.events import Effect, effect_of
from frostwatch.records.holding import DRY_STATES, Amount

ASSERTION_HOLDS = timedelta(days=90)
CONFLICT_SHARE = 0.2
"""Share of the capacity by which two statements of an amount must differ to be a conflict."""
SEASON_STARTS, SEASON_STARTS_SOUTH = (9, 1), (3, 1)
"""Month and day on which last winter's statements end; six months later south of the equator."""


class Unsure(StrEnum):
    """Why nobody knows what a circuit holds."""

    NEVER = "never recorded"
    SAID = "recorded as unknown"
    RAN_OUT = "too long ago"
    DIFFER = "two people contradict each other"
    REWETTED = "may have been re-wetted"
    MOVED = "moved since it was drained"


@lru_cache(maxsize=4096)
def ends_at(since: datetime, evidence: Evidence, *, south: bool = False) -> datetime:
    """The moment from which a statement no longer holds, UTC."""
    date = since.astimezone(UTC)
    starts = SEASON_STARTS_SOUTH if south else SEASON_STARTS
    season = datetime(date.year, *starts, tzinfo=UTC)
    if season <= date:
        season = datetime(date.year + 1, *starts, tzinfo=UTC)
    told = evidence in (Evidence.ASSERTED, Evidence.PREDICTED)
    return min(season, since + ASSERTION_HOLDS) if told else season


def moment_of(entry: Entry) -> datetime:
    """When it was so, UTC: a device clock that runs ahead is set back to the arrival."""
    return min(entry.at, entry.received_at)


def in_order(entries: Iterable[Entry], vehicle: str, now: datetime) -> list[Entry]:
    """By time; happenings before statements of the same minute; then the wetter statement last,
    so that a tie is settled the same way whatever the order of the rows."""
    known = [e for e in entries if e.vehicle == vehicle and e.received_at <= now]
    withdrawals = withdrawn(known)
    known = [e for e in known if not was_withdrawn(e, withdrawals)] if withdrawals else known

    def order(entry: Entry) -> tuple[datetime, bool, datetime, bool, float, str]:
        return (
            moment_of(entry),
            effect_of(entry.event) in (Effect.NONE, Effect.WORK),
            entry.received_at,
            entry.state not in DRY_STATES,
            entry.litres_l if entry.litres_l is not None else float("inf"),
            f"{entry.state} {entry.by} {entry.circuit} {entry.dose_fraction} {entry.note} "
            f"{entry.event} {entry.evidence == Evidence.SEEN} {entry.evidence}",
        )

    return sorted(known, key=order)


Withdrawals = Mapping[tuple[str, Circuit, datetime], datetime]
"""Writer, circuit and moment of what was taken back -> when it was last, UTC."""


def withdrawn(entries: Iterable[Entry]) -> Withdrawals:
    """What was taken back among some entries."""
    found: dict[tuple[str, Circuit, datetime], datetime] = {}
    for entry in entries:
        if effect_of(entry.event) is Effect.WITHDRAWS:
            what = (entry.by, entry.circuit, entry.at)
            found[what] = max(found.get(what, entry.received_at), entry.received_at)
    return found


def was_withdrawn(entry: Entry, withdrawals: Withdrawals) -> bool:
    """Whether it was taken back: what was said anew of the same moment afterwards was not."""
    at = withdrawals.get((entry.by, entry.circuit, entry.at))
    return at is not None and entry.received_at <= at


def contradict(entry: Entry, amount: Amount, said: Entry, then: Amount, full_l: float) -> bool:
    """Whether two statements of one circuit, which holds ``full_l`` [L], cannot both be so."""
    if State.UNKNOWN in (entry.state, said.state):
        return False
    if (entry.state in DRY_STATES) != (said.state in DRY_STATES):
        return True
    if (entry.state is State.DOSED) != (said.state is State.DOSED):
        return True
    if entry.state is State.DOSED:
        return False
    return abs(amount.cost_l - then.cost_l) > CONFLICT_SHARE * full_l
