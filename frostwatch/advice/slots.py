"""When a person can be at a vehicle, when they read, and when they are left in peace."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from frostwatch.advice.daylight import Span, daylight, local
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site

BEFORE_DARK = timedelta(minutes=10)
"""Work in daylight ends this long before dusk. Estimate."""
SLOTS_AHEAD = timedelta(days=15)
"""How far slots are looked up: two weekly ones are always found."""
LATE_READING = timedelta(hours=1)
"""A reading this long after work began still serves that day's work."""

READINGS: dict[Duty, tuple[time, ...]] = {
    Duty.OWNER: (time(12, 15), time(18, 15)),
    Duty.OPERATOR: (time(7, 40), time(18, 10)),
    Duty.CREW: (time(7, 40),),
    Duty.DEALER: (time(7, 45), time(15, 0)),
}
"""When people read if they do not say otherwise. Estimates."""

LOOKS = (time(8), time(10), time(12), time(14), time(16))
"""When a vehicle that may have frozen is thought of again, beside the readings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Diary:
    """One person's time at one site.

    Attributes:
        person: the person.
        site: the site.
    """

    person: Person
    site: Site

    @property
    def by_daylight(self) -> bool:
        """They come when it is light rather than in working hours of the site or their own."""
        own = bool(self.person.slots)
        return not own and (self.person.duty is Duty.OWNER or not self.site.shifts)

    @property
    def is_sparse(self) -> bool:
        """They cannot come every day."""
        if self.person.slots:
            return len({slot.weekday for slot in self.person.slots}) < 7
        return not self.by_daylight and len({shift.weekday for shift in self.site.shifts}) < 7

    @property
    def is_staff(self) -> bool:
        """They work at the site rather than own the vehicle."""
        return self.person.duty is not Duty.OWNER

    def day(self, moment: datetime) -> date:
        """Local date of a moment."""
        return moment.astimezone(self.site.zone).date()

    def light(self, day: date) -> Span:
        """Daylight of a local date."""
        site = self.site
        return daylight(site.latitude_deg, site.longitude_deg, site.time_zone, day)

    def _work_light(self, day: date) -> Span:
        """Daylight less the minutes before dark, where there is enough of it."""
        light = self.light(day)
        short = light.end - light.start < 6 * BEFORE_DARK
        return light if short else Span(light.start, light.end - BEFORE_DARK)

    def slots_on(self, day: date) -> tuple[Span, ...]:
        """When they can be at a vehicle on a local date."""
        zone = self.site.zone
        light = self._work_light(day)
        if self.person.slots:
            own = [s for s in self.person.slots if s.weekday == day.weekday()]
            spans = [Span(local(day, s.starts, zone), local(day, s.ends, zone)) for s in own]
            return tuple(_by_light(span, light) for span in _merged(spans))
        if self.by_daylight:
            return (light,)
        shifts = [s for s in self.site.shifts if s.weekday == day.weekday()]
        spans = [Span(local(day, s.opens, zone), local(day, s.closes, zone)) for s in shifts]
        return _merged([span.meets(light) or span for span in spans])

    def looks_within(self, day: date) -> tuple[Span, ...]:
        """When a thawed vehicle can be looked at: by daylight, by staff while they work."""
        return self.slots_on(day) if self.is_staff else (self.light(day),)

    def slots(self, now: datetime) -> Iterator[Span]:
        """Slots that have not ended, in order."""
        day = self.day(now)
        for ahead in range(SLOTS_AHEAD.days):
            for span in self.slots_on(day + timedelta(days=ahead)):
                if span.end > now:
                    yield span

    def readings_on(self, day: date) -> tuple[datetime, ...]:
        """When they read on a local date; a crew reads on working days only."""
        if self.person.duty is Duty.CREW and not self.slots_on(day):
            return ()
        times = self.person.reading or READINGS[self.person.duty]
        return tuple(sorted(local(day, at, self.site.zone) for at in times))

    def looks_on(self, day: date) -> tuple[datetime, ...]:
        """Further times at which a frozen vehicle is thought of."""
        return tuple(local(day, at, self.site.zone) for at in LOOKS)

    def next_reading(self, after: datetime) -> datetime | None:
        """Their first reading later than ``after``; None within two weeks."""
        return next(self._moments(after, self.readings_on), None)

    def next_look(self, after: datetime) -> datetime | None:
        """The first look later than ``after``."""
        return next(self._moments(after, self.looks_on), None)

    def _moments(
        self, after: datetime, on: Callable[[date], tuple[datetime, ...]]
    ) -> Iterator[datetime]:
        day = self.day(after)
        for ahead in range(SLOTS_AHEAD.days):
            for moment in on(day + timedelta(days=ahead)):
                if moment > after:
                    yield moment

    def has_read(self, since: datetime | None, now: datetime) -> datetime | None:
        """The latest reading in (since, now], ``now`` itself where nothing was read before."""
        return self._latest(since, now, readings=True)

    def has_looked(self, since: datetime | None, now: datetime) -> datetime | None:
        """The latest look in (since, now]."""
        return self._latest(since, now, readings=False)

    def _latest(self, since: datetime | None, now: datetime, *, readings: bool) -> datetime | None:
        if since is None:
            return now
        day = self.day(now)
        found = None
        while day >= self.day(since):
            for moment in self.readings_on(day) if readings else self.looks_on(day):
                if since < moment <= now:
                    found = moment
            if found:
                break
            day -= timedelta(days=1)
        return found

    def is_quiet(self, moment: datetime) -> bool:
        """Nobody writes to them then."""
        at = moment.astimezone(self.site.zone).time()
        start, end = self.person.quiet_from, self.person.quiet_to
        if start <= end:
            return start <= at < end
        return at >= start or at < end

    def is_off(self, moment: datetime) -> bool:
        """A crew's day off: whatever comes waits for its next working day."""
        return self.person.duty is Duty.CREW and not self.slots_on(self.day(moment))

    def quiet_ends(self, moment: datetime) -> datetime:
        """End of the quiet hours that ``moment`` lies in; ``moment`` itself outside them."""
        if not self.is_quiet(moment):
            return moment
        day = self.day(moment)
        end = local(day, self.person.quiet_to, self.site.zone)
        return (
            end
            if end > moment
            else local(day + timedelta(days=1), self.person.quiet_to, self.site.zone)
        )

    def waits(self, now: datetime, slot: Span) -> bool:
        """Whether staff lose nothing by deciding at a later reading, before work begins."""
        if not self.is_staff:
            return False
        later = self.next_reading(now)
        return later is not None and later <= slot.start + LATE_READING


def _by_light(span: Span, light: Span) -> Span:
    """The light part of somebody's own hours, where that is most of them: the rest is their own
    choice."""
    seen = span.meets(light)
    if seen is None or seen.end - seen.start < (span.end - span.start) / 2:
        return span
    return seen


def _merged(spans: list[Span]) -> tuple[Span, ...]:
    """Spans in order, those that touch joined, empty ones dropped."""
    joined: list[Span] = []
    for span in sorted(s for s in spans if s.start < s.end):
        if joined and span.start <= joined[-1].end:
            joined[-1] = Span(joined[-1].start, max(joined[-1].end, span.end))
        else:
            joined.append(span)
    return tuple(joined)
