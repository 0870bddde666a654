"""Keeping what the pages show as fresh as the passes allow."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from frostwatch.advice.band import Band
from frostwatch.advice.board import Board
from frostwatch.advice.filling import fillings
from frostwatch.advice.night_reading import air_ahead, night_view
from frostwatch.advice.night_view import NightView
from frostwatch.advice.view import ForecastBasis
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.heatloss.solve import Trajectory
from frostwatch.messages.wording.draft import Level
from frostwatch.ports import Book
from frostwatch.service.nights import Memory, Van
from frostwatch.weather.site_air import SiteAir

LOOK_EVERY = timedelta(minutes=5)
"""A pass an hour fetches and steps; in between, the readings that fall due are served."""
BOARD_HOLDS = timedelta(minutes=58)
"""A board is made anew about every hour, at once where something was recorded."""


def is_old(
    boards: Mapping[str, datetime] | None,
    site: Site,
    vans: Sequence[Van],
    now: datetime,
    memory: Memory,
) -> bool:
    """Whether what a site's pages show is out of date.

    Args:
        boards: site -> moment of its board; None where nothing is kept for pages.
        site: the site.
        vans: its vehicles.
        now: moment of the pass, UTC.
        memory: what earlier passes of this process showed.
    """
    if boards is None:
        return False
    at = boards.get(site.key)
    if at is None or now - at >= BOARD_HOLDS:
        return True
    shown = memory.shown.get(site.key)
    if shown is not None and shown != as_entered(site, vans):
        return True
    return any(van.recorded_at is not None and van.recorded_at > at for van in vans)


def as_entered(site: Site, vans: Sequence[Van]) -> tuple[Site, tuple[Vehicle, ...]]:
    """A site and its vehicles, to see whether anything was entered or changed since."""
    return site, tuple(van.vehicle for van in vans)


def night_of(
    van: Van,
    trajectory: Trajectory,
    air: Band,
    *,
    site: Site,
    basis: ForecastBasis,
    now: datetime,
) -> NightView:
    """The night of one vehicle, ready to be shown."""
    return night_view(
        van.vehicle.key,
        trajectory,
        van.layout,
        van.water,
        air,
        zone=site.zone,
        made_at=now,
        issued_at=basis.issued_at,
        ratio=site.cost_ratio,
    )


def with_fillings(
    board: Board, vans: Sequence[Van], air: SiteAir | None, book: Book, now: datetime
) -> Board:
    """A board that tells of every vehicle that froze whether it may be filled."""
    asked = {one.vehicle for one in board.vehicles if one.level in (Level.TOO_LATE, Level.THAW)}
    froze = [van for van in vans if van.vehicle.key in asked]
    if air is None or not froze:
        return board
    rows = [(v.vehicle, v.layout, v.water, book.entries.get(v.vehicle.key, ())) for v in froze]
    gates = {
        van.vehicle.key: gate for van, gate in zip(froze, fillings(rows, air, now), strict=True)
    }
    told = tuple(replace(one, filling=gates.get(one.vehicle)) for one in board.vehicles)
    return replace(board, vehicles=told)


def bands_of(airs: Mapping[str, SiteAir]) -> dict[str, Band]:
    """Site -> its air ahead as people are shown it."""
    return {site: air_ahead(air) for site, air in airs.items()}
