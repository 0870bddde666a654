"""Hours, degrees, litres and durations as people of each language write them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.languages.phrases import Counted
from frostwatch.messages.wording.draft import Form, Take, Wet
from frostwatch.messages.wording.plans import PLANS
from frostwatch.messages.wording.texts import Words

NBSP = "\u00a0"
MINUS = "\u2212"
FAR = timedelta(days=6)
"""An hour further away than this is told with its date."""
NEAR_CHANGE = timedelta(hours=12)
"""Hours this close to a clock change are told by both clocks."""
DAY = timedelta(days=1)
HALVES_WITHIN_C = 4.0
"""Temperatures this near to zero are told in half degrees."""

GROUPS: dict[str, frozenset[Circuit]] = {
    "fresh": frozenset({Circuit.FRESH_TANK}),
    "heater": frozenset({Circuit.HEATER_TANK}),
    "flush": frozenset({Circuit.FLUSH_TANK, Circuit.FLUSH_VALVE, Circuit.CASSETTE}),
    "waste": frozenset(
        {Circuit.WASTE_TANK, Circuit.OUTLET_STUB, Circuit.WASTE_PIPES, Circuit.MACERATOR}
    ),
    "traps": frozenset({Circuit.TRAPS}),
    "carried": frozenset({Circuit.CONTAINERS, Circuit.CARRIERS}),
}
"""Circuits as people speak of them; what is in none of these is "pipes"."""
MAIN: dict[str, Circuit] = {
    "fresh": Circuit.FRESH_TANK,
    "heater": Circuit.HEATER_TANK,
    "flush": Circuit.FLUSH_TANK,
    "waste": Circuit.WASTE_TANK,
}
"""The vessel whose litres are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """How one message is to be written.

    Attributes:
        language: its language.
        form: short or long.
        zone: time zone of the place.
        now: when it is written, UTC.
        words: words of the language.
        clock_notes: tell both clocks near a clock change; a repeated hour is told by both anyway.
    """

    language: Language
    form: Form
    zone: ZoneInfo
    now: datetime
    words: Words
    clock_notes: bool = True

    @property
    def space(self) -> str:
        """Space between a number and its unit."""
        return " " if self.form is Form.SHORT else NBSP

    def number(self, value: float, decimals: int = 0) -> str:
        """A number with the language's decimal sign; a true minus in long forms."""
        text = f"{abs(value):.{decimals}f}"
        negative = value < 0 and float(text) != 0.0
        sign = ("-" if self.form is Form.SHORT else MINUS) if negative else ""
        return sign + text.replace(".", self.words.comma)

    def degrees(self, celsius: float) -> str:
        """Whole degrees, halves on the colder side; half degrees near zero."""
        if abs(celsius) < HALVES_WITHIN_C:
            halves = round(2.0 * celsius) / 2.0
            return self.number(halves, 0 if halves == int(halves) else 1)
        return self.number(math.ceil(celsius - 0.5))

    def litres(self, litres: float) -> str:
        """Whole litres above one, one decimal below."""
        decimals = 0 if litres >= 1.0 else 1
        return f"{self.number(litres, decimals)}{self.space}{self.words.litre}"

    def taken(self, what: Take, amount: float) -> str:
        """A thing to take along, with its amount."""
        text = self.words.takes[what]
        if isinstance(text, Counted):
            text = text.form(math.ceil(amount))
        return text.format(n=self.number(amount, 0 if amount == int(amount) else 1))

    def minutes(self, minutes: float) -> str:
        """Minutes up to 90, then hours and minutes."""
        whole = round(minutes)
        if whole <= 90:
            return f"{whole}{self.space}{self.words.minute}"
        hours, rest = divmod(whole, 60)
        return f"{hours}{self.space}h{self.space}{rest:02d}{self.space}{self.words.minute}"

    def heat(self, fuel: str, power_w: float) -> str:
        """A source of heat with its power."""
        kw = power_w / 1000.0
        number = self.number(kw, 0 if kw == int(kw) else 1)
        return PLANS[self.language].heat[fuel].format(kw=number)

    def clock(self, at: datetime) -> str:
        """Time of day of a local time."""
        if self.language is not Language.FR:
            return f"{at:%H:%M}"
        rest = "" if at.minute == 0 else f"{self.gap}{at:%M}"
        return f"{at.hour}{self.gap}h{rest}"

    @property
    def gap(self) -> str:
        """Space inside a French hour."""
        return "" if self.form is Form.SHORT else NBSP

    def date(self, day: date) -> str:
        """A date without its year."""
        month = self.words.months[day.month - 1]
        if self.language is Language.DE:
            return f"{day.day}.{month}"
        return f"{day.day}{self.space}{month}"

    def hour(self, moment: datetime) -> str:
        """Day and time of a moment, local to the place; by both clocks near a clock change."""
        at = moment.astimezone(self.zone)
        day = self.words.days[at.weekday()]
        if abs(moment - self.now) > FAR:
            day = f"{day}{self.space}{self.date(at.date())}"
        return f"{day}{self.space}{self.clock(at)}{self._other_clock(moment)}"

    def dated_hour(self, moment: datetime) -> str:
        """The same with its date, however near: the day that was understood."""
        at = moment.astimezone(self.zone)
        day = f"{self.words.days[at.weekday()]}{self.space}{self.date(at.date())}"
        return f"{day}{self.space}{self.clock(at)}{self._other_clock(moment)}"

    def _other_clock(self, moment: datetime) -> str:
        before = (moment - NEAR_CHANGE).astimezone(self.zone).utcoffset()
        after = (moment + NEAR_CHANGE).astimezone(self.zone).utcoffset()
        at = moment.astimezone(self.zone)
        own = at.utcoffset()
        if before == after or before is None or after is None:
            return ""
        repeated = at.replace(fold=0).utcoffset() != at.replace(fold=1).utcoffset()
        if not (self.clock_notes or repeated):
            return ""
        is_before = own == before
        other = (moment.astimezone(UTC) + (after if is_before else before)).replace(tzinfo=None)
        note = self.words.new_clock if is_before else self.words.old_clock
        return f" ({note.format(time=self.clock(other))})"

    def forecast_hour(self, moment: datetime, *, down: bool = False) -> str:
        """An hour that is a forecast: to half an hour within a day, then to the hour.

        Args:
            moment: the hour, UTC.
            down: round to the earlier side, for earliest hours.
        """
        minutes = 30 if moment - self.now <= DAY else 60
        local_at = moment.astimezone(self.zone)
        past = timedelta(
            minutes=local_at.minute % minutes,
            seconds=local_at.second,
            microseconds=local_at.microsecond,
        )
        earlier = moment - past
        late = not down and past >= timedelta(minutes=minutes) / 2
        return self.hour(earlier + timedelta(minutes=minutes) if late else earlier)

    def wet(self, wet: Sequence[Wet], limit: int | None = None) -> str:
        """What still holds water, biggest vessels first."""
        if wet and all(entry.litres is None for entry in wet):
            return self.words.unknown_wet
        found = []
        for group, litres in _grouped(wet):
            if self.form is Form.LONG:
                name = self.words.groups[group]
                found.append(f"{name} {self.litres(litres)}" if litres else name)
            elif litres:
                found.append(f"{self.litres(litres)} {self.words.group_shorts[group]}")
        if not found:
            found = [self.words.group_shorts[group] for group, _ in _grouped(wet)]
        return self.listed(found, limit)

    def listed(self, names: Sequence[str], limit: int | None = None) -> str:
        """Names with commas; what goes beyond ``limit`` is counted."""
        if limit is None or len(names) <= limit:
            return ", ".join(names)
        more = f"+{len(names) - limit}"
        return ", ".join([*names[:limit], more]) if limit else more


def _grouped(wet: Sequence[Wet]) -> list[tuple[str, float | None]]:
    """Groups that hold water, with the litres of their vessel; None for a mere wet."""
    litres: dict[str, float | None] = {}
    for entry in wet:
        group = next((name for name, of in GROUPS.items() if entry.circuit in of), "pipes")
        litres.setdefault(group, None)
        told = entry.litres is not None and entry.litres >= 0.05
        if told and MAIN.get(group) is entry.circuit:
            litres[group] = entry.litres
    order = ("fresh", "heater", "flush", "waste", "pipes", "traps", "carried")
    return [(group, litres[group]) for group in order if group in litres]
