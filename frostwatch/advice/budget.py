"""How much one person is told: enough messages train people to ignore the next."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from frostwatch.advice.reminders import Reminder, Said, Status
from frostwatch.advice.slots import Diary
from frostwatch.messages.wording.draft import Kind

OWNER_A_SPELL = 3
OWNER_EXTRAS_A_WINTER = 6
"""Once this many messages were sent in a winter only the first call of a spell still goes out, so
that reminders early in a winter leave room for the calls of a late spell. Estimate."""
STAFF_A_DAY = 2
ACT_CALLS_A_SPELL = 2
"""Work orders and last calls about one vehicle in one spell, as long as nobody answers."""

CALLS = frozenset({Kind.WORK_ORDER, Kind.LAST_CALL})
FREE = frozenset({Kind.ROLL, Kind.SEASON})
"""Kinds that say nothing about a spell."""
PRESSING = frozenset({Kind.WORK_ORDER, Kind.LAST_CALL, Kind.LEAVE_ALONE, Kind.THAW_CHECK})
"""Kinds of which staff are told at least one a day, whatever else was sent; of calls too."""
MUST = frozenset({Kind.NO_FORECAST})
"""Kinds that staff are told whatever else was sent."""

YEARLY = frozenset({Kind.SEASON})
STAFF_MEMORY = timedelta(days=35)


@dataclass(slots=True)
class Budget:
    """What one person was sent at one site this winter, and what may still be sent.

    Attributes:
        diary: the person's time.
        tally: the tally so far.
        spell_since: when the first matter that stands was raised, UTC; None if none stands.
    """

    diary: Diary
    tally: Reminder
    spell_since: datetime | None

    def allows(self, kind: Kind, now: datetime, *, first: bool) -> bool:
        """Whether one more message may go out.

        Args:
            kind: its class.
            now: aware UTC time.
            first: it is the first call of a spell, which is never held back for an owner.
        """
        if self.diary.is_staff:
            return kind in MUST or self._staff_may_hear(kind, now)
        if kind in CALLS and first:
            return True
        if len(self.tally.said) >= OWNER_EXTRAS_A_WINTER:
            return False
        if kind in FREE:
            return True
        left = OWNER_A_SPELL - self._sent_in_spell()
        if kind in (Kind.LEAVE_ALONE, Kind.THAW_CHECK):
            return left > 0
        return left > 1

    def _staff_may_hear(self, kind: Kind, now: datetime) -> bool:
        """Two a day; what does not press leaves the second for what may.

        A third goes out where none of its sort did: what is to be done by an hour must not wait
        because two messages said what to leave alone.
        """
        sent = self._sent_on(now)
        if kind not in PRESSING:
            return len(sent) < STAFF_A_DAY - 1
        alike = CALLS if kind in CALLS else PRESSING
        return len(sent) < STAFF_A_DAY or not any(said.kind in alike for said in sent)

    def left_after(self, kind: Kind) -> bool:
        """Whether an owner can be told one more thing in this spell after this one."""
        if self.diary.is_staff:
            return True
        winter = len(self.tally.said) + 1 < OWNER_EXTRAS_A_WINTER
        return winter and self._sent_in_spell() + (kind not in FREE) < OWNER_A_SPELL

    def note(self, said: Said) -> None:
        """Count a message. Of staff only what still matters is kept: they are sent many."""
        kept = self.tally.said
        if self.diary.is_staff:
            kept = tuple(s for s in kept if s.kind in YEARLY or said.at - s.at < STAFF_MEMORY)
        self.tally = replace(self.tally, kind=said.kind, said=(*kept, said))

    def _sent_on(self, now: datetime) -> list[Said]:
        day = self.diary.day(now)
        return [said for said in self.tally.said if self.diary.day(said.at) == day]

    def _sent_in_spell(self) -> int:
        if self.spell_since is None:
            return 0
        since = self.spell_since
        return sum(s.at >= since and s.kind not in FREE for s in self.tally.said)


def tally_of(diary: Diary, kept: Reminder | None, now: datetime) -> Reminder:
    """The tally of this winter: the one kept, or a new one where a new winter began."""
    began = winter_began(diary, now)
    spell = str(diary.day(began).year)
    if kept is not None and kept.spell == spell:
        return kept
    return Reminder(
        key=f"{diary.site.key}/{diary.person.key}",
        site=diary.site.key,
        recipient=diary.person.key,
        vehicle="",
        kind=None,
        status=Status.STANDING,
        spell=spell,
        raised_at=began,
    )


def winter_began(diary: Diary, now: datetime) -> datetime:
    """The middle of the last summer: 1 July, south of the equator 1 January, UTC."""
    month = 7 if diary.site.latitude_deg >= 0.0 else 1
    this_year = datetime(now.year, month, 1, tzinfo=UTC)
    return this_year if this_year <= now else datetime(now.year - 1, month, 1, tzinfo=UTC)


def in_season(diary: Diary, now: datetime, *, months: tuple[int, int]) -> bool:
    """Whether the local month lies in a span of months of a northern winter, e.g. (9, 4)."""
    month = diary.day(now).month
    if diary.site.latitude_deg < 0.0:
        month = (month + 5) % 12 + 1
    first, last = months
    if first <= last:
        return first <= month <= last
    return first <= month or month <= last
