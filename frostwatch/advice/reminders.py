"""Standing matters, answers to them, and decisions with the numbers they rest on."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any

from frostwatch.advice.plain import from_plain, to_plain
from frostwatch.messages.wording.draft import Kind, Level

ACT_KINDS = frozenset({Kind.WORK_ORDER, Kind.LAST_CALL})
"""Kinds that ask somebody to go and drain."""


def stamp_of(moment: datetime) -> str:
    """A moment as it stands in keys, UTC: to the minute, to the second where that is no whole one,
    so that two passes of one minute name two messages."""
    at = moment.astimezone(UTC)
    return f"{at:%Y-%m-%dT%H%M%S}Z" if at.second else f"{at:%Y-%m-%dT%H%M}Z"


class Reason(StrEnum):
    """Why something is said now, or why nothing is."""

    FIRST = "first"
    AFTER_QUIET = "after quiet days"
    NEW_WATER = "new water"
    LEVEL_ROSE = "level rose"
    HOUR_EARLIER = "hour moved earlier"
    SURER = "more likely than when first told"
    COLDER = "colder than when they could not come"
    REMINDED = "no answer and the last light"
    WEEKLY = "weekly"
    DOES_NOT_FIT = "does not fit a later slot"
    ACT_BY_PASSED = "act-by hour passed"
    NO_SLOT = "no slot before the frost"
    HARM_BEGUN = "harm has begun"
    THAWED = "thawed"
    AHEAD = "frost ahead"
    UNKNOWN = "state unknown and frost ahead"
    SCHEDULED = "scheduled"
    FORECAST_LOST = "no usable forecast"
    CLEARED = "cleared"
    BY_HAND = "written by hand"
    NOT_DELIVERED = "neither delivered nor answered"
    PLANNED = "a handover is near"
    HOUR_MOVED = "heating-on hour moved"
    HEATING_ON = "heating on now"
    TAKEN_OFF = "handover taken off"

    DRAINED = "nothing: drained"
    VALVE = "nothing: only the heater tank, whose valve opens by itself"
    STAYS_LIQUID = "nothing: chance of harm below the cost ratio"
    LATER_SLOT = "nothing: a later slot still serves"
    LATER_READING = "nothing: a later reading still serves"
    TOLD = "nothing: told already in this spell"
    ANSWERED_DONE = "nothing: answered done"
    ANSWERED_CANNOT = "nothing: answered cannot come"
    GOING = "nothing: somebody is going"
    NOT_THAWED = "nothing: frozen, not thawed yet"
    TOO_SHORT = "nothing: no slot, and too little time left to go"
    NOT_YET = "nothing: not a time at which this is told"
    BUDGET = "nothing: enough messages for now"
    FEW = "nothing: fewer than three vehicles more than were told of today"
    QUIET_HOURS = "nothing: quiet hours"
    NOBODY = "nothing: nobody to tell"
    LAST_STANDS = "nothing new: no usable forecast, what was said stands"


class Status(StrEnum):
    """Whether a matter still stands."""

    STANDING = "standing"
    ACKNOWLEDGED = "acknowledged"
    CLEARED = "cleared"


class AnswerKind(StrEnum):
    """What somebody answered."""

    DONE = "done"
    PART = "part"
    CANNOT = "cannot"
    GOING = "going"
    UNDO = "undo"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One press, or one word in reply.

    Attributes:
        vehicle: key of the vehicle.
        by: key of the person who answered, "" if not known.
        kind: done, part, cannot or going; undo takes back the answer before it of the same person.
        at: when, UTC.
        going_at: when they mean to go, UTC; only with going.
    """

    vehicle: str
    by: str
    kind: AnswerKind
    at: datetime
    going_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One message about a matter, with the numbers it was sent on.

    Attributes:
        kind: class of message.
        at: when, UTC.
        reason: why then.
        level: level told.
        act_by: act-by hour told, UTC.
        earliest: earliest harm told, UTC.
        likely: likely harm told, UTC.
        probability: chance of harm that decided it.
        min_c: lowest air told, likely [degC].
        escalated_at: when whoever runs the place was told that it reached nobody, UTC.
    """

    kind: Kind
    at: datetime
    reason: Reason
    level: Level = Level.NONE
    act_by: datetime | None = None
    earliest: datetime | None = None
    likely: datetime | None = None
    probability: float | None = None
    min_c: float | None = None
    escalated_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Litres of a circuit when last told [L]."""

    circuit: str
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """What stands between one person and one vehicle during one spell of frost.

    With an empty vehicle it is the person's tally at the site: what they were sent this winter.

    Attributes:
        key: identity over its whole life.
        site: key of the site.
        recipient: key of the person.
        vehicle: key of the vehicle, "" for the tally.
        kind: class of what was said last; None before anything was.
        status: standing, acknowledged (answered done) or cleared.
        spell: UTC date on which it was raised; for a tally the year the winter began in.
        raised_at: when it was raised, UTC.
        said: what was said, oldest first.
        told: litres by circuit when last told.
        quiet_since: since when no harm is in sight, UTC; None while some is.
        froze: ice was likely in the vehicle at some time.
        begins: likely hour at which harm begins, or began, as last reckoned, UTC; None if none is
            in sight.
        thaw_waits: it had thawed when they could look, and they had been told enough that day.
        answer: the latest answer.
        about: what it is about beside frost: "handover"; "" for frost.
    """

    key: str
    site: str
    recipient: str
    vehicle: str
    kind: Kind | None
    status: Status
    spell: str
    raised_at: datetime
    said: tuple[Said, ...] = ()
    told: tuple[Told, ...] = ()
    quiet_since: datetime | None = None
    froze: bool = False
    begins: datetime | None = None
    thaw_waits: bool = False
    answer: Answer | None = None
    about: str = ""

    @property
    def is_tally(self) -> bool:
        """It counts messages rather than standing for a vehicle."""
        return not self.vehicle

    def last(self, *kinds: Kind) -> Said | None:
        """The latest message of these kinds, of any kind if none is named."""
        for said in reversed(self.said):
            if not kinds or said.kind in kinds:
                return said
        return None

    def times(self, *kinds: Kind) -> int:
        """How often these kinds were said."""
        return sum(said.kind in kinds for said in self.said)

    def to_dict(self) -> dict[str, Any]:
        """JSON values."""
        plain: dict[str, Any] = to_plain(self)
        return plain

    @classmethod
    def from_dict(cls, values: Mapping[str, Any]) -> "Reminder":
        """From JSON values."""
        return from_plain(cls, values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What was decided about one vehicle for one person, "say nothing" included.

    Attributes:
        at: when, UTC.
        site: key of the site.
        vehicle: key of the vehicle, "" for the site as a whole.
        recipient: key of the person.
        kind: what is said; None for nothing.
        level: how things stand.
        reason: why.
        probability: chance of harm in the window that the coming slot alone can meet.
        before: chance of harm before that slot can be used.
        begun: chance that harm has begun already.
        earliest: earliest harm, UTC.
        likely: likely harm, UTC.
        window_from: start of the window, UTC.
        window_to: its end, UTC.
        act_by: act-by hour, UTC.
        ratio: cost ratio it was held against: the probability above which a call is worth its
            work; None where no night was looked at.
        litres: water reckoned with [L].
        spell: the matter's spell, "" if none stands.
        issued_at: issue of the forecast it rests on, UTC.
        provider: its provider.
    """

    at: datetime
    site: str
    vehicle: str
    recipient: str
    kind: Kind | None
    level: Level
    reason: Reason
    probability: float | None = None
    before: float | None = None
    begun: float | None = None
    earliest: datetime | None = None
    likely: datetime | None = None
    window_from: datetime | None = None
    window_to: datetime | None = None
    act_by: datetime | None = None
    ratio: float | None = None
    litres: float = 0.0
    spell: str = ""
    issued_at: datetime | None = None
    provider: str = ""

    def to_dict(self) -> dict[str, Any]:
        """JSON values."""
        plain: dict[str, Any] = to_plain(self)
        return plain

    @classmethod
    def from_dict(cls, values: Mapping[str, Any]) -> "Decision":
        """From JSON values."""
        return from_plain(cls, values)
