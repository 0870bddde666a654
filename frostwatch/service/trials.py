"""A trial message through exactly one person's channels."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from frostwatch.errors import ChannelError
from frostwatch.fleet.people import Channel, Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording import word_trial
from frostwatch.ports import Book, Channels, Message, Refused, Sent
from frostwatch.storage.outbox_rows import SqlOutbox

KIND = "trial"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What became of a trial over one channel."""

    channel: Channel
    outcome: Sent | Refused


def try_out(
    person: Person, channels: Channels, outbox: SqlOutbox, now: datetime
) -> Iterator[Trial]:
    """Send one trial over each of a person's channels and note what each made of it.

    Args:
        person: whose channels.
        channels: hands messages over, within its limits.
        outbox: where it is noted, so that a mended channel is no longer complained of.
        now: aware UTC time.

    Raises:
        ChannelError: the person has no channel.
    """
    if not person.channels:
        raise ChannelError(
            f"{person.name} has no channel, so nothing can be sent. Enter one in the fleet file "
            "under [[person.channel]] and import it."
        )
    for channel in person.channels:
        message = trial_for(person, channel, now)
        outcome = channels.send(message, now)
        reason = outcome.reason if isinstance(outcome, Refused) else ""
        outbox.note_trial(message, now, refused=reason)
        yield Trial(channel=channel, outcome=outcome)


def trial_for(person: Person, channel: Channel, now: datetime) -> Message:
    """The trial over one channel, in the person's language."""
    text = word_trial(person.name, person.language)
    return Message(
        recipient=person.key,
        channel=channel.name,
        address=channel.address,
        form=channel.form,
        reminder=f"{KIND}/{person.key}/{now:%Y%m%dT%H%M%SZ}",
        revision=1,
        kind=KIND,
        site="",
        subject="frostwatch",
        short=text,
        long=text,
        send_from=now,
    )


def sites_of(person: Person, book: Book) -> tuple[Site, ...]:
    """Where a person works, runs the place or keeps a vehicle."""
    kept = {vehicle.site for vehicle in book.vehicles if vehicle.keeper == person.key}
    return tuple(
        site
        for site in book.sites
        if site.key in person.sites or site.key in kept or site.operator == person.key
    )
