"""What a message says before it is put into words: kinds, levels, and the facts of one message.

Facts carry no language: times are UTC, litres and degrees are numbers, parts are circuit codes.
"""

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.warm_facts import Held, LivedIn, Warm


class Kind(StrEnum):
    """The classes of message. Nothing else is ever sent."""

    OUTLOOK = "outlook"
    WORK_ORDER = "work order"
    LAST_CALL = "last call"
    LEAVE_ALONE = "leave alone"
    THAW_CHECK = "thaw check"
    CHECK_REQUEST = "check request"
    ROLL = "roll"
    NO_FORECAST = "no forecast"
    SEASON = "season"
    WARM_UP = "warm-up"
    HOLD = "hold"
    NOT_REACHED = "not reached"


class Level(StrEnum):
    """How things stand with a vehicle."""

    NONE = "none"
    NOTICE = "notice"
    ACT = "act"
    URGENT = "urgent"
    TOO_LATE = "too late"
    THAW = "thaw"


class Voice(StrEnum):
    """To whom a text speaks: a work sheet, an owner, or a dealer's customer."""

    CREW = "crew"
    OWNER = "owner"
    CUSTOMER = "customer"


class Form(StrEnum):
    """Short for push, chat and text messages; long for e-mail and the page behind the link."""

    SHORT = "short"
    LONG = "long"


class Job(StrEnum):
    """What there is to do at a vehicle."""

    DRAIN_FULLY = "drain fully"
    DRAIN_REST = "drain the rest"
    OPEN_WASTE = "open the waste valve"
    OPEN_TAPS = "open taps and low points"
    FLUSH_TANK = "drain the flush tank"
    DOSE_TRAPS = "dose the traps"
    LOOK = "look"


class Take(StrEnum):
    """What a crew takes along."""

    KEYS = "keys"
    CONTAINERS = "waste containers"
    DOSE = "dose"
    MESH = "mesh"
    GRIT = "grit"
    TAGS = "tags"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wet:
    """A circuit that still holds water.

    Attributes:
        circuit: which.
        litres: how much [L]; None where nobody knows.
    """

    circuit: Circuit
    litres: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Everything a text may mention. What is None is not known, and is then left unsaid.

    Attributes:
        place: name of the yard, or how the owner calls the spot.
        zone: IANA name of the place's time zone; all hours are told in it.
        vans: bays or the owners' own names, in walking order.
        count: vehicles to visit, or concerned.
        all_count: vehicles in the recipient's care.
        job: what there is to do at the (first) vehicle.
        took_min: duration of the job, or of the whole round per person [min].
        wet: what still holds water.
        by: act-by hour, UTC.
        onset: likely hour of frost (air at 0 degC), UTC.
        early: earliest hour of frost, UTC.
        until: likely end of the frost, UTC.
        ice_early: earliest hour of harm in the water, UTC.
        ice_likely: its likely hour, UTC.
        min_c: lowest air, likely [degC].
        mincold_c: lowest air, cold reading [degC].
        coldest_at: when that is, UTC.
        crew_h: crew-hours of work [h].
        ready_at: when the entered crew would be through, UTC.
        fits: the work fits before the act-by hour; None where that is no question.
        fit_count: vehicles that fit before it.
        first: bays of the first loop.
        take: what to take along, with amounts (0 for "some").
        valve_at: likely hour at which the heater tank empties itself, UTC.
        dark_at: dusk on the day of the act-by hour, UTC.
        breaks: circuits that could split, dearest first; empty where little is likely to break.
        harm_likely: more likely than not something is harmed.
        thaw_at: when it is worth looking, UTC.
        looks_again: whether a thaw check can still follow.
        seen_at: when somebody last recorded the vehicle, UTC.
        who: names of people whom a message did not reach.
        rolled: roll counts: drained and seen, dosed, in use, heated, unknown; told without looking.
        issue_at: issue of the forecast used, UTC.
        colder_k: what all members are lowered by because the forecast is old [K].
        credit: words the data's licence asks for.
        warm: how a vehicle is made ready; only in a warm-up plan.
        held: how heat that is kept on stands; only where it is told.
        lived_in: what the waste water of vehicles in use asks for; only where that is all.
    """

    place: str
    zone: str
    vans: tuple[str, ...] = ()
    count: int = 0
    all_count: int = 0
    job: Job | None = None
    took_min: float | None = None
    wet: tuple[Wet, ...] = ()
    by: datetime | None = None
    onset: datetime | None = None
    early: datetime | None = None
    until: datetime | None = None
    ice_early: datetime | None = None
    ice_likely: datetime | None = None
    min_c: float | None = None
    mincold_c: float | None = None
    coldest_at: datetime | None = None
    crew_h: float | None = None
    ready_at: datetime | None = None
    fits: bool | None = None
    fit_count: int | None = None
    first: tuple[str, ...] = ()
    take: tuple[tuple[Take, float], ...] = ()
    valve_at: datetime | None = None
    dark_at: datetime | None = None
    breaks: tuple[Circuit, ...] = ()
    harm_likely: bool | None = None
    thaw_at: datetime | None = None
    looks_again: bool = True
    seen_at: datetime | None = None
    who: tuple[str, ...] = ()
    rolled: "RollCounts | None" = None
    issue_at: datetime | None = None
    colder_k: float = 0.0
    credit: tuple[str, ...] = ()
    warm: Warm | None = None
    held: Held | None = None
    lived_in: LivedIn | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollCounts:
    """How the vehicles of a place stand, each counted once.

    Attributes:
        drained_seen: drained, and somebody saw it.
        drained_told: drained, as somebody said.
        dosed: antifreeze in what is left.
        in_use: open-running.
        heated: heated hold.
        wet: holds water, as recorded.
        unknown: nobody knows.
    """

    drained_seen: int = 0
    drained_told: int = 0
    dosed: int = 0
    in_use: int = 0
    heated: int = 0
    wet: int = 0
    unknown: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """One message to one person, decided but not yet worded.

    Attributes:
        key: key of what it speaks for; with ``revision`` it names the message.
        revision: number of the message under that key, from 1.
        site: key of the site.
        recipient: key of the person.
        kind: class of message.
        level: how things stand.
        reason: why it is said now, a word of the advice package.
        voice: to whom the text speaks.
        vehicles: keys of the vehicles it calls for, in walking order.
        at: moment of the decision, UTC.
        act_by: act-by hour, UTC; None where the kind has none.
        earliest: earliest hour of harm, UTC.
        likely: likely hour of harm, UTC.
        probability: chance of harm that decided it; None where none did.
        facts: what the text may mention.
        link: the one link, without scheme; set by the service.
        stop: link that ends these messages; set by the service.
    """

    key: str
    revision: int
    site: str
    recipient: str
    kind: Kind
    level: Level
    reason: str
    voice: Voice
    at: datetime
    facts: Facts
    vehicles: tuple[str, ...] = ()
    act_by: datetime | None = None
    earliest: datetime | None = None
    likely: datetime | None = None
    probability: float | None = None
    link: str = ""
    stop: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A finished message.

    Attributes:
        subject: headline; for a short form the same as the body.
        body: the whole text, plain.
    """

    subject: str
    body: str = field(default="")
