"""The roll in words: the whole site as recorded, and on a quiet day that nobody needs to walk."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.advice.board import Standing
from frostwatch.advice.passing import Passing
from frostwatch.messages.wording.draft import RollCounts
from frostwatch.records.entries import Evidence, State
from frostwatch.web.pages.groups import row_of
from frostwatch.web.pages.lines_now import UNREAD
from frostwatch.web.pages.notes import Note, notes_of
from frostwatch.web.pages.rows import Rows, about
from frostwatch.web.pages.yard_now import Line, Sky, YardNow
from frostwatch.web.strip import Strip, strip_of
from frostwatch.web.vessel_marks import LOOKS, ShownMark, in_columns
from frostwatch.web.words import Tongue

COUNTS = ("drained_seen", "drained_told", "dosed", "in_use", "heated", "wet", "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class BayMark:
    """One bay as one mark."""

    look: str
    edge: str


@dataclass(frozen=True, slots=True, kw_only=True)
class YardRow:
    """A row of bays."""

    name: str
    marks: tuple[BayMark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A vehicle to look at."""

    vehicle: str
    bay: str
    why: Markup
    minutes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RollLine:
    """One vehicle of the roll."""

    vehicle: str
    bay: str
    about: str
    marks: tuple[ShownMark | None, ...]
    text: Markup
    record: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class RollView:
    """What the page shows.

    Attributes:
        kicker: day and hour.
        headline: whether anybody needs to walk.
        say: the coldest hour in sight.
        notes: what is to be minded.
        strip: the week; None without a forecast.
        counts: how the vehicles stand, in one sentence.
        picture: the same for whoever does not see the drawing.
        rows: every bay as one mark.
        looks: what nobody knows.
        looks_all: their work together.
        lines: every vehicle.
        due: there is a round to walk.
    """

    kicker: Markup
    headline: Markup
    say: Markup
    notes: tuple[Note, ...]
    strip: Strip | None
    counts: Markup
    picture: Markup
    rows: tuple[YardRow, ...]
    looks: tuple[Look, ...]
    looks_all: Markup | None
    lines: tuple[RollLine, ...]
    due: bool


def roll_view(now: YardNow, tongue: Tongue) -> RollView:
    """Put the roll of a site into words."""
    t = tongue
    counts = counts_of([line.standing for line in now.lines])
    told = t.listed([str(t(f"roll.count.{name}", n=n)) for name, n in _counted(counts)])
    what = Markup(told)
    rows = Rows(now, t)
    open_now = [line for line in now.unknown if not line.is_late]  # the rest is to be left alone
    looks = tuple(_look(line, rows, t) for line in open_now)
    work = [line.stop.minutes for line in open_now if line.stop is not None]
    return RollView(
        kicker=t("roll.kicker", day=t.day(now.now), at=t.clock(now.now)),
        headline=_headline(now, t),
        say=_say(now, t),
        notes=notes_of(now, t),
        strip=_week(now, t),
        counts=t("roll.counts", n=len(now.lines), what=what),
        picture=t("roll.picture", what=what.striptags()),
        rows=_yard(now.lines),
        looks=looks,
        looks_all=t("roll.looks.all", minutes=t.minutes(sum(work))) if len(work) > 1 else None,
        lines=tuple(_line(line, rows, t) for line in now.lines),
        due=bool(now.due),
    )


def counts_of(standings: Sequence[Standing]) -> RollCounts:
    """How the vehicles stand, each counted once."""
    found = dict.fromkeys(COUNTS, 0)
    for standing in standings:
        found[_kind(standing)] += 1
    return RollCounts(**found)


def _kind(standing: Standing) -> str:
    if standing.unknown or not standing.marks:
        return "unknown"
    if standing.work is not None:
        return "wet"
    if standing.passing is Passing.HELD:
        return "heated"
    if standing.passing is Passing.IN_USE:
        return "in_use"
    tanks = [m for m in standing.marks if m.vessel != "traps"]
    if any(mark.state is State.DOSED for mark in tanks):
        return "dosed"
    seen = all(mark.evidence is Evidence.SEEN for mark in standing.marks)
    return "drained_seen" if seen else "drained_told"


def _counted(counts: RollCounts) -> list[tuple[str, int]]:
    pairs = [(name, int(getattr(counts, name))) for name in COUNTS]
    return [(name, n) for name, n in pairs if n or name == "unknown"]


def _headline(now: YardNow, t: Tongue) -> Markup:
    every, day = len(now.lines), t.day(now.now)
    if every and all(line.standing.record is None for line in now.lines):
        return t("roll.headline.nobody", n=every, day=day)
    if now.sky in UNREAD:
        return t("roll.headline.unsure", day=day)
    if now.late:
        return t("roll.headline.late", n=len(now.late), day=day)
    due = now.due
    by = min((line.stop.act_by for line in due if line.stop and line.stop.act_by), default=None)
    if by is not None:
        key = "roll.headline.due" if by > now.now else "roll.headline.passed"
        return t(key, n=len(due), all=every, by=t.by(by))
    if due:
        return t("roll.headline.wet", n=len(due), all=every, day=day)
    if now.sky is Sky.OLDER:
        return t("roll.headline.unsure", day=day)
    looks = [line for line in now.lines if line.standing.unknown or _thawed(line)]
    if looks:
        return t("roll.headline.looks", n=len(looks), day=day)
    return t("roll.headline.quiet", day=day)


def _thawed(line: Line) -> bool:
    """What froze there has thawed, and is looked after."""
    return line.standing.passing is Passing.THAWED


def _say(now: YardNow, t: Tongue) -> Markup:
    board = now.board
    if board is None or board.week is None:
        return Markup("")
    week = board.week
    low = {
        "coldest": t.about(week.coldest_at),
        "min": t.degrees(week.min_c),
        "mincold": t.degrees(week.mincold_c),
    }
    if week.onset is not None and week.onset <= now.now:
        text = t("roll.week.below", **low)
    elif week.onset is not None:
        text = t("roll.week.frost", onset=t.about(week.onset), **low)
    elif week.early is not None:
        text = t("roll.week.may", early=t.early(max(week.early, now.now)), **low)
    else:
        text = t("roll.week.stays", **low)
    return text + Markup(" ") + t("roll.again")


def _week(now: YardNow, t: Tongue) -> Strip | None:
    board = now.board
    if board is None or board.air is None or board.week is None:
        return None
    return strip_of(board.air, board.week, site=now.yard.site, tongue=t, week=True)


def _yard(lines: Sequence[Line]) -> tuple[YardRow, ...]:
    rows: list[tuple[str, list[BayMark]]] = []
    for line in lines:
        name = row_of(line.vehicle.bay)
        if not rows or rows[-1][0] != name:
            rows.append((name, []))
        rows[-1][1].append(bay_mark(line.standing))
    return tuple(YardRow(name=name, marks=tuple(marks)) for name, marks in rows)


def bay_mark(standing: Standing) -> BayMark:
    """A whole vehicle as one mark: what counts most in it, and how that is known."""
    if standing.unknown or not standing.marks:
        return BayMark(look="unknown", edge=Evidence.EXPIRED.value)
    wet = [mark for mark in standing.marks if mark.wet]
    if wet:
        lead = max(wet, key=lambda m: (m.state is State.UNKNOWN, m.share, m.litres or 0.0))
        return BayMark(look=LOOKS[lead.state], edge=lead.evidence.value)
    passing = standing.passing
    look = {Passing.IN_USE: "open", Passing.HELD: "held"}.get(passing) if passing else None
    dosed = any(m.state is State.DOSED for m in standing.marks if m.vessel != "traps")
    edges = [mark.evidence for mark in standing.marks]
    seen = all(edge is Evidence.SEEN for edge in edges)
    told = Evidence.SEEN if seen else Evidence.ASSERTED
    return BayMark(look=look or ("dosed" if dosed else "drained"), edge=told.value)


def _look(line: Line, rows: Rows, t: Tongue) -> Look:
    minutes = line.stop.minutes if line.stop is not None else 0.0
    return Look(
        vehicle=line.vehicle.key,
        bay=line.name,
        why=rows.unknown_since(line),
        minutes=t.minutes(minutes) if minutes else "",
    )


def _line(line: Line, rows: Rows, t: Tongue) -> RollLine:
    return RollLine(
        vehicle=line.vehicle.key,
        bay=line.name,
        about=about(line.vehicle, t),
        marks=in_columns(line.standing.marks, t),
        text=_state(line, rows, t),
        record=rows.record(line.standing.record),
    )


def _state(line: Line, rows: Rows, t: Tongue) -> Markup:
    if line.stop is None:
        return rows.passing(line)
    if line.standing.unknown:
        return rows.unknown_since(line)
    return Markup("{}.").format(t.words.jobs[line.stop.job])
