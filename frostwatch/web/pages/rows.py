"""Lines of a list in words: a stop with its marks and hours, or a bay that is passed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.advice.board import Standing
from frostwatch.advice.by_handbook import minded_at
from frostwatch.advice.handbook_words import handbook_lines
from frostwatch.advice.passing import Passing
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.record import Record
from frostwatch.advice.reminders import AnswerKind
from frostwatch.advice.rounds import Stop
from frostwatch.advice.walk import Press, PressKind
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.people import Person
from frostwatch.fleet.roofs import INDOORS, Roof
from frostwatch.fleet.sites import as_it_stands
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Job, Level
from frostwatch.records.entries import NOBODY_SAID, Evidence, State
from frostwatch.records.standing_water import Unsure
from frostwatch.web.pages.lines_now import UNREAD, Line
from frostwatch.web.pages.yard_now import YardNow
from frostwatch.web.vessel_marks import ShownMark, in_columns
from frostwatch.web.words import Tongue

MOST_PARTS = 4
GAS = ("gas", "gaz")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLevel:
    """A level as it is drawn and written."""

    key: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRow:
    """A stop of a list.

    Attributes:
        number: its place on the walk; 0 below a cut line.
        first: belongs to the first loop.
        vehicle: key.
        bay: what it is called.
        level: how things stand.
        job: what there is to do.
        notes: what else is to be known.
        about: kind, plate and key.
        plate: end of its plate, "" if none is entered.
        key: where its key hangs, "" if none is entered.
        marks: under the six heads.
        early: earliest hour; None where none is known.
        follows: its hours are not worked out yet.
        likely: likely hour.
        cost: what could split.
        minutes: how long it takes.
        record: newest record.
        pressed: what was pressed at it; None for nothing yet.
    """

    number: int
    first: bool
    vehicle: str
    bay: str
    level: ShownLevel
    job: str
    notes: tuple[Markup, ...]
    about: str
    plate: str
    key: str
    marks: tuple[ShownMark | None, ...]
    early: Markup | None
    follows: bool
    likely: Markup | None
    cost: str
    minutes: str
    record: Markup
    pressed: Markup | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PassRow:
    """A bay at which nobody need stop."""

    vehicle: str
    bay: str
    text: Markup


LEVEL_KEYS: Mapping[Level, str] = {
    Level.NONE: "none",
    Level.NOTICE: "notice",
    Level.ACT: "act",
    Level.URGENT: "urgent",
    Level.TOO_LATE: "late",
    Level.THAW: "thaw",
}


def shown_level(level: Level, tongue: Tongue) -> ShownLevel:
    """A level in one language."""
    return ShownLevel(key=LEVEL_KEYS[level], word=tongue.words.levels[level])


class Rows:
    """Puts the lines of one site into words."""

    def __init__(self, yard: YardNow, tongue: Tongue) -> None:
        self._yard = yard
        self._t = tongue
        self._said: dict[object, Markup] = {}
        self._plan_words = words_for(tongue.language, yard.yard.site, tongue.now)

    def stop(self, line: Line, stop: Stop, *, number: int, first: bool) -> StopRow:
        """One stop."""
        t = self._t
        return StopRow(
            number=number,
            first=first,
            vehicle=line.vehicle.key,
            bay=line.name,
            level=shown_level(stop.level, t),
            job=t.words.jobs[stop.job],
            notes=tuple(self._notes(line, stop)),
            about=about(line.vehicle, t),
            plate=f"··{line.vehicle.plate_end}" if line.vehicle.plate_end else "",
            key=line.vehicle.key_place,
            marks=in_columns(line.standing.marks, t),
            early=t.early(stop.earliest) if stop.earliest else None,
            follows=line.recorded and stop.earliest is None,
            likely=t.about(stop.likely) if stop.likely else None,
            cost=self._cost(line, stop),
            minutes=t.minutes(stop.minutes),
            record=self.record(line.standing.record),
            pressed=self.pressed(line.press),
        )

    def passed(self, line: Line) -> PassRow:
        """One bay that is passed."""
        return PassRow(vehicle=line.vehicle.key, bay=line.name, text=self.passing(line))

    def _notes(self, line: Line, stop: Stop) -> Iterable[Markup]:
        t, standing = self._t, line.standing
        if stop.job is Job.LOOK:
            yield self.unknown_since(line)
        if line.vehicle.hold is not None:
            hold = line.vehicle.hold
            yield t("stop.held", source=hold.source, setting=t.degrees(hold.setting_c))
            gas = any(word in hold.source.casefold() for word in GAS)
            if gas and not self._yard.yard.site.gas_allowed:
                yield t("stop.gas_off")
        if any(mark.state is State.TRAVEL_LEVEL for mark in standing.marks):
            yield t("stop.travel")
        if standing.answer is AnswerKind.CANNOT:
            yield t("stop.owner_cannot")
        for said in handbook_lines(minded_at(stop.job, line.vehicle.handbook), self._plan_words):
            yield Markup.escape(said)
        if line.press is None and stop.act_by is not None and stop.act_by <= self._yard.now:
            yield t("stop.passed", by=t.hour(stop.act_by))
        if line.recorded:
            key = "stop.unlooked" if line.is_unlooked else "stop.recorded"
            yield t(key, n=self._yard.look_min)

    def unknown_since(self, line: Line) -> Markup:
        """Why nobody knows what is in it."""
        record = line.standing.record
        if record is None:
            return self._t("stop.never")
        if record.unsure in (Unsure.MOVED, Unsure.REWETTED):
            return self._t(f"stop.{record.unsure.name.lower()}", day=self._t.date(record.at))
        if part := self.vessels_unknown(line.standing):
            return self._t("stop.part", vessels=part)
        if record.evidence is not Evidence.EXPIRED:
            return self._t("stop.unsure", who=self.who(record.by), day=self._t.date(record.at))
        return self._t("stop.expired", n=max(1, (self._yard.now - record.at).days))

    def vessels_unknown(self, standing: Standing) -> str:
        """The vessels nobody can speak for where somebody can for the rest, "" else."""
        t, names = self._t, self._t.words.vessels
        return t.listed([t.inside(names[vessel]) for vessel in standing.vessels_unknown])

    def _cost(self, line: Line, stop: Stop) -> str:
        t = self._t
        unread = self._yard.sky in UNREAD or (line.recorded and stop.earliest is None)
        if stop.job is Job.LOOK or (unread and not stop.breaks):
            return str(t("cost.unknown"))
        if not stop.breaks:
            return str(t("cost.little")) if stop.earliest is None else str(t("cost.later"))
        return t.speech.listed([t.shared.parts[c] for c in stop.breaks], MOST_PARTS)

    def record(self, record: Record | None) -> Markup:
        """Who said something last, and when."""
        found = self._said.get(record)
        if found is None:
            found = self._said[record] = self._record(record)
        return found

    def _record(self, record: Record | None) -> Markup:
        if record is None:
            return self._t("record.never")
        key = "record.nobody" if record.by == NOBODY_SAID else "record.by"
        return self._t(key, who=self.who(record.by), day=self._t.date(record.at))

    def who(self, key: str) -> str:
        """Name of a person; what is written in the record where nobody of that key is entered."""
        return named(key, self._yard.yard.people)

    def passing(self, line: Line) -> Markup:
        """Why nobody need stop, and who says so."""
        t, standing = self._t, line.standing
        if line.broken:
            return t("pass.broken", why=t.fault(line.broken))
        parts = [self._why(line), *self.stands(line.vehicle)]
        layout = CATALOGUE.get(line.vehicle.layout)
        if layout is not None and layout.hydronic_l > 0.0:
            parts.append(t("pass.hydronic"))
        if standing.valve_at is not None:
            key = "stop.valve" if standing.valve_at > t.now else "stop.valve_now"
            parts.append(t(key, at=t.about(standing.valve_at)))
        return Markup(" ").join(parts)

    def stands(self, vehicle: Vehicle) -> list[Markup]:
        """What is over a vehicle, in a sentence; nothing of one that stands outdoors."""
        t = self._t
        here = as_it_stands(vehicle, self._yard.yard.site)
        under = here.under or (INDOORS if here.indoors else None)
        if under is None or under.kind is Roof.NONE:
            return []
        until = t.hour(under.until) if under.until is not None else None
        if not under.holds(t.now):
            return [t("pass.roof.over", until=until)]
        if under.heated_to_c is not None:
            warm = t.degrees(under.heated_to_c)
            return [t("pass.heated", warm=warm, who=self.who(under.by), until=until)]
        said = [t("pass.roofed" if under.kind is Roof.ROOFED else "pass.indoors")]
        return [*said, t("pass.roof.until", until=until)] if until is not None else said

    def _why(self, line: Line) -> Markup:
        standing = line.standing
        key = standing.passing, standing.owner, standing.record, standing.rests_on
        found = self._said.get(key)
        if found is None:
            found = self._said[key] = self._passed_because(standing)
        return found

    def _passed_because(self, standing: Standing) -> Markup:
        t = self._t
        passing = standing.passing or Passing.LITTLE
        what = t.words.passing[passing]
        if passing is Passing.OWNER:
            return t("pass.owner", what=what, who=self.who(standing.owner))
        if passing is Passing.FROZEN:
            return t("pass.frozen")
        record = standing.rests_on or standing.record
        if record is None:
            return t("pass.plain", what=what)
        return t(
            "pass.record",
            what=what,
            evidence=t.words.evidence[record.evidence],
            who=self.who(record.by),
            day=t.date(record.at),
        )

    def pressed(self, press: Press | None) -> Markup | None:
        """What was pressed at a stop, and by whom."""
        if press is None:
            return None
        return pressed_words(press, self.who(press.by), self._t)


def pressed_words(press: Press, who: str, tongue: Tongue) -> Markup:
    """What was pressed at a stop."""
    values = {"who": who, "at": tongue.clock(press.at)}
    if press.kind is PressKind.COULD_NOT and press.obstacle is not None:
        why = tongue.words.obstacles[press.obstacle]
        return tongue("pressed.could_not", why=why, **values)
    return tongue(f"pressed.{press.kind.value}", **values)


def named(key: str, people: Mapping[str, Person]) -> str:
    """Names of those who said something; several are joined by commas."""
    parts = [part.strip() for part in key.split(",")]
    return ", ".join(people[part].name if part in people else part for part in parts)


def about(vehicle: Vehicle, tongue: Tongue) -> str:
    """Kind of vehicle, end of its plate, and where its key hangs."""
    parts = [tongue.words.layouts.get(vehicle.layout, vehicle.layout)]
    if vehicle.plate_end:
        # plain text, thousands of times on a long list
        parts.append(str(tongue.words.texts["about.plate"]).format(end=vehicle.plate_end))
    text = ", ".join(parts)
    return f"{text} · {vehicle.key_place}" if vehicle.key_place else text
