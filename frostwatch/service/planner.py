"""A plan made at once, where somebody entered a handover and waits for its hours."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import structlog

from frostwatch.advice.held_together import drawing_at, what_is_left
from frostwatch.advice.plan_board import PlanBoard, VanPlans
from frostwatch.advice.shared import Choice, choice_of
from frostwatch.advice.shared_board import conflicts_of
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import Site, as_it_stands
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.service.handovers import SiteWeather, weather_of
from frostwatch.service.heights import heights_of
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory, point_of
from frostwatch.service.occasions import Advice, advise
from frostwatch.service.plan_keeping import is_ahead, plans_of
from frostwatch.weather.members import DEFAULT_LAW

log = structlog.get_logger()


@dataclass(frozen=True, slots=True, kw_only=True)
class Planner:
    """Plans one vehicle while others keep the plans they have.

    Attributes:
        kit: of the running service.
    """

    kit: Kit

    def plan(self, vehicle: str, now: datetime) -> None:
        """Plan a vehicle anew, or drop the plan of one without a handover.

        Nothing hangs on it: where it fails, the next pass plans.
        """
        try:
            self._plan(vehicle, now)
        except Exception as fault:
            known = isinstance(fault, FrostwatchError)
            log.error("plan not made", vehicle=vehicle, cause=str(fault), exc_info=not known)

    def advise(
        self,
        topic: str,
        vehicle: str,
        now: datetime,
        language: Language,
        *,
        at: datetime | None = None,
    ) -> Advice:
        """Advice about a vehicle on an occasion, in words.

        Raises:
            FleetError: topic or vehicle are not known, or the vehicle is not heated.
            NoForecastError: there is no usable forecast.
        """
        kit = self.kit
        laws = kit.lessons.laws() if kit.lessons is not None else {}
        book = kit.ledger.load(now)
        return advise(book, kit.forecasts, topic, vehicle, now, language=language, at=at, laws=laws)

    def _plan(self, key: str, now: datetime) -> None:
        plans = self.kit.plans
        book = self.kit.ledger.load(now)
        vehicle = next((one for one in book.vehicles if one.key == key), None)
        if plans is None or vehicle is None:
            return
        site = next(one for one in book.sites if one.key == vehicle.site)
        here, south = as_it_stands(vehicle, site), site.is_south
        van = Memory().van(here, book.entries.get(key, ()), now, south=south)
        before = plans.board(site.key)
        there = [one for one in book.vehicles if one.site == site.key]
        if not is_ahead(van, now):
            if before is not None:
                plans.keep(_with(before, key, None, site, there))
            return
        own = plans_of(self._weather(site, now), [van], now)
        if before is None:
            before = replace(own, vans=())
        plans.keep(_with(before, key, own, site, there))

    def _weather(self, site: Site, now: datetime) -> SiteWeather:
        """The air at a site, as a pass over it sees it."""
        kit = self.kit
        heights = heights_of([site], kit.heights, now)
        (fitted,) = heights.sites
        point = point_of(fitted)
        found = heights.fitted(site.key, kit.forecasts.at((point,), now)[point.key])
        laws = kit.lessons.laws() if kit.lessons is not None else {}
        law = laws.get(site.key, DEFAULT_LAW)
        return weather_of(fitted, found, now, law=law, members=kit.members)


def _with(
    before: PlanBoard, key: str, own: PlanBoard | None, site: Site, there: Sequence[Vehicle]
) -> PlanBoard:
    """A board with the plans of one vehicle changed; its order follows with the next pass."""
    others = [van for van in before.vans if van.vehicle != key]
    vans = sorted(
        (*others, *(own.vans if own is not None else ())),
        key=lambda van: (van.handover.at, van.vehicle),
    )
    broken = {one: why for one, why in before.broken.items() if one != key}
    posts = {one.key: one.post for one in there}
    wished = [choice for van in vans if (choice := _wished(van, posts)) is not None]
    planned = {van.vehicle for van in vans}
    drawing = drawing_at([one for one in there if one.key not in planned])
    kept_w = sum(one.watts for one in drawing)
    return replace(
        before,
        vans=tuple(vans),
        broken=broken | dict(own.broken if own is not None else {}),
        conflicts=conflicts_of(wished, what_is_left(site, drawing), kept_w=kept_w),
        order=None,
    )


def _wished(van: VanPlans, posts: Mapping[str, str]) -> Choice | None:
    plan, post = van.proposed, posts.get(van.vehicle, "")
    return choice_of(plan, post, who=van.handover.who) if plan.on_by is not None else None
