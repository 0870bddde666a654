"""What is said about a site as a whole: no forecast, the roll, the season."""

from collections.abc import Sequence
from datetime import timedelta

from frostwatch.advice.budget import in_season
from frostwatch.advice.desk import Desk, Stand
from frostwatch.advice.drafts import voice_of
from frostwatch.advice.jobs import is_open
from frostwatch.advice.reminders import Reason, Reminder, Status, stamp_of
from frostwatch.advice.verdict import CHECK_H
from frostwatch.advice.view import Book, SiteView, VehicleView
from frostwatch.fleet.people import Duty
from frostwatch.messages.wording.draft import Draft, Facts, Kind, Level, RollCounts
from frostwatch.records.entries import Evidence, State
from frostwatch.records.holding import DRY_STATES
from frostwatch.records.standing_water import CircuitWater

FROST_MONTHS = (11, 3)
ROLL_MONTHS = (9, 4)
SEASON_MONTH = 10
"""Months of a northern winter: no forecast is urgent; rolls are sent; the season is announced."""
MONDAY = 0
A_WEEK = timedelta(days=6)
ROLL_FROM = 2
"""A roll is for people with at least this many vehicles."""


def forecast_changed(view: SiteView, book: Book) -> bool:
    """The forecast was lost or found again since this person was told, and it concerns them."""
    if not _hears_of_forecasts(view, book):
        return False
    lost = _told_lost(view.matters.get((book.person.key, "")))
    if view.forecast.standing.usable:
        return lost
    return not lost and any(is_open(van.water) for van in book)


def site_drafts(desk: Desk, *, called: bool) -> list[Draft]:
    """What this person is told about the site as a whole now."""
    drafts = _no_forecast(desk)
    if drafts or not desk.moment.reading or not desk.view.forecast.standing.usable:
        return drafts
    found = [] if called else [_season(desk), _roll(desk)]
    return [draft for draft in found if draft is not None and _allowed(desk, draft)]


def _allowed(desk: Desk, draft: Draft) -> bool:
    return desk.budget.allows(draft.kind, desk.now, first=False)


def _hears_of_forecasts(view: SiteView, book: Book) -> bool:
    """The operator is written to; owners where a place has none."""
    person = book.person
    if person.duty in (Duty.OPERATOR, Duty.DEALER) or person.key == view.site.operator:
        return True
    others = [b.person for b in view.books]
    staffed = any(p.duty in (Duty.OPERATOR, Duty.DEALER) for p in others)
    return not staffed and not any(p.key == view.site.operator for p in others)


def _told_lost(tally: Reminder | None) -> bool:
    last = tally.last(Kind.NO_FORECAST) if tally is not None else None
    return last is not None and last.reason is not Reason.CLEARED


def _no_forecast(desk: Desk) -> list[Draft]:
    """Lost: once, then staff every morning. Found again: once."""
    view, tally, now = desk.view, desk.budget.tally, desk.now
    if not _hears_of_forecasts(view, desk.book):
        return []
    lost = _told_lost(tally)
    if view.forecast.standing.usable:
        return [_draft(desk, Kind.NO_FORECAST, Level.NONE, Reason.CLEARED)] if lost else []
    if not any(is_open(stand.wet) for stand in desk.stands):
        return []
    again = desk.diary.is_staff and desk.moment.reading and _is_morning(desk)
    last = tally.last(Kind.NO_FORECAST)
    if lost and (not again or last is None or desk.diary.day(last.at) == desk.diary.day(now)):
        return []
    winter = in_season(desk.diary, now, months=FROST_MONTHS)
    level = Level.ACT if winter else Level.NOTICE
    return [_draft(desk, Kind.NO_FORECAST, level, Reason.FORECAST_LOST)]


def _is_morning(desk: Desk) -> bool:
    """This is the first reading of their day."""
    first = desk.diary.readings_on(desk.diary.day(desk.now))[:1]
    served = desk.diary.has_read(desk.view.judged_to, desk.now)
    return served is not None and (not first or served <= first[0] or served == desk.now)


def _roll(desk: Desk) -> Draft | None:
    """Every Monday to those who run the place, if nobody needs to walk."""
    person, now = desk.book.person, desk.now
    if person.duty not in (Duty.OPERATOR, Duty.DEALER) or len(desk.stands) < ROLL_FROM:
        return None
    last = desk.budget.tally.last(Kind.ROLL)
    if last is not None and now - last.at < A_WEEK:
        return None
    monday = desk.diary.day(now).weekday() == MONDAY
    late = last is not None and now - last.at > A_WEEK + timedelta(days=1)
    if not (monday or late) or not _is_morning(desk):
        return None
    if not in_season(desk.diary, now, months=ROLL_MONTHS) or _work_stands(desk):
        return None
    return _draft(desk, Kind.ROLL, Level.NONE, Reason.SCHEDULED)


def _work_stands(desk: Desk) -> bool:
    """Somebody was called and has not answered, or there is harm in sight."""
    for stand in desk.stands:
        if stand.matter is not None and stand.matter.status is Status.STANDING:
            return True
        numbers = desk.numbers(stand) if stand.wet else None
        if numbers is not None and numbers.week.probability > desk.ratio:
            return True
    return False


def _season(desk: Desk) -> Draft | None:
    """Once a winter, in October, to those with anything laid up wet or unknown and no frost in
    sight. A crew is told where nobody else runs the place."""
    if not in_season(desk.diary, desk.now, months=(SEASON_MONTH, SEASON_MONTH)):
        return None
    if desk.book.person.duty is Duty.CREW and not _hears_of_forecasts(desk.view, desk.book):
        return None
    if _work_stands(desk) or desk.budget.tally.times(Kind.SEASON):
        return None
    if not any(_is_laid_up_wet(stand) for stand in desk.stands):
        return None
    return _draft(desk, Kind.SEASON, Level.NOTICE, Reason.SCHEDULED)


def _is_laid_up_wet(stand: Stand) -> bool:
    """Wet or unknown, and neither lived in nor heated: those are meant to be wet."""
    used = {State.OPEN_RUNNING, State.HEATED_HOLD} & {e.state for e in stand.van.water}
    return not used and is_open(stand.wet)


def _draft(desk: Desk, kind: Kind, level: Level, reason: Reason) -> Draft:
    view, person = desk.view, desk.book.person
    stamp = stamp_of(desk.now)
    is_meant = _is_laid_up_wet if kind is Kind.SEASON else lambda stand: is_open(stand.wet)
    wet = [stand for stand in desk.stands if is_meant(stand)]
    names = tuple(s.van.name for s in wet) if not desk.diary.is_staff else ()
    air = desk.air(desk.now + timedelta(hours=CHECK_H)) if view.air is not None else None
    basis = view.forecast
    return Draft(
        key=f"{view.site.key}/{person.key}/{kind.value}/{stamp}",
        revision=1,
        site=view.site.key,
        recipient=person.key,
        kind=kind,
        level=level,
        reason=reason.value,
        voice=voice_of(person, view.site),
        at=desk.now,
        vehicles=tuple(s.van.vehicle.key for s in wet),
        facts=Facts(
            place=view.site.name,
            zone=view.site.time_zone,
            vans=names,
            count=len(wet),
            all_count=len(desk.stands),
            min_c=air.min_c if air else None,
            mincold_c=air.mincold_c if air else None,
            coldest_at=air.coldest_at if air else None,
            rolled=roll_counts([s.van for s in desk.stands]) if kind is Kind.ROLL else None,
            issue_at=basis.issued_at,
            colder_k=basis.standing.colder_k,
            credit=basis.credit,
        ),
    )


def roll_counts(vans: Sequence[VehicleView]) -> RollCounts:
    """How vehicles stand, each counted once, by what asks most of somebody."""
    counts = dict.fromkeys(RollCounts.__dataclass_fields__, 0)
    for van in vans:
        counts[_standing(van.water)] += 1
    return RollCounts(**counts)


def _standing(water: Sequence[CircuitWater]) -> str:
    states = {entry.state for entry in water}
    if State.UNKNOWN in states or not water:
        return "unknown"
    if State.HEATED_HOLD in states:
        return "heated"
    if State.OPEN_RUNNING in states:
        return "in_use"
    if any(e.is_wet and e.state is not State.DOSED for e in water):
        return "wet"
    if State.DOSED in states:
        return "dosed"
    seen = all(e.evidence is Evidence.SEEN for e in water if e.state in DRY_STATES)
    return "drained_seen" if seen else "drained_told"
