"""Boards and nights in their tables."""

import zlib
from collections.abc import Sequence
from datetime import datetime
from functools import lru_cache

from pydantic_core import to_json
from sqlalchemy import Connection, delete, select

from frostwatch.advice.board import Board
from frostwatch.advice.night_view import NightView
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import upsert
from frostwatch.storage.page_tables import SiteBoardRow, VehicleNightRow
from frostwatch.storage.tables import table_of

BOARDS_KEPT = 32
"""Boards kept read: that of a site with 500 vehicles takes some megabytes."""
FAST = 1
"""Level of compression: half the time of the default for a tenth more bytes, measured."""

_board = table_of(SiteBoardRow)
_night = table_of(VehicleNightRow)


def save_board(connection: Connection, board: Board) -> None:
    """Keep how a site stands now instead of how it stood."""
    # the age of a forecast that never came is infinite, which plain JSON would make null
    body = zlib.compress(to_json(board, inf_nan_mode="constants"), FAST)
    upsert(connection, _board, [{"site": board.site, "at": board.at, "body": body}], ["site"])


def save_nights(connection: Connection, site: str, nights: Sequence[NightView]) -> None:
    """Keep the nights of a site's wet vehicles; those of vehicles that are dry by now go."""
    connection.execute(delete(_night).where(_night.c.site == site))
    rows = [
        {
            "vehicle": night.vehicle,
            "site": site,
            "body": zlib.compress(to_body(NightView, night).encode(), FAST),
        }
        for night in nights
    ]
    upsert(connection, _night, rows, ["vehicle"])


def load_board(connection: Connection, site: str) -> Board | None:
    """How a site stood at its last pass; None before the first."""
    body = connection.scalar(select(_board.c.body).where(_board.c.site == site))
    return None if body is None else _board_in(bytes(body), site)


@lru_cache(maxsize=BOARDS_KEPT)
def _board_in(body: bytes, site: str) -> Board:
    """The board in these bytes: pages read the same one until the next pass."""
    return _read_board(body, site)


def _read_board(body: bytes, site: str) -> Board:
    return from_body(Board, zlib.decompress(body).decode(), where=f"the board of site {site}")


def board_times(connection: Connection) -> dict[str, datetime]:
    """Site -> moment of its board."""
    rows = connection.execute(select(_board.c.site, _board.c.at))
    return {row.site: row.at for row in rows}


def load_night(connection: Connection, vehicle: str) -> NightView | None:
    """The night of a vehicle at the last pass; None where there is none."""
    body = connection.scalar(select(_night.c.body).where(_night.c.vehicle == vehicle))
    if body is None:
        return None
    text = zlib.decompress(body).decode()
    return from_body(NightView, text, where=f"the night of vehicle {vehicle}")
