"""What passes rested on, compressed."""

import json
import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Connection, delete, select

from frostwatch.advice.reminders import Reminder
from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import FrameBasis, KeptState, PassBasis
from frostwatch.storage.basis_tables import PassBasisRow
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import Database
from frostwatch.storage.tables import table_of
from frostwatch.weather.forecast import Attribution
from frostwatch.weather.learning import Learnt

SILENCE_KEPT = timedelta(days=14)
"""How long the basis of silence is kept: estimate, as long as replies that nothing rests on."""
QUICK = 1
"""Compression level: most of it are members' temperatures, which hardly shrink."""

_basis = table_of(PassBasisRow)
Arrays = Mapping[str, NDArray[Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class _State:
    """A kept state without its numbers."""

    vehicle: str
    at: datetime
    signature: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """A frame's basis without its numbers."""

    provider: str
    fetched_at: datetime
    height_m: float | None
    grid_height_m: float | None
    warnings: tuple[str, ...]
    attribution: tuple[Attribution, ...]
    earlier_h: int
    lowered_k: float = 0.0
    digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Body:
    """The words of a basis."""

    site: Site
    people: tuple[Person, ...]
    vehicles: tuple[Vehicle, ...]
    reminders: tuple[Reminder, ...]
    judged_to: datetime | None
    states: tuple[_State, ...]
    members: int
    learnt: Learnt | None
    frame: _Frame | None
    under_way: tuple[str, ...] = ()


def keep_basis(connection: Connection, basis: PassBasis) -> None:
    """Add what a pass rested on."""
    connection.execute(_basis.insert().values(_row(basis)))


class SqlBases:
    """What passes rested on. Implements ``ports.BasisStore``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def listed(self, site: str, *, since: datetime) -> Sequence[PassBasis]:
        """Kept passes over a site since then, oldest first."""
        wanted = select(_basis).where(_basis.c.site == site, _basis.c.at >= since)
        with self._database.reading() as connection:
            rows = connection.execute(wanted.order_by(_basis.c.at, _basis.c.id)).all()
        return [_read(row) for row in rows]

    def at(self, site: str, moment: datetime) -> PassBasis | None:
        """The last kept pass over a site up to a moment, None if there is none."""
        wanted = select(_basis).where(_basis.c.site == site, _basis.c.at <= moment)
        newest = wanted.order_by(_basis.c.at.desc(), _basis.c.id.desc()).limit(1)
        with self._database.reading() as connection:
            row = connection.execute(newest).first()
        return None if row is None else _read(row)

    def prune(self, now: datetime, *, season: timedelta) -> None:
        """Drop silence after a fortnight and everything after a season."""
        silence = ~_basis.c.said & (_basis.c.at < now - SILENCE_KEPT)
        with self._database.writing() as connection:
            connection.execute(delete(_basis).where(silence | (_basis.c.at < now - season)))


def _row(basis: PassBasis) -> dict[str, Any]:
    frame = basis.frame
    body = _Body(
        site=basis.site,
        people=basis.people,
        vehicles=basis.vehicles,
        reminders=basis.reminders,
        judged_to=basis.judged_to,
        states=tuple(
            _State(vehicle=one.vehicle, at=one.at, signature=one.signature) for one in basis.states
        ),
        members=basis.members,
        learnt=basis.learnt,
        frame=None if frame is None else _frame_words(frame),
        under_way=basis.under_way,
    )
    return {
        "site": basis.site.key,
        "at": basis.at,
        "said": basis.said,
        "reply_id": frame.reply_id or None if frame is not None else None,
        "spread_reply_id": frame.spread_reply_id or None if frame is not None else None,
        "body": zlib.compress(to_body(_Body, body).encode()),
        "numbers": _packed(dict(_numbers(basis))),
    }


def _frame_words(frame: FrameBasis) -> _Frame:
    return _Frame(
        provider=frame.provider,
        fetched_at=frame.fetched_at,
        height_m=frame.height_m,
        grid_height_m=frame.grid_height_m,
        warnings=frame.warnings,
        attribution=frame.attribution,
        earlier_h=frame.earlier_h,
        lowered_k=frame.lowered_k,
        digest=frame.digest,
    )


def _numbers(basis: PassBasis) -> Iterable[tuple[str, NDArray[Any]]]:
    for index, state in enumerate(basis.states):
        for name, values in state.arrays.items():
            yield f"state/{index}/{name}", np.asarray(values, dtype="<f4")
    frame = basis.frame
    if frame is None:
        return
    if frame.recent_c is not None:
        yield "recent", frame.recent_c.astype("<f8")
    if frame.spread_k is not None:
        yield "spread", frame.spread_k.astype("<f8")
    for name, hours in frame.earlier.items():
        yield f"earlier/{name}", hours.astype("<f8")


def _packed(arrays: Arrays) -> bytes:
    """Names, kinds and shapes on a line of JSON, then the numbers."""
    head = {name: [values.dtype.str, values.shape] for name, values in arrays.items()}
    numbers = b"".join(np.ascontiguousarray(values).tobytes() for values in arrays.values())
    return zlib.compress(json.dumps(head).encode() + b"\n" + numbers, QUICK)


def _unpacked(packed: bytes) -> dict[str, NDArray[Any]]:
    head, _, numbers = zlib.decompress(packed).partition(b"\n")
    found, start = {}, 0
    for name, (kind, shape) in json.loads(head).items():
        count = int(np.prod(shape, dtype=int))
        values = np.frombuffer(numbers, dtype=kind, count=count, offset=start)
        found[name] = values.reshape(shape)
        start += values.nbytes
    return found


def _read(row: Any) -> PassBasis:
    where = f"what the pass over {row.site} of {row.at:%Y-%m-%d %H:%M} UTC rested on"
    try:
        words = zlib.decompress(row.body).decode()
        numbers = _unpacked(row.numbers)
    except (zlib.error, ValueError) as spoilt:
        raise LedgerError(f"{where} is spoilt: {spoilt}. Restore a backup.") from spoilt
    body = from_body(_Body, words, where=where)
    return PassBasis(
        id=row.id,
        site=body.site,
        at=row.at,
        said=row.said,
        people=body.people,
        vehicles=body.vehicles,
        reminders=body.reminders,
        judged_to=body.judged_to,
        states=tuple(
            KeptState(
                vehicle=one.vehicle,
                at=one.at,
                signature=one.signature,
                arrays=_under(numbers, f"state/{index}/"),
            )
            for index, one in enumerate(body.states)
        ),
        members=body.members,
        learnt=body.learnt,
        frame=None if body.frame is None else _frame(row, body.frame, numbers),
        under_way=body.under_way,
    )


def _frame(row: Any, words: _Frame, numbers: Arrays) -> FrameBasis:
    return FrameBasis(
        reply_id=row.reply_id or 0,
        spread_reply_id=row.spread_reply_id or 0,
        provider=words.provider,
        fetched_at=words.fetched_at,
        height_m=words.height_m,
        grid_height_m=words.grid_height_m,
        warnings=words.warnings,
        attribution=words.attribution,
        recent_c=numbers.get("recent"),
        spread_k=numbers.get("spread"),
        earlier=_under(numbers, "earlier/"),
        earlier_h=words.earlier_h,
        lowered_k=words.lowered_k,
        digest=words.digest,
    )


def _under(numbers: Arrays, prefix: str) -> dict[str, NDArray[Any]]:
    return {
        name.removeprefix(prefix): values
        for name, values in numbers.items()
        if name.startswith(prefix)
    }
