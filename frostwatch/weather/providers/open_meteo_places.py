"""Places by name and heights of places, from Open-Meteo's two small services."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from frostwatch.weather.asking import batches
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure
from frostwatch.weather.providers.open_meteo_server import MOST_PLACES, OpenMeteoServer

HEIGHT_ATTRIBUTION = Attribution(
    text="Heights: Copernicus GLO-90, via Open-Meteo.com",
    url="https://open-meteo.com/en/docs/elevation-api",
    licence="Copernicus free and open licence",
)
PLACE_ATTRIBUTION = Attribution(
    text="Places: GeoNames, via Open-Meteo.com",
    url="https://open-meteo.com/en/docs/geocoding-api",
    licence="CC BY 4.0",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place found by name.

    Attributes:
        name: as the gazetteer writes it.
        region: what tells it from others of that name, e.g. ``"Cumbria, United Kingdom"``.
        latitude_deg: WGS 84 [deg].
        longitude_deg: WGS 84 [deg].
        height_m: above sea level [m], None if the gazetteer does not know.
        time_zone: IANA name, "" if the gazetteer does not know.
    """

    name: str
    region: str
    latitude_deg: float
    longitude_deg: float
    height_m: float | None
    time_zone: str


def find_places(
    server: OpenMeteoServer, name: str, now: datetime, *, count: int = 10, language: str = "en"
) -> tuple[Place, ...] | FetchFailure:
    """Places of that name, best first; empty if there is none.

    Args:
        server: an ``OpenMeteoServer("geocoding-api", ...)``.
        name: at least two letters; ", country" behind it narrows the search.
        now: aware UTC time.
        count: most places wanted.
        language: ISO 639-1 code.
    """
    query = urlencode({"name": name, "count": count, "language": language, "format": "json"})
    body = server.question(f"{server.base_url}/v1/search?{query}", now)
    if isinstance(body, FetchFailure):
        return body
    try:
        return tuple(_place(one) for one in body.get("results", []))
    except (KeyError, TypeError, ValueError, AttributeError) as wrong:
        return _broken(f"the list of places cannot be read ({wrong!r}).")


def find_heights(
    server: OpenMeteoServer, coordinates: Sequence[tuple[float, float]], now: datetime
) -> tuple[float, ...] | FetchFailure:
    """Heights above sea level [m] in the order given, from a 90 m model of the ground.

    Args:
        server: an ``OpenMeteoServer("api", ...)``.
        coordinates: latitude and longitude [deg]; sent as given, so round them before.
        now: aware UTC time.
    """
    found: list[float] = []
    for batch in batches(list(coordinates), MOST_PLACES):
        query = {
            "latitude": ",".join(f"{latitude:g}" for latitude, _ in batch),
            "longitude": ",".join(f"{longitude:g}" for _, longitude in batch),
        }
        url = f"{server.base_url}/v1/elevation?{urlencode(query, safe=',')}"
        body = server.question(url, now)
        if isinstance(body, FetchFailure):
            return body
        heights = body.get("elevation") if isinstance(body, dict) else None
        if not isinstance(heights, list) or len(heights) != len(batch):
            return _broken(f"{len(batch)} heights were asked for, {heights!r:.80} came back.")
        if not all(isinstance(one, int | float) and math.isfinite(one) for one in heights):
            return _broken(f"a height is no number: {heights!r:.80}")
        found += [float(one) for one in heights]
    return tuple(found)


def _place(found: Mapping[str, Any]) -> Place:
    region = [found.get("admin1"), found.get("country")]
    height_m = found.get("elevation")
    return Place(
        name=str(found["name"]),
        region=", ".join(str(one) for one in region if one),
        latitude_deg=float(found["latitude"]),
        longitude_deg=float(found["longitude"]),
        height_m=None if height_m is None else float(height_m),
        time_zone=str(found.get("timezone") or ""),
    )


def _broken(words: str) -> FetchFailure:
    return FetchFailure(kind=FailureKind.BROKEN_REPLY, message=f"Open-Meteo: {words}")
