"""A night in words: the notes beside its lanes, and its table."""

from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.night_view import Fate, ItemNight, NightView
from frostwatch.messages.wording.say import NBSP
from frostwatch.web.words import Tongue

SOME_ICE, ALL_ICE, A_SKIN = 0.005, 0.98, 0.04
"""Shares of ice that are told as none, all, and a skin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the table."""

    where: str
    holds: str
    early: Markup
    likely: Markup
    ice: Markup
    what: str


class NightWords:
    """The words of one night."""

    def __init__(self, tongue: Tongue, night: NightView) -> None:
        self._t = tongue
        self._night = night

    def title(self) -> str:
        """The nights that are shown."""
        start, end = self._night.air.start, self._night.air.end
        return str(self._t("night.title", first=self._t.weekday(start), last=self._t.weekday(end)))

    def clock(self, moment: datetime) -> str:
        """Hour without its day."""
        return self._t.speech.forecast_hour(moment).partition(NBSP)[2]

    def air(self) -> Markup:
        """The lowest air."""
        at, likely, _ = self._night.air.lowest()
        t = self._t
        cold = min(self._night.air.cold)
        return t("night.air", at=t.about(at), min=t.degrees(likely), mincold=t.degrees(cold))

    def name(self, item: ItemNight) -> str:
        """What it is; the circuit, and where several items share it the place too."""
        return self._t.words.circuits[item.circuit]

    def notes(self, item: ItemNight) -> tuple[Markup, ...]:
        """How much and where, and its hours."""
        holds = self._t(
            "night.holds", litres=self.holds(item), place=self._t.words.places[item.place]
        )
        return holds, self._hours(item)

    def holds(self, item: ItemNight) -> str:
        """Its water, beside its size where it is a tank that is not full."""
        t = self._t
        if item.capacity_l >= 2.0 and item.litres < 0.97 * item.capacity_l:
            number = t.speech.number(item.litres, 0 if item.litres >= 1.0 else 1)
            return str(t("night.part", n=number, full=t.litres(item.capacity_l)))
        return t.litres(item.litres)

    def begun(self, moment: datetime | None) -> bool:
        """It was so before the first hour that is shown: nobody may take that hour for its own."""
        return moment is not None and moment <= self._night.air.start

    def _hours(self, item: ItemNight) -> Markup:
        t = self._t
        if item.fate is Fate.LEAVES:
            if item.opens_likely is not None:
                return t("night.leaves", at=t.about(item.opens_likely))
            if item.opens_early is not None:
                return t("night.leaves_perhaps", at=t.early(item.opens_early))
            return t("night.stays")
        if item.ice_early is None:
            return t("night.no_ice")
        if self.begun(item.ice_likely):
            return t("night.ice_now")
        if self.begun(item.ice_early):
            if item.ice_likely is None:
                return t("night.ice_now_perhaps")
            return t("night.ice_now_likely", likely=t.about(item.ice_likely))
        if item.fate is not Fate.HARM:
            return t("night.skin", early=t.early(item.ice_early))
        if item.ice_likely is None:
            return t("night.ice_perhaps", early=t.early(item.ice_early))
        return t("night.ice", early=t.early(item.ice_early), likely=t.about(item.ice_likely))

    def opens(self, item: ItemNight) -> str:
        """The hour at which a valve opens."""
        assert item.opens_likely is not None
        return str(self._t("night.opens", at=self.clock(item.opens_likely)))

    def row(self, item: ItemNight) -> Row:
        """One line of the table."""
        t = self._t
        never = t("night.none")
        where = self.name(item)
        if "." in item.key and item.circuit is not None:
            where = str(t("night.where", name=where, place=t.words.places[item.place]))
        if item.fate is Fate.LEAVES and item.opens_likely is not None:
            early: Markup = t("night.by_itself")
            likely = t.about(item.opens_likely)
        else:
            early = t.early(item.ice_early) if item.ice_early else never
            likely = t.about(item.ice_likely) if item.ice_likely else never
            early = t("night.by_now") if self.begun(item.ice_early) else early
            likely = t("night.by_now") if self.begun(item.ice_likely) else likely
        return Row(
            where=where,
            holds=self.holds(item),
            early=early,
            likely=likely,
            ice=self._ice(item),
            what=self._what(item),
        )

    def _ice(self, item: ItemNight) -> Markup:
        t = self._t
        if item.ice_by_most < SOME_ICE:
            return t("night.none")
        most = t("night.all") if item.ice_by_most >= ALL_ICE else t.percent(item.ice_by_most)
        if item.ice_by < SOME_ICE:
            return t("night.up_to", most=most)
        if item.ice_by >= ALL_ICE:
            return t("night.all")
        if item.ice_by < A_SKIN:
            return t("night.a_skin", most=most)
        return t("night.about", likely=t.percent(item.ice_by), most=most)

    def _what(self, item: ItemNight) -> str:
        t = self._t
        if item.fate is Fate.HARM:
            return t.words.harms[item.circuit]
        key = {
            Fate.LEAVES: "fate.leaves",
            Fate.RUNS_OUT: "fate.runs_out",
            Fate.ICE: "fate.ice",
            Fate.NOTHING: "fate.nothing",
        }[item.fate]
        return str(t(key))
