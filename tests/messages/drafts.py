"""Drafts of the invented yard, van and forecourt, one for each kind of message."""

from dataclasses import replace
from datetime import UTC, datetime

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import (
    Draft,
    Facts,
    Job,
    Kind,
    Level,
    RollCounts,
    Take,
    Voice,
    Wet,
)
from frostwatch.messages.wording.warm_facts import Held, LivedIn, Warm

CREDIT = ("Weather data by an open provider, https://example.org, CC BY 4.0",)


def utc(day: int, hour: int, minute: int = 0, *, month: int = 12) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


YARD = Facts(
    place="Cold Rigg Yard",
    zone="Europe/London",
    vans=("A-02", "A-03", "B-06"),
    count=17,
    all_count=24,
    by=utc(2, 15, 30),
    onset=utc(2, 22),
    early=utc(2, 20),
    until=utc(4, 12),
    min_c=-5.0,
    mincold_c=-6.5,
    coldest_at=utc(3, 7),
    crew_h=2.9,
    ready_at=utc(1, 10),
    fits=True,
    fit_count=17,
    first=("A-02", "A-03", "B-06"),
    take=(
        (Take.KEYS, 17.0),
        (Take.CONTAINERS, 2.0),
        (Take.DOSE, 2.0),
        (Take.MESH, 3.0),
        (Take.GRIT, 1.0),
        (Take.TAGS, 17.0),
    ),
    issue_at=utc(1, 6),
    credit=CREDIT,
)
MAELLE = Facts(
    place="Chez Soazig",
    zone="Europe/Paris",
    vans=("Mon fourgon",),
    count=1,
    all_count=1,
    job=Job.DRAIN_FULLY,
    took_min=45.0,
    wet=(
        Wet(circuit=Circuit.FRESH_TANK, litres=20.0),
        Wet(circuit=Circuit.PUMP, litres=0.2),
        Wet(circuit=Circuit.HEATER_TANK, litres=10.0),
        Wet(circuit=Circuit.WASTE_TANK, litres=8.0),
    ),
    by=utc(20, 16, month=11),
    onset=utc(21, 2, month=11),
    early=utc(21, 0, month=11),
    until=utc(21, 9, month=11),
    min_c=-1.5,
    mincold_c=-3.0,
    valve_at=utc(20, 2, month=11),
    dark_at=utc(20, 16, 27, month=11),
    breaks=(),
    harm_likely=False,
    issue_at=utc(19, 12, month=11),
    credit=CREDIT,
)
A03 = replace(
    YARD,
    vans=("A-03",),
    count=1,
    job=Job.DRAIN_FULLY,
    took_min=26.0,
    wet=(
        Wet(circuit=Circuit.FRESH_TANK, litres=90.0),
        Wet(circuit=Circuit.WASTE_TANK, litres=35.0),
    ),
    ice_early=utc(2, 19, 30),
    ice_likely=utc(2, 22),
    onset=utc(2, 23),
    thaw_at=utc(5, 14),
)

_YARD_NOW = utc(1, 7, 40)
_OWNER_NOW = utc(19, 17, 15, month=11)


def _yard(kind: Kind, level: Level, facts: Facts, at: datetime = _YARD_NOW, **more: str) -> Draft:
    return Draft(
        key="cold-rigg/ailsa/x",
        revision=1,
        site="cold-rigg",
        recipient="ailsa",
        kind=kind,
        level=level,
        reason=more.get("reason", "first"),
        voice=Voice.CREW,
        at=at,
        facts=facts,
        vehicles=("Y02", "Y03", "Y12"),
        act_by=facts.by,
        link=more.get("link", "fw.example/r/4kq"),
        stop="fw.example/s/4kq",
    )


def _owner(kind: Kind, level: Level, facts: Facts, at: datetime = _OWNER_NOW, **more: str) -> Draft:
    draft = _yard(kind, level, facts, at, link="fw.example/v/m2", **more)
    return replace(draft, voice=Voice.OWNER, vehicles=("M1",))


_NOW_PLAN = utc(14, 14)
D08 = Facts(
    place="Reisemobilhof Hinterlach",
    zone="Europe/Berlin",
    vans=("D08",),
    count=1,
    all_count=16,
    issue_at=utc(14, 5),
    credit=CREDIT,
    warm=Warm(
        at=utc(15, 9),
        fuel="gas",
        power_w=6000.0,
        on_at=utc(15, 5, 45),
        begins=utc(15, 5, 35),
        shut_at=utc(15, 6, 20),
        fill_at=utc(15, 7, 15),
        hot_at=utc(15, 8, 10),
        spare_min=30.0,
        soak_c=-6.0,
    ),
)
assert D08.warm is not None
NO_HOT_WATER = replace(D08.warm, fuel="diesel", power_w=2000.0, shut_at=None, hot_at=None)
MAELLES_TRIP = Warm(
    at=utc(21, 8, month=11),
    fuel="gas",
    power_w=4000.0,
    on_at=utc(21, 5, month=11),
    begins=utc(21, 4, 50, month=11),
    shut_at=utc(21, 5, 20, month=11),
    fill_at=utc(21, 6, month=11),
    hot_at=utc(21, 7, month=11),
    spare_min=30.0,
    soak_c=1.0,
    put_back=(
        "drain plug and travel-level knob shut, filler cap on",
        "low points and taps shut",
        "antifreeze rinsed out",
    ),
    disinfect=True,
)
HELD = Held(fuel="gas", need_w=1130.0, have_w=1380.0, pipes_after_h=5.4)
LATE = Warm(
    at=utc(15, 9),
    fuel="electric",
    power_w=1800.0,
    indoors_by=utc(14, 17),
    other_fuel="gas",
    other_w=6000.0,
    other_on=utc(15, 5, 45),
    later_at=utc(15, 13, 30),
)
DRY = Warm(at=utc(15, 9), fuel="diesel", power_w=4000.0, dry=True)
"""Its valve lets go under the floor: nothing there is to be had warms it."""


DRAFTS: dict[str, Draft] = {
    "outlook": _yard(
        Kind.OUTLOOK,
        Level.NOTICE,
        replace(YARD, onset=utc(3, 1), early=utc(2, 23), min_c=-2.0, mincold_c=-3.5),
        utc(29, 18, 10, month=11),
    ),
    "outlook-owner": _owner(
        Kind.OUTLOOK, Level.NOTICE, replace(MAELLE, by=None), utc(18, 17, 15, month=11)
    ),
    "work-order": _yard(Kind.WORK_ORDER, Level.ACT, YARD),
    "work-order-does-not-fit": _yard(
        Kind.WORK_ORDER, Level.ACT, replace(YARD, fits=False, fit_count=12, count=40, all_count=40)
    ),
    "work-order-perhaps": _yard(Kind.WORK_ORDER, Level.ACT, replace(YARD, onset=None)),
    "work-order-owner": _owner(Kind.WORK_ORDER, Level.URGENT, MAELLE),
    "work-order-owner-hard": _owner(
        Kind.WORK_ORDER,
        Level.URGENT,
        replace(
            MAELLE,
            min_c=-6.0,
            mincold_c=-8.0,
            until=None,
            valve_at=None,
            harm_likely=True,
            breaks=(Circuit.PUMP, Circuit.HOT_PIPES, Circuit.OUTLET_STUB),
            colder_k=2.0,
        ),
    ),
    "work-order-customer": replace(
        _owner(Kind.WORK_ORDER, Level.URGENT, MAELLE), voice=Voice.CUSTOMER
    ),
    "last-call": _yard(Kind.LAST_CALL, Level.URGENT, A03, utc(2, 16)),
    "last-call-many": _yard(
        Kind.LAST_CALL, Level.URGENT, replace(A03, vans=YARD.vans, wet=()), utc(2, 16)
    ),
    "leave-alone": _yard(Kind.LEAVE_ALONE, Level.TOO_LATE, A03, utc(3, 8)),
    "leave-alone-many": _yard(
        Kind.LEAVE_ALONE,
        Level.TOO_LATE,
        replace(A03, vans=YARD.vans, thaw_at=None, looks_again=False),
        utc(3, 8),
    ),
    "thaw-check": _yard(Kind.THAW_CHECK, Level.THAW, A03, utc(5, 14)),
    "check-request": _yard(
        Kind.CHECK_REQUEST,
        Level.NOTICE,
        replace(YARD, vans=("B-09",), took_min=5.0, seen_at=utc(25, 10, month=5)),
    ),
    "check-request-never": _yard(
        Kind.CHECK_REQUEST, Level.NOTICE, replace(YARD, vans=("B-01",), took_min=5.0)
    ),
    "roll": _yard(
        Kind.ROLL,
        Level.NONE,
        replace(
            YARD,
            all_count=180,
            min_c=2.0,
            coldest_at=utc(6, 7),
            rolled=RollCounts(
                drained_seen=149, dosed=12, in_use=6, heated=4, unknown=9, drained_told=0
            ),
        ),
    ),
    "warm-up": _yard(Kind.WARM_UP, Level.ACT, D08, _NOW_PLAN),
    "warm-up-no-hot-water": _yard(
        Kind.WARM_UP, Level.ACT, replace(D08, warm=NO_HOT_WATER), _NOW_PLAN
    ),
    "warm-up-now": _yard(Kind.WARM_UP, Level.ACT, D08, utc(15, 5, 45), reason="heating on now"),
    "warm-up-late": _yard(Kind.WARM_UP, Level.URGENT, replace(D08, warm=LATE), _NOW_PLAN),
    "warm-up-dry": _yard(Kind.WARM_UP, Level.URGENT, replace(D08, warm=DRY), _NOW_PLAN),
    "warm-up-frozen": _yard(
        Kind.WARM_UP, Level.ACT, replace(D08, warm=replace(D08.warm, frozen=True)), _NOW_PLAN
    ),
    "warm-up-clash": _yard(
        Kind.WARM_UP, Level.ACT, replace(D08, warm=replace(D08.warm, clashes=True)), _NOW_PLAN
    ),
    "warm-up-off": _yard(
        Kind.WARM_UP,
        Level.ACT,
        replace(D08, warm=Warm(at=utc(15, 9), fuel="", power_w=0.0)),
        _NOW_PLAN,
        reason="handover taken off",
    ),
    "warm-up-off-owner": _owner(
        Kind.WARM_UP,
        Level.ACT,
        replace(
            MAELLE, wet=(), warm=Warm(at=utc(15, 9), fuel="", power_w=0.0, later_at=utc(23, 9))
        ),
        utc(14, 17),
        reason="handover taken off",
    ),
    "warm-up-owner": _owner(
        Kind.WARM_UP,
        Level.ACT,
        replace(MAELLE, wet=(), warm=MAELLES_TRIP),
        utc(20, 17, month=11),
    ),
    "warm-up-now-owner": _owner(
        Kind.WARM_UP,
        Level.ACT,
        replace(MAELLE, wet=(), warm=MAELLES_TRIP),
        utc(21, 5, month=11),
        reason="heating on now",
    ),
    "hold": _yard(Kind.HOLD, Level.ACT, replace(A03, held=HELD), utc(2, 7, 40)),
    "hold-weak": _yard(
        Kind.HOLD,
        Level.ACT,
        replace(A03, held=replace(HELD, need_w=1600.0, weak=True, fuel="electric")),
        utc(2, 7, 40),
    ),
    "hold-runs-out": _owner(
        Kind.HOLD,
        Level.ACT,
        replace(MAELLE, held=replace(HELD, out_at=utc(21, 4, month=11), pipes_after_h=None)),
    ),
    "in-use": _owner(
        Kind.WORK_ORDER,
        Level.URGENT,
        replace(
            MAELLE,
            lived_in=LivedIn(holds_l=12.0, a_day_l=25.0, times_a_day=3, lasts_h=9.216),
        ),
    ),
    "no-forecast": _yard(
        Kind.NO_FORECAST,
        Level.ACT,
        replace(YARD, count=18, issue_at=utc(30, 1, month=11), credit=()),
    ),
    "no-forecast-owner": _owner(Kind.NO_FORECAST, Level.ACT, replace(MAELLE, credit=())),
    "forecast-back": _yard(Kind.NO_FORECAST, Level.NONE, YARD, reason="cleared"),
    "season": _yard(Kind.SEASON, Level.NOTICE, replace(YARD, count=31), utc(1, 7, 40, month=10)),
    "season-owner": _owner(Kind.SEASON, Level.NOTICE, MAELLE, utc(1, 17, 15, month=10)),
    "not-reached": _yard(
        Kind.NOT_REACHED,
        Level.URGENT,
        replace(A03, who=("Maëlle Kerdoncuff",), credit=()),
        utc(2, 11),
        reason="neither delivered nor answered",
    ),
    "not-reached-many": _yard(
        Kind.NOT_REACHED,
        Level.URGENT,
        replace(
            A03,
            vans=YARD.vans,
            by=None,
            who=("Maëlle Kerdoncuff", "Ned Ashby", "Kit"),
            credit=(),
        ),
        utc(2, 17),
        reason="neither delivered nor answered",
    ),
}
