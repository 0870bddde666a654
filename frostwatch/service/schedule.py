"""The schedule of the running service: a pass an hour, the outbox every minute, a clean stop."""

import signal
import threading
from collections.abc import Callable
from datetime import datetime, timedelta

import structlog

from frostwatch.errors import FrostwatchError
from frostwatch.messages.outbox import flush
from frostwatch.service.boards import LOOK_EVERY
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory
from frostwatch.service.pass_ import PassReport, run_pass
from frostwatch.service.quiet import Hold, hold_for
from frostwatch.weather.asking import spread

log = structlog.get_logger()

OFF_THE_HOUR_S = 20
"""Shortest time between a look and a whole five minutes [s]: forecast servers ask their users to
keep away from full hours, at which everybody else comes."""
OUTBOX_EVERY = timedelta(minutes=1)
PRUNE_EVERY = timedelta(hours=24)

Clock = Callable[[], datetime]


class _StoppedError(Exception):
    """The service was told to stop while a pass was waiting."""


class Service:
    """One running service.

    Args:
        kit: the adapters.
        clock: the present moment, UTC.
        heartbeat: called after each pass that ended well; None for no heartbeat.
        prune: called once a day with the moment; None for nothing.
        host: name of the computer; no two computers look at the same second.
    """

    def __init__(
        self,
        kit: Kit,
        clock: Clock,
        *,
        heartbeat: Callable[[], None] | None = None,
        prune: Callable[[datetime], None] | None = None,
        host: str = "",
    ) -> None:
        self._kit = kit
        self._clock = clock
        self._heartbeat = heartbeat
        self._prune = prune
        self._host = host
        self._memory = Memory()
        self._may_go: Hold | None = None
        self._one_pass = threading.Lock()

    def pass_once(self) -> PassReport | None:
        """One pass; a failure is logged, and the next one tries again."""
        with self._one_pass:
            now = self._clock()
            try:
                report = run_pass(self._kit, now, memory=self._memory)
                self._may_go = hold_for(report.book)
            except _StoppedError:
                log.info("pass ended early")
                return None
            except Exception as fault:
                known = isinstance(fault, FrostwatchError)
                log.error("pass failed", cause=str(fault), exc_info=not known)
                return None
        log.info(
            "pass",
            sites=len(report.sites),
            failed=len(report.failed),
            put_off=len(report.put_off),
            messages=report.messages,
        )
        if self._heartbeat is not None and not (report.failed or report.put_off):
            self._heartbeat()
        return report

    def send_once(self) -> None:
        """Send what is due."""
        now = self._clock()
        try:
            if self._may_go is None:  # before the first pass quiet hours hold too
                self._may_go = hold_for(self._kit.book(now))
            flushed = flush(self._kit.outbox, self._kit.channels, now, may_go=self._may_go)
        except Exception as fault:
            known = isinstance(fault, FrostwatchError)
            log.error("sending failed", cause=str(fault), exc_info=not known)
            return
        for row in flushed.sent:
            log.info("sent", to=row.message.recipient, kind=row.message.kind)
        for row in (*flushed.put_off, *flushed.failed):
            log.warning("not sent", to=row.message.recipient, channel=row.message.channel)

    def prune_once(self) -> None:
        """Drop what is past its use."""
        if self._prune is not None:
            try:
                self._prune(self._clock())
            except FrostwatchError as fault:
                log.error("pruning failed", cause=str(fault))

    def run(self, stop: threading.Event) -> None:
        """Work until ``stop`` is set. A computer that slept catches up with one pass."""
        from apscheduler.schedulers.background import BackgroundScheduler
        from apscheduler.triggers.cron import CronTrigger

        scheduler = BackgroundScheduler(
            timezone="UTC",
            job_defaults={"coalesce": True, "max_instances": 1, "misfire_grace_time": None},
        )
        minute, second = look_times(self._host)
        look = CronTrigger(minute=minute, second=second, timezone="UTC")
        scheduler.add_job(self.pass_once, look)
        for job, every in (
            (self.send_once, OUTBOX_EVERY),
            (self.prune_once, PRUNE_EVERY),
        ):
            scheduler.add_job(job, "interval", seconds=every.total_seconds())
        scheduler.start()
        try:
            stop.wait()
        finally:
            scheduler.shutdown(wait=True)
            self.send_once()


def look_times(host: str) -> tuple[str, str]:
    """Minutes and second of an hour, as cron writes them, at which a computer looks.

    Spread by its name over five minutes, less a little around the whole ones.
    """
    every_s = int(LOOK_EVERY.total_seconds())
    minute, second = divmod(OFF_THE_HOUR_S + spread(host, every_s - 2 * OFF_THE_HOUR_S), 60)
    return f"{minute}-59/{every_s // 60}", str(second)


def stop_on_signals(stop: threading.Event) -> None:
    """SIGTERM and SIGINT end the service after the work in hand."""
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stop.set())


def sleep_unless(stop: threading.Event) -> Callable[[float], None]:
    """A sleep that ends the pass it belongs to when the service is told to stop."""

    def sleep(seconds: float) -> None:
        if stop.wait(seconds):
            raise _StoppedError

    return sleep


def heartbeat_to(url: str) -> Callable[[], None]:
    """Ask a web address, so that somebody outside notices when passes cease."""

    def beat() -> None:
        import requests

        try:
            requests.get(url, timeout=10).raise_for_status()
        except requests.RequestException as fault:
            log.warning("heartbeat failed", cause=type(fault).__name__)

    return beat
