"""What a pass leaves for the next one: where the heat models stand, and how it went."""

import json
from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime
from typing import Any

import numpy as np
from sqlalchemy import Connection, select

from frostwatch.errors import LedgerError
from frostwatch.ports import KeptState, SitePass
from frostwatch.storage.database import upsert
from frostwatch.storage.fleet_rows import vehicles_at
from frostwatch.storage.tables import SitePassRow, StateRow, table_of

_state = table_of(StateRow)
_site_pass = table_of(SitePassRow)


def save_states(connection: Connection, states: Sequence[KeptState]) -> None:
    """Keep the newest state of each vehicle."""
    rows = [
        {
            "vehicle": state.vehicle,
            "at": state.at,
            "signature": state.signature,
            "shapes": json.dumps({name: values.shape for name, values in state.arrays.items()}),
            "numbers": b"".join(
                np.ascontiguousarray(values, dtype="<f4").tobytes()
                for values in state.arrays.values()
            ),
        }
        for state in states
    ]
    upsert(connection, _state, rows, ["vehicle"])


def load_states(connection: Connection, sites: Sequence[str] | None) -> dict[str, KeptState]:
    """Vehicle -> state; the arrays are read-only views."""
    wanted = select(_state)
    if sites is not None:
        wanted = wanted.where(_state.c.vehicle.in_(vehicles_at(sites)))
    return {row.vehicle: _read_state(row) for row in connection.execute(wanted)}


def _read_state(row: Any) -> KeptState:
    numbers = np.frombuffer(row.numbers, dtype="<f4")
    arrays = {}
    start = 0
    for name, shape in json.loads(row.shapes).items():
        size = int(np.prod(shape, dtype=int))
        if start + size > numbers.size:
            raise LedgerError(
                f"The kept state of vehicle {row.vehicle} is cut short. Restore a backup, or "
                "delete its row in node_state: the model then starts from past weather."
            )
        arrays[name] = numbers[start : start + size].reshape(shape)
        start += size
    return KeptState(vehicle=row.vehicle, at=row.at, signature=row.signature, arrays=arrays)


def note_pass(connection: Connection, site: str, now: datetime, judged_to: datetime | None) -> None:
    """The pass over a site ended well; what failed before is over."""
    row: dict[str, Any] = asdict(SitePass(site=site, passed_at=now, judged_to=judged_to))
    if judged_to is None:
        del row["judged_to"]  # stays as it is
    upsert(connection, _site_pass, [row], ["site"])


def note_failure(
    connection: Connection, site: str, now: datetime, *, cause: str, next_try_at: datetime
) -> SitePass:
    """The pass over a site failed; when it last ended well stays known."""
    before = load_passes(connection, [site]).get(site, SitePass(site=site))
    failed = replace(
        before,
        failed_at=now,
        cause=cause,
        failures=before.failures + 1,
        next_try_at=next_try_at,
    )
    upsert(connection, _site_pass, [asdict(failed)], ["site"])
    return failed


def load_passes(connection: Connection, sites: Sequence[str] | None) -> dict[str, SitePass]:
    """Site -> how its last pass went; sites never tried are missing."""
    wanted = select(_site_pass)
    if sites is not None:
        wanted = wanted.where(_site_pass.c.site.in_(sites))
    return {row.site: SitePass(**row._mapping) for row in connection.execute(wanted)}
