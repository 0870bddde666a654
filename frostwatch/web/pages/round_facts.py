"""The facts under a round: its first loop, who walks when, what to take, and who has it."""

from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.advice.rounds import Round
from frostwatch.ports.outbox import MessageStatus
from frostwatch.web.pages.rows import Rows
from frostwatch.web.pages.yard_now import YardNow
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One of the facts under the strip."""

    term: Markup
    text: Markup


def facts_of(now: YardNow, walk: Round, tongue: Tongue, *, crew: int) -> tuple[Fact, ...]:
    """The facts of a round.

    Args:
        now: its site.
        walk: the round as it would be walked now.
        tongue: language, zone and moment.
        crew: people it is reckoned for.
    """
    return _Facts(now, walk, tongue, crew).all()


class _Facts:
    def __init__(self, now: YardNow, walk: Round, tongue: Tongue, crew: int) -> None:
        self._now, self._round, self._t, self._crew = now, walk, tongue, crew
        self._rows = Rows(now, tongue)

    def all(self) -> tuple[Fact, ...]:
        """Every fact, in order."""
        t, walk = self._t, self._round
        found = []
        if walk.first and (walk.rest or walk.left):  # where there is no more, the list says it all
            bays = t.listed([stop.bay for stop in walk.first])
            minutes = t.minutes(sum(stop.minutes for stop in walk.first))
            text = t("fact.first", bays=bays, minutes=minutes, n=len(walk.first))
            found.append(Fact(term=t("fact.first.term"), text=text))
        found.append(Fact(term=t("fact.crew.term"), text=self._crew_fact()))
        if walk.take:
            text = Markup(", ").join(t.speech.taken(what, n) for what, n in walk.take)
            found.append(Fact(term=t("fact.take.term"), text=t("fact.take", what=text)))
        found.append(Fact(term=t("fact.walked.term"), text=self._walked()))
        return tuple(found)

    def _crew_fact(self) -> Markup:
        t, now = self._t, self._now
        night = now.night
        if night is not None and night.begun:
            return t("fact.crew.night")
        if night is not None and night.slot is None:
            return t("fact.crew.none", n=self._crew, ready=t.about(self._round.ready_at))
        names = now.crew
        who = t.listed(names) if names and len(names) == self._crew else ""
        values = {"starts": t.hour(self._round.starts), "ready": t.about(self._round.ready_at)}
        if who:
            text = t("fact.crew.named", who=who, **values)
        else:
            text = t("fact.crew", n=self._crew, **values)
        if self._crew > 1:
            alone = now.round(1)
            text += Markup(" ") + t("fact.crew.alone", ready=t.about(alone.ready_at))
        return text

    def _walked(self) -> Markup:
        t, walk, now = self._t, self._now.yard.round, self._now
        if walk is None:
            return t("fact.walked.nobody")
        who = {self._rows.who(press.by) for press in now.yard.presses}
        values = {"code": walk.code, "by": self._rows.who(walk.by), "at": t.hour(walk.made_at)}
        if who:
            text = t("fact.walked.by", who=t.listed(sorted(who)), **values)
        else:
            text = t("fact.walked.released", **values)
        return Markup(" ").join([text, *self._told()])

    def _told(self) -> list[Markup]:
        """To whom the round was sent, and what became of it."""
        t = self._t
        newest = {row.message.recipient: row for row in self._now.yard.told}
        sent = [row for row in newest.values() if row.sent_at is not None]
        found = []
        if sent:
            who = t.listed([self._rows.who(row.message.recipient) for row in sent])
            at = max(row.sent_at for row in sent if row.sent_at is not None)
            found.append(t("fact.walked.sent", who=who, at=t.clock(at)))
        gone = (MessageStatus.REFUSED, MessageStatus.GIVEN_UP)
        for row in newest.values():
            name = self._rows.who(row.message.recipient)
            if row.status in gone:
                found.append(t("fact.walked.refused", who=name, why=row.result))
            elif row.sent_at is None:
                found.append(t("fact.walked.queued", who=name))
        return found
