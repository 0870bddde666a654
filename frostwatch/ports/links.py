"""Links in messages: what each one was for, and what people wrote back."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from frostwatch.messages.wording.draft import Draft, Kind, Level

BY_HAND = "by hand"
"""Reason of the draft of a link that came in no message."""
LOOKS_BACK = timedelta(days=10)
"""How far such a link looks back for what was written."""


def is_by_hand(draft: Draft) -> bool:
    """Whether nothing was told: the link was made by hand."""
    return draft.reason == BY_HAND


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLink:
    """One message as it was decided, under the code that its link carries.

    The code alone opens the page and takes an answer, so it is as good as a key.

    Attributes:
        code: what stands in the link.
        draft: what was told: recipient, vehicles, hours and facts.
        made_at: when, UTC.
        expires_at: the code opens nothing from then on, UTC.
    """

    code: str
    draft: Draft
    made_at: datetime
    expires_at: datetime

    @property
    def recipient(self) -> str:
        """Key of the person it was made for."""
        return self.draft.recipient

    @property
    def is_by_hand(self) -> bool:
        """It came in no message."""
        return is_by_hand(self.draft)

    @property
    def told_since(self) -> datetime:
        """From when on it tells the newest word about its vehicles, UTC."""
        return self.made_at - LOOKS_BACK if is_by_hand(self.draft) else self.made_at

    @property
    def is_urgent(self) -> bool:
        """Nobody may find out only afterwards that it never arrived."""
        return self.draft.level is Level.URGENT or self.draft.kind is Kind.LAST_CALL

    @property
    def deadline(self) -> datetime | None:
        """The hour to work to; the earliest harm where none was told, UTC."""
        return self.draft.act_by or self.draft.earliest


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """Something a person wrote back.

    Attributes:
        at: when it arrived, UTC.
        sender: from where, as the gateway names it.
        text: what was written, cut to a bearable length.
        person: key of the person, "" where nobody can tell.
        code: code of the message it answers, "" where nobody can tell.
        taken_as: answer it was understood as, "" if it was left to the office.
        why: why it was left to the office, "" if it was taken.
    """

    at: datetime
    sender: str
    text: str
    person: str = ""
    code: str = ""
    taken_as: str = ""
    why: str = ""


class LinkStore(Protocol):
    """Where links and replies are kept."""

    def keep(self, links: Sequence[AnswerLink]) -> None:
        """Keep links made outside a pass."""
        ...

    def find(self, code: str) -> AnswerLink | None:
        """The link of that code, None if there is none (any more)."""
        ...

    def made_for(self, recipient: str, *, since: datetime) -> tuple[AnswerLink, ...]:
        """A person's links made since then, newest first."""
        ...

    def about(self, vehicle: str, *, site: str, since: datetime) -> tuple[AnswerLink, ...]:
        """What was told at a site about a vehicle since then, oldest first."""
        ...

    def unreached(self, now: datetime) -> tuple[AnswerLink, ...]:
        """Urgent ones whose deadline is still ahead and which no channel has taken."""
        ...

    def revoke(self, recipient: str) -> int:
        """Make all of a person's codes open nothing; returns how many."""
        ...

    def hear(self, heard: Heard) -> None:
        """Keep what somebody wrote back."""
        ...

    def heard(self, *, since: datetime) -> tuple[Heard, ...]:
        """What people wrote back since then, oldest first."""
        ...
