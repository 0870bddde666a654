"""Leave alone, in words: what froze, what is still worth doing, and what to look at after it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from markupsafe import Markup

from frostwatch.advice.afterwards import Came, came_from, not_before
from frostwatch.messages.wording.draft import Job, Level
from frostwatch.ports.lessons import AirReading
from frostwatch.web.pages.lines_now import UNREAD
from frostwatch.web.pages.notes import Note, notes_of
from frostwatch.web.pages.rows import MOST_PARTS, Rows
from frostwatch.web.pages.yard_now import Line, YardNow
from frostwatch.web.words import Tongue

WEEK = timedelta(days=7)
FEW = 3
"""So many bays are named in a headline; more are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LateLine:
    """One vehicle of the page."""

    vehicle: str
    bay: str
    text: Markup
    hour: Markup | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LateView:
    """What the page shows.

    Attributes:
        kicker: day and hour.
        headline: what to leave alone until when.
        say: what not to do.
        notes: what is to be minded.
        late: vehicles to be left alone.
        can: what is still worth doing.
        thawed: vehicles to be looked at after the frost.
        other: vehicles that hold water and are passed by, each with its reason.
        done: how many are dry; None where nobody was late.
        in_time: those that were emptied since they were called for, each with who and when.
        before: the forecast that was acted on.
        came: what came.
    """

    kicker: Markup
    headline: Markup
    say: Markup
    notes: tuple[Note, ...]
    late: tuple[LateLine, ...]
    can: tuple[LateLine, ...]
    thawed: tuple[LateLine, ...]
    other: tuple[LateLine, ...]
    done: Markup | None
    in_time: tuple[LateLine, ...]
    before: Markup
    came: Markup


def late_view(now: YardNow, tongue: Tongue, *, read: Sequence[AirReading] = ()) -> LateView:
    """Put into words what is to be left alone at a site.

    Args:
        now: the site.
        tongue: language, zone and moment.
        read: what a thermometer there read in the last hours.
    """
    t = tongue
    rows = Rows(now, t)
    came = _known_to_have_come(now, read)
    late = tuple(_late(line, rows, t, came) for line in now.late)
    can = [line for line in now.due if line.press is None]
    thawed = [line for line in now.lines if _is_thawed(line)]
    return LateView(
        kicker=t("late.kicker", day=t.day(now.now), at=t.clock(now.now)),
        headline=_headline(now, t),
        say=_say(now, t),
        notes=notes_of(now, t),
        late=late,
        can=tuple(_can(line, t) for line in can),
        thawed=tuple(_thawed(line, rows) for line in thawed),
        other=tuple(_other(line, rows) for line in now.lines if _is_other(line, can)),
        done=_done(now, t) if late else None,
        in_time=tuple(_in_time(now, rows)) if late else (),
        before=_before(now, t),
        came=_came(came, t),
    )


def _headline(now: YardNow, t: Tongue) -> Markup:
    late = now.late
    if not late and now.sky in UNREAD:
        return t("late.unsure", day=t.day(now.now))
    if not late:
        return t("late.none", day=t.day(now.now))
    bays = t.listed([line.name for line in late])
    thaw = now.thaw_at
    values = {"n": 1 if len(late) <= FEW else len(late), "bays": bays}
    if thaw is not None and thaw > now.now:
        return t("late.headline", thaw=t.about(thaw), **values)
    if thaw is not None:
        return t("late.headline.now", day=t.day(now.now), **values)
    return t("late.headline.open", day=t.day(now.now), **values)


def _say(now: YardNow, t: Tongue) -> Markup:
    if now.late:
        return t("late.say")
    return t("late.unsure.say") if now.sky in UNREAD else _none(now, t)


def _none(now: YardNow, t: Tongue) -> Markup:
    """That nothing is likely to have frozen, and which forecast says so."""
    board = now.board
    assert board is not None
    return t("late.none.say", issue=t.hour(board.basis.issued_at or board.at))


def _late(line: Line, rows: Rows, t: Tongue, came: Came | None) -> LateLine:
    standing = line.standing
    began = not_before(standing.began_at, came)
    wet = {wet.circuit for wet in standing.work.wet} if standing.work is not None else set()
    parts = t.speech.listed([t.shared.parts[c] for c in t.shared.parts if c in wet], MOST_PARTS)
    if standing.unknown:
        text = rows.unknown_since(line)
        if began is not None and began < t.now:
            text += Markup(" ") + t("late.began.full", at=t.about(began))
    elif began is not None and began < t.now:
        text = t("late.began", at=t.about(began))
    else:
        text = t("late.frozen")
    if parts and not standing.unknown:
        text += Markup(" ") + t("late.parts", parts=parts)
    return LateLine(vehicle=line.vehicle.key, bay=line.name, text=text)


def _thawed(line: Line, rows: Rows) -> LateLine:
    record = rows.record(line.standing.record)
    return LateLine(vehicle=line.vehicle.key, bay=line.name, text=record)


def _is_other(line: Line, can: Sequence[Line]) -> bool:
    """Neither late, nor due, nor to be looked at, nor dry: it must not vanish from the page."""
    return not (line.is_late or _is_thawed(line) or _is_dry(line) or line in can)


def _is_thawed(line: Line) -> bool:
    return line.standing.level is Level.THAW


def _is_dry(line: Line) -> bool:
    named = line.is_late or _is_thawed(line)
    return line.standing.work is None and not line.broken and not named


def _other(line: Line, rows: Rows) -> LateLine:
    pressed = rows.pressed(line.press)
    text = pressed if pressed is not None else rows.passing(line)
    return LateLine(vehicle=line.vehicle.key, bay=line.name, text=text)


def _can(line: Line, t: Tongue) -> LateLine:
    assert line.stop is not None
    job = t.words.jobs[line.stop.job]
    by = line.stop.act_by
    hour = t.by(by) if by is not None and by > t.now else None
    text = Markup("{}.").format(job)
    if by is not None and hour is None:
        text += Markup(" ") + t("stop.passed", by=t.hour(by))
    if line.stop.job is Job.LOOK and line.standing.record is None:
        text = t("stop.never")
    return LateLine(vehicle=line.vehicle.key, bay=line.name, text=text, hour=hour)


def _in_time(now: YardNow, rows: Rows) -> Iterator[LateLine]:
    """What was emptied since it was called for, or within a week where nobody knows of a call."""
    acted = now.board.acted if now.board is not None else None
    since = acted.at if acted is not None else now.now - WEEK
    for line in now.lines:
        record = line.standing.record
        if _is_dry(line) and record is not None and record.at >= since:
            text = rows.record(record)
            yield LateLine(vehicle=line.vehicle.key, bay=line.name, text=text)


def _before(now: YardNow, t: Tongue) -> Markup:
    """The forecast that was acted on."""
    acted = now.board.acted if now.board is not None else None
    if acted is None or acted.min_c is None:
        return t("late.before.none")
    kind = t.words.kinds[acted.kind]
    return t("late.before", kind=kind, at=t.hour(acted.at), min=t.degrees(acted.min_c))


def _known_to_have_come(now: YardNow, read: Sequence[AirReading]) -> Came | None:
    """By a thermometer there, or else by the provider's own analysis."""
    known = now.yard.board.came if now.yard.board is not None else None
    return came_from([(one.at, one.air_c) for one in read], thermometer=True) or known


def _came(came: Came | None, t: Tongue) -> Markup:
    """What came, and how that is known."""
    if came is None:
        return t("late.came.none")
    how = t("late.came.thermometer" if came.thermometer else "late.came.analysis")
    values = {
        "since": t.hour(came.since),
        "min": t.degrees(came.lowest_c),
        "at": t.hour(came.lowest_at),
        "how": how,
    }
    if came.onset is not None:
        return t("late.came.from", onset=t.hour(came.onset), **values)
    return t("late.came", **values)


def _done(now: YardNow, t: Tongue) -> Markup:
    dry = sum(_is_dry(line) for line in now.lines)
    return t("late.done.say", n=dry, all=len(now.lines))
