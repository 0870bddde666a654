"""The demo as it is played: its clock can be set to any hour of the story, and passes follow it."""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from frostwatch.errors import RecordError
from frostwatch.messages.outbox import flush
from frostwatch.service.demo import BEGINS, Demo, enter_places, forget_messages, live_through
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory
from frostwatch.service.pass_ import run_pass

if TYPE_CHECKING:
    from frostwatch.storage.ledger import SqlLedger

DAYS_BEFORE, DAYS_AFTER = 4, 6
"""How far from its day the demo's clock can be set [days]: the invented spell is over by then."""
LEAD = timedelta(hours=1)
"""A story that starts over begins so long before the hour it is to show."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """An hour of the story that is worth seeing.

    Attributes:
        key: what it is called.
        after: time after 00:00 UTC of the demo's day.
    """

    key: str
    after: timedelta


SCENES = (
    Scene(key="quiet", after=timedelta(hours=-87)),
    Scene(key="order", after=timedelta(hours=7, minutes=45)),
    Scene(key="walk", after=timedelta(hours=8, minutes=15)),
    Scene(key="late", after=timedelta(hours=55, minutes=45)),
    Scene(key="thaw", after=timedelta(hours=133, minutes=30)),
)
OPENS_AT = "order"


class Stage:
    """One demo that is being played.

    Args:
        demo: laid out anew.
        kit: its adapters.
        ledger: its ledger.
        clock: the real present moment, UTC.
    """

    def __init__(
        self, demo: Demo, kit: Kit, ledger: "SqlLedger", clock: Callable[[], datetime]
    ) -> None:
        self._kit = kit
        self._ledger = ledger
        self._clock = clock
        self._memory = Memory()
        self._lock = threading.Lock()
        self._player: threading.Thread | None = None
        self._at: datetime | None = None
        self.midnight = demo.begins - BEGINS
        self._demo = demo
        self._played_to = demo.begins
        self._offset = demo.begins - clock()

    def now(self) -> datetime:
        """The demo's present moment, UTC. It moves on as real time does."""
        return self._clock() + self._offset

    @property
    def ahead(self) -> timedelta:
        """How far that is before real time."""
        return self._offset

    def moment_of(self, scene: Scene) -> datetime:
        """When a scene plays, UTC."""
        return self.midnight + scene.after

    @property
    def first(self) -> datetime:
        """The earliest moment the clock can be set to, UTC."""
        return self.midnight - timedelta(days=DAYS_BEFORE)

    @property
    def last(self) -> datetime:
        """The latest one, UTC."""
        return self.midnight + timedelta(days=DAYS_AFTER)

    @property
    def playing(self) -> datetime | None:
        """The moment that is being played just now, UTC; None while nothing is."""
        return self._at if self._player is not None and self._player.is_alive() else None

    def play(self, moment: datetime, after: Callable[[], None] | None = None) -> None:
        """Set the clock while others go on; what is being played already is played to its end.

        Args:
            moment: UTC.
            after: called when it is set.

        Raises:
            RecordError: there is no weather for that moment.
        """
        self._refuse_unknown(moment)
        if self.playing is not None:
            return
        self._at = self.now()

        def work() -> None:
            self.set_to(moment, progress=self._note)
            if after is not None:
                after()

        self._player = threading.Thread(target=work, name="demo", daemon=True)
        self._player.start()

    def _note(self, moment: datetime) -> None:
        self._at = moment

    def _refuse_unknown(self, moment: datetime) -> None:
        if not self.first <= moment <= self.last:
            raise RecordError(
                f"The invented weather goes from {self.first:%a %d %b} to {self.last:%a %d %b}. "
                "Choose an hour in between."
            )

    def set_to(self, moment: datetime, progress: Callable[[datetime], None] | None = None) -> None:
        """Set the clock, and play all that happens until then.

        Forward, what was recorded stays. Back, the story starts over: the past is not undone by
        halves.

        Args:
            moment: UTC.
            progress: called with each moment that is played.

        Raises:
            RecordError: there is no weather for that moment.
        """
        self._refuse_unknown(moment)
        with self._lock:
            if moment < self._played_to:
                self._start_over(min(moment - LEAD, self._demo.begins))
            live_through(
                self._kit,
                self._demo,
                since=self._played_to,
                until=moment,
                memory=self._memory,
                progress=progress,
            )
            self._played_to = moment
            self._offset = moment - self._clock()

    def tick(self) -> None:
        """One pass and one round of sending at the demo's present moment."""
        with self._lock:
            moment = self.now()
            if moment > self.last:
                return
            run_pass(self._kit, moment, memory=self._memory)
            flush(self._kit.outbox, self._kit.channels, moment)
            self._played_to = max(self._played_to, moment)

    def run(self, stop: threading.Event, every: timedelta = timedelta(minutes=1)) -> None:
        """Go on with the story until ``stop`` is set."""
        while not stop.wait(every.total_seconds()):
            self.tick()

    def _start_over(self, begins: datetime) -> None:
        forget_messages(self._demo)
        self._ledger.forget_everything()
        enter_places(self._ledger, self.midnight, begins=begins)
        self._memory = Memory()
        self._played_to = begins
