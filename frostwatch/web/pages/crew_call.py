"""Sending a released round to those who walk it."""

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial

from frostwatch.advice.walk import WalkRound
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Kind
from frostwatch.messages.wording.gsm import LIMIT, length, to_gsm
from frostwatch.ports import Message
from frostwatch.ports.outbox import round_reminder
from frostwatch.ports.pages import Yard
from frostwatch.web.words import Tongue


def reachable(yard: Yard) -> tuple[Person, ...]:
    """Those who walk rounds at a site and can be written to."""
    return tuple(
        person
        for person in yard.people.values()
        if person.duty is Duty.CREW and yard.site.key in person.sites and person.channels
    )


def calls_for(
    walk: WalkRound,
    site: Site,
    people: Sequence[Person],
    *,
    revision: int,
    public_url: str,
    now: datetime,
    blind: bool = False,
) -> tuple[Message, ...]:
    """What the crew is told, one message for each of their channels.

    Args:
        walk: the round.
        site: where it is.
        people: those who walk.
        revision: 1 for the first time; a higher one is sent again.
        public_url: web address under which people reach this service, "" for none.
        now: moment, UTC.
        blind: there is no usable forecast, so that no hour is told and the night counts as frost.
    """
    link = f"{public_url}/walk/{walk.code}" if public_url else ""
    found = []
    for person in people:
        tongue = Tongue(language=person.language, zone=site.zone, now=now)
        say = partial(_plain, tongue, walk, blind=blind)
        short, long = _short(say, site, link), _long(say, walk, site, tongue, link)
        found += [
            Message(
                recipient=person.key,
                channel=channel.name,
                address=channel.address,
                form=channel.form,
                reminder=round_reminder(walk.code),
                revision=revision,
                kind=Kind.WORK_ORDER.value,
                site=site.key,
                subject=say("call.subject", place=site.name),
                short=short,
                long=long,
                send_from=now,
            )
            for channel in person.channels
        ]
    return tuple(found)


def _plain(t: Tongue, walk: WalkRound, key: str, *, blind: bool = False, place: str) -> str:
    """A sentence without markup; the one without an hour where none is known."""
    values: dict[str, object] = {"place": place}
    if blind and t.has(f"{key}.blind"):
        key += ".blind"
    elif walk.act_by is not None and not blind:
        values["by"] = t.plain_hour(walk.act_by)
    else:
        key += ".free"
    filled = t(key, n=len(walk.stops), code=walk.code, **values)
    return filled.striptags()


def _long(say: Callable[..., str], walk: WalkRound, site: Site, t: Tongue, link: str) -> str:
    where = t("call.link", link=link) if link else t("call.no_link", code=walk.code)
    parts = [
        say("call.long", place=site.name),
        where.striptags(),
        t("walk.safety").striptags(),
        t("frame.foot").striptags(),
    ]
    return "\n\n".join(parts)


def _short(say: Callable[..., str], site: Site, link: str) -> str:
    """One text message; a long name of the place gives way."""
    address = link.partition("://")[2]
    for name in (site.name, site.name[:20], ""):
        text = to_gsm(f"{say('call.short', place=name)} {address}").strip()
        if length(text) <= LIMIT:
            return text
    return text[:LIMIT]
