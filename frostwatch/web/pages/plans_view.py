"""The page of handovers in words."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from markupsafe import Markup

from frostwatch.advice.board import Passing
from frostwatch.advice.handover import Plan
from frostwatch.advice.occasion_words import why_wet
from frostwatch.advice.plan_words import PlanWords, words_for
from frostwatch.advice.shared_order import posts_for
from frostwatch.web.pages.notes import Note, notes_of
from frostwatch.web.pages.plans_now import PlansNow, VanNow, heat_key
from frostwatch.web.pages.rows import Rows, about, named
from frostwatch.web.pages.stairs_view import Stairs, stairs_of
from frostwatch.web.pages.yard_now import Sky
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source with its hour."""

    key: str
    heat: str
    note: str
    on_by: Markup
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLine:
    """One line of a list."""

    vehicle: str
    head: Markup | str
    text: Markup | str
    aside: Markup | str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPlan:
    """The handover that the page opens with.

    Attributes:
        vehicle: its key.
        bay: what it is called.
        kicker: hour, vehicle.
        at: the hour.
        facts: what the hours rest on, one sentence each.
        ways: what to do instead, where it does not fit.
        sources: every source with its hour.
        heat: key of the one shown.
        stairs: its steps; None where no hour does.
        on: somebody is at work on it.
        wait: the step that is waited for, in one word of a form; "" where all are passed.
        has_gate: that step ends at a gate.
        mind: every caution of the plan once.
    """

    vehicle: str
    bay: str
    kicker: Markup
    at: Markup
    facts: tuple[str, ...]
    ways: tuple[str, ...]
    sources: tuple[Source, ...]
    heat: str
    stairs: Stairs | None
    on: bool
    wait: str
    has_gate: bool
    mind: tuple[str, ...]


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
    return _Words(now, tongue).view(now.van(van), heat)


class _Words:
    def __init__(self, now: PlansNow, tongue: Tongue) -> None:
        self._now = now
        self._t = tongue
        self._words: PlanWords = words_for(tongue.language, now.now.yard.site, tongue.now)
        self._rows = Rows(now.now, tongue)

    def view(self, van: VanNow | None, heat: str) -> PlansView:
        """The whole page."""
        t, now, board = self._t, self._now, self._now.board
        plan = van.plan(heat) if van is not None else None
        shown = self._shown(van, plan) if van is not None and plan is not None else None
        none = t("plans.none.say", at=t.hour(t.now))
        made = None
        if board is not None and board.vans:
            made = t("plans.credit", at=t.hour(board.at), issue=t.hour(board.issued_at))
        return PlansView(
            kicker=shown.kicker
            if shown
            else t("plans.kicker", day=t.day(t.now), at=t.clock(t.now)),
            headline=self._headline(van, plan) if van and plan else t("plans.headline.none"),
            say=self._say(van, plan) if van and plan else none,
            notes=tuple(self._notes()),
            plan=shown,
            days=tuple(self._day(one) for one in now.vans),
            shared=tuple(self._shared()),
            wet=tuple(self._wet()),
            care=tuple(self._care()),
            posts=tuple(self._posts()),
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
        if self._now.now.sky in (Sky.NONE, Sky.NOT_READ):
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

    def _notes(self) -> Iterator[Note]:
        t, now, board = self._t, self._now, self._now.board
        sky = now.now.sky
        if sky in (Sky.NONE, Sky.NOT_READ) and board is not None and now.vans:
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

    def _shown(self, van: VanNow, plan: Plan) -> ShownPlan:
        t, words = self._t, self._words
        stairs = stairs_of(van, plan, words, t)
        progress = van.progress(t.now)
        out = van.plans.out if van.plans is not None and progress is None else None
        waits = progress.waits_for if progress is not None else None
        return ShownPlan(
            vehicle=van.vehicle.key,
            bay=van.line.name,
            kicker=t(
                "plans.kicker.van",
                at=t.hour(plan.at),
                bay=van.line.name,
                about=about(van.vehicle, t),
            ),
            at=t.hour(plan.at),
            facts=tuple(words.facts(plan, van))[2 if progress is None and plan.fits else 0 :],
            ways=tuple(words.ways(plan, out)) if out is not None and not plan.fits else (),
            sources=tuple(self._sources(van, plan)) if progress is None else (),
            heat=heat_key(plan.source),
            stairs=stairs,
            on=progress is not None,
            wait=waits.name.lower() if waits is not None else "",
            has_gate=stairs is not None
            and stairs.current is not None
            and bool(stairs.current.gate),
            mind=words.hazards(plan),
        )

    def _sources(self, van: VanNow, chosen: Plan) -> Iterator[Source]:
        t, words = self._t, self._words
        for plan in van.plans.plans if van.plans is not None else ():
            proposed = van.plans is not None and plan == van.plans.proposed and plan.fits
            fits = plan.fits and plan.on_by is not None
            yield Source(
                key=heat_key(plan.source),
                heat=words.heat(plan.source),
                note=str(t("plans.proposed")) if proposed else words.why_not(plan),
                on_by=t.hour(plan.on_by) if fits and plan.on_by else t("plans.cannot"),
                chosen=plan.source == chosen.source,
            )

    def _day(self, van: VanNow) -> PlanLine:
        t, plan = self._t, van.plan()
        assert plan is not None
        progress = van.progress(t.now)
        heat = self._words.heat(plan.source)
        if progress is not None and progress.new_hour is not None:
            text = t("plans.next.moved", new=t.by(progress.new_hour))
        elif progress is not None:
            text = t("plans.next.on", ready=t.hour(progress.ready_at))
        elif plan.fits and plan.on_by is not None:
            text = t("plans.next.on_by", by=t.by(plan.on_by), heat=heat)
        else:
            text = t("plans.next.cannot", heat=heat)
        return PlanLine(
            vehicle=van.vehicle.key, head=van.line.name, text=text, aside=t.hour(plan.at)
        )

    def _shared(self) -> Iterator[str]:
        board = self._now.board
        if board is None or not self._now.vans:
            return
        names = self._names
        yield from (self._words.clash(conflict, names) for conflict in board.conflicts)
        if board.order is not None:
            yield self._words.texts.plan["order"]
            posts = posts_for(board.order, self._now.now.yard.site)
            yield from self._words.order(board.order, names, posts)

    @property
    def _names(self) -> dict[str, str]:
        """Vehicle -> what it is called; its key where it is not entered any more."""
        board = self._now.board
        known = {line.vehicle.key: line.name for line in self._now.now.lines}
        return {one.vehicle: one.vehicle for one in board.vans} | known if board else known

    def _wet(self) -> Iterator[PlanLine]:
        t, people = self._t, self._now.now.yard.people
        lines = {line.vehicle.key: line for line in self._now.now.lines}
        for one in self._now.wet:
            line = lines[one.vehicle]
            why = why_wet(replace(one, by=named(one.by, people)), self._words)
            text = f"{why[:1].upper()}{why[1:]}. {t.minutes(one.minutes)}."
            if one.may_wait_for is not None:
                waits = self._words.texts.wet_again["waits"]
                text = f"{text} {waits.format(at=t.plain_hour(one.may_wait_for))}"
            by = line.stop.act_by if line.stop is not None else None
            aside = t("plans.wet.by", by=t.by(by)) if by is not None else ""
            yield PlanLine(vehicle=one.vehicle, head=line.name, text=text, aside=aside)

    def _care(self) -> Iterator[PlanLine]:
        for line in self._now.now.lines:
            if line.standing.passing in (Passing.IN_USE, Passing.HELD):
                text = self._rows.passing(line)
                yield PlanLine(vehicle=line.vehicle.key, head=line.name, text=text)

    def _posts(self) -> Iterator[PlanLine]:
        t, now = self._t, self._now
        order = now.board.order if now.board is not None else None
        given = posts_for(order, now.now.yard.site) if order is not None else {}
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


def _joined(sentences: list[str]) -> Markup:
    return Markup(" ").join(sentences)
