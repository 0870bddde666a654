"""Replies kept, asked again in time, and replaced by the next provider when one is down."""

from frostwatch.weather.cache.desk import Desk
from frostwatch.weather.cache.heights import HeightService, KeptHeights, MemoryTerrain, PlaceHeights
from frostwatch.weather.cache.shelf import Held, MemoryReplies, Shelf
from frostwatch.weather.cache.view import PlaceView, ProviderView, place_view
from frostwatch.weather.cache.weather_cache import WeatherCache

__all__ = [
    "Desk",
    "HeightService",
    "Held",
    "KeptHeights",
    "MemoryReplies",
    "MemoryTerrain",
    "PlaceHeights",
    "PlaceView",
    "ProviderView",
    "Shelf",
    "WeatherCache",
    "place_view",
]
