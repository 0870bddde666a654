"""Advice for an occasion in words: heat kept on, in use, a trip, the road, a thaw, wet again."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from types import MappingProxyType

from frostwatch.advice.going import Going
from frostwatch.advice.hazards import OF_DRAINING, Hazard
from frostwatch.advice.holding import PIPES, HoldView
from frostwatch.advice.in_use import InUse, Waste
from frostwatch.advice.plan_words import PlanWords
from frostwatch.advice.rewetted import WetAgain
from frostwatch.advice.thaw import Look, MayFill, Want
from frostwatch.advice.transport import Transport
from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.entries import NOBODY_SAID

HOLD_HAZARDS: Mapping[Fuel | None, tuple[Hazard, ...]] = {
    Fuel.GAS: (Hazard.CARBON_MONOXIDE, Hazard.GAS, Hazard.UNATTENDED),
    Fuel.DIESEL: (Hazard.CARBON_MONOXIDE, Hazard.UNATTENDED),
    Fuel.ELECTRIC: (Hazard.ELECTRICITY, Hazard.UNATTENDED),
    None: (Hazard.CARBON_MONOXIDE, Hazard.ELECTRICITY, Hazard.UNATTENDED),
}
LOOK_HAZARDS: Mapping[Look, tuple[Hazard, ...]] = {
    Look.LEAVE: (Hazard.NO_FLAME,),
    Look.WARM: (Hazard.CARBON_MONOXIDE, Hazard.GAS, Hazard.ELECTRICITY),
    Look.DRAIN: OF_DRAINING,
    Look.HEATER: (Hazard.HYDRONIC,),
    Look.OUTSIDE: (Hazard.UNDERNEATH,),
}
"""Cautions beside the steps of a thaw."""
NOBODY: Mapping[str, str] = MappingProxyType({})


def hold_lines(
    view: HoldView,
    layout: Layout,
    name: str,
    words: PlanWords,
    waste_shut: bool,
    *,
    container: bool = True,
) -> Iterator[str]:
    """Heat kept on: need and supply, the clock after a failure, cold spots, advice."""
    text, say = words.texts.hold, words.speech
    yield text["head"].format(
        van=name, source=view.hold.source, setting=say.number(view.hold.setting_c)
    )
    kw = [say.number(w / 1000.0, 2) for w in (max(view.need_likely_w), max(view.need_cold_w))]
    yield text["need" if view.power_margin >= 0.0 else "need short"].format(
        held=say.degrees(view.holds_c),
        need=kw[0],
        cold=kw[1],
        supply=say.number(view.supply_w / 1000.0, 2),
        margin=say.number(100.0 * view.power_margin),
        lacks=say.number(-100.0 * view.power_margin),
    )
    if view.short_from is not None:
        begun = view.short_from <= say.now
        yield text["short now" if begun else "short"].format(
            **{"from": words.hour(view.short_from)}
        )
    if view.out_at is not None:
        yield text["store"].format(out=words.hour(view.out_at))
    yield from _after_a_stop(view, layout, words)
    if view.cold_spots:
        yield text["spots"].format(parts=words.parts(layout, view.cold_spots))
    yield text["usual spots"]
    if view.propane_only:
        yield words.texts.in_use["gas"]
    if waste_shut:
        yield text["waste" if container else "waste empty"]
    yield from (words.texts.doubts[doubt.value] for doubt in view.doubts)
    if view.frozen:
        yield text["frozen"]
        return
    yield text["drain"] if view.should_drain else f"{text['keep']} {text['daily']}"


def _after_a_stop(view: HoldView, layout: Layout, words: PlanWords) -> Iterator[str]:
    """How long the pipes last without heat; nothing where some of them freeze with it."""
    text, say = words.texts.hold, words.speech
    freezing = {layout.item(key).circuit for key in view.cold_spots}
    if view.pipes_after_h is None or freezing & PIPES:
        return
    cold_h, likely_h = view.pipes_after_h
    if cold_h < 1.0:
        yield text["after soon"]
        return
    both = likely_h is not None and likely_h - cold_h >= 1.0
    yield text["after both" if both else "after"].format(
        cold=say.number(cold_h, 1), likely=say.number(likely_h or 0.0, 1)
    )


def in_use_lines(
    found: InUse, sources: Sequence[HeatSource], name: str, words: PlanWords
) -> Iterator[str]:
    """In use in frost: the waste water first."""
    text, say = words.texts.in_use, words.speech
    if found.frost_from is None:
        yield text["mild"].format(van=name)
        if found.hook_up_from is not None:
            yield text["tank hook-up"].format(**{"from": words.hour(found.hook_up_from)})
        return
    lowest = say.degrees(found.lowest_c)
    begun = found.frost_from <= say.now
    yield text["head now" if begun else "head"].format(
        **{"van": name, "from": words.hour(found.frost_from), "lowest": lowest}
    )
    yield text[found.waste.value].format(least=say.number(found.least_l))
    if found.hook_up_from is not None:
        yield text["tank hook-up"].format(**{"from": words.hour(found.hook_up_from)})
    box = found.container
    if box is not None and found.waste is not Waste.HEATED_SHORT:
        yield text["container"].format(
            holds=say.number(box.holds_l),
            lasts=say.number(box.lasts_h),
            day=say.number(box.a_day_l),
            times=say.number(box.times_a_day),
        )
        if box.empty_by is not None:
            yield text["empty now" if begun else "empty by"].format(by=words.hour(box.empty_by))
    yield text["fresh outside" if found.fresh_outside else "fresh inside"]
    if found.outside_point:
        yield text["outside point"]
    if found.propane_only:
        yield text["gas"]
    fuels = {source.fuel for source in sources}
    yield text["flue"] if any(fuel.burns for fuel in fuels) else text["hook-up"]


def going_lines(
    found: Going, at: str, name: str, words: PlanWords, names: Mapping[str, str] = NOBODY
) -> Iterator[str]:
    """Before a trip: what is put back; ``names`` are those of people, by their keys."""
    text = words.texts.going
    yield text["head" if found.put_back else "nothing"].format(van=name, at=at)
    yield from (f"- {what}" for what in put_back_words(found, words, names))
    if found.unknown:
        yield text["unknown"]
    if found.disinfect:
        yield text["disinfect"]
    yield text["after"]


def put_back_words(
    found: Going, words: PlanWords, names: Mapping[str, str] = NOBODY
) -> Iterator[str]:
    """Everything that is put back, with who recorded it and when."""
    text = words.texts.going
    for one in found.put_back:
        what = words.texts.put_back[one.undo.value]
        if one.since is not None and one.by:
            date = words.speech.date(one.since.astimezone(words.speech.zone).date())
            what = text["told"].format(what=what, date=date, by=names.get(one.by, one.by))
        yield what


def transport_lines(found: Transport, name: str, words: PlanWords) -> Iterator[str]:
    """Before a move."""
    text = words.texts.transport
    if found.ready:
        yield text["ready"].format(van=name)
    else:
        yield text["wet"].format(van=name, parts=circuits_in_words(found.wet, words))
        if found.frost:
            yield text["frost"].format(lowest=words.speech.degrees(found.lowest_c))
        if found.faster > 1.05:
            yield text["faster"].format(factor=words.speech.number(found.faster, 1))
    yield from (text[key] for key in ("drained", "hot", "arrival"))


def thaw_lines(gate: MayFill, looks: Sequence[Look], name: str, words: PlanWords) -> Iterator[str]:
    """After a frost: may it be filled, and the order of looking with its cautions."""
    text = words.texts.thaw
    yield text["may" if gate.now else "not yet"].format(van=name)
    yield from fill_lines(gate, words.texts.wants, text, words.hour)
    for number, look in enumerate(looks, start=1):
        yield f"{number}. {words.texts.looks[look.value]}."
        yield from (f"   ! {words.hazard(hazard)}" for hazard in LOOK_HAZARDS.get(look, ()))


def fill_lines(
    gate: MayFill,
    wants: Mapping[str, str],
    text: Mapping[str, str],
    hour: Callable[[datetime], str],
) -> Iterator[str]:
    """Why it may not be filled yet, from when, and what comes after that."""
    yield from (wants[want.value] for want in gate.wants)
    if set(gate.wants) - {Want.LOOK}:
        yield text["from"].format(**{"from": hour(gate.from_at)}) if gate.from_at else text["never"]
    if gate.again_at is not None:
        yield text["again"].format(again=hour(gate.again_at))
        if gate.lasting_from is not None:
            yield text["lasting"].format(**{"from": hour(gate.lasting_from)})
        else:
            yield text["no lasting"]


def wet_again_lines(
    found: Sequence[WetAgain], names: Mapping[str, str], words: PlanWords
) -> Iterator[str]:
    """The evening's list."""
    text = words.texts.wet_again
    if not found:
        yield text["none"]
        return
    yield text["head"]
    for one in found:
        line = text["line"].format(
            van=names[one.vehicle],
            why=why_wet(one, words),
            minutes=words.speech.number(one.minutes),
        )
        if one.may_wait_for is not None:
            line = f"{line} {text['waits'].format(at=words.hour(one.may_wait_for))}"
        yield f"- {line}"


def why_wet(one: WetAgain, words: PlanWords) -> str:
    """Why a vehicle is on the evening's list."""
    text = words.texts.wet_again
    reasons = []
    over = one.at if one.by == NOBODY_SAID and not one.told_only else None
    if (over := one.passed or over) is not None:
        return text["passed"].format(at=words.hour(over))
    if one.by == NOBODY_SAID and one.at is not None:
        reasons.append(text["over"].format(at=words.hour(one.at)))
    elif one.event and one.at is not None:
        event = words.texts.events.get(one.event.casefold(), one.event)
        reasons.append(text["event"].format(event=event, at=words.hour(one.at), by=one.by))
    if one.told_only:
        reasons.append(text["told only"])
    elif one.unknown:
        reasons.append(text["unknown"])
    return "; ".join(reasons) or text["wet"]


def circuits_in_words(circuits: Sequence[Circuit], words: PlanWords) -> str:
    """Circuits by their names."""
    return ", ".join(words.speech.words.parts[circuit] for circuit in dict.fromkeys(circuits))
