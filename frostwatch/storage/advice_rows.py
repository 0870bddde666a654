"""What was advised: reminders, answers to them, and every decision with its numbers."""

import json
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, bindparam, func, select

from frostwatch.advice.reminders import Answer, Decision, Reminder, Status
from frostwatch.ports import KeptDecision
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import insert_new, upsert
from frostwatch.storage.fleet_rows import vehicles_at
from frostwatch.storage.tables import AnswerRow, DecisionRow, ReminderRow, table_of

ANSWERS_LOADED = timedelta(days=60)
"""Answers older than any spell of frost change nothing any more: estimate."""

_MOVES_ON_ITS_OWN = ("at", "issued_at", "provider")
"""Parts of a decision that differ between passes although the decision is the same."""

_reminder = table_of(ReminderRow)
_answer = table_of(AnswerRow)
_decision = table_of(DecisionRow)


def save_reminders(connection: Connection, reminders: Sequence[Reminder], now: datetime) -> None:
    """Add reminders, or replace those of the same key."""
    rows = [
        {
            "key": reminder.key,
            "site": reminder.site,
            "recipient": reminder.recipient,
            "vehicle": reminder.vehicle,
            "standing": reminder.status is not Status.CLEARED,
            "changed_at": now,
            "body": to_body(Reminder, reminder),
        }
        for reminder in reminders
    ]
    upsert(connection, _reminder, rows, ["key"])


def load_reminders(
    connection: Connection, sites: Sequence[str] | None
) -> dict[str, tuple[Reminder, ...]]:
    """Site -> reminders that are not cleared, in order of their keys."""
    wanted = (
        select(_reminder.c.site, _reminder.c.key, _reminder.c.body)
        .where(_reminder.c.standing)
        .order_by(_reminder.c.key)
    )
    if sites is not None:
        wanted = wanted.where(_reminder.c.site.in_(sites))
    found: defaultdict[str, list[Reminder]] = defaultdict(list)
    for site, key, body in connection.execute(wanted):
        found[site].append(from_body(Reminder, body, where=f"reminder {key}"))
    return {site: tuple(reminders) for site, reminders in found.items()}


def add_answers(connection: Connection, answers: Sequence[Answer], *, once: str = "") -> bool:
    """Keep answers in the order given; False, and nothing, where the press was taken before."""
    rows = [
        {
            "vehicle": answer.vehicle,
            "at": answer.at,
            "body": to_body(Answer, answer),
            "once": once if n == 0 and once else None,
        }
        for n, answer in enumerate(answers)
    ]
    if rows and once and not insert_new(connection, _answer, rows[:1], ["once"]):
        return False
    rest = rows[1:] if once else rows
    if rest:
        connection.execute(_answer.insert(), rest)
    return True


def load_answers(
    connection: Connection, now: datetime, sites: Sequence[str] | None
) -> dict[str, tuple[Answer, ...]]:
    """Vehicle -> answers of the last days that were given by ``now``, oldest first."""
    wanted = (
        select(_answer.c.vehicle, _answer.c.body)
        .where(_answer.c.at >= now - ANSWERS_LOADED, _answer.c.at <= now)
        .order_by(_answer.c.at, _answer.c.id)
    )
    if sites is not None:
        wanted = wanted.where(_answer.c.vehicle.in_(vehicles_at(sites)))
    found: defaultdict[str, list[Answer]] = defaultdict(list)
    for vehicle, body in connection.execute(wanted):
        found[vehicle].append(from_body(Answer, body, where=f"an answer about {vehicle}"))
    return {vehicle: tuple(answers) for vehicle, answers in found.items()}


def save_decisions(
    connection: Connection,
    site: str,
    decisions: Sequence[Decision],
    *,
    now: datetime,
    reply_id: int | None,
) -> None:
    """Keep decisions; one that repeats the last word on the same vehicle only moves its end."""
    last = _last_words(connection, site)
    new, repeated = [], []
    for decision in decisions:
        body = to_body(Decision, decision)
        before = last.get((decision.vehicle, decision.recipient))
        if before is not None and _gist(before[1]) == _gist(body):
            repeated.append({"number": before[0], "until": now})
        else:
            new.append(
                {
                    "at": decision.at,
                    "until_at": now,
                    "site": decision.site,
                    "vehicle": decision.vehicle,
                    "recipient": decision.recipient,
                    "said": decision.kind is not None,
                    "reply_id": reply_id,
                    "body": body,
                }
            )
    if new:
        connection.execute(_decision.insert(), new)
    if repeated:
        connection.execute(
            _decision.update()
            .where(_decision.c.id == bindparam("number"))
            .values(until_at=bindparam("until")),
            repeated,
        )


def _last_words(connection: Connection, site: str) -> dict[tuple[str, str], tuple[int, str]]:
    newest = (
        select(func.max(_decision.c.id))
        .where(_decision.c.site == site)
        .group_by(_decision.c.vehicle, _decision.c.recipient)
    )
    rows = connection.execute(select(_decision).where(_decision.c.id.in_(newest)))
    return {(row.vehicle, row.recipient): (row.id, row.body) for row in rows}


def _gist(body: str) -> dict[str, Any]:
    facts: dict[str, Any] = json.loads(body)
    return {name: value for name, value in facts.items() if name not in _MOVES_ON_ITS_OWN}


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
            decision=from_body(Decision, row.body, where=f"decision {row.id}"),
            until_at=row.until_at,
            reply_id=row.reply_id,
        )
        for row in connection.execute(wanted)
    )
