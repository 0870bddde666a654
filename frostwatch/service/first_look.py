"""A first look at a place that is still being entered: worked out whole, kept and told nowhere."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.advice.board import Board, board_of
from frostwatch.errors import ForecastError
from frostwatch.fleet.fleet import Fleet
from frostwatch.service.kit import Kit
from frostwatch.service.memory_ledger import MemoryLedger
from frostwatch.service.pass_ import run_pass
from frostwatch.weather.forecast import FetchFailure
from frostwatch.weather.providers.open_meteo_places import Place, find_heights, find_places
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer

COORDINATE_DIGITS = 2
"""Figures of a place that leave this computer: about a kilometre."""
MOST_PLACES = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FirstLook:
    """What a pass over the place would find now.

    Attributes:
        board: how its vehicles stand, and the air.
        why_none: why there is no usable forecast, "" if there is one.
        left_out: vehicles that cannot be reckoned with, each with its cause.
        failed: why nothing came of it, "" if something did.
    """

    board: Board | None
    why_none: str = ""
    left_out: Sequence[str] = ()
    failed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scout:
    """Finds places, and looks at one before it is entered.

    Attributes:
        kit: of the running service; nothing of it is written to.
        places: makes the server that finds places by name, or raises SettingsError; None where
            nobody is asked.
        heights: the same for heights.
    """

    kit: Kit
    places: Callable[[], OpenMeteoServer] | None = None
    heights: Callable[[], OpenMeteoServer] | None = None

    def find(self, name: str, now: datetime, language: str) -> tuple[Place, ...]:
        """Places of that name, best first.

        Raises:
            ForecastError: nobody can be asked, or the answer cannot be used.
            SettingsError: the terms of the service do not fit the declared use.
        """
        if self.places is None:
            raise ForecastError("This service looks up no places.")
        found = find_places(self.places(), name, now, count=MOST_PLACES, language=language)
        if isinstance(found, FetchFailure):
            raise ForecastError(found.message)
        return found

    def ground_m(self, latitude_deg: float, longitude_deg: float, now: datetime) -> float | None:
        """Height of the ground by a 90 m model [m]; None where nobody knows or can be asked."""
        if self.heights is None:
            return None
        rounded = round(latitude_deg, COORDINATE_DIGITS), round(longitude_deg, COORDINATE_DIGITS)
        found = find_heights(self.heights(), [rounded], now)
        return None if isinstance(found, FetchFailure) else found[0]

    def look(self, fleet: Fleet, now: datetime) -> FirstLook:
        """Look at the one site of a fleet that is entered nowhere."""
        apart = replace(self.kit, ledger=MemoryLedger(fleet), links=None)
        (work,) = run_pass(apart, now, everything=True, keep=False).sites
        if work.failed:
            return FirstLook(board=None, failed=work.failed)
        return FirstLook(
            board=board_of(work.view, now), why_none=work.why_none, left_out=work.left_out
        )
