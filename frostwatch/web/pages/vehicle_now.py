"""One vehicle as it stands this minute, with all that its page shows."""

from dataclasses import dataclass
from datetime import datetime

from frostwatch.advice.board import Board, Standing
from frostwatch.ports.pages import VehicleFile, Yard
from frostwatch.web.pages.yard_now import Line, Sky, YardNow, yard_now


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleNow:
    """A vehicle this minute.

    Attributes:
        file: what was read.
        line: the vehicle as on a list.
        yard: its site with this vehicle alone.
    """

    file: VehicleFile
    line: Line
    yard: YardNow

    @property
    def board(self) -> Board | None:
        """The board of the last pass, if its hours can be told."""
        return self.yard.board

    @property
    def sky(self) -> Sky:
        """How far the forecast can be leaned on."""
        return self.yard.sky

    @property
    def standing(self) -> Standing:
        """How it stands."""
        return self.line.standing


def vehicle_now(file: VehicleFile, now: datetime) -> VehicleNow:
    """Bring one vehicle up to this minute.

    Args:
        file: what was read.
        now: the minute, UTC.
    """
    key, board = file.vehicle.key, file.board
    entries = tuple(linked.entry for linked in file.record if linked.entry.received_at <= now)
    is_new = board is None or any(entry.received_at >= board.at for entry in entries)
    alone = Yard(
        site=file.site,
        board=board,
        vehicles={key: file.vehicle},
        people=file.people,
        fresh={key: entries} if is_new else {},
        passed=file.passed,
        round=None,
        presses=(),
    )
    yard = yard_now(alone, now)
    (line,) = yard.lines
    return VehicleNow(file=file, line=line, yard=yard)
