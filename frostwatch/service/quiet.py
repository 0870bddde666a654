"""Leaving people in peace at night, also where a channel was down in the evening."""

from collections.abc import Callable
from datetime import datetime

from frostwatch.advice.slots import Diary
from frostwatch.ports import Book, Message

Hold = Callable[[Message, datetime], datetime]


def hold_for(book: Book) -> Hold:
    """When a message may go out, by the quiet hours of its recipient at its site.

    What was decided in quiet hours goes out in them: only a vehicle in use whose waste valve is
    shut is spoken of then. What was decided by day and could not be delivered waits for the
    morning.

    Args:
        book: people and sites as last read.
    """
    people = {person.key: person for person in book.people}
    sites = {site.key: site for site in book.sites}

    def may_go(message: Message, now: datetime) -> datetime:
        person, site = people.get(message.recipient), sites.get(message.site)
        if person is None or site is None:
            return now
        diary = Diary(person=person, site=site)
        return now if diary.is_quiet(message.send_from) else diary.quiet_ends(now)

    return may_go
