"""The lists of the page of handovers: the days ahead, what is shared, what got wet, the posts."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from urllib.parse import quote

from markupsafe import Markup

from frostwatch.advice.handover import Plan
from frostwatch.advice.held_together import drawing_at, held_conflicts
from frostwatch.advice.occasion_words import why_wet
from frostwatch.advice.passing import Passing
from frostwatch.advice.plan_words import PlanWords
from frostwatch.advice.shared import named_alike
from frostwatch.advice.shared_order import posts_for
from frostwatch.advice.shared_words import clash_words, order_words
from frostwatch.fleet.people import Duty
from frostwatch.fleet.sites import SiteKind, as_it_stands
from frostwatch.messages.wording.draft import Level
from frostwatch.web.pages.plans_now import PlansNow, VanNow, is_kept
from frostwatch.web.pages.rows import Rows, ShownLevel, named, shown_level
from frostwatch.web.pages.yard_now import Line
from frostwatch.web.words import Tongue

SOON = timedelta(hours=24)
"""Heating that goes on within so long is work of today or tonight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLine:
    """One line of a list.

    Attributes:
        vehicle: key of the vehicle, "" for none.
        head: what it is about.
        text: what is said.
        aside: its hour.
        level: how it stands; None where that is not told.
    """

    vehicle: str
    head: Markup | str
    text: Markup | str
    aside: Markup | str = ""
    level: ShownLevel | None = None


class PlanLists:
    """Puts the lists into words.

    Args:
        now: the handovers of the site.
        tongue: language, zone and moment.
        words: plans in the same language.
    """

    def __init__(self, now: PlansNow, tongue: Tongue, words: PlanWords) -> None:
        self._now, self._t, self._words = now, tongue, words
        self._rows = Rows(now.now, tongue)

    def day(self, van: VanNow) -> PlanLine:
        """One handover of the days ahead."""
        t, plan = self._t, van.plan()
        assert plan is not None
        progress = van.progress(t.now)
        heat = self._words.heat(plan.source)
        if progress is not None and progress.new_hour is not None:
            text = t("plans.next.moved", new=t.by(progress.new_hour))
        elif progress is not None:
            text = t("plans.next.on", ready=t.hour(progress.ready_at))
        elif weak := self._words.post_weak(plan, van):
            text = Markup("{}").format(weak)
        elif plan.fits and plan.on_by is not None:
            text = t("plans.next.on_by", by=t.by(plan.on_by), heat=heat)
        else:
            text = t("plans.next.cannot", heat=heat)
        return PlanLine(
            vehicle=van.vehicle.key,
            head=van.line.name,
            text=text,
            aside=t.hour(plan.at),
            level=shown_level(self._level(van, plan), t),
        )

    def _level(self, van: VanNow, plan: Plan) -> Level:
        """Urgent where it cannot be ready or is late; act where heating goes on within a day."""
        now = self._t.now
        progress = van.progress(now)
        if progress is not None:
            return Level.URGENT if progress.new_hour is not None else Level.ACT
        weak = self._words.post_weak(plan, van)
        if weak or not plan.fits or plan.on_by is None or plan.on_by <= now:
            return Level.URGENT
        return Level.ACT if plan.on_by <= now + SOON else Level.NOTICE

    def later(self) -> Iterator[PlanLine]:
        """Handovers beyond the days that are planned."""
        t = self._t
        for line in self._now.later:
            handover = line.vehicle.handover
            assert handover is not None
            yield PlanLine(vehicle=line.vehicle.key, head=line.name, text=t.hour(handover.at))

    def shared(self) -> Iterator[str]:
        """What collides, and an order in which it does not."""
        board, names, site = self._now.board, self._names, self._now.now.yard.site
        drawing = drawing_at([line.vehicle for line in self._now.now.lines])
        held = held_conflicts(drawing, site, self._t.now)
        yield from (clash_words(self._words, conflict, names) for conflict in held)
        if board is None or not self._now.vans:
            return
        people = {named_alike(van.handover.who): van.handover.who for van in self._now.vans}
        for conflict in board.conflicts:
            yield clash_words(self._words, conflict, names, people.get(conflict.who, ""))
        if board.order is not None:
            yield self._words.texts.plan["order"]
            posts = posts_for(board.order)
            yield from order_words(self._words, board.order, names, posts)
        elif board.conflicts:
            yield str(self._t("plans.order.soon"))

    @property
    def _names(self) -> dict[str, str]:
        """Vehicle -> what it is called; its key where it is not entered any more."""
        board = self._now.board
        known = {line.vehicle.key: line.name for line in self._now.now.lines}
        return {one.vehicle: one.vehicle for one in board.vans} | known if board else known

    def wet(self) -> Iterator[PlanLine]:
        """What goes back to drained, or must be looked at."""
        t, people = self._t, self._now.now.yard.people
        lines = {line.vehicle.key: line for line in self._now.now.lines}
        for one in self._now.wet:
            line = lines[one.vehicle]
            why = why_wet(replace(one, by=named(one.by, people)), self._words)
            text = f"{why[:1].upper()}{why[1:]}. {t.minutes(one.minutes)}."
            if line.is_late:
                text = f"{why[:1].upper()}{why[1:]}. {t('plans.wet.late')}"
            if one.may_wait_for is not None and not line.is_late:
                waits = self._words.texts.wet_again["waits"]
                text = f"{text} {waits.format(at=t.plain_hour(one.may_wait_for))}"
            by = line.stop.act_by if line.stop is not None else None
            aside = t("plans.wet.by", by=t.by(by)) if by is not None else ""
            yield PlanLine(vehicle=one.vehicle, head=line.name, text=text, aside=aside)

    def care(self) -> Iterator[PlanLine]:
        """What is in use or heated, stands in a building with water, or is a customer's."""
        for line in self._now.now.lines:
            said = self._care_of(line)
            if said is not None:
                aside = self._leaves(line)
                yield PlanLine(vehicle=line.vehicle.key, head=line.name, text=said, aside=aside)

    def _leaves(self, line: Line) -> Markup:
        """By when it is to be drained: before it leaves its building, sooner where called for."""
        t, under = self._t, as_it_stands(line.vehicle, self._now.now.yard.site).under
        until = under.until if under is not None and under.has_walls else None
        if until is None or until <= t.now or line.standing.work is None or is_kept(line):
            return Markup()
        act_by = line.stop.act_by if line.stop is not None else None
        return t("plans.wet.by", by=t.by(min(until, act_by or until)))

    def _care_of(self, line: Line) -> Markup | None:
        t, standing = self._t, line.standing
        if is_kept(line):
            return self._kept(line)
        if standing.work is None:
            return None
        if line.vehicle.has_walls:
            return t("plans.care.indoors", minutes=t.minutes(standing.work.minutes))
        people, site = self._now.now.yard.people, self._now.now.yard.site
        keeper = people.get(line.vehicle.keeper)
        is_theirs = keeper is not None and keeper.duty is Duty.OWNER
        if site.kind is SiteKind.FORECOURT and keeper is not None and is_theirs:
            return t("plans.care.customer", who=keeper.name)
        return None

    def _kept(self, line: Line) -> Markup:
        """How heat is kept on in it, or that it is in use; first of all where it is frozen."""
        t, hold = self._t, line.vehicle.hold
        parts = [t("plans.wet.late")] if line.is_late else []
        if hold is not None:
            parts.append(t("stop.held", source=hold.source, setting=t.degrees(hold.setting_c)))
        elif line.standing.passing in (Passing.IN_USE, Passing.HELD):
            parts.append(self._rows.passing(line))
        topics = ("hold", "in-use") if hold is not None else ("in-use",)
        links = [
            Markup('<a href="/v/{}/advice/{}">{}</a>').format(
                quote(line.vehicle.key, safe=""), topic, t(f"occasion.to.{topic}")
            )
            for topic in topics
        ]
        onward = Markup('<span class="onward">{}</span>').format(Markup(" ").join(links))
        return Markup(" ").join([*parts, onward])

    def posts(self) -> Iterator[PlanLine]:
        """Who is at which post."""
        t, now = self._t, self._now
        order = now.board.order if now.board is not None else None
        given = posts_for(order) if order is not None else {}
        plans = {van.vehicle.key: van.plan() for van in now.vans}
        for post in now.now.yard.site.posts:
            said = []
            for line in now.now.lines:
                plan, key = plans.get(line.vehicle.key), line.vehicle.key
                draws = plan is not None and plan.draws_w > 0.0 and plan.on_by is not None
                if given.get(key, line.vehicle.post) != post.name:
                    continue
                if draws and plan is not None and plan.on_by is not None:
                    said.append(t("plans.posts.on_by", bay=line.name, on=t.hour(plan.on_by)))
                else:
                    said.append(t("plans.posts.stands", bay=line.name))
            text = Markup(", ").join(said) if said else t("plans.posts.free")
            head = f"{post.name} · {t.speech.number(post.amps)}\u00a0A"
            yield PlanLine(vehicle="", head=head, text=text)
