"""A site as it stands this minute: the board of the last pass, and what was recorded since."""

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.air_facts import mild_again
from frostwatch.advice.before_night import BeforeNight, before_night
from frostwatch.advice.board import Board, who_runs
from frostwatch.advice.release import starts_at
from frostwatch.advice.rounds import Round, round_for
from frostwatch.advice.slots import Diary
from frostwatch.advice.walk import Press, stops_now
from frostwatch.fleet.people import Duty
from frostwatch.messages.wording.draft import Level
from frostwatch.ports.pages import Yard
from frostwatch.service.boards import LOOK_EVERY
from frostwatch.web.pages.lines_now import UNREAD, line_of, sky_of, under
from frostwatch.web.pages.lines_now import Line as Line
from frostwatch.web.pages.lines_now import Sky as Sky

PASS_IS_LATE = timedelta(hours=3)
"""Without a pass for so long something is wrong with the service. Estimate."""
OPEN_LEVELS = (Level.NOTICE, Level.ACT, Level.URGENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class YardNow:
    """A site as it stands this minute.

    Attributes:
        yard: what was read.
        now: the minute, UTC.
        sky: how far the forecast can be leaned on.
        lines: every vehicle, in walking order.
    """

    yard: Yard
    now: datetime
    sky: Sky
    lines: tuple[Line, ...]

    @property
    def board(self) -> Board | None:
        """The board of the last pass, if its hours can be told."""
        usable = self.sky in (Sky.FRESH, Sky.OLDER)
        return self.yard.board if usable else None

    @property
    def late(self) -> tuple[Line, ...]:
        """Vehicles to be left alone."""
        return tuple(line for line in self.lines if line.is_late)

    @property
    def thaw_at(self) -> datetime | None:
        """When what froze is worth looking at, UTC; None if not in sight."""
        board = self.board
        if board is None or board.air is None or board.thaw_at is None:
            return None
        began = [line.standing.began_at for line in self.late]
        if all(at is None or board.thaw_at > at for at in began):
            return board.thaw_at
        return mild_again(board.air, self._diary, self.now)

    @property
    def _diary(self) -> Diary:
        site = self.yard.site
        return Diary(person=who_runs(site, tuple(self.yard.people.values())), site=site)

    @property
    def due(self) -> tuple[Line, ...]:
        """Stops that frost makes worth going to; without a forecast every stop."""
        if self.sky in UNREAD:
            return tuple(line for line in self.lines if line.stop is not None)
        return tuple(
            line for line in self.lines if line.stop is not None and line.stop.level in OPEN_LEVELS
        )

    @property
    def unknown(self) -> tuple[Line, ...]:
        """Vehicles of which nobody knows what is in them."""
        return tuple(line for line in self.lines if line.standing.unknown)

    @property
    def pass_is_late(self) -> bool:
        """No pass looked at the site for hours."""
        board = self.yard.board
        return board is not None and self.now - board.at > PASS_IS_LATE

    @property
    def look_min(self) -> int:
        """Within how many minutes the next look at the site is due; later where one failed."""
        passed = self.yard.passed
        waits = passed.next_try_at - self.now if passed and passed.next_try_at else timedelta(0)
        return math.ceil((max(waits, timedelta(0)) + LOOK_EVERY) / timedelta(minutes=1))

    @property
    def night(self) -> BeforeNight | None:
        """The night that counts as frost and what is left before it; None under a forecast."""
        if self.sky not in UNREAD:
            return None
        return before_night(self._diary, self.now)

    @property
    def starts(self) -> datetime:
        """When a crew can begin, UTC; without a forecast never after the night it is for."""
        night = self.night
        if night is not None:
            return night.slot.start if night.slot is not None else self.now
        return starts_at(self.yard.board, self.now) if self.yard.board else self.now

    def round(self, crew: int | None = None) -> Round:
        """The round as it would be walked now, stops that were pressed left out."""
        stops = [line.stop for line in self.lines if line.stop is not None and line.press is None]
        size = crew or self.yard.site.crew
        return round_for(stops, starts=self.starts, crew=max(1, size))

    @property
    def crew(self) -> tuple[str, ...]:
        """Names of those who walk rounds here."""
        site = self.yard.site.key
        return tuple(
            person.name
            for person in self.yard.people.values()
            if person.duty is Duty.CREW and site in person.sites
        )


def yard_now(yard: Yard, now: datetime) -> YardNow:
    """Bring a site up to this minute.

    Args:
        yard: what was read.
        now: the minute, UTC.
    """
    sky = sky_of(yard.board, now)
    stood = yard.board.vehicles if yard.board is not None else ()
    known = {one.vehicle: one.by_now(now) for one in stood}
    place = {bay: n for n, bay in enumerate(yard.site.bays)}
    pressed = _pressed(yard)
    walk = sorted(
        yard.vehicles.values(),
        key=lambda v: (place.get(v.bay, len(place)), v.bay, v.key),
    )
    lines = []
    for n, vehicle in enumerate(walk):
        line = line_of(yard, vehicle, known.get(vehicle.key), n, now)
        lines.append(under(sky, replace(line, press=pressed.get(vehicle.key))))
    return YardNow(yard=yard, now=now, sky=sky, lines=tuple(lines))


def _pressed(yard: Yard) -> dict[str, Press]:
    if yard.round is None:
        return {}
    found = {stop.walk.stop.vehicle: stop.press for stop in stops_now(yard.round, yard.presses)}
    return {vehicle: press for vehicle, press in found.items() if press is not None}
