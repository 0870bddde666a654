"""Released rounds and what was pressed on them."""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, Connection, delete, select

from frostwatch.advice.walk import Press, WalkRound
from frostwatch.errors import RecordError
from frostwatch.records.entries import Entry
from frostwatch.storage import entry_rows
from frostwatch.storage.bodies import from_body, read_again, to_body
from frostwatch.storage.database import Database, insert_new
from frostwatch.storage.page_tables import PressRow, RoundRow
from frostwatch.storage.tables import VehicleRow, table_of

WALKED_FOR = timedelta(hours=36)
"""A round that nobody handed back is not shown any longer. Estimate."""

_round = table_of(RoundRow)
_press = table_of(PressRow)
_vehicle = table_of(VehicleRow)


class SqlRounds:
    """Rounds on SQLite or PostgreSQL. Implements ``ports.pages.Rounds``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add_round(self, walk: WalkRound) -> bool:
        """Keep a round; False if its code is taken."""
        with self._database.writing() as connection:
            return insert_new(connection, _round, [_row(walk)], ["code"]) == 1

    def change_round(self, code: str, change: Callable[[WalkRound], WalkRound]) -> WalkRound | None:
        """Change a round as it stands, read and written in one transaction.

        Two who read the same round lose nothing of each other: a stop that joined in between
        stays on it, and one that was handed back stays so.
        """
        known = _round.c.code == code
        with self._database.writing() as connection:
            connection.execute(select(_round.c.code).where(known).with_for_update())
            there = load_round(connection, code)
            if there is None or there.handed_back_at is not None:
                return there
            after = change(there)
            if after != there:
                connection.execute(_round.update().where(known).values(**_row(after)))
            return after

    def round(self, code: str) -> WalkRound | None:
        """The round of that code; None if there is none."""
        with self._database.reading() as connection:
            return load_round(connection, code)

    def presses(self, code: str) -> tuple[Press, ...]:
        """What was pressed on a round, in order of arrival."""
        with self._database.reading() as connection:
            return load_presses(connection, code)

    def add_press(self, press: Press, entries: Sequence[Entry]) -> bool:
        """Keep a press and what it records in one transaction; False if it was known already.

        Raises:
            RecordError: the vehicle is not entered any more.
        """
        with self._database.writing() as connection:
            row = {
                "id": press.id,
                "round": press.round,
                "received_at": press.received_at,
                "body": to_body(Press, press),
            }
            if insert_new(connection, _press, [row], ["id"]) == 0:
                return False
            known = connection.scalar(select(_vehicle.c.key).where(_vehicle.c.key == press.vehicle))
            if known is None:
                raise RecordError(
                    f"vehicle {press.vehicle!r} is not entered, so nothing can be recorded about "
                    "it. Enter it again, or note on paper what you saw."
                )
            entry_rows.append(connection, entries)
            return True

    def prune(self, before: datetime) -> None:
        """Drop rounds released before that moment; their entries stay."""
        with self._database.writing() as connection:
            connection.execute(delete(_round).where(_round.c.made_at < before))


def _row(walk: WalkRound) -> dict[str, object]:
    return {
        "code": walk.code,
        "site": walk.site,
        "made_at": walk.made_at,
        "handed_back_at": walk.handed_back_at,
        "body": to_body(WalkRound, walk),
    }


def load_round(connection: Connection, code: str) -> WalkRound | None:
    """The round of that code; None if there is none."""
    body = connection.scalar(select(_round.c.body).where(_round.c.code == code))
    return None if body is None else read_again(WalkRound, body, where=f"round {code}")


def open_round(connection: Connection, site: str, now: datetime) -> WalkRound | None:
    """The newest round of a site that is still walked; None for none."""
    return _newest(connection, site, now, _round.c.handed_back_at.is_(None))


def round_over(connection: Connection, site: str, now: datetime) -> WalkRound | None:
    """The newest round of a site that was handed back and whose figures still count."""
    return _newest(connection, site, now, _round.c.handed_back_at.is_not(None))


def _newest(
    connection: Connection, site: str, now: datetime, which: ColumnElement[bool]
) -> WalkRound | None:
    wanted = (
        select(_round.c.code, _round.c.body)
        .where(
            _round.c.site == site,
            which,
            _round.c.made_at > now - WALKED_FOR,
            _round.c.made_at <= now,
        )
        .order_by(_round.c.made_at.desc())
        .limit(1)
    )
    found = connection.execute(wanted).first()
    return None if found is None else read_again(WalkRound, found.body, where=f"round {found.code}")


def load_presses(connection: Connection, code: str) -> tuple[Press, ...]:
    """What was pressed on a round, in order of arrival."""
    wanted = (
        select(_press.c.id, _press.c.body)
        .where(_press.c.round == code)
        .order_by(_press.c.received_at, _press.c.id)
    )
    return tuple(
        from_body(Press, body, where=f"press {number}")
        for number, body in connection.execute(wanted)
    )
