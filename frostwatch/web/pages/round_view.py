"""The round in words: headline, sentence, strip, facts, and the walk with its stops."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.passing import Passing
from frostwatch.advice.release import hour_to_work_to
from frostwatch.advice.rounds import Stop, deadline_of
from frostwatch.advice.walk import WalkRound, stops_now
from frostwatch.web.pages.crew_call import reachable
from frostwatch.web.pages.groups import Group, in_rows
from frostwatch.web.pages.lines_now import UNREAD
from frostwatch.web.pages.notes import Note, notes_of
from frostwatch.web.pages.round_facts import Fact, facts_of
from frostwatch.web.pages.round_say import say_of
from frostwatch.web.pages.rows import PassRow, Rows, StopRow
from frostwatch.web.pages.yard_now import Line, Sky, YardNow
from frostwatch.web.strip import Strip, strip_of
from frostwatch.web.words import Tongue

MOST_CREW = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundView:
    """What the page of a round shows.

    Attributes:
        kicker: day, hour, how many bays.
        headline: how many bays, by when.
        say: the air, the work, and when the crew is through.
        notes: what is to be minded.
        strip: hours; None without a forecast.
        facts: first loop, crew, what to take, who has it.
        groups: the walk.
        cut: sentence above what does not fit; None where all does.
        left: what does not fit, dearest first.
        crew: people the round is reckoned for.
        most_crew: most that can be chosen.
        code: of the round that is walked, "" for none.
        send: what the button says that sends it to the crew; None where nobody can be written to.
        count: stops.
        known: there is a forecast to tell hours by.
    """

    kicker: Markup
    headline: Markup
    say: Markup
    notes: tuple[Note, ...]
    strip: Strip | None
    facts: tuple[Fact, ...]
    groups: tuple[Group, ...]
    cut: Markup | None
    left: tuple[StopRow, ...]
    crew: int
    most_crew: int
    code: str
    send: Markup | None
    count: int
    known: bool


def round_view(now: YardNow, tongue: Tongue, *, crew: int | None = None) -> RoundView:
    """Put a site's round into words.

    Args:
        now: the site.
        tongue: language, zone and moment.
        crew: people to reckon with; the site's own number if None.
    """
    return _Round(now, tongue, crew).view()


class _Round:
    def __init__(self, now: YardNow, tongue: Tongue, crew: int | None) -> None:
        self._now = now
        self._t = tongue
        self._crew = min(max(1, crew or now.yard.site.crew), MOST_CREW)
        self._round = now.round(self._crew)
        self._rows = Rows(now, tongue)
        self._walk = now.yard.round

    def view(self) -> RoundView:
        """The whole page."""
        now, t, walk = self._now, self._t, self._walk
        first, rest, left = self._order()
        return RoundView(
            kicker=self._kicker(),
            headline=self._headline(),
            say=say_of(now, self._round, t, crew=self._crew),
            notes=notes_of(now, t),
            strip=self._strip(),
            facts=facts_of(now, self._round, t, crew=self._crew),
            groups=tuple(self._groups(first, rest, left)),
            cut=self._cut() if left else None,
            left=tuple(left),
            crew=self._crew,
            most_crew=max(MOST_CREW, self._crew),
            code=walk.code if walk is not None else "",
            send=self._send(),
            count=len(self._round.stops) + len(self._round.left),
            known=now.board is not None,
        )

    @property
    def _act_by(self) -> datetime | None:
        if self._now.sky in UNREAD:
            return None
        if self._walk is not None and self._walk.act_by is not None:
            return self._walk.act_by
        return hour_to_work_to(self._stops, self._now.now)

    @property
    def _every(self) -> int:
        """As the messages count: those left to their owners are on the walk, not on the round."""
        return sum(line.standing.passing is not Passing.OWNER for line in self._now.lines)

    def _kicker(self) -> Markup:
        """Whose bays the headline counts, and how many stand here beside them."""
        t, now, every = self._t, self._now, self._every
        left = len(now.lines) - every
        shown = every or len(now.lines)
        text = t("round.kicker", day=t.day(now.now), at=t.clock(now.now), n=shown)
        if not (left and every):
            return text
        return text + Markup(". ") + t("round.left", n=left)

    def _headline(self) -> Markup:
        t, now, by = self._t, self._now, self._act_by
        count = len(self._round.stops) + len(self._round.left)
        every = self._every
        if now.sky is Sky.NOT_READ:
            return t("round.headline.not_read", n=count, all=every, day=t.day(now.now))
        if now.sky is Sky.NONE:
            return t("round.headline.none", n=count, all=every, day=t.day(now.now))
        if self._walk is not None:
            left, of = self._open(self._walk)
            if by is not None and by <= now.now:
                return t("round.headline.passed", n=left, all=of, by=t.by(by))
            if by is not None:
                return t("round.headline.walked", n=left, all=of, by=t.by(by))
            return t("round.headline.walked_free", n=left, all=of, at=t.hour(now.now))
        if every == count == 1:
            return self._headline_of_one(now.lines[0].name, by)
        if by is not None and by > now.now:
            return t("round.headline", n=count, all=every, by=t.by(by))
        if by is not None:
            return t("round.headline.passed", n=count, all=every, by=t.by(by))
        first = min((s.earliest for s in self._stops if s.earliest), default=None)
        if first is not None:
            return t("round.headline.ahead", n=count, all=every, early=t.early(first))
        return t("round.headline.look", n=count, all=every, day=t.day(now.now))

    def _headline_of_one(self, bay: str, by: datetime | None) -> Markup:
        """Where one vehicle stands alone it is called by its name."""
        t, now = self._t, self._now.now
        if by is not None and by > now:
            return t("round.headline.one", bay=bay, by=t.by(by))
        if by is not None:
            return t("round.headline.one.passed", bay=bay, by=t.by(by))
        first = self._stops[0].earliest
        if first is not None:
            return t("round.headline.one.ahead", bay=bay, early=t.early(first))
        return t("round.headline.one.look", bay=bay, day=t.day(now))

    def _open(self, walk: WalkRound) -> tuple[int, int]:
        stops = stops_now(walk, self._now.yard.presses)
        return sum(stop.is_open for stop in stops), len(stops)

    @property
    def _stops(self) -> Sequence[Stop]:
        return (*self._round.stops, *self._round.left)

    def _strip(self) -> Strip | None:
        board = self._now.board
        if board is None or board.air is None or board.facts is None or board.shown_to is None:
            return None
        return strip_of(
            board.air.until(board.shown_to),
            board.facts,
            site=self._now.yard.site,
            tongue=self._t,
            act_by=self._act_by,
        )

    def _send(self) -> Markup | None:
        names = [person.name for person in reachable(self._now.yard)]
        if not names:
            return None
        again = "round.send.again" if self._now.yard.told else "round.send"
        return self._t(again, who=self._t.listed(names))

    def _order(self) -> tuple[list[StopRow], dict[str, StopRow], list[StopRow]]:
        """The first loop, the other stops by vehicle, and what does not fit."""
        lines = {line.vehicle.key: line for line in self._now.lines}
        if self._walk is not None:
            return self._order_walked(self._walk, lines)
        first, rest = [], {}
        for n, stop in enumerate(self._round.stops, start=1):
            is_first = n <= len(self._round.first)
            row = self._rows.stop(lines[stop.vehicle], stop, number=n, first=is_first)
            if is_first:
                first.append(row)
            else:
                rest[stop.vehicle] = row
        left = [
            self._rows.stop(lines[stop.vehicle], stop, number=0, first=False)
            for stop in self._round.left
        ]
        return first, rest, left

    def _order_walked(
        self, walk: WalkRound, lines: dict[str, Line]
    ) -> tuple[list[StopRow], dict[str, StopRow], list[StopRow]]:
        first, rest, left = [], {}, []
        for stop in walk.stops:
            line = lines.get(stop.stop.vehicle)
            if line is None:
                continue
            now = line.stop or stop.stop
            row = self._rows.stop(line, now, number=stop.number, first=stop.first)
            if stop.first:
                first.append(row)
            elif stop.below and row.pressed is None:
                left.append(row)
            else:
                rest[stop.stop.vehicle] = row
        left += [
            self._rows.stop(lines[stop.vehicle], stop, number=0, first=False)
            for stop in walk.left
            if stop.vehicle in lines
        ]
        return first, rest, left

    def _groups(
        self, first: list[StopRow], rest: dict[str, StopRow], left: list[StopRow]
    ) -> list[Group]:
        t = self._t
        groups = []
        if first:
            stops = self._round.first or ()
            minutes = sum(stop.minutes for stop in stops)
            aside = t("group.first.aside", n=len(first), minutes=t.minutes(minutes))
            groups.append(
                Group(head=t("group.first"), aside=aside if minutes else None, rows=tuple(first))
            )
        elsewhere = {row.vehicle for row in (*first, *left)}
        rows: list[StopRow | PassRow] = [
            rest.get(line.vehicle.key) or self._rows.passed(line)
            for line in self._now.lines
            if line.vehicle.key not in elsewhere
        ]
        bays = {line.vehicle.key: line.vehicle.bay for line in self._now.lines}
        return [*groups, *in_rows(rows, bays, t)]

    def _cut(self) -> Markup:
        t, walk = self._t, self._round
        stops, below = walk.stops, walk.left
        if self._walk is not None:
            stops = tuple(s.stop for s in self._walk.stops if not s.below)
            below = (*(s.stop for s in self._walk.stops if s.below), *self._walk.left)
        due = [hour for s in below if (hour := deadline_of(s, walk.starts)) is not None]
        by = max(due, default=None)
        values = {"n": len(stops), "all": len(stops) + len(below)}
        if by is None:
            return t("cut.light", **values)
        return t("cut", by=t.hour(by), crew=self._crew, **values)
