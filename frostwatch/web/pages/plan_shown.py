"""The handover that the page opens with: its tag, its sources, its stairs, the ways out."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.advice.handover import Plan
from frostwatch.advice.plan_words import PlanWords
from frostwatch.advice.ways_out import WaysOut
from frostwatch.records.entries import NOBODY_SAID
from frostwatch.web.pages.hour_form import mark_of
from frostwatch.web.pages.hour_view import said_change
from frostwatch.web.pages.plans_now import PlansNow, VanNow, way_key
from frostwatch.web.pages.rows import Rows, about, named
from frostwatch.web.pages.stairs_view import Stairs, stairs_of
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
class Way:
    """One way out.

    Attributes:
        text: what to do instead.
        at: the later hour, as it stands in an address; "" for none.
        heat: key of the source that does it; "" for none.
    """

    text: str
    at: str = ""
    heat: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTag:
    """What hangs on the steering wheel."""

    head: Markup
    word: Markup
    record: Markup
    do_not: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPlan:
    """The handover that the page opens with.

    Attributes:
        vehicle: its key.
        bay: what it is called.
        kicker: hour, vehicle.
        at: the hour.
        tag: what hangs on its wheel.
        entered: who entered or moved it last; None where that is not known.
        was: mark of the handover as it is entered.
        facts: what the hours rest on, one sentence each.
        ways: what to do instead, where it does not fit.
        sources: every source with its hour.
        is_chosen: a source was chosen for it.
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
    tag: PlanTag
    entered: Markup | None
    was: str
    facts: tuple[str, ...]
    ways: tuple[Way, ...]
    sources: tuple[Source, ...]
    is_chosen: bool
    heat: str
    stairs: Stairs | None
    on: bool
    wait: str
    has_gate: bool
    mind: tuple[str, ...]


class PlanShown:
    """Puts one handover into words.

    Args:
        now: the handovers of the site.
        tongue: language, zone and moment.
        words: plans in the same language.
    """

    def __init__(self, now: PlansNow, tongue: Tongue, words: PlanWords) -> None:
        self._now, self._t, self._words = now, tongue, words
        self._rows = Rows(now.now, tongue)

    def plan(self, van: VanNow, plan: Plan) -> ShownPlan:
        """All that the page shows of it."""
        t, words = self._t, self._words
        stairs = stairs_of(van, plan, words, t)
        progress = van.progress(t.now)
        out = van.plans.out if van.plans is not None and progress is None else None
        waits = progress.waits_for if progress is not None else None
        now_at = stairs.current if stairs is not None else None
        return ShownPlan(
            vehicle=van.vehicle.key,
            bay=van.line.name,
            kicker=self._kicker(van, plan),
            at=t.hour(plan.at),
            tag=self._tag(van, plan),
            entered=self._entered(van),
            was=mark_of(van.vehicle.handover),
            facts=tuple(words.facts(plan, van))[2 if progress is None and plan.fits else 0 :],
            ways=tuple(self._ways(plan, out)) if out is not None and not plan.fits else (),
            sources=tuple(self._sources(van, plan)) if progress is None else (),
            is_chosen=van.handover.heat is not None or van.handover.indoors_from is not None,
            heat=way_key(plan),
            stairs=stairs,
            on=progress is not None,
            wait=waits.name.lower() if waits is not None else "",
            has_gate=now_at is not None and bool(now_at.gate),
            mind=words.hazards(plan),
        )

    def _kicker(self, van: VanNow, plan: Plan) -> Markup:
        t = self._t
        said = about(van.vehicle, t)
        if van.handover.taker:
            said = f"{said} · {t('plans.taker', taker=van.handover.taker).unescape()}"
        return t("plans.kicker.van", at=t.hour(plan.at), bay=van.line.name, about=said)

    def _tag(self, van: VanNow, plan: Plan) -> PlanTag:
        t, standing, vehicle = self._t, van.line.standing, van.vehicle
        dry = standing.work is None and not van.line.broken
        word = "unknown" if standing.unknown else "dry" if dry else "wet"
        head = about(vehicle, t)
        if vehicle.post:
            head = f"{t('plans.tag.post', post=vehicle.post).unescape()} · {head}"
        record = standing.record
        said = t("tag.never")
        if record is not None:
            who, at = self._rows.who(record.by), t.hour(record.at)
            key = "tag.nobody" if record.by == NOBODY_SAID else "tag.record"
            said = t(key, evidence=t.words.evidence[record.evidence], who=who, at=at)
        return PlanTag(
            head=t("tag.head", bay=van.line.name, about=head),
            word=t(f"plans.tag.{word}", at=t.hour(plan.at)),
            record=said,
            do_not=t("plans.tag.do_not"),
        )

    def _entered(self, van: VanNow) -> Markup | None:
        change = self._now.changes.get(van.vehicle.key)
        if change is None or change.after is None:
            return None
        return said_change(change, named(change.by, self._now.now.yard.people), self._t)

    def _sources(self, van: VanNow, chosen: Plan) -> Iterator[Source]:
        t, plans = self._t, van.plans
        for plan in plans.plans if plans is not None else ():
            fits = plan.fits and plan.on_by is not None
            yield Source(
                key=way_key(plan),
                heat=self._heat(plan),
                note=self._note(van, plan),
                on_by=t.hour(plan.on_by) if fits and plan.on_by else t("plans.cannot"),
                chosen=way_key(plan) == way_key(chosen),
            )

    def _heat(self, plan: Plan) -> str:
        heat = self._words.heat(plan.source)
        if plan.indoors_from is None:
            return heat
        return str(self._t("plans.indoors", heat=heat).unescape())

    def _note(self, van: VanNow, plan: Plan) -> str:
        """Whether it was chosen or is proposed, by when it must come in, or why it cannot be."""
        t, said = self._t, []
        assert van.plans is not None
        if plan == van.plans.proposed and (plan.fits or van.handover.heat is not None):
            key = "plans.chosen" if van.handover.heat is not None else "plans.proposed"
            said.append(str(t(key)))
        if plan.indoors_from is not None:
            since = t.plain_hour(plan.indoors_from)
            said.append(str(t("plans.indoors.from", since=since).unescape()))
        why = self._words.why_not(plan)
        return ", ".join(said) + (f"{'. ' if said else ''}{why}" if why else "")

    def _ways(self, plan: Plan, out: WaysOut) -> Iterator[Way]:
        words, text = self._words, self._words.texts.plan
        said = iter(words.ways(plan, out))
        if out.indoors is not None:
            yield Way(text=next(said))
        if out.other is not None and out.other.on_by is not None:
            yield Way(text=next(said), heat=way_key(out.other))
        if out.power_w is not None and out.power_on_by is not None:
            yield Way(text=next(said))
        if out.later is not None:
            yield Way(
                text=text["way later"].format(later=words.hour(out.later)),
                at=out.later.isoformat(timespec="minutes"),
            )
        if out.dry:
            yield Way(text=text["way dry"])
