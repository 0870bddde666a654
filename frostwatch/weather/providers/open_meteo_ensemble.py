"""Open-Meteo ensembles: mean and spread for one cheap call, or all members."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from urllib.parse import urlencode

from frostwatch.weather.asking import Commercial, Limit, Outcome, Parsed, Validators
from frostwatch.weather.forecast import Attribution, Point
from frostwatch.weather.providers.open_meteo_ensemble_reply import NAME, parse
from frostwatch.weather.providers.open_meteo_reply import ATTRIBUTION
from frostwatch.weather.providers.open_meteo_server import (
    MOST_PLACES,
    OpenMeteoServer,
    call_weight,
    where,
)

AHEAD_H = 168
MEAN_MODEL = "ecmwf_ifs025_ensemble_mean"
MEMBER_MODEL = "icon_seamless"
MEMBERS_NAME = "open-meteo-members"
MEMBERS = 40
"""Members of ICON-EPS as offered; the call weighs as many variables."""


class OpenMeteoEnsemble:
    """Asks one Open-Meteo server for the spread of an ensemble.

    Args:
        server: an ``OpenMeteoServer("ensemble-api", ...)``.
        members: False for mean and spread, which weighs 1; True for all members, which weighs 4.
    """

    attribution: tuple[Attribution, ...] = ATTRIBUTION
    max_batch = MOST_PLACES
    horizon_h = AHEAD_H
    refresh = timedelta(hours=12)

    def __init__(self, server: OpenMeteoServer, *, members: bool = False) -> None:
        self.name = MEMBERS_NAME if members else NAME
        self._server = server
        self._members = members

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
        """Weight of a request for that many places: a member counts as a variable."""
        return places * call_weight(MEMBERS if self._members else 2, AHEAD_H / 24.0)

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
        wanted = "temperature_2m" if self._members else "temperature_2m,temperature_2m_spread"
        query = where(points) | {
            "models": MEMBER_MODEL if self._members else MEAN_MODEL,
            "hourly": wanted,
            "forecast_hours": str(AHEAD_H),
            "timeformat": "unixtime",
            "timezone": "GMT",
            "cell_selection": "land",
        }
        return f"{self._server.base_url}/v1/ensemble?{urlencode(query, safe=',')}"
