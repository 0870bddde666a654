"""What is asked for beside a forecast: the height of the model's ground, the spread of an ensemble.

Neither is needed. What cannot be had leaves the error to the table and the air as it came.
"""

from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from datetime import datetime

import structlog

from frostwatch.weather.asking import Provider
from frostwatch.weather.cache.desk import Desk
from frostwatch.weather.cache.shelf import Shelf
from frostwatch.weather.ensemble import with_spread
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.manners import (
    SLACK,
    cold_night_ahead,
    lowest_ahead_c,
    room_for_extras,
    weight_to_come,
)

log = structlog.get_logger()

MEMBERS_BELOW_C = 5.0
"""Air ahead below which an ensemble's members are worth four times the weight. Estimate."""


class Beside:
    """Asks for ground and spread, and lays them beside forecasts.

    Args:
        shelf: replies at hand.
        desk: sends requests.
        ensemble: provider of mean and spread; None leaves the error to the table.
        members: provider of an ensemble's members, for places with a cold night ahead.
        ground: provider of the height of the model's own ground, and the name of the provider
            whose frames it belongs to.
    """

    def __init__(
        self,
        shelf: Shelf,
        desk: Desk,
        *,
        ensemble: Provider | None = None,
        members: Provider | None = None,
        ground: tuple[Provider, str] | None = None,
    ) -> None:
        self.ensemble = ensemble
        self.members = members
        self.ground = ground
        self._shelf = shelf
        self._desk = desk
        self._said: set[str] = set()

    @property
    def providers(self) -> tuple[Provider, ...]:
        """All that may be asked for spread, mean and spread first."""
        return tuple(one for one in (self.ensemble, self.members) if one is not None)

    def ask(
        self,
        points: Sequence[Point],
        frames: Mapping[str, Forecast],
        forecasts: Sequence[Provider],
        now: datetime,
    ) -> None:
        """Ask for what is due.

        Args:
            points: places that have a forecast.
            frames: point key -> its forecast.
            forecasts: the forecast providers, whose own requests come first.
            now: aware UTC time.
        """
        self._ask_ground(points, frames, now)
        failures = self._ask_members(points, frames, forecasts, now)
        if self.ensemble is not None:
            young = self._with_members(points, now)
            rest = [point for point in points if point.key not in young]
            failures |= self._desk.refresh(self.ensemble, rest, now)
        refused = [one for one in failures.values() if one.kind is FailureKind.REFUSED]
        if refused and refused[0].message not in self._said:
            self._said.add(refused[0].message)
            log.warning("no ensemble", cause=refused[0].message, instead="the table of errors")

    def laid(
        self, points: Sequence[Point], frames: Mapping[str, Forecast], now: datetime
    ) -> dict[str, Forecast]:
        """The forecasts with the height of the model's ground and a spread, where known."""
        grounds = self._shelf.held(self.ground[0], points) if self.ground else {}
        spreads = [self._shelf.held(provider, points) for provider in self.providers]
        found: dict[str, Forecast] = {}
        for point in points:
            one = frames[point.key]
            ground = grounds.get(point.key)
            if ground is not None and self.ground and one.provider == self.ground[1]:
                one = replace(one, grid_height_m=ground.forecast.grid_height_m)
            held = [each[point.key] for each in spreads if point.key in each]
            newest = max(held, key=lambda each: each.reply.fetched_at, default=None)
            if newest is not None:
                one = with_spread(one, newest.forecast, now)
            found[point.key] = one
        return found

    def _ask_ground(
        self, points: Sequence[Point], frames: Mapping[str, Forecast], now: datetime
    ) -> None:
        """Ask how high the model's own ground is; once a place, and kept for good."""
        if self.ground is not None:
            provider, model_of = self.ground
            own = [
                point
                for point in points
                if point.height_m is not None and frames[point.key].provider == model_of
            ]
            self._desk.refresh(provider, own, now)

    def _ask_members(
        self,
        points: Sequence[Point],
        frames: Mapping[str, Forecast],
        forecasts: Sequence[Provider],
        now: datetime,
    ) -> dict[str, FetchFailure]:
        """Ask for members where a cold night lies ahead, the coldest places first, as far as the
        day's room for extras goes."""
        if self.members is None:
            return {}
        young = self._with_members(points, now)
        wanted = [
            point
            for point in points
            if point.key not in young and cold_night_ahead(frames[point.key], now, MEMBERS_BELOW_C)
        ]
        if not wanted:
            return {}
        left = self._room(len(points), forecasts, self.members, now)
        wanted.sort(key=lambda point: lowest_ahead_c(frames[point.key], now))
        while wanted and self.members.weight(len(wanted)) > left:
            wanted.pop()
        return self._desk.refresh(self.members, wanted, now)

    def _room(
        self, places: int, forecasts: Sequence[Provider], members: Provider, now: datetime
    ) -> float:
        """Weight that members may take now, the usual requests of the day set aside."""
        usual = [(one, True) for one in forecasts]
        usual += [(self.ensemble, False)] if self.ensemble is not None else []
        to_come = sum(
            weight_to_come(one, places, now, asked=asked)
            for one, asked in usual
            if one.host == members.host
        )
        attempts = self._desk.attempts(members.host, now)
        return room_for_extras(members.limits, attempts, now, to_come)

    def _with_members(self, points: Sequence[Point], now: datetime) -> Set[str]:
        """Keys of places whose members at hand need not be asked for again yet."""
        if self.members is None:
            return set()
        latest = now - self.members.refresh + SLACK
        held = self._shelf.held(self.members, points)
        return {key for key, one in held.items() if one.reply.fetched_at > latest}
