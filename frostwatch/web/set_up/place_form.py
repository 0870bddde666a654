"""The step *Place*: from fields as typed to a site, or what must be put right."""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import time
from enum import StrEnum
from typing import TypeVar
from zoneinfo import available_timezones

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import COST_RATIO, Caution, Lie, Shelter, Shift, Site, SiteKind
from frostwatch.storage.hours_text import clock_from
from frostwatch.told import told
from frostwatch.web.rights.names import Doubt, doubt_about
from frostwatch.web.set_up.coordinates import coordinates_from, coordinates_text
from frostwatch.web.set_up.fault import Fault

LOWEST_M, HIGHEST_M = -430.0, 5500.0
FAR_FROM_GROUND_M = 1000.0
"""A height further than this from the ground that a 90 m model knows there is a slip of the pen,
even where four figures of coordinates leave a kilometre of doubt among mountains. Estimate."""
MOST_CREW = 50
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
USUAL_ZONE = {
    Language.EN: "Europe/London",
    Language.DE: "Europe/Berlin",
    Language.FR: "Europe/Paris",
}

Fields = Mapping[str, str]
"""Field -> what was typed, as it was typed; ticked boxes are ``"on"``."""

TEXT_FIELDS = (
    "name",
    "kind",
    "where",
    "height",
    "zone",
    "opens",
    "closes",
    "lie",
    "shelter",
    "crew",
    "caution",
)
TICKS = (*(f"day_{day}" for day in DAYS), "gas_off")


def empty_place(language: Language) -> dict[str, str]:
    """The fields before anything was typed."""
    return {
        "name": "",
        "kind": SiteKind.YARD.value,
        "where": "",
        "height": "",
        "zone": USUAL_ZONE[language],
        "opens": "08:00",
        "closes": "16:30",
        "lie": Lie.OPEN.value,
        "shelter": Shelter.OPEN.value,
        "crew": "1",
        "caution": Caution.BALANCED.value,
        **{f"day_{day}": "on" for day in DAYS[:5]},
        "gas_off": "on",
    }


def place_fields(site: Site, language: Language) -> dict[str, str]:
    """The fields of a site that is entered already."""
    shifts = site.shifts
    caution = min(COST_RATIO, key=lambda one: abs(COST_RATIO[one] - site.cost_ratio))
    return {
        "name": site.name,
        "kind": site.kind.value,
        "where": coordinates_text(site.latitude_deg, site.longitude_deg, language),
        "height": "" if site.height_m is None else f"{site.height_m:.0f}",
        "zone": site.time_zone,
        "opens": f"{shifts[0].opens:%H:%M}" if shifts else "",
        "closes": f"{shifts[0].closes:%H:%M}" if shifts else "",
        "lie": site.lie.value,
        "shelter": site.shelter.value,
        "crew": str(site.crew),
        "caution": caution.value,
        **{f"day_{DAYS[shift.weekday]}": "on" for shift in shifts},
        "gas_off": "" if site.gas_allowed else "on",
    }


def site_from(
    fields: Fields, *, key: str, language: Language, ground_m: float | None = None
) -> Site | tuple[Fault, ...]:
    """The site that the fields mean, or everything in them that must be put right.

    Args:
        fields: as typed.
        key: key of the site.
        language: in which they were typed.
        ground_m: height of the ground there by a model [m]; stands in for a height left out, and
            finds a slip of the pen. None where nobody knows.
    """
    read = _Reading(fields, language, ground_m)
    site = read.site(key)
    return tuple(read.faults) if site is None or read.faults else site


Words = TypeVar("Words", bound=StrEnum)


class _Reading:
    """One reading of the fields, noting faults in the order of the page."""

    def __init__(self, fields: Fields, language: Language, ground_m: float | None) -> None:
        self._fields = fields
        self._language = language
        self._ground_m = ground_m
        self.faults: list[Fault] = []

    def site(self, key: str) -> Site | None:
        name = self._name()
        kind = self._word("kind", SiteKind)
        where = self._where()
        height_m = self._height()
        zone = self._zone()
        shifts = self._shifts()
        lie, shelter = self._word("lie", Lie), self._word("shelter", Shelter)
        crew, caution = self._crew(), self._word("caution", Caution)
        if self.faults or where is None:
            return None
        try:
            return Site(
                key=key,
                name=name,
                kind=kind,
                latitude_deg=where[0],
                longitude_deg=where[1],
                height_m=height_m,
                time_zone=zone,
                lie=lie,
                shelter=shelter,
                shifts=shifts,
                crew=crew,
                cost_ratio=COST_RATIO[caution],
                gas_allowed=not self._fields.get("gas_off"),
            )
        except FleetError as wrong:
            self._fault("name", "set.refused", why=told("verbatim", what=str(wrong)))
            return None

    def _text(self, field: str) -> str:
        return self._fields.get(field, "").strip()

    def _fault(self, field: str, key: str, **values: object) -> None:
        self.faults.append(Fault(field=field, key=key, values=values))

    def _name(self) -> str:
        name = self._text("name")
        doubt = doubt_about(name)
        if doubt is not None:
            self._fault("name", f"set.text_{doubt.value}")
        return name

    def _word(self, field: str, words: type[Words]) -> Words:
        given = self._text(field)
        for word in words:
            if word.value == given:
                return word
        self._fault(field, "set.choose")
        return next(iter(words))

    def _where(self) -> tuple[float, float] | None:
        text = self._text("where")
        found = coordinates_from(text, self._language)
        if found is None:
            self._fault("where", "set.where_unread" if text else "set.where_empty")
        return found

    def _height(self) -> float | None:
        text = re.sub(r"\s|m$|\u202f", "", self._text("height").casefold()).replace("\u2212", "-")
        ground = self._ground_m
        if not text:
            return ground
        if not re.fullmatch(r"[+-]?\d{1,6}([.,]\d{1,3})?", text):
            self._fault("height", "set.height_unread")
            return None
        height_m = float(text.replace(",", "."))
        if ground is not None and abs(height_m - ground) > FAR_FROM_GROUND_M:
            tenth = height_m / 10
            slipped = height_m > ground and abs(tenth - ground) <= FAR_FROM_GROUND_M
            meant = tenth if slipped else ground
            key = "set.height_above" if height_m > ground else "set.height_below"
            self._fault("height", key, given=f"{height_m:.0f}", meant=f"{meant:.0f}")
        elif not LOWEST_M <= height_m <= HIGHEST_M:
            self._fault("height", "set.height_range", given=f"{height_m:.0f}")
        return height_m

    def _zone(self) -> str:
        zone = self._text("zone").replace(" ", "_")
        by_letters = {name.casefold(): name for name in available_timezones()}
        if zone.casefold() not in by_letters or zone.casefold() == "localtime":
            self._fault("zone", "set.zone_unread")
        return by_letters.get(zone.casefold(), "UTC")

    def _shifts(self) -> tuple[Shift, ...]:
        days = [number for number, day in enumerate(DAYS) if self._fields.get(f"day_{day}")]
        if not days:
            return ()
        opens, closes = self._clock("opens"), self._clock("closes")
        if opens is None or closes is None:
            return ()
        if closes <= opens:
            self._fault("closes", "set.hours_order")
            return ()
        return tuple(Shift(weekday=day, opens=opens, closes=closes) for day in days)

    def _clock(self, field: str) -> time | None:
        text = self._text(field).replace(".", ":").casefold().replace("h", ":").replace(" ", "")
        try:
            return clock_from(text if ":" in text else f"{text}:00")
        except FleetError:
            self._fault(field, "set.clock_unread")
            return None

    def _crew(self) -> int:
        text = self._text("crew")
        if not re.fullmatch(r"[0-9]{1,3}", text) or not 1 <= int(text) <= MOST_CREW:
            self._fault("crew", "set.crew_range", most=MOST_CREW)
            return 1
        return int(text)


def kept_fields(sent: Mapping[str, object]) -> dict[str, str]:
    """The step's fields out of a form that was sent; cut only where no screen could show them."""
    found = {name: str(sent.get(name, ""))[:20_000] for name in TEXT_FIELDS}
    return found | {name: "on" if sent.get(name) else "" for name in TICKS}


def zones(near: Sequence[str] = ("Europe/",)) -> Iterator[str]:
    """Time zones to offer: those whose names begin so, in order."""
    yield from sorted(zone for zone in available_timezones() if zone.startswith(tuple(near)))


__all__ = [
    "DAYS",
    "Doubt",
    "Fields",
    "empty_place",
    "kept_fields",
    "place_fields",
    "site_from",
    "zones",
]
