"""The printed round sheet in words: the same walk as on the screen, with room to write."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from frostwatch.advice.rounds import Stop
from frostwatch.advice.walk import WalkRound
from frostwatch.messages.wording.draft import Job
from frostwatch.ports.pages import WalkFile
from frostwatch.web.pages.groups import Group, in_rows
from frostwatch.web.pages.lines_now import UNREAD
from frostwatch.web.pages.rows import PassRow, Rows, StopRow
from frostwatch.web.pages.yard_now import Line, YardNow
from frostwatch.web.words import Tongue

RULES = 8
LINES_TO_WRITE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """What the sheet shows.

    Attributes:
        head: act-by hour, or the day.
        say: place, bays, crew-hours.
        code: of the round, in two groups of three.
        printed: when.
        issue: forecast it rests on.
        first: the first loop; None where there is none.
        groups: the other stops and the bays that are passed, by rows.
        left: what does not fit.
        rules: what is minded on every round.
    """

    head: Markup
    say: Markup
    code: str
    printed: Markup
    issue: Markup
    first: Group | None
    groups: tuple[Group, ...]
    left: tuple[StopRow, ...]
    rules: tuple[Markup, ...]


def sheet_view(file: WalkFile, now: YardNow, tongue: Tongue) -> SheetView:
    """Put a released round on paper.

    Args:
        file: the round.
        now: its site as it stands.
        tongue: language, zone and moment.
    """
    t, walk = tongue, file.round
    lines = {line.vehicle.key: line for line in now.lines}
    rows = Rows(now, t)
    blind = now.sky in UNREAD

    def row(stop: Stop, number: int, *, first: bool) -> StopRow | None:
        line = lines.get(stop.vehicle)
        if line is None:
            return None
        known = replace(stop, act_by=None, earliest=None, likely=None) if blind else stop
        return rows.stop(line, known, number=number, first=first)

    stops = [row(s.stop, s.number, first=s.first) for s in walk.stops if not s.below]
    known = [stop for stop in stops if stop is not None]
    last = [(s.stop, s.number) for s in walk.stops if s.below] + [(s, 0) for s in walk.left]
    left = tuple(r for s, n in last if (r := row(s, n, first=False)) is not None)
    first = tuple(stop for stop in known if stop.first)
    minutes = sum(s.stop.minutes for s in walk.stops if s.first)
    return SheetView(
        head=_head(file, t, blind=blind),
        say=t(
            "sheet.say",
            place=file.site.name,
            n=len(walk.stops),
            all=len(now.lines),
            crew=t.crew_hours(walk.minutes),
        ),
        code=f"{walk.code[:3]} {walk.code[3:]}",
        printed=t("sheet.printed", at=t.hour(t.now)),
        issue=_issue(walk, t, blind=blind),
        first=Group(head=t("sheet.first", minutes=t.minutes(minutes)), aside=None, rows=first)
        if first
        else None,
        groups=tuple(_rest(now.lines, known, left, rows, t)),
        left=left,
        rules=tuple(t(f"sheet.rule.{n}") for n in range(1, RULES + 1)),
    )


def _issue(walk: WalkRound, t: Tongue, *, blind: bool) -> Markup:
    if blind:
        return t("sheet.blind")
    if walk.issued_at is None:
        return t("sheet.no_issue")
    return t("sheet.issue", issue=t.hour(walk.issued_at))


def _head(file: WalkFile, t: Tongue, *, blind: bool) -> Markup:
    by = file.round.act_by
    if blind:
        return t("sheet.head.blind", day=t.day(t.now))
    if by is not None:
        return t("sheet.head" if by > t.now else "sheet.head.passed", by=t.by(by))
    return t("sheet.head.free", day=t.day(file.round.made_at))


def _rest(
    lines: Sequence[Line],
    stops: Sequence[StopRow],
    left: Sequence[StopRow],
    rows: Rows,
    t: Tongue,
) -> list[Group]:
    """Stops behind the first loop, and the bays that are passed, in walking order."""
    later = {stop.vehicle: stop for stop in stops if not stop.first}
    elsewhere = {stop.vehicle for stop in (*stops, *left)} - set(later)
    own: list[StopRow | PassRow] = [
        later.get(line.vehicle.key) or rows.passed(line)
        for line in lines
        if line.vehicle.key not in elsewhere
    ]
    return in_rows(own, {line.vehicle.key: line.vehicle.bay for line in lines}, t)


@dataclass(frozen=True, slots=True, kw_only=True)
class TagSheet:
    """One tag to cut out.

    Attributes:
        head: bay and plate.
        open: what stands open.
        square: link to the vehicle.
    """

    head: str
    open: Markup
    square: Markup


def drained_by(walk: WalkFile) -> tuple[str, ...]:
    """Vehicles of a round that hang a tag when they are done: all that are drained."""
    return tuple(
        stop.stop.vehicle
        for stop in walk.round.stops
        if stop.stop.job not in (Job.LOOK, Job.DOSE_TRAPS)
    )
