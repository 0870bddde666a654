"""The height of the model's own ground, asked for once a place."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import urlencode

import numpy as np

from frostwatch.weather.asking import Commercial, Limit, Outcome, Parsed, Validators
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.providers.open_meteo_reply import ATTRIBUTION, dump, parse, placed
from frostwatch.weather.providers.open_meteo_server import MOST_PLACES, OpenMeteoServer, where
from frostwatch.weather.site_air import AIR_LAPSE_K_PER_M

NAME = "open-meteo-ground"


class OpenMeteoGround:
    """Asks once for the height of the model's own ground at a place.

    The server warms or cools the model's air to the height sent, always by 6.5 K/km. Asked for the
    same place with ``elevation=nan`` it does not: the difference of the two tells how high the
    model's ground is, which the inversion guard needs.

    Args:
        server: an ``OpenMeteoServer("api", ...)``.
    """

    name = NAME
    attribution: tuple[Attribution, ...] = ATTRIBUTION
    max_batch = MOST_PLACES // 2
    horizon_h = 24
    refresh = timedelta(days=365)

    def __init__(self, server: OpenMeteoServer) -> None:
        self._server = server

    @property
    def host(self) -> str:
        """See ``Provider``; the public hosts share one budget."""
        return self._server.host

    @property
    def commercial(self) -> Commercial:
        """See ``Provider``."""
        return self._server.commercial

    @property
    def limits(self) -> tuple[Limit, ...]:
        """See ``Provider``."""
        return self._server.limits

    def weight(self, places: int) -> float:
        """Two a place, once."""
        return 2.0 * places

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        known: Mapping[str, Validators] | None = None,
    ) -> dict[str, Outcome]:
        """See ``Provider``; places without a height get a failure, there is nothing to compare."""
        with_height = [point for point in points if point.height_m is not None]
        found: dict[str, Outcome] = {
            point.key: FetchFailure(
                kind=FailureKind.NOT_COVERED,
                message=f"Open-Meteo: the height of {point.key} is not known.",
                retry_at=now + timedelta(days=1),
            )
            for point in points
            if point.height_m is None
        }
        twice = self._server.fetch(
            with_height, now=now, url=self.url, parse=parse_ground, split=pairs
        )
        return found | twice

    def url(self, points: Sequence[Point]) -> str:
        """Address that names every place twice: as the model has it, and at its height."""
        query = where([point for point in points for _ in range(2)])
        query["elevation"] = ",".join(f"nan,{point.height_m:g}" for point in points)
        query |= {
            "hourly": "temperature_2m",
            "past_hours": "48",
            "forecast_hours": "48",
            "timeformat": "unixtime",
            "timezone": "GMT",
            "cell_selection": "land",
        }
        return f"{self._server.base_url}/v1/forecast?{urlencode(query, safe=',')}"

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        """See ``Parser``."""
        return parse_ground(body, points, fetched_at)


def parse_ground(body: bytes, points: Sequence[Point], fetched_at: datetime) -> dict[str, Parsed]:
    """Frames whose ``grid_height_m`` is what was asked for. Pure."""
    twice = pairs(body, points)
    if isinstance(twice, FetchFailure):
        return dict.fromkeys((point.key for point in points), twice)
    found: dict[str, Parsed] = {}
    for point in points:
        bare, lifted = (
            parse(dump(one), [point], fetched_at)[point.key] for one in twice[point.key]
        )
        found[point.key] = _ground(bare, lifted, point)
    return found


def pairs(body: bytes, points: Sequence[Point]) -> dict[str, Any] | FetchFailure:
    """Point key -> its two parts of a body: as the model has it, and at its height."""
    found = placed(body, 2 * len(points))
    if isinstance(found, FetchFailure):
        return found
    plain = [{name: value for name, value in one.items() if name != "location_id"} for one in found]
    return {point.key: plain[2 * n : 2 * n + 2] for n, point in enumerate(points)}


def _ground(bare: Parsed, lifted: Parsed, point: Point) -> Parsed:
    """The lifted frame with the height of the model's ground."""
    if not isinstance(bare, Forecast):
        return bare
    if not isinstance(lifted, Forecast) or point.height_m is None:
        return lifted
    if bare.hours != lifted.hours:
        return FetchFailure(
            kind=FailureKind.BROKEN_REPLY, message="Open-Meteo: the two heights do not match."
        )
    warmed_k = float(np.mean(lifted.columns["air_c"] - bare.columns["air_c"]))
    grid_height_m = point.height_m + warmed_k / AIR_LAPSE_K_PER_M
    return replace(lifted, provider=NAME, grid_height_m=round(grid_height_m))
