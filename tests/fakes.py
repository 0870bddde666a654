"""Stand-ins for the outside world. Each satisfies its port; mypy holds them to it."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from frostwatch.ports import Channels, Forecasts, Message, Refused, Sent
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point


class CrashError(Exception):
    """The process dies here."""


class FakeChannels:
    """Takes every message, unless told otherwise.

    Attributes:
        sent: messages taken, in order.
        tried: messages offered, in order.
    """

    def __init__(self) -> None:
        self.sent: list[Message] = []
        self.tried: list[Message] = []
        self._answers: list[Refused] = []
        self._crash_after_next = False
        self._broken: dict[str, Refused] = {}

    def refuse_first(self, count: int, *, permanent: bool = False) -> None:
        """Refuse the next ``count`` messages, whoever they are for."""
        self._answers += [Refused(permanent=permanent, reason="told to refuse")] * count

    def refuse(self, recipient: str, answer: Refused) -> None:
        """Give this answer to every message for one person, until ``mend``."""
        self._broken[recipient] = answer

    def mend(self, recipient: str) -> None:
        """Take messages for that person again."""
        self._broken.pop(recipient, None)

    def crash_after_next(self) -> None:
        """Take the next message, then die before anybody can note it."""
        self._crash_after_next = True

    def stay_alive(self) -> None:
        """Take back ``crash_after_next`` where no message came."""
        self._crash_after_next = False

    def send(self, message: Message, now: datetime) -> Sent | Refused:
        """Answer as told."""
        self.tried.append(message)
        if message.recipient in self._broken:
            return self._broken[message.recipient]
        if self._answers:
            return self._answers.pop(0)
        self.sent.append(message)
        if self._crash_after_next:
            self._crash_after_next = False
            raise CrashError
        return Sent()


class FakeForecasts:
    """Hands out the forecasts it was given.

    Attributes:
        given: point key -> forecast or failure; other places are "not covered".
        asked: point keys asked for, in order.
    """

    def __init__(self, given: Mapping[str, Forecast | FetchFailure] | None = None) -> None:
        self.given = dict(given or {})
        self.asked: list[str] = []

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """Point key -> what was given for it."""
        self.asked += [point.key for point in points]
        nothing = FetchFailure(kind=FailureKind.NOT_COVERED, message="no forecast was given")
        return {point.key: self.given.get(point.key, nothing) for point in points}


_channels: Channels = FakeChannels()
_forecasts: Forecasts = FakeForecasts()
