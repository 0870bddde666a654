"""Open-Meteo forecasts: public host, customer host with a key, or a server of one's own."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from urllib.parse import urlencode

from frostwatch.weather.asking import Commercial, Limit, Outcome, Parsed, Validators
from frostwatch.weather.forecast import Attribution, Point
from frostwatch.weather.providers.open_meteo_reply import ATTRIBUTION, COLUMN_OF, NAME, parse
from frostwatch.weather.providers.open_meteo_server import (
    MOST_PLACES,
    OpenMeteoServer,
    call_weight,
    where,
)

PAST_H = 120
AHEAD_H = 168


class OpenMeteo:
    """Asks one Open-Meteo server for forecasts.

    Args:
        server: an ``OpenMeteoServer("api", ...)``.
    """

    name = NAME
    attribution: tuple[Attribution, ...] = ATTRIBUTION
    max_batch = MOST_PLACES
    horizon_h = AHEAD_H
    refresh = timedelta(hours=3)

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
        """Weight of a request for that many places."""
        return places * call_weight(len(COLUMN_OF), (PAST_H + AHEAD_H) / 24.0)

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        known: Mapping[str, Validators] | None = None,
    ) -> dict[str, Outcome]:
        """See ``Provider``. The server knows no conditional requests: ``known`` has no effect."""
        return self._server.fetch(points, now=now, url=self.url, parse=parse)

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        """See ``Parser``."""
        return parse(body, points, fetched_at)

    def url(self, points: Sequence[Point]) -> str:
        """Address of the request for ``points``, which all have a height or all have none."""
        query = where(points) | {
            "hourly": ",".join(COLUMN_OF),
            "past_hours": str(PAST_H),
            "forecast_hours": str(AHEAD_H),
            "wind_speed_unit": "ms",
            "timeformat": "unixtime",
            "timezone": "GMT",
            "cell_selection": "land",
        }
        return f"{self._server.base_url}/v1/forecast?{urlencode(query, safe=',')}"
