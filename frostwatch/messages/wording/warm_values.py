"""What the placeholders are filled with that speak of warming up, holding and living in."""

from frostwatch.messages.wording.draft import Draft
from frostwatch.messages.wording.plans import PLANS
from frostwatch.messages.wording.say import Speech
from frostwatch.messages.wording.values import Cut, Value, condition


def _warm_hour(field: str) -> Value:
    """An hour of a warm-up plan; of the day of heating on by the clock alone."""

    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        warm = draft.facts.warm
        moment = getattr(warm, field) if warm is not None else None
        if warm is None or moment is None:
            return None
        local = moment.astimezone(speech.zone)
        after = warm.on_at is not None and field in ("shut_at", "fill_at", "hot_at")
        if after and warm.on_at and warm.on_at.astimezone(speech.zone).date() == local.date():
            return speech.clock(local)
        return speech.hour(moment)

    return value


def _heat(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    warm = draft.facts.warm
    return speech.heat(warm.fuel, warm.power_w) if warm is not None else None


def _other(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    warm = draft.facts.warm
    if warm is None or not warm.other_fuel:
        return None
    return speech.heat(warm.other_fuel, warm.other_w)


def _has_other_ways(draft: Draft, *fields: str) -> bool:
    """A way out stands before, of those in these fields."""
    warm = draft.facts.warm
    return warm is not None and any(bool(getattr(warm, field)) for field in fields)


def _spare(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    warm = draft.facts.warm
    return speech.minutes(warm.spare_min) if warm is not None and warm.on_at else None


def _soak(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    warm = draft.facts.warm
    return speech.degrees(warm.soak_c) if warm is not None and warm.soak_c is not None else None


def _kw(draft: Draft, speech: Speech, field: str) -> str | None:
    held = draft.facts.held
    return speech.number(getattr(held, field) / 1000.0, 1) if held is not None else None


def _stops(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    held = draft.facts.held
    if held is None or held.pipes_after_h is None or held.pipes_after_h < 1.0:
        return None
    return speech.number(held.pipes_after_h // 1.0)


def _out(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    held = draft.facts.held
    at = held.out_at if held is not None else None
    return speech.forecast_hour(at, down=True) if at is not None else None


def _lived_in(draft: Draft, speech: Speech, field: str) -> str | None:
    lived_in = draft.facts.lived_in
    return speech.number(getattr(lived_in, field)) if lived_in is not None else None


def _put_back(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    """Everything that is put back before any water goes in."""
    warm = draft.facts.warm
    if warm is None or not warm.put_back:
        return None
    words = PLANS[speech.language].put_back
    return "; ".join(words[one] for one in warm.put_back)


WARM_VALUES: dict[str, Value] = {
    "at": _warm_hour("at"),
    "on": _warm_hour("on_at"),
    "begins": _warm_hour("begins"),
    "shut": _warm_hour("shut_at"),
    "fill": _warm_hour("fill_at"),
    "hot": _warm_hour("hot_at"),
    "indoors": _warm_hour("indoors_by"),
    "otheron": _warm_hour("other_on"),
    "later": _warm_hour("later_at"),
    "heat": _heat,
    "need": lambda draft, speech, cut: _kw(draft, speech, "need_w"),
    "have": lambda draft, speech, cut: _kw(draft, speech, "have_w"),
    "stops": _stops,
    "out": _out,
    "box": lambda draft, speech, cut: _lived_in(draft, speech, "holds_l"),
    "day": lambda draft, speech, cut: _lived_in(draft, speech, "a_day_l"),
    "times": lambda draft, speech, cut: _lived_in(draft, speech, "times_a_day"),
    "lasts": lambda draft, speech, cut: _lived_in(draft, speech, "lasts_h"),
    "?thin": condition(lambda d: d.facts.held is not None and not d.facts.held.weak),
    "?weak": condition(lambda d: d.facts.held is not None and d.facts.held.weak),
    "?orother": condition(lambda d: _has_other_ways(d, "indoors_by")),
    "?orlater": condition(lambda d: _has_other_ways(d, "indoors_by", "other_fuel")),
    "?frozen": condition(lambda d: d.facts.warm is not None and d.facts.warm.frozen),
    "?clash": condition(lambda d: d.facts.warm is not None and d.facts.warm.clashes),
    "?moved": condition(lambda d: d.facts.warm is not None and d.facts.warm.later_at is not None),
    "?noway": condition(lambda d: d.facts.warm is not None and d.facts.warm.dry),
    "putback": _put_back,
    "?stood": condition(lambda d: d.facts.warm is not None and d.facts.warm.disinfect),
    "other": _other,
    "spare": _spare,
    "soak": _soak,
}
