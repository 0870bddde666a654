"""A handover plan in words, for pages, print and the command line; any language."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol

from frostwatch.advice.handover import Plan, Trouble
from frostwatch.advice.handover_steps import PlanStep
from frostwatch.advice.hazards import Hazard, each_once, hazards_of
from frostwatch.advice.heat_sources import is_allowed
from frostwatch.advice.holding import Doubt
from frostwatch.advice.jobs import is_open
from frostwatch.advice.overrun import Progress
from frostwatch.advice.step_words import (
    what_is_done,
    what_it_uses,
    what_must_be_so,
)
from frostwatch.advice.ways_out import WaysOut
from frostwatch.fleet.heat import Handover, HeatSource
from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.messages.wording import CATALOGUES
from frostwatch.messages.wording.draft import Form
from frostwatch.messages.wording.plans import PLANS, PlanTexts
from frostwatch.messages.wording.say import Speech
from frostwatch.records.standing_water import CircuitWater

TROUBLES = {Trouble.NEVER: "never", Trouble.NO_TIME: "no time", Trouble.BEYOND: "beyond"}


def name_of(vehicle: Vehicle) -> str:
    """What people call a vehicle."""
    return vehicle.name or vehicle.bay or vehicle.key


class Subject(Protocol):
    """What is said of a vehicle beside its plan; a ``Case`` is one."""

    @property
    def site(self) -> Site:
        """Where it stands."""
        ...

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle."""
        ...

    @property
    def layout(self) -> Layout:
        """Its layout."""
        ...

    @property
    def water(self) -> tuple[CircuitWater, ...]:
        """What is recorded about its water."""
        ...

    @property
    def handover(self) -> Handover:
        """The hour, and how much water goes in."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One step in words.

    Attributes:
        starts: its hour.
        what: what is done.
        gate: what must be so before the next, "" for nothing; with the hour it is likely.
        hazards: cautions that belong to it, in words.
    """

    starts: str
    what: str
    gate: str
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWords:
    """Writes plans in one language for one place.

    Attributes:
        texts: words of the language.
        speech: how hours and numbers are written.
    """

    texts: PlanTexts
    speech: Speech

    def heat(self, source: HeatSource) -> str:
        """A source with its power: gas 6 kW."""
        return self.speech.heat(source.fuel.value, source.power_w)

    def hour(self, moment: datetime) -> str:
        """Day and time."""
        return self.speech.hour(moment)

    def clock(self, moment: datetime) -> str:
        """Time of day alone, for lists within a day."""
        return self.speech.clock(moment.astimezone(self.speech.zone))

    def head(self, plan: Plan, name: str) -> str:
        """Heating on by when, or that it does not fit."""
        if plan.on_by is None or not plan.fits:
            return self.texts.plan["head late"].format(
                van=name, at=self.hour(plan.at), heat=self.heat(plan.source)
            )
        return self.texts.plan["head"].format(
            van=name, on=self.hour(plan.on_by), at=self.hour(plan.at)
        )

    def why_not(self, plan: Plan) -> str:
        """What stands in the way; "" where nothing does."""
        return self.texts.plan[TROUBLES[plan.trouble]] if plan.trouble else ""

    def facts(self, plan: Plan, case: Subject) -> Iterator[str]:
        """What the plan rests on, one sentence each."""
        text, say = self.texts.plan, self.speech
        if plan.soak_c is None or plan.on_by is None or plan.cabin_c is None:
            return
        yield text["soak"].format(
            soak=say.degrees(plan.soak_c[0]),
            cold=say.degrees(plan.soak_c[1]),
            heat=self.heat(plan.source),
        )
        if plan.indoors_from is not None:
            yield text["indoors"].format(since=self.hour(plan.indoors_from))
            yield text["driven out" if plan.source.fuel.burns else "stays in"]
        who = case.handover.who
        yield text["with who"].format(who=who) if who else text["present"]
        if plan.ready_likely is not None:
            yield text["likely"].format(ready=self.hour(plan.ready_likely))
        if plan.valve_from is not None and plan.valve_to is not None:
            yield text["valve between"].format(
                first=self.clock(plan.valve_from), last=self.clock(plan.valve_to)
            )
        yield text["inside"].format(cabin=say.degrees(plan.cabin_c[0]))
        yield what_it_uses(self.texts, plan.water_kwh).format(
            kwh=say.number(plan.heat_kwh, 1),
            amount=self.texts.amounts[plan.source.fuel.value].format(
                n=say.number(plan.fuel_amount, 1)
            ),
        )
        yield from self._mind(plan, case)

    def _mind(self, plan: Plan, case: Subject) -> Iterator[str]:
        text = self.texts.plan
        if is_open(case.water):
            yield text["wet now"]
        if weak := self.post_weak(plan, case):
            yield weak
        if plan.begins is not None and before_hours(plan.begins, case.site):
            yield text["before hours"].format(begins=self.hour(plan.begins))
        if plan.source.fuel.burns and case.vehicle.has_walls:
            yield self.texts.doubts[Doubt.BURNS_INDOORS.value]
        elif not is_allowed(plan.source, case.site):
            yield text["not allowed"]
        if plan.cold_spots:
            parts = self.parts(case.layout, plan.cold_spots)
            yield text["cold spots"].format(parts=parts)
            yield text["out again"].format(at=self.hour(plan.at))

    def post_weak(self, plan: Plan, case: Subject) -> str:
        """That the post it stands at gives less than it draws; "" where it gives enough."""
        post = next((p for p in case.site.posts if p.name == case.vehicle.post), None)
        if post is None or plan.draws_w <= post.power_w:
            return ""
        have, need = (
            self.speech.number(watts / 1000.0, 1) for watts in (post.power_w, plan.draws_w)
        )
        return self.texts.plan["post weak"].format(post=post.name, have=have, need=need)

    def parts(self, layout: Layout, keys: Sequence[str]) -> str:
        """Items by the names of their circuits, each once."""
        circuits = dict.fromkeys(layout.item(key).circuit for key in keys)
        return ", ".join(self.speech.words.parts[circuit] for circuit in circuits)

    def progress(self, plan: Plan, progress: Progress, case: Subject, name: str) -> Iterator[str]:
        """How a plan under way goes on: on time or the new hour, and what is waited for."""
        assert plan.on_by is not None
        text = self.texts.plan
        hours = {"van": name, "on": self.hour(plan.on_by), "at": self.hour(plan.at)}
        if progress.new_hour is None:
            yield text["under way"].format(ready=self.hour(progress.ready_at), **hours)
        else:
            yield text["new hour"].format(new=self.hour(progress.new_hour), **hours)
        moved = replace(plan, steps=progress.steps)
        waiting = False
        for step, line in zip(moved.steps, self.steps(moved, case), strict=True):
            waiting = waiting or step.step is progress.waits_for
            if waiting and line.gate:
                yield text["waits"].format(what=line.what, gate=line.gate)
                return

    def steps(self, plan: Plan, case: Subject) -> Iterator[StepLine]:
        """The steps with their gates and cautions."""
        for step in plan.steps:
            hazards = hazards_of(step.step, plan.source)
            yield StepLine(
                starts=self.clock(step.starts),
                what=what_is_done(self.texts, step.step, case.layout).format(
                    litres=self.speech.number(case.handover.fill_l)
                ),
                gate=self._gate(step, case.layout),
                hazards=tuple(self.hazard(hazard) for hazard in hazards),
            )

    def _gate(self, step: PlanStep, layout: Layout) -> str:
        if step.gate is None:
            return ""
        closes = layout.valve.closable_above_c.value if layout.valve else 0.0
        said = what_must_be_so(self.texts, step.gate, layout).format(
            closes=self.speech.number(closes)
        )
        return f"{said}, {self.clock(step.ends)}"

    def hazard(self, hazard: Hazard) -> str:
        """A caution."""
        return self.texts.hazards[hazard.value]

    def hazards(self, plan: Plan) -> tuple[str, ...]:
        """Every caution of a plan once."""
        found = (h for step in plan.steps for h in hazards_of(step.step, plan.source))
        return tuple(self.hazard(hazard) for hazard in each_once(found))

    def ways(self, plan: Plan, out: WaysOut) -> Iterator[str]:
        """What to do instead."""
        text = self.texts.plan
        indoors = out.indoors
        if indoors is not None and indoors.indoors_from is not None and indoors.on_by is not None:
            yield text["way indoors"].format(
                by=self.hour(indoors.indoors_from),
                heat=self.heat(indoors.source),
                on=self.hour(indoors.on_by),
            )
        if out.other is not None and out.other.on_by is not None:
            yield text["way other"].format(
                heat=self.heat(out.other.source), on=self.hour(out.other.on_by)
            )
        if out.power_w is not None and out.power_on_by is not None:
            stronger = HeatSource(fuel=plan.source.fuel, power_w=out.power_w)
            yield text["way power"].format(heat=self.heat(stronger), on=self.hour(out.power_on_by))
        if out.later is not None:
            yield text["way later"].format(later=self.hour(out.later))
        if out.dry:
            yield text["way dry"]


def words_for(language: Language, site: Site, now: datetime) -> PlanWords:
    """Words in a language for a place."""
    speech = Speech(
        language=language,
        form=Form.LONG,
        zone=site.zone,
        now=now,
        words=CATALOGUES[language].words,
    )
    return PlanWords(texts=PLANS[language], speech=speech)


def before_hours(moment: datetime, site: Site) -> bool:
    """Nobody is at work at the site then; a site without hours has none to be before."""
    if not site.shifts:
        return False
    local = moment.astimezone(site.zone)
    return not any(
        shift.weekday == local.weekday() and shift.opens <= local.time() < shift.closes
        for shift in site.shifts
    )
