"""A day of requests for a thousand sites, counted with the weights of the real requests."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from frostwatch.weather.asking import Provider, Use
from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import FetchFailure, Forecast, Point, point_for
from frostwatch.weather.manners import MemoryAttempts
from frostwatch.weather.providers.open_meteo import OpenMeteo
from frostwatch.weather.providers.open_meteo_ensemble import OpenMeteoEnsemble
from frostwatch.weather.providers.open_meteo_ground import OpenMeteoGround
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer
from tests.weather.fake_providers import FakeProvider

DAY = datetime(2026, 11, 18, tzinfo=UTC)


@dataclass(frozen=True, kw_only=True)
class RequestDay:
    """What a day of requests came to, and what the last pass of it found."""

    weight: float
    requests: int
    places_asked: int
    found: Sequence[Forecast | FetchFailure]


def a_thousand_sites() -> list[Point]:
    """20 yards with 45 sites each at slightly different spots, and 100 drives: 120 places."""
    yards = [
        point_for(51.0 + yard / 10 + spot * 1e-5, -1.0, 100.0 + spot % 7)
        for yard in range(20)
        for spot in range(45)
    ]
    sites = yards + [point_for(53.0 + drive / 50, -2.0, 50.0) for drive in range(100)]
    assert (len(sites), len({point.key for point in sites})) == (1000, 120)
    return sites


def day_of_requests(air_c: float, *, days_before: int = 1) -> RequestDay:
    """One pass an hour at five past, as the public host counts it."""
    servers = {
        api: OpenMeteoServer(api, user_agent="t", use=Use.PRIVATE)
        for api in ("api", "ensemble-api")
    }
    forecast = _like(OpenMeteo(servers["api"]), air_c)
    ground = _like(OpenMeteoGround(servers["api"]), air_c)
    ensembles = [
        _like(OpenMeteoEnsemble(servers["ensemble-api"], members=members), air_c)
        for members in (False, True)
    ]
    for ensemble in ensembles:
        ensemble.spread_k = 1.0
    attempts = MemoryAttempts(days=3)
    cache = WeatherCache(
        [forecast],
        MemoryReplies(),
        ensemble=ensembles[0],
        members=ensembles[1],
        ground=(ground, forecast.name),
        attempts=attempts,
        sleep=lambda _: None,
    )
    sites = a_thousand_sites()
    for hour in range(-24 * days_before, 24):
        found = cache.at(sites, DAY + timedelta(hours=hour, minutes=5))
    day = list(attempts.since(forecast.host, DAY))
    return RequestDay(
        weight=sum(one.weight for one in day),
        requests=len(day),
        places_asked=sum(one.places for one in day),
        found=list(found.values()),
    )


def _like(real: Provider, air_c: float) -> FakeProvider:
    """A provider that costs what the real one costs and knows one flat air."""
    return FakeProvider(
        real.name,
        air_c=air_c,
        max_batch=real.max_batch,
        limits=real.limits,
        refresh_h=real.refresh / timedelta(hours=1),
        weight=real.weight(1),
        host=real.host,
    )
