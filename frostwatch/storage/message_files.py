"""``messages.csv``: what people were told about a vehicle, a row a channel, and what became of it.

Times stand in UTC and beside it in the place's own time with its offset. Addresses are left out:
what goes into a dispute names people and channels, not their numbers.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from frostwatch.fleet.people import Person
from frostwatch.messages.replies import codes_in
from frostwatch.ports.pages import Sending
from frostwatch.storage.entry_text import local_text, utc_text
from frostwatch.storage.sheets import write_sheet

FIELDS = (
    "at",
    "at_local",
    "vehicle",
    "to",
    "kind",
    "level",
    "reason",
    "act_by",
    "act_by_local",
    "forecast_issued",
    "provider",
    "message",
    "revision",
    "channel",
    "status",
    "attempts",
    "taken_at",
    "taken_local",
    "result",
    "text",
)


def write_messages_csv(
    sendings: Sequence[Sending], people: Mapping[str, Person], zone: ZoneInfo
) -> str:
    """Messages about one vehicle, oldest first.

    Args:
        sendings: each with the decision behind it.
        people: by key.
        zone: the place's time zone.
    """
    return write_sheet(FIELDS, (_cells(one, people, zone) for one in sendings))


def _cells(one: Sending, people: Mapping[str, Person], zone: ZoneInfo) -> list[str]:
    said, row = one.decision, one.row
    person = people.get(row.message.recipient)
    return [
        utc_text(row.queued_at),
        local_text(row.queued_at, zone),
        said.vehicle,
        person.name if person is not None else row.message.recipient,
        row.message.kind,
        said.level.value,
        said.reason.value,
        *_both(said.act_by, zone),
        utc_text(said.issued_at) if said.issued_at is not None else "",
        said.provider,
        row.message.reminder,
        str(row.message.revision),
        row.message.channel,
        row.status.value,
        str(row.attempts),
        *_both(row.sent_at, zone),
        row.result,
        _without_codes(row.message.body),
    ]


def _without_codes(text: str) -> str:
    """A text without what its links open: whoever reads the export may not answer for anybody."""
    for code in codes_in(text):
        text = text.replace(code, "...")
    return text


def _both(moment: datetime | None, zone: ZoneInfo) -> tuple[str, str]:
    return ("", "") if moment is None else (utc_text(moment), local_text(moment, zone))
