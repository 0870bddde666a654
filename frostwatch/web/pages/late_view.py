"""Leave alone, in words: what froze, what is still worth doing, and what to look at after it."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.messages.wording.draft import Job, Level
from frostwatch.web.pages.notes import Note, notes_of
from frostwatch.web.pages.rows import MOST_PARTS, Rows
from frostwatch.web.pages.yard_now import Line, Sky, YardNow
from frostwatch.web.words import Tongue

FEW = 3
"""So many bays are named in a headline; more are counted."""
UNREAD = (Sky.NONE, Sky.NOT_READ)
"""Without a forecast nobody can say that nothing froze."""


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
        done: how many were drained in time; None where nobody was late.
        first: key and bay of the first of them.
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
    first: LateLine | None


def late_view(now: YardNow, tongue: Tongue) -> LateView:
    """Put into words what is to be left alone at a site."""
    t = tongue
    rows = Rows(now, t)
    late = tuple(_late(line, rows, t) for line in now.late)
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
        first=late[0] if late else None,
    )


def _headline(now: YardNow, t: Tongue) -> Markup:
    late = now.late
    if not late and now.sky in UNREAD:
        return t("late.unsure", day=t.day(now.now))
    if not late:
        return t("late.none", day=t.day(now.now))
    bays = t.listed([line.name for line in late])
    thaw = now.board.thaw_at if now.board is not None else None
    values = {"n": 1 if len(late) <= FEW else len(late), "bays": bays}
    if thaw is not None and thaw > now.now:
        return t("late.headline", thaw=t.about(thaw), **values)
    return t("late.headline.open", day=t.day(now.now), **values)


def _say(now: YardNow, t: Tongue) -> Markup:
    if now.late:
        return t("late.say")
    return t("late.unsure.say") if now.sky in UNREAD else t("late.none.say")


def _late(line: Line, rows: Rows, t: Tongue) -> LateLine:
    standing = line.standing
    wet = {wet.circuit for wet in standing.work.wet} if standing.work is not None else set()
    parts = t.speech.listed([t.shared.parts[c] for c in t.shared.parts if c in wet], MOST_PARTS)
    if standing.unknown:
        text = rows.unknown_since(line)
    elif standing.began_at is not None and standing.began_at < t.now:
        text = t("late.began", at=t.about(standing.began_at))
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
    hour = t.by(line.stop.act_by) if line.stop.act_by is not None else None
    text = Markup("{}.").format(job)
    if line.stop.job is Job.LOOK and line.standing.record is None:
        text = t("stop.never")
    return LateLine(vehicle=line.vehicle.key, bay=line.name, text=text, hour=hour)


def _done(now: YardNow, t: Tongue) -> Markup:
    dry = sum(_is_dry(line) for line in now.lines)
    return t("late.done.say", n=dry, all=len(now.lines))
