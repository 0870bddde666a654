"""The page of handovers in words."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from urllib.parse import quote

from markupsafe import Markup

from frostwatch.advice.handover import Plan
from frostwatch.advice.plan_words import PlanWords, words_for
from frostwatch.service.handovers import AHEAD
from frostwatch.web.pages.hour_view import said_change
from frostwatch.web.pages.lines_now import UNREAD
from frostwatch.web.pages.notes import Note, notes_of
from frostwatch.web.pages.plan_lists import PlanLine, PlanLists
from frostwatch.web.pages.plan_shown import PlanShown, ShownPlan
from frostwatch.web.pages.plans_now import PlansNow, VanNow
from frostwatch.web.pages.rows import named
from frostwatch.web.words import Tongue

EARLY = timedelta(hours=1)
"""Heating that went on so long before its planned hour is told apart from the plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlansView:
    """What the page shows.

    Attributes:
        kicker: day and hour, or the handover.
        headline: heating on by when.
        say: what that rests on, in one or two sentences.
        notes: what is to be minded.
        plan: the handover the page opens with; None for none.
        days: every handover of the next days.
        later: handovers beyond them.
        shared: what collides, and an order in which it does not.
        wet: what goes back to drained.
        care: what is in use, or heated.
        posts: who is at which post.
        made: when the plans were made; None where there are none.
    """

    kicker: Markup
    headline: Markup
    say: Markup
    notes: tuple[Note, ...]
    plan: ShownPlan | None
    days: tuple[PlanLine, ...]
    later: tuple[PlanLine, ...]
    shared: tuple[str, ...]
    wet: tuple[PlanLine, ...]
    care: tuple[PlanLine, ...]
    posts: tuple[PlanLine, ...]
    made: Markup | None


def plans_view(now: PlansNow, tongue: Tongue, *, van: str = "", heat: str = "") -> PlansView:
    """Put the handovers of a site into words.

    Args:
        now: the handovers.
        tongue: language, zone and moment.
        van: key of the vehicle to open with; the first if "".
        heat: key of the source to show; the one proposed if "".
    """
    return _Words(now, tongue).view(now.van(van), heat, asked=van)


class _Words:
    def __init__(self, now: PlansNow, tongue: Tongue) -> None:
        self._now = now
        self._t = tongue
        self._words: PlanWords = words_for(tongue.language, now.now.yard.site, tongue.now)
        self._shown = PlanShown(now, tongue, self._words)
        self._lists = PlanLists(now, tongue, self._words)

    def view(self, van: VanNow | None, heat: str, *, asked: str = "") -> PlansView:
        """The whole page; ``asked`` is the vehicle somebody came for."""
        t, now, board = self._t, self._now, self._now.board
        plan = van.plan(heat) if van is not None else None
        shown = self._shown.plan(van, plan) if van is not None and plan is not None else None
        none = t("plans.none.say", at=t.hour(t.now))
        made = None
        if board is not None and board.vans:
            made = t("plans.credit", at=t.hour(board.at), issue=t.hour(board.issued_at))
        return PlansView(
            kicker=shown.kicker
            if shown
            else t("plans.kicker", day=t.day(t.now), at=t.clock(t.now)),
            headline=self._headline(van, plan)
            if van and plan
            else t("plans.headline.none", until=t.hour(t.now + AHEAD)),
            say=self._say(van, plan) if van and plan else none,
            notes=(
                *self._changed(van, asked),
                *self._frozen(van),
                *self._at_work(van, plan),
                *self._notes(),
            ),
            plan=shown,
            days=tuple(self._lists.day(one) for one in now.vans),
            later=tuple(self._lists.later()),
            shared=tuple(self._lists.shared()),
            wet=tuple(self._lists.wet()),
            care=tuple(self._lists.care()),
            posts=tuple(self._lists.posts()),
            made=made,
        )

    def _headline(self, van: VanNow, plan: Plan) -> Markup:
        t, bay = self._t, van.line.name
        progress = van.progress(t.now)
        if progress is not None:
            if progress.new_hour is not None:
                by = t.by(progress.new_hour)
                return t("plans.headline.moved", bay=bay, by=by, at=t.hour(plan.at))
            ready = t.clock(progress.ready_at)
            return t("plans.headline.on", bay=bay, ready=ready, by=t.by(plan.at))
        if self._now.now.sky in UNREAD:
            return t("plans.headline.old", bay=bay, day=t.hour(plan.at))
        if plan.on_by is None or not plan.fits:
            return t("plans.headline.cannot", bay=bay, by=t.by(plan.at))
        key = "plans.headline" if plan.on_by > t.now else "plans.headline.now"
        return t(key, bay=bay, by=t.by(plan.on_by))

    def _say(self, van: VanNow, plan: Plan) -> Markup:
        words = self._words
        progress = van.progress(self._t.now)
        if progress is not None:
            return _joined(list(words.progress(plan, progress, van, van.line.name)))
        if not plan.fits:
            late = words.texts.plan["head late"].format(
                van=van.line.name, at=words.hour(plan.at), heat=words.heat(plan.source)
            )
            return _joined([late, words.why_not(plan)])
        return _joined(list(words.facts(plan, van))[:2])

    def _changed(self, van: VanNow | None, asked: str) -> Iterator[Note]:
        """What became of the vehicle somebody came for, where the page opens with another."""
        change = self._now.changes.get(asked)
        if change is None or (van is not None and van.vehicle.key == asked):
            return
        t, lines = self._t, {line.vehicle.key: line for line in self._now.now.lines}
        if asked not in lines:
            return
        said = said_change(change, named(change.by, self._now.now.yard.people), t)
        key = "plans.not_shown"
        if asked in {line.vehicle.key for line in self._now.later}:
            key = "plans.not_shown.later"
        at = t.hour(change.after.at) if change.after is not None else ""
        yield Note(kind="", text=t(key, bay=lines[asked].name, said=said, at=at))

    def _frozen(self, van: VanNow | None) -> Iterator[Note]:
        """A plan for what is to be left alone says that first."""
        if van is not None and van.line.is_late:
            link = f"/v/{quote(van.vehicle.key, safe='')}/advice/thaw"
            text = self._t("plans.frozen", bay=van.line.name)
            more = Markup('<a href="{}">{}</a>').format(link, self._t("occasion.to.thaw"))
            yield Note(kind="late", text=Markup(" ").join([text, more]), urgent=True)

    def _at_work(self, van: VanNow | None, plan: Plan | None) -> Iterator[Note]:
        """A post that gives too little, and heating that went on long before its hour."""
        if van is None or plan is None:
            return
        if weak := self._words.post_weak(plan, van):
            yield Note(kind="by", text=Markup("{}").format(weak), urgent=True)
        way = van.under_way
        planned = way.plan.on_by if way is not None else None
        if way is not None and planned is not None and planned - way.on_at >= EARLY:
            text = self._t("plans.early", on=self._t.hour(way.on_at), by=self._t.hour(planned))
            yield Note(kind="", text=text)

    def _notes(self) -> Iterator[Note]:
        t, now, board = self._t, self._now, self._now.board
        sky = now.now.sky
        if sky in UNREAD and board is not None and now.vans:
            text = t("plans.no_sky", made=t.hour(board.at), issue=t.hour(board.issued_at))
            yield Note(kind="by", text=text, urgent=True)
        elif board is not None and now.vans and board.colder_k > 0.0:
            colder = f"{t.speech.number(board.colder_k)}\u00a0K"
            yield Note(kind="", text=t("plans.older", colder=colder))
        yield from (note for note in notes_of(now.now, t) if note.kind != "two")
        if now.waiting:
            yield Note(kind="quiet", text=t("plans.soon"))
        for line, why in now.broken:
            yield Note(kind="", text=t("plans.broken", bay=line.name, why=t.fault(why)))


def _joined(sentences: list[str]) -> Markup:
    return Markup(" ").join(sentences)
