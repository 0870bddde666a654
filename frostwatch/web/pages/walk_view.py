"""A walk in words: its head, the stop one stands at, the rest of the line, and its end."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.board import Standing
from frostwatch.advice.by_handbook import minded_at
from frostwatch.advice.handbook_words import handbook_lines
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.release import late_vehicles
from frostwatch.advice.rounds import Stop
from frostwatch.advice.walk import PressKind, StopNow, stops_now
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Job
from frostwatch.ports.pages import WalkFile
from frostwatch.web.pages.lines_now import UNREAD, Sky, sky_of
from frostwatch.web.pages.rows import named, pressed_words
from frostwatch.web.pages.walk_wet import WetLine, wet_lines
from frostwatch.web.words import Tongue

NOT_DONE = ("could not", "part", "looked")
"""Kinds of press after which something is still to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkLine:
    """One stop.

    Attributes:
        number: its place.
        first: belongs to the first loop.
        vehicle: key.
        bay: what it is called.
        key: where its key hangs, in words.
        about: kind and plate.
        job: what there is to do.
        done_word: what the one button says.
        done_kind: what it means.
        minds: what its handbook says otherwise than the trade, "" for nothing.
        wet: what still holds water.
        minutes: how long it takes.
        added: when it joined the round, "" for a stop released with it.
        below: why it comes last, "" for a stop that fits.
        late: it is to be left alone by now.
        pressed: what was pressed, "" for nothing.
        press_id: id of that press.
        kind: what it was, "" for nothing.
        photos: how many were taken of it on this round.
    """

    number: int
    first: bool
    vehicle: str
    bay: str
    key: str
    about: str
    job: str
    done_word: str
    done_kind: str
    minds: str
    wet: tuple[WetLine, ...]
    minutes: str
    added: str
    below: str
    late: bool
    pressed: Markup | str
    press_id: str
    kind: str
    photos: int

    @property
    def is_open(self) -> bool:
        """Nobody was there yet."""
        return not self.press_id


@dataclass(frozen=True, slots=True, kw_only=True)
class Twice:
    """A stop at which two people pressed different things."""

    vehicle: str
    bay: str
    said: tuple[Markup, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkView:
    """What the page shows.

    Attributes:
        code: of the round.
        by: the hour to work to; None where none is known, or no forecast stands behind it.
        by_passed: that hour has come by.
        was: the hour before; None if it never changed.
        stale: what is to be minded about the forecast; None for nothing.
        lines: every stop in order.
        here: the stop one stands at; None where all are done.
        closed: when it was handed back; None while it is walked.
        ended: when the last stop was pressed; None while some are open.
        say: how many are seen.
        twice: stops with two records.
        still: stops that could not be done, or in part.
        took: how long it took; None before the last press.
        issue: forecast that was used; None for none.
        left: stops below the cut line were not walked.
    """

    code: str
    by: Markup | None
    by_passed: bool
    was: Markup | None
    stale: Markup | None
    lines: tuple[WalkLine, ...]
    here: WalkLine | None
    closed: Markup | None
    ended: Markup | None
    say: Markup
    twice: tuple[Twice, ...]
    still: tuple[WalkLine, ...]
    took: Markup | None
    issue: Markup | None
    left: bool

    @property
    def count(self) -> int:
        """Stops of the round."""
        return len(self.lines)


def walk_view(file: WalkFile, tongue: Tongue, *, stop: str = "") -> WalkView:
    """Put a round on its way into words.

    Args:
        file: the round.
        tongue: language, zone and moment.
        stop: key of the vehicle one wants to stand at, "" for the next one.
    """
    return _Walk(file, tongue, stop).view()


class _Walk:
    def __init__(self, file: WalkFile, tongue: Tongue, stop: str) -> None:
        self._file, self._t, self._asked = file, tongue, stop
        board = file.board
        self._sky = sky_of(board, tongue.now)
        self._standings: Mapping[str, Standing] = (
            {s.vehicle: s.by_now(tongue.now) for s in board.vehicles} if board is not None else {}
        )
        known = self._sky not in UNREAD
        late = late_vehicles(self._standings.values()) if known else frozenset[str]()
        self._stops = stops_now(file.round, file.presses, late)

    def view(self) -> WalkView:
        """The whole page."""
        t, walk = self._t, self._file.round
        by = walk.act_by if self._sky not in UNREAD else None
        lines = tuple(self._line(stop) for stop in self._stops)
        ended = self._ended()
        return WalkView(
            code=walk.code,
            by=t.by(by) if by is not None else None,
            by_passed=by is not None and by <= t.now,
            was=t.hour(walk.was_act_by) if walk.was_act_by is not None else None,
            stale=self._stale(),
            lines=lines,
            here=self._here(lines),
            closed=t.hour(walk.handed_back_at) if walk.handed_back_at is not None else None,
            ended=t.hour(ended) if ended is not None else None,
            say=self._say(),
            twice=tuple(self._twice(stop) for stop in self._stops if stop.disagrees),
            still=tuple(line for line in lines if line.is_open or line.kind in NOT_DONE),
            took=self._took(),
            issue=t.hour(walk.issued_at) if walk.issued_at is not None else None,
            left=bool(walk.left),
        )

    def _here(self, lines: Sequence[WalkLine]) -> WalkLine | None:
        """The stop asked for if it is open, or the first open one."""
        still = [line for line in lines if line.is_open]
        asked = next((line for line in still if line.vehicle == self._asked), None)
        return asked or (still[0] if still else None)

    def _ended(self) -> datetime | None:
        presses = [stop.press for stop in self._stops if stop.press is not None]
        if len(presses) < len(self._stops):
            return None
        return max((press.at for press in presses), default=self._t.now)

    def _stale(self) -> Markup | None:
        if self._sky is Sky.OLDER:
            return self._t("walk.stale")
        return None if self._sky is Sky.FRESH else self._t("walk.no_forecast")

    def _say(self) -> Markup:
        t, every = self._t, len(self._stops)
        seen = sum(
            stop.press is not None and stop.press.kind is PressKind.DONE for stop in self._stops
        )
        if seen == every:
            return t("walk.end.say.all", n=every)
        return t("walk.end.say", n=seen, all=every)

    def _took(self) -> Markup | None:
        at = sorted(stop.press.at for stop in self._stops if stop.press is not None)
        if len(at) < 2 or len(at) < len(self._stops):
            return None
        t = self._t
        took = (at[-1] - at[0]).total_seconds() / 60.0
        estimate = t.minutes(self._file.round.minutes)
        return t("walk.end.took.say", took=t.minutes(took), estimate=estimate)

    def _twice(self, stop: StopNow) -> Twice:
        presses = [press for press in (stop.press, *stop.others) if press is not None]
        said = tuple(pressed_words(p, self._who(p.by), self._t) for p in presses)
        return Twice(vehicle=stop.walk.stop.vehicle, bay=self._bay(stop.walk.stop), said=said)

    def _who(self, key: str) -> str:
        return named(key, self._file.people)

    def _bay(self, stop: Stop) -> str:
        vehicle = self._file.vehicles.get(stop.vehicle)
        return (vehicle.name or vehicle.bay or vehicle.key) if vehicle is not None else stop.bay

    def _line(self, now: StopNow) -> WalkLine:
        t, stop = self._t, now.walk.stop
        vehicle = self._file.vehicles.get(stop.vehicle)
        late = now.too_late and now.is_open
        done = "walk.looked" if late else "walk.done.look" if stop.job is Job.LOOK else "walk.done"
        press = now.press
        return WalkLine(
            number=now.walk.number,
            first=now.walk.first,
            vehicle=stop.vehicle,
            bay=self._bay(stop),
            key=vehicle.key_place if vehicle is not None else "",
            about=self._about(vehicle),
            job=str(t("walk.look_only")) if late else t.words.jobs[stop.job],
            done_word=str(t(done)),
            done_kind=(PressKind.LOOKED if late else PressKind.DONE).value,
            minds=self._minds(stop, vehicle) if not late else "",
            wet=tuple(wet_lines(stop, vehicle, self._standings.get(stop.vehicle), t)),
            minutes=t.minutes(stop.minutes),
            added=t.clock(now.walk.added_at) if now.walk.added_at is not None else "",
            below=str(t("walk.below")) if now.walk.below and now.is_open else "",
            late=late,
            pressed=pressed_words(press, self._who(press.by), t) if press is not None else "",
            press_id=press.id if press is not None else "",
            kind=press.kind.value if press is not None else "",
            photos=self._file.photos.get(stop.vehicle, 0),
        )

    def _minds(self, stop: Stop, vehicle: Vehicle | None) -> str:
        """What the handbook says otherwise about what is done here."""
        lines = minded_at(stop.job, vehicle.handbook) if vehicle is not None else ()
        if not lines:
            return ""
        words = words_for(self._t.language, self._file.site, self._t.now)
        return " ".join(handbook_lines(lines, words))

    def _about(self, vehicle: Vehicle | None) -> str:
        if vehicle is None:
            return ""
        kind = self._t.words.layouts.get(vehicle.layout, vehicle.layout)
        return f"{kind} ··{vehicle.plate_end}" if vehicle.plate_end else kind
