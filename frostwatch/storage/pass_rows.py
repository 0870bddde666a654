"""What a pass leaves behind: states, reminders, decisions, how it went."""

import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime
from typing import Any

import numpy as np
from sqlalchemy import Connection, bindparam, func, select

from frostwatch.errors import LedgerError
from frostwatch.ports import KeptDecision, KeptReminder, KeptState, SitePass
from frostwatch.storage.database import upsert
from frostwatch.storage.fleet_rows import vehicles_at
from frostwatch.storage.tables import DecisionRow, ReminderRow, SitePassRow, StateRow, table_of

_state = table_of(StateRow)
_reminder = table_of(ReminderRow)
_decision = table_of(DecisionRow)
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


def save_reminders(connection: Connection, reminders: Sequence[KeptReminder]) -> None:
    """Add reminders, or replace those of the same key."""
    rows = [
        {
            "key": reminder.key,
            "site": reminder.site,
            "recipient": reminder.recipient,
            "kind": reminder.kind,
            "standing": reminder.standing,
            "changed_at": reminder.changed_at,
            "body": json.dumps(reminder.facts),
        }
        for reminder in reminders
    ]
    upsert(connection, _reminder, rows, ["key"])


def load_reminders(
    connection: Connection, sites: Sequence[str] | None
) -> dict[str, tuple[KeptReminder, ...]]:
    """Site -> standing reminders, in order of their keys."""
    wanted = select(_reminder).where(_reminder.c.standing).order_by(_reminder.c.key)
    if sites is not None:
        wanted = wanted.where(_reminder.c.site.in_(sites))
    found: defaultdict[str, list[KeptReminder]] = defaultdict(list)
    for row in connection.execute(wanted):
        found[row.site].append(
            KeptReminder(
                key=row.key,
                site=row.site,
                recipient=row.recipient,
                kind=row.kind,
                standing=row.standing,
                changed_at=row.changed_at,
                facts=json.loads(row.body),
            )
        )
    return {site: tuple(reminders) for site, reminders in found.items()}


def save_decisions(connection: Connection, site: str, decisions: Sequence[KeptDecision]) -> None:
    """Keep decisions; one that repeats the last word on the same vehicle only moves its end."""
    last = _last_words(connection, site)
    new, repeated = [], []
    for decision in decisions:
        body = json.dumps(decision.facts)
        before = last.get((decision.vehicle, decision.recipient))
        if before is not None and before[1:] == (decision.verdict, decision.said, body):
            repeated.append({"number": before[0], "until": decision.until_at})
        else:
            new.append(_decision_row(decision, body))
    if new:
        connection.execute(_decision.insert(), new)
    if repeated:
        connection.execute(
            _decision.update()
            .where(_decision.c.id == bindparam("number"))
            .values(until_at=bindparam("until")),
            repeated,
        )


def _last_words(
    connection: Connection, site: str
) -> dict[tuple[str, str], tuple[int, str, bool, str]]:
    newest = (
        select(func.max(_decision.c.id))
        .where(_decision.c.site == site)
        .group_by(_decision.c.vehicle, _decision.c.recipient)
    )
    rows = connection.execute(select(_decision).where(_decision.c.id.in_(newest)))
    return {(row.vehicle, row.recipient): (row.id, row.verdict, row.said, row.body) for row in rows}


def _decision_row(decision: KeptDecision, body: str) -> dict[str, Any]:
    return {
        "at": decision.at,
        "until_at": decision.until_at,
        "site": decision.site,
        "vehicle": decision.vehicle,
        "recipient": decision.recipient,
        "verdict": decision.verdict,
        "said": decision.said,
        "reply_id": decision.reply_id,
        "body": body,
    }


def find_decisions(
    connection: Connection,
    *,
    vehicle: str | None,
    site: str | None,
    since: datetime,
    until: datetime,
) -> tuple[KeptDecision, ...]:
    """Decisions that held at any time in the span, oldest first."""
    wanted = (
        select(_decision)
        .where(_decision.c.at <= until, _decision.c.until_at >= since)
        .order_by(_decision.c.at, _decision.c.id)
    )
    if vehicle is not None:
        wanted = wanted.where(_decision.c.vehicle == vehicle)
    if site is not None:
        wanted = wanted.where(_decision.c.site == site)
    return tuple(
        KeptDecision(
            at=row.at,
            until_at=row.until_at,
            site=row.site,
            vehicle=row.vehicle,
            recipient=row.recipient,
            verdict=row.verdict,
            said=row.said,
            reply_id=row.reply_id,
            facts=json.loads(row.body),
        )
        for row in connection.execute(wanted)
    )


def note_pass(connection: Connection, site: str, now: datetime) -> None:
    """The pass over a site ended well; what failed before is over."""
    stands_well = {"site": site, "passed_at": now, "failed_at": None, "cause": "", "failures": 0}
    upsert(connection, _site_pass, [{**stands_well, "next_try_at": None}], ["site"])


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
