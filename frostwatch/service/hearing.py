"""Replies in words: the exact word is an answer, anything else waits for the office.

A reply counts for the message whose link it quotes. Without one it counts for whoever's address it
came from, if exactly one message to them is unanswered; a mail's sender is easily feigned, so mails
must quote the link.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.utils import parseaddr
from urllib.parse import parse_qs, unquote, urlsplit

from frostwatch.advice.drafts import voice_of
from frostwatch.advice.reminders import AnswerKind
from frostwatch.errors import RecordError
from frostwatch.fleet.people import Duty, Person
from frostwatch.messages.replies import (
    MOST_TEXT,
    codes_in,
    is_trip,
    parse_reply,
    parse_trip,
    plain_code,
)
from frostwatch.messages.wording import word_answer
from frostwatch.ports import Heard, Ledger, LinkStore
from frostwatch.service.answers import Given, colder_than, give
from frostwatch.service.open_links import Closed, Due, OpenLink, open_link
from frostwatch.service.trips import TRIP, TripDesk

LATELY = timedelta(days=7)
"""A reply without a link is about something told within this time. Estimate."""
THIS_WINTER = timedelta(days=240)
"""A trip is named at any time: any link of the winter tells which vehicle."""
FEWEST_DIGITS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What a gateway hands over.

    Attributes:
        sender: address it came from.
        text: what was written.
        code: code of the message it answers, where the gateway knows it.
        trust_sender: the gateway vouches for the sender's address.
    """

    sender: str
    text: str
    code: str = ""
    trust_sender: bool = True


class _NotTakenError(Exception):
    """The reply waits for the office."""


def hear(
    ledger: Ledger,
    links: LinkStore,
    reply: Reply,
    now: datetime,
    *,
    public_url: str = "",
    trips: TripDesk | None = None,
) -> tuple[Heard, str]:
    """Take a reply, or keep it for the office.

    Args:
        ledger: what is known.
        links: where links and replies are kept.
        reply: what was written.
        now: aware UTC time.
        public_url: web address under which people reach this service, "" for none.
        trips: where the hour of a trip is kept; None takes none.

    Returns:
        What was kept, and what to write back, "" for nothing.
    """
    opened: OpenLink | None = None
    kind = parse_reply(reply.text)
    why, taken = "", kind.value if kind is not None else ""
    going_at: datetime | None = None
    try:
        opened = _meant(ledger, links, reply, now)
        going_at = _set_out(trips, opened, reply.text, now) if kind is None else None
        if going_at is not None:
            taken = TRIP
        elif kind is None:
            raise _NotTakenError(
                "it is none of the words DONE, PART, NO, nor GOING with a day and an hour, in "
                "their three languages"
            )
        else:
            give(ledger, opened, Given(kind=kind), now)
    except (_NotTakenError, RecordError) as refused:
        why = str(refused)
    heard = Heard(
        at=now,
        sender=reply.sender[:200],
        text=reply.text[:MOST_TEXT].replace("\0", ""),
        person=opened.person.key if opened else "",
        code=opened.link.code if opened else "",
        taken_as="" if why else taken,
        why=why,
    )
    links.hear(heard)
    if opened is None or why:
        return heard, ""
    return heard, _written_back(opened, taken, now, public_url, going_at)


def _set_out(trips: TripDesk | None, opened: OpenLink, text: str, now: datetime) -> datetime | None:
    """The hour of a trip that a reply names, kept; None where it names none.

    Raises:
        _NotTakenError: nobody can tell which vehicle is meant.
        RecordError: the hour makes no sense.
    """
    at = parse_trip(text, now, opened.site.zone) if trips is not None else None
    if at is None or trips is None:
        return None
    if opened.person.duty is not Duty.OWNER or len(opened.vans) != 1:
        raise _NotTakenError("a trip is named for one vehicle by its owner")
    trips.set_out(opened.vans[0].vehicle, at, by=opened.person.key, now=now)
    return at


def _written_back(
    opened: OpenLink,
    taken: str,
    now: datetime,
    public_url: str,
    going_at: datetime | None = None,
) -> str:
    place = public_url.partition("://")[2]
    colder_c = colder_than(opened)
    plain = taken == AnswerKind.CANNOT.value and colder_c is None
    return word_answer(
        "cannot at all" if plain else taken,
        opened.person.language,
        zone=opened.site.time_zone,
        at=now,
        going_at=going_at,
        voice=voice_of(opened.person, opened.site),
        min_c=colder_c,
        link=f"{place}/a/{opened.link.code}" if place else "",
    )


def _meant(ledger: Ledger, links: LinkStore, reply: Reply, now: datetime) -> OpenLink:
    """The message a reply answers.

    Raises:
        _NotTakenError: nobody can tell.
    """
    codes = (plain_code(reply.code),) if reply.code else codes_in(reply.text)
    if len(codes) > 1:
        raise _NotTakenError("it quotes several messages")
    if codes:
        opened = open_link(ledger, links, codes[0], now)
        if isinstance(opened, Closed):
            raise _NotTakenError(f"the link it names is {opened.value}")
        return opened
    if not reply.trust_sender:
        raise _NotTakenError("it does not quote the message it answers")
    person = _sender(ledger, reply.sender, now)
    return _only_open(ledger, links, person, now, trip=is_trip(reply.text))


def _sender(ledger: Ledger, sender: str, now: datetime) -> Person:
    people = [one for one in ledger.load(now, sites=[]).people if has_address(one, sender)]
    if len(people) == 1:
        return people[0]
    raise _NotTakenError(
        "several people have this address" if people else "nobody has this address"
    )


def _only_open(
    ledger: Ledger, links: LinkStore, person: Person, now: datetime, *, trip: bool
) -> OpenLink:
    """The one message to a person that still waits for an answer; for a trip any will do."""
    waiting: dict[Sequence[str], OpenLink] = {}
    for link in links.made_for(person.key, since=now - (THIS_WINTER if trip else LATELY)):
        if link.draft.vehicles in waiting:
            continue
        opened = open_link(ledger, links, link.code, now)
        if isinstance(opened, OpenLink) and any(
            trip or van.due is Due.ASKED for van in opened.vans
        ):
            waiting[link.draft.vehicles] = opened
    if len(waiting) != 1:
        raise _NotTakenError(
            "several messages to them wait for an answer"
            if waiting
            else "no message to them waits for an answer"
        )
    return next(iter(waiting.values()))


def has_address(person: Person, sender: str) -> bool:
    """Whether one of a person's channels leads to the address a reply came from."""
    wanted = _plain(sender)
    return bool(wanted) and any(
        wanted == _plain(address)
        for channel in person.channels
        for address in _addresses_in(channel.address)
    )


def _addresses_in(target: str) -> Iterator[str]:
    """Mail addresses and numbers that an Apprise address names."""
    parts = urlsplit(target)
    try:
        host = parts.hostname or ""
    except ValueError:
        return
    yield from (unquote(segment) for segment in parts.path.split("/") if segment)
    for name, values in parse_qs(parts.query).items():
        if name in ("to", "cc", "bcc"):
            yield from (one for value in values for one in value.split(","))
    if parts.scheme.startswith("mailto") and parts.username:
        name = unquote(parts.username)
        yield name if "@" in name else f"{name}@{host}"
    yield host


def _plain(address: str) -> str:
    """A mail address in small letters, a number in digits; "" for neither."""
    mail = parseaddr(address)[1].strip().casefold()
    if "@" in mail:
        return mail
    digits = re.sub(r"\D", "", address).removeprefix("00")
    odd = re.sub(r"[\d\s()+./-]", "", address)
    return digits if len(digits) >= FEWEST_DIGITS and not odd else ""
