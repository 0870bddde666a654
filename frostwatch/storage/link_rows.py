"""Links in messages and what people wrote back, on a database."""

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, exists, select

from frostwatch.messages.wording.draft import Draft
from frostwatch.ports import AnswerLink, Heard, MessageStatus
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.calendar_rows import end_addresses_of_links
from frostwatch.storage.database import Database
from frostwatch.storage.link_tables import AnswerLinkRow, HeardRow
from frostwatch.storage.tables import MessageRow, table_of

_link = table_of(AnswerLinkRow)
_heard = table_of(HeardRow)
_message = table_of(MessageRow)


def keep_links(connection: Connection, links: Sequence[AnswerLink]) -> None:
    """Add links."""
    rows = [
        {
            "code": link.code,
            "recipient": link.recipient,
            "reminder": link.draft.key,
            "revision": link.draft.revision,
            "site": link.draft.site,
            "urgent": link.is_urgent,
            "deadline": link.deadline,
            "made_at": link.made_at,
            "expires_at": link.expires_at,
            "body": to_body(Draft, link.draft),
        }
        for link in links
    ]
    if rows:
        connection.execute(_link.insert(), rows)


def prune_links(connection: Connection, before: datetime) -> None:
    """Drop what is older: what was told is evidence as long as the messages are."""
    connection.execute(delete(_link).where(_link.c.made_at < before))
    connection.execute(delete(_heard).where(_heard.c.at < before))


class SqlLinks:
    """The link store on a database. Implements ``ports.LinkStore``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, links: Sequence[AnswerLink]) -> None:
        """Keep links made outside a pass."""
        with self._database.writing() as connection:
            keep_links(connection, links)

    def find(self, code: str) -> AnswerLink | None:
        """The link of that code, None if there is none (any more)."""
        found = self._all(select(_link).where(_link.c.code == code))
        return found[0] if found else None

    def made_for(self, recipient: str, *, since: datetime) -> tuple[AnswerLink, ...]:
        """A person's links made since then, newest first."""
        wanted = (
            select(_link)
            .where(_link.c.recipient == recipient, _link.c.made_at >= since)
            .order_by(_link.c.made_at.desc(), _link.c.code)
        )
        return self._all(wanted)

    def about(self, vehicle: str, *, site: str, since: datetime) -> tuple[AnswerLink, ...]:
        """What was told at a site about a vehicle since then, oldest first."""
        wanted = (
            select(_link)
            .where(_link.c.site == site, _link.c.made_at >= since)
            .order_by(_link.c.made_at, _link.c.code)
        )
        return tuple(link for link in self._all(wanted) if vehicle in link.draft.vehicles)

    def unreached(self, now: datetime) -> tuple[AnswerLink, ...]:
        """Urgent ones whose deadline is still ahead and which no channel has taken."""
        taken = exists().where(
            _message.c.recipient == _link.c.recipient,
            _message.c.reminder == _link.c.reminder,
            _message.c.revision == _link.c.revision,
            _message.c.status == MessageStatus.SENT.value,
        )
        wanted = (
            select(_link)
            .where(_link.c.urgent, _link.c.deadline > now, ~taken)
            .order_by(_link.c.made_at, _link.c.code)
        )
        return self._all(wanted)

    def open_at(self, site: str, now: datetime) -> tuple[AnswerLink, ...]:
        """Links about a site that still open, person by person, the newest of each first."""
        wanted = (
            select(_link)
            .where(_link.c.site == site, _link.c.expires_at > now)
            .order_by(_link.c.recipient, _link.c.made_at.desc(), _link.c.code)
        )
        return self._all(wanted)

    def withdraw(self, recipient: str, *, site: str, now: datetime) -> int:
        """Make a person's codes about one site open nothing; returns how many still did."""
        with self._database.writing() as connection:
            ended = connection.execute(
                _link.update()
                .where(
                    _link.c.recipient == recipient,
                    _link.c.site == site,
                    _link.c.expires_at > now,
                )
                .values(expires_at=_link.c.made_at)
            )
            end_addresses_of_links(connection, recipient)
            return ended.rowcount

    def revoke(self, recipient: str) -> int:
        """Make all of a person's codes open nothing; returns how many."""
        with self._database.writing() as connection:
            ended = connection.execute(
                _link.update()
                .where(_link.c.recipient == recipient, _link.c.expires_at > _link.c.made_at)
                .values(expires_at=_link.c.made_at)
            )
            end_addresses_of_links(connection, recipient)
            return ended.rowcount

    def hear(self, heard: Heard) -> None:
        """Keep what somebody wrote back."""
        with self._database.writing() as connection:
            connection.execute(_heard.insert().values(asdict(heard)))

    def heard(self, *, since: datetime) -> tuple[Heard, ...]:
        """What people wrote back since then, oldest first."""
        wanted = select(_heard).where(_heard.c.at >= since).order_by(_heard.c.id)
        with self._database.reading() as connection:
            rows = [dict(row._mapping) for row in connection.execute(wanted)]
        for row in rows:
            del row["id"]
        return tuple(Heard(**row) for row in rows)

    def _all(self, wanted: Any) -> tuple[AnswerLink, ...]:
        with self._database.reading() as connection:
            rows = connection.execute(wanted).all()
        return tuple(
            AnswerLink(
                code=row.code,
                draft=from_body(Draft, row.body, where=f"what was told to {row.recipient}"),
                made_at=row.made_at,
                expires_at=row.expires_at,
            )
            for row in rows
        )
