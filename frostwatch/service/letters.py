"""Finished texts for the outbox."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from frostwatch.fleet.people import Person
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Draft, Form
from frostwatch.ports import Message


def messages_for(
    draft: Draft, person: Person, now: datetime, public_url: str = ""
) -> Iterator[Message]:
    """The finished texts of one draft, one for each channel of its recipient."""
    if public_url and not draft.link:
        place = public_url.partition("://")[2]
        draft = replace(draft, link=f"{place}/round" if len(draft.vehicles) != 1 else place)
    texts: dict[Form, tuple[str, str]] = {}
    for form in Form:
        text = word(draft, person.language, form)
        texts[form] = (text.subject, text.body)
    for channel in person.channels:
        yield Message(
            recipient=person.key,
            channel=channel.name,
            address=channel.address,
            form=channel.form,
            reminder=draft.key,
            revision=draft.revision,
            kind=draft.kind.value,
            site=draft.site,
            subject=texts[Form.LONG][0],
            short=texts[Form.SHORT][1],
            long=texts[Form.LONG][1],
            send_from=now,
        )
