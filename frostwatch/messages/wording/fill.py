"""What each placeholder is filled with. None means it is not known, and another text is taken."""

import re

from frostwatch.languages.phrases import Counted, Leaf
from frostwatch.messages.wording.draft import Draft, Facts, Form
from frostwatch.messages.wording.say import Speech
from frostwatch.messages.wording.texts import Choice
from frostwatch.messages.wording.values import Cut, Value, condition
from frostwatch.messages.wording.warm_values import WARM_VALUES

_PLACEHOLDER = re.compile(r"\{(\??\w+)\}")
_DOUBLE_STOP = re.compile(r"(?<!\.)\.\.(?!\.)")
_OPTIONAL = re.compile(r" ?\[[^\]]*\]")


def fill(choice: Choice, draft: Draft, speech: Speech, cut: Cut) -> str | None:
    """The first of some alternatives that can be filled, filled; None if none can."""
    return next(
        (text for one in choice if (text := _filled(one, draft, speech, cut)) is not None), None
    )


def _filled(leaf: Leaf, draft: Draft, speech: Speech, cut: Cut) -> str | None:
    template = _form(leaf, draft, speech, cut)
    if template is None:
        return None
    names = set(_PLACEHOLDER.findall(template))
    values = {name: _value(name, draft, speech, cut) for name in names}
    known = {name: value for name, value in values.items() if value is not None}

    def offered(found: re.Match[str]) -> str:
        """A part in square brackets: kept where there is room and all of it is known."""
        part = found.group(0)
        if not cut.optional or not known.keys() >= set(_PLACEHOLDER.findall(part)):
            return ""
        return part.replace("[", "").replace("]", "")

    kept = _OPTIONAL.sub(offered, template)
    if not known.keys() >= set(_PLACEHOLDER.findall(kept)):
        return None
    text = _PLACEHOLDER.sub(lambda found: known[found.group(1)], kept).strip()
    return _DOUBLE_STOP.sub(".", text)


def _form(leaf: Leaf, draft: Draft, speech: Speech, cut: Cut) -> str | None:
    """The text; of one that counts the form for its number, None where that is not known."""
    if not isinstance(leaf, Counted):
        return leaf
    number = _value(leaf.by, draft, speech, cut)
    return None if number is None else leaf.form(int(number))


def known_placeholders() -> frozenset[str]:
    """Every name a text may use."""
    return frozenset(_VALUES)


def _value(name: str, draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return _VALUES[name](draft, speech, cut)


def _shortened(name: str, limit: int | None) -> str:
    if limit is None or len(name) <= limit:
        return name
    return name[: max(1, limit - 1)].rstrip() + "."


def _van(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    vans = [_shortened(van, cut.place) for van in draft.facts.vans]
    return speech.listed(vans, cut.names) if vans else _place(draft, speech, cut)


def _place(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return _shortened(draft.facts.place, cut.place)


def _hour(field: str) -> Value:
    """An hour that is told as it is."""

    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        moment = getattr(draft.facts, field)
        return None if moment is None else speech.hour(moment)

    return value


def _forecast_hour(field: str, *, down: bool = False) -> Value:
    """An hour that is a forecast."""

    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        moment = getattr(draft.facts, field)
        return None if moment is None else speech.forecast_hour(moment, down=down)

    return value


def _degrees(field: str) -> Value:
    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        celsius = getattr(draft.facts, field)
        return None if celsius is None else speech.degrees(celsius)

    return value


def _count(field: str) -> Value:
    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        number = getattr(draft.facts, field)
        return None if number is None else str(number)

    return value


def _counted(noun: str, field: str = "count") -> Value:
    """A noun with its number."""

    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        number = getattr(draft.facts, field)
        return speech.words.counted[noun].form(number).format(n=number)

    return value


def _rolled(*fields: str) -> Value:
    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        rolled = draft.facts.rolled
        if rolled is None:
            return None
        return str(sum(getattr(rolled, field) for field in fields))

    return value


def _told(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    """How many are drained as somebody said: not worth a word where there are none."""
    rolled = draft.facts.rolled
    return str(rolled.drained_told) if rolled is not None and rolled.drained_told else None


def _dark(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    at = draft.facts.dark_at
    if at is None:
        return None
    local = at.astimezone(speech.zone)
    return speech.clock(local.replace(minute=local.minute // 5 * 5, second=0, microsecond=0))


def _last(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    at = draft.facts.seen_at
    if at is None:
        return None
    return speech.words.since.format(date=speech.date(at.astimezone(speech.zone).date()))


def _date(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return speech.date(draft.at.astimezone(speech.zone).date())


def _took(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    minutes = draft.facts.took_min
    return None if minutes is None else speech.minutes(minutes)


def _crew(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    hours = draft.facts.crew_h
    return None if hours is None else speech.number(hours, 1)


def _end(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    facts = draft.facts
    return speech.forecast_hour(facts.ready_at) if facts.ready_at and facts.fits else None


def _first(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    bays = [_shortened(bay, cut.place) for bay in draft.facts.first]
    return speech.listed(bays, cut.names) if bays else None


def _take(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    found = [speech.taken(what, amount) for what, amount in draft.facts.take]
    return ", ".join(found) or None


def _wet(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return speech.wet(draft.facts.wet, cut.wet) if draft.facts.wet else None


def _who(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    names = [_shortened(name, cut.place) for name in draft.facts.who]
    return speech.listed(names, cut.names) if names else None


def _job(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return None if draft.facts.job is None else speech.words.jobs[draft.facts.job]


def _else(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return if_nobody_goes(draft.facts, speech)


def if_nobody_goes(facts: Facts, speech: Speech) -> str | None:
    """What happens then, as a clause; None where it is not known."""
    words = speech.words
    if facts.harm_likely is None or facts.min_c is None:
        return None
    if facts.harm_likely and facts.breaks:
        parts = speech.listed([words.parts[circuit] for circuit in facts.breaks], 4)
        return words.else_split.format(parts=parts)
    return words.else_little.format(min=speech.degrees(facts.min_c))


def _colder(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return speech.number(draft.facts.colder_k) if draft.facts.colder_k > 0.0 else None


def _credit(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return "; ".join(draft.facts.credit) or None


def _link(draft: Draft, speech: Speech, cut: Cut) -> str | None:
    return draft.link or ("" if speech.form is Form.SHORT else None)


_VALUES: dict[str, Value] = {
    "place": _place,
    "van": _van,
    "n": _count("count"),
    "all": _count("all_count"),
    "fit": _count("fit_count"),
    "bays": _counted("bays"),
    "wet_vans": _counted("wet_vans"),
    "wet_or_unknown": _counted("wet_or_unknown"),
    "all_vans": _counted("vans", "all_count"),
    "by": _hour("by"),
    "issue": _hour("issue_at"),
    "thaw": _forecast_hour("thaw_at"),
    "onset": _forecast_hour("onset"),
    "early": _forecast_hour("early", down=True),
    "until": _forecast_hour("until"),
    "ice": _forecast_hour("ice_early", down=True),
    "icelikely": _forecast_hour("ice_likely"),
    "self": _forecast_hour("valve_at"),
    "when": _forecast_hour("coldest_at"),
    "sent": lambda draft, speech, cut: speech.hour(draft.at),
    "end": _end,
    "dark": _dark,
    "last": _last,
    "date": _date,
    "min": _degrees("min_c"),
    "mincold": _degrees("mincold_c"),
    "colder": _colder,
    "took": _took,
    "crew": _crew,
    "first": _first,
    "take": _take,
    "wet": _wet,
    "who": _who,
    "job": _job,
    "else": _else,
    "credit": _credit,
    "link": _link,
    "stop": lambda draft, speech, cut: draft.stop or None,
    "seen": _rolled("drained_seen"),
    "told": _told,
    "dosed": _rolled("dosed"),
    "use": _rolled("in_use"),
    "held": _rolled("heated"),
    "wetnow": _rolled("wet"),
    "unk": _rolled("unknown"),
    "?again": condition(lambda draft: draft.facts.looks_again),
    "?valve": condition(lambda draft: draft.facts.valve_at is not None),
    "?unknown": condition(lambda d: d.facts.rolled is not None and d.facts.rolled.unknown > 0),
    **WARM_VALUES,
}
