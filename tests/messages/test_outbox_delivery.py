"""Whatever refuses and wherever the process dies: no reminder is lost, extras <= crashes."""

from collections import Counter
from datetime import UTC, datetime, timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from frostwatch.messages.outbox import flush
from frostwatch.ports import MessageStatus, Refused
from frostwatch.storage.ledger import open_ledger
from tests.fakes import CrashError, FakeChannels
from tests.letters import a_message

PEOPLE = st.sampled_from(["ailsa", "kit", "maelle"])
START = datetime(2026, 12, 1, 6, 0, tzinfo=UTC)


class Delivery(RuleBasedStateMachine):
    """People are told things while targets come and go and the process dies at any step."""

    def __init__(self) -> None:
        super().__init__()
        self.ledger = open_ledger("sqlite://")
        self.channels = FakeChannels()
        self.now = START
        self.raised: set[tuple[str, str]] = set()
        self.crashes = 0

    @rule(who=PEOPLE, count=st.integers(1, 3))
    def raise_reminders(self, who: str, count: int) -> None:
        messages = [
            a_message(self.now, recipient=who, reminder=f"r{len(self.raised) + i}")
            for i in range(count)
        ]
        self.ledger.outbox.enqueue(messages, self.now)
        self.raised |= {(message.recipient, message.reminder) for message in messages}

    @rule(who=PEOPLE)
    def target_goes_away(self, who: str) -> None:
        self.channels.refuse(who, Refused(permanent=False, reason="away"))

    @rule(who=PEOPLE)
    def target_comes_back(self, who: str) -> None:
        self.channels.mend(who)

    @rule(limit=st.integers(1, 4))
    def send(self, limit: int) -> None:
        flush(self.ledger.outbox, self.channels, self.now, limit=limit)

    @rule()
    def die_between_sending_and_noting(self) -> None:
        self.channels.crash_after_next()
        try:
            flush(self.ledger.outbox, self.channels, self.now)
        except CrashError:
            self.crashes += 1
        self.channels.stay_alive()

    @rule()
    def die_between_claiming_and_sending(self) -> None:
        self.ledger.outbox.claim(self.now, until=self.now + timedelta(minutes=20))

    @rule(minutes=st.integers(1, 90))
    def time_passes(self, minutes: int) -> None:
        # all of one run stays within the day after which a message is given up
        if self.now + timedelta(minutes=minutes) < START + timedelta(hours=12):
            self.now += timedelta(minutes=minutes)

    def told(self) -> Counter[tuple[str, str]]:
        return Counter((message.recipient, message.reminder) for message in self.channels.sent)

    @invariant()
    def extras_are_at_most_one_a_crash(self) -> None:
        told = self.told()
        assert told.total() - len(told) <= self.crashes

    @invariant()
    def nothing_is_told_that_was_not_raised(self) -> None:
        assert set(self.told()) <= self.raised

    def teardown(self) -> None:
        for who in ("ailsa", "kit", "maelle"):
            self.channels.mend(who)
        for hour in range(10):
            flush(self.ledger.outbox, self.channels, self.now + timedelta(hours=hour), limit=999)
        assert set(self.told()) == self.raised
        rows = self.ledger.outbox.listed(since=START)
        assert {row.status for row in rows} <= {MessageStatus.SENT}
        self.extras_are_at_most_one_a_crash()
        self.ledger.close()


TestDelivery = Delivery.TestCase
TestDelivery.settings = settings(stateful_step_count=30, max_examples=30)
