"""People: who is told, how they are reached, and when they can act."""

from dataclasses import dataclass
from datetime import time
from enum import StrEnum

from frostwatch.errors import FleetError
from frostwatch.told import told
from frostwatch.units import within

FORMS = ("short", "long")


class Duty(StrEnum):
    """What a person does about the vehicles."""

    OPERATOR = "operator"
    CREW = "crew"
    OWNER = "owner"
    DEALER = "dealer"


class Language(StrEnum):
    """Languages in which messages exist."""

    EN = "en"
    DE = "de"
    FR = "fr"


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """One way to reach a person.

    Attributes:
        name: how people speak of it, e.g. ``"office e-mail"``.
        address: an Apprise URL, or ``outbox://local`` for the outbox file alone.
        form: ``"short"`` (push, chat, text message) or ``"long"`` (e-mail).
    """

    name: str
    address: str
    form: str = "long"

    def __post_init__(self) -> None:
        if self.form not in FORMS:
            raise FleetError(
                f"channel {self.name}: form {self.form!r} is not known. "
                "Give short (push, chat, text message) or long (e-mail)."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A stretch of a weekday, local time at the site, in which a person can be at the vehicle.

    Attributes:
        weekday: 0 is Monday, 6 is Sunday.
        starts: first minute, local time.
        ends: last minute, local time.
    """

    weekday: int
    starts: time
    ends: time

    def __post_init__(self) -> None:
        if not 0 <= self.weekday <= 6 or self.ends <= self.starts:
            raise FleetError(
                told("slot", day=self.weekday, span=f"{self.starts:%H:%M}-{self.ends:%H:%M}")
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who is told.

    Attributes:
        key: short name used in files.
        name: how they are addressed.
        duty: operator, crew, owner or dealer.
        language: language of their messages.
        channels: ways to reach them; all of them are used.
        sites: keys of the sites a crew member or operator works at.
        travel_min: way to the vehicle [min].
        reading: local times of day at which a message is read, e.g. 07:40 or 18:15.
        slots: when the person can be there; empty means the site's working hours, or daily
            daylight for an owner.
        quiet_from: start of the quiet hours, local time.
        quiet_to: end of the quiet hours, local time.
        cost_ratio: probability of harm above which they want to be called [fraction]; None for
            the place's own.
    """

    key: str
    name: str
    duty: Duty
    language: Language = Language.EN
    channels: tuple[Channel, ...] = ()
    sites: tuple[str, ...] = ()
    travel_min: float = 0.0
    reading: tuple[time, ...] = ()
    slots: tuple[Slot, ...] = ()
    quiet_from: time = time(21, 0)
    quiet_to: time = time(6, 30)
    cost_ratio: float | None = None

    def __post_init__(self) -> None:
        within(
            self.travel_min,
            0,
            2880,
            what=f"person {self.key}: travel",
            unit="min",
            error=FleetError,
            hint="Give the minutes of one way to the vehicle.",
        )
        if self.cost_ratio is not None:
            within(
                self.cost_ratio,
                0.005,
                0.9,
                what=f"person {self.key}: cost ratio",
                unit="",
                error=FleetError,
                hint="0.05 is careful, 0.1 balanced, 0.2 sparing; leave it out for the place's.",
            )
