"""Checks on what the ledger holds: people who cannot be told, passes that fail."""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from frostwatch.fleet.mismatches import mismatches
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.channels import address_fault
from frostwatch.ports import Book, MessageStatus
from frostwatch.service.findings import Finding, Weight
from frostwatch.service.heights import heights_of
from frostwatch.service.stand_ins import unattended
from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.cache import KeptHeights

SILENT_AFTER = timedelta(hours=26)
"""A site is judged at least at its people's reading times, so once a day; and a little more."""

LOOK_BACK = timedelta(days=7)


def ledger_findings(
    ledger: SqlLedger, now: datetime, *, allow_private: bool, look_up: bool
) -> Iterator[Finding]:
    """Look at fleet, channels and passes.

    Args:
        ledger: an open ledger of this version's form.
        now: time of the check, UTC.
        allow_private: whether channels may lead into the own network.
        look_up: whether passes look up heights that nobody entered.

    Raises:
        LedgerError: it cannot be read.
    """
    book = ledger.load(now)
    yield from _fleet(book)
    yield from _channels(book.people, ledger.outbox.refusing_channels(), allow_private)
    yield from _sites(book)
    yield from _heights(book.sites, KeptHeights(ledger.terrain) if look_up else None, now)
    yield from _passes(book, now)
    yield from _messages(ledger, now)


def _fleet(book: Book) -> Iterator[Finding]:
    if not book.vehicles:
        yield Finding(
            id="FW401",
            level=Weight.WARNING,
            what="No vehicle is entered.",
            hint="Import a fleet: frostwatch import FILE.",
        )
    for fault in mismatches(book.sites, book.people, book.vehicles):
        yield Finding(
            id="FW407",
            level=Weight.ERROR,
            what=f"{fault.kind} {fault.key}: {fault.what}",
            hint=fault.mend or "Import it again with that mended.",
        )


def _channels(
    people: Sequence[Person], refusing: dict[tuple[str, str], str], allow_private: bool
) -> Iterator[Finding]:
    for person in people:
        for channel in person.channels:
            where = f"{person.key}, channel {channel.name}"
            if fault := address_fault(channel.address, allow_private=allow_private):
                yield Finding(
                    id="FW402",
                    level=Weight.ERROR,
                    what=f"{where}: nothing can be sent: {fault}",
                    hint="Correct the address and import the person again.",
                )
            elif (person.key, channel.name) in refusing:
                yield Finding(
                    id="FW403",
                    level=Weight.ERROR,
                    what=f"{where} refused: {refusing[person.key, channel.name]}.",
                    hint="Correct the address, or ask whoever runs the target.",
                )


def _sites(book: Book) -> Iterator[Finding]:
    missing = unattended(book)
    for site in book.sites:
        if site.key in missing:
            yield Finding(
                id="FW404",
                level=Weight.ERROR,
                what=f"site {site.key}: {missing[site.key]}",
                hint="Give the site an operator with a channel, or the vehicles a keeper with one.",
            )


def _heights(sites: Sequence[Site], kept: KeptHeights | None, now: datetime) -> Iterator[Finding]:
    heights = heights_of(sites, kept, now)
    for site in heights.sites:
        if site.height_m is None:
            assumed = "its height is not known, and the air is that of the forecast's own height."
            yield Finding(
                id="FW405",
                level=Weight.WARNING,
                what=f"site {site.key}: {' '.join(heights.notes(site.key)) or assumed}",
                hint="Enter height_m, metres above sea level: frostwatch place NAME shows heights.",
            )
    for key, known in heights.looked_up.items():
        yield Finding(
            id="FW408",
            level=Weight.NOTE,
            what=f"site {key}: {' '.join(heights.notes(key))} {known.credit.text}.",
            hint="Enter height_m if you know better.",
        )


def _passes(book: Book, now: datetime) -> Iterator[Finding]:
    for site_pass in book.passes.values():
        if site_pass.failed_at is not None:
            yield Finding(
                id="FW501",
                level=Weight.ERROR,
                what=f"site {site_pass.site}: the last {site_pass.failures} passes failed: "
                f"{site_pass.cause}",
                hint="Mend the cause; it is tried again by itself.",
            )
        elif site_pass.passed_at and now - site_pass.passed_at > SILENT_AFTER:
            yield Finding(
                id="FW502",
                level=Weight.WARNING,
                what=f"site {site_pass.site}: no pass since {site_pass.passed_at:%Y-%m-%d %H:%M} "
                "UTC.",
                hint="See that the service runs.",
            )


def _messages(ledger: SqlLedger, now: datetime) -> Iterator[Finding]:
    for status in (MessageStatus.REFUSED, MessageStatus.GIVEN_UP):
        rows = ledger.outbox.listed(since=now - LOOK_BACK, status=status)
        people = sorted({row.message.recipient for row in rows})
        if rows:
            yield Finding(
                id="FW503",
                level=Weight.WARNING,
                what=f"{len(rows)} messages of the last week were {status} "
                f"(to {', '.join(people[:5])}).",
                hint="Tell them by other means, and mend their channels.",
            )
