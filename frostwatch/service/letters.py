"""Finished texts for the outbox."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.replies import link_path, season_end
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Draft, Form, Kind
from frostwatch.ports import AnswerLink, Message
from frostwatch.service.kit import Kit


def letters_for(
    kit: Kit,
    drafts: Iterable[Draft],
    people: Iterable[Person],
    site: Site,
    now: datetime,
    *,
    without_links: Collection[str] = (),
) -> tuple[list[Message], list[AnswerLink]]:
    """What is said at a site, in words, and what the links in it open.

    Args:
        kit: the adapters.
        drafts: what is said.
        people: its recipients, and more.
        site: the site.
        now: moment from which it may be sent, UTC.
        without_links: keys of people who have no say over its vehicles, so that a link would open
            nothing.
    """
    messages: list[Message] = []
    links: list[AnswerLink] = []
    by_key = {person.key: person for person in people}
    for draft in drafts:
        person = by_key[draft.recipient]
        # a crew presses its plans on their own page; an owner's trip stands behind the link
        is_sheet = draft.kind is Kind.WARM_UP and person.duty is not Duty.OWNER
        may_answer = not is_sheet and draft.recipient not in without_links
        code = kit.new_code() if kit.links is not None and may_answer else ""
        messages += messages_for(draft, person, now, public_url=kit.public_url, code=code)
        if code:
            links.append(link_of(draft, site, code, now))
    return messages, links


def link_of(draft: Draft, site: Site, code: str, now: datetime) -> AnswerLink:
    """What a message tells, to be kept under the code of its link."""
    return AnswerLink(
        code=code,
        draft=draft,
        made_at=now,
        expires_at=season_end(now, site.latitude_deg),
    )


def link_for(form: Form, public_url: str, code: str) -> str:
    """The link as it stands in a text; short texts have no room for the scheme."""
    if not (public_url and code):
        return ""
    address = public_url if form is Form.LONG else public_url.partition("://")[2]
    return address + link_path(code)


def messages_for(
    draft: Draft, person: Person, now: datetime, *, public_url: str = "", code: str = ""
) -> Iterator[Message]:
    """The finished texts of one draft, one for each channel of its recipient.

    Args:
        draft: what is said.
        person: its recipient.
        now: moment from which it may be sent, UTC.
        public_url: web address under which people reach this service, "" for none.
        code: code of the message's link, "" for none.
    """
    texts: dict[Form, tuple[str, str]] = {}
    for form in Form:
        linked = replace(draft, link=link_for(form, public_url, code))
        text = word(linked, person.language, form)
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
