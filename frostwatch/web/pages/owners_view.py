"""Writing to owners in words: to whom, what, who not and why, and what became of what was sent."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from hashlib import sha256
from itertools import groupby

from markupsafe import Markup

from frostwatch.advice.board import Standing
from frostwatch.advice.owner_desk import OwnersDesk
from frostwatch.advice.owner_letters import Letter, Letters, NotWritten, letters_at
from frostwatch.advice.reminders import AnswerKind
from frostwatch.fleet.people import Duty, Person
from frostwatch.messages.replies import CODE_LENGTH, codes_in
from frostwatch.messages.wording.draft import Kind
from frostwatch.ports import Book, Message, MessageStatus, OutboxRow
from frostwatch.service.letters import messages_for
from frostwatch.web.answers.words import ANSWER_WORDS
from frostwatch.web.pages.yard_now import Sky, YardNow
from frostwatch.web.words import Tongue

LATELY = timedelta(days=10)
JUST_TOLD = timedelta(days=3)
LINK = "0" * CODE_LENGTH
"""Stands where the code of a link will be, and is as long, so that nothing is cut differently."""
HIDDEN = "…"
"""Shown in place of a code: nobody's link is shown to anybody else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLetter:
    """One letter before it is sent.

    Attributes:
        who: its recipient.
        about: kind and vehicles.
        via: channels and language.
        goes: when it goes out.
        tag: language tag of its texts.
        texts: head, subject and body of each form that is used.
    """

    who: Markup
    about: Markup
    via: Markup
    goes: Markup
    tag: str
    texts: tuple[tuple[Markup, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptLetter:
    """One letter that was sent.

    Attributes:
        at: when it was queued.
        what: kind and recipient.
        text: its subject.
        became: what each channel made of it.
        answered: what they answered since.
    """

    at: Markup
    what: Markup
    text: str
    became: tuple[Markup, ...]
    answered: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnersView:
    """What the page shows."""

    headline: Markup
    say: Markup
    letters: tuple[ShownLetter, ...]
    nobody: tuple[tuple[str, str, Markup], ...]
    of_nobody: tuple[tuple[str, str], ...]
    kept: tuple[KeptLetter, ...]
    mark: str


def letters_now(now: YardNow, book: Book | None = None) -> Letters:
    """Letters that could be sent this minute; none without a usable forecast.

    Args:
        now: the site.
        book: what stands there and was answered; without it only whom it would be about.
    """
    if now.board is None or now.sky not in (Sky.FRESH, Sky.OLDER):
        return Letters()
    site = now.yard.site
    desk = OwnersDesk(
        site=site,
        board=now.board,
        standings=[_standing(line.standing, recorded=line.recorded) for line in now.lines],
        vehicles=now.yard.vehicles,
        people=now.yard.people,
        reminders=book.reminders.get(site.key, ()) if book is not None else (),
        answers=book.answers if book is not None else {},
        now=now.now,
    )
    return letters_at(desk)


def owners_open(now: YardNow, rows: Sequence[OutboxRow]) -> int:
    """Owners who could be written to, less those who were lately told the same.

    Args:
        now: the site.
        rows: messages about it since ``JUST_TOLD`` ago.
    """
    told = {(row.message.recipient, row.message.kind) for row in rows}
    own = {(one.person.key, one.draft.kind.value) for one in letters_now(now).letters}
    return len({person for person, kind in own if (person, kind) not in told})


def _standing(standing: Standing, *, recorded: bool) -> Standing:
    """What was recorded since the last look is not written about before the next one."""
    return replace(standing, work=None) if recorded else standing


def mark_of(letters: Letters) -> str:
    """Names exactly what was shown: the same letters to the same people."""
    told = "\n".join("|".join((*_texts_of(one), *one.draft.vehicles)) for one in letters.letters)
    return sha256(told.encode()).hexdigest()[:32]


def _texts_of(letter: Letter) -> Iterator[str]:
    for message in messages_for(letter.draft, letter.person, letter.draft.at):
        yield message.recipient
        yield message.channel
        yield message.body


def owners_view(
    letters: Letters,
    now: YardNow,
    rows: Sequence[OutboxRow],
    book: Book,
    t: Tongue,
    *,
    public_url: str,
) -> OwnersView:
    """Put into words what would be sent, and what was."""
    count = len({one.person.key for one in letters.letters})
    unread = now.board is None or now.sky not in (Sky.FRESH, Sky.OLDER)
    say = "owners.no_forecast" if unread else "owners.say" if count else "owners.say.none"
    day = t.day(now.now)
    return OwnersView(
        headline=t("owners.head", n=count, day=day) if count else t("owners.head.none", day=day),
        say=t(say),
        letters=tuple(_shown(one, now, t, public_url) for one in letters.letters),
        nobody=tuple(_nobody(one, now, t) for one in letters.not_written),
        of_nobody=tuple((key, _called(key, now)) for key in letters.of_nobody),
        kept=tuple(_kept(rows, now.yard.people, book, t)),
        mark=mark_of(letters),
    )


def _shown(letter: Letter, now: YardNow, t: Tongue, public_url: str) -> ShownLetter:
    person = letter.person
    found: dict[str, list[Message]] = {}
    for message in messages_for(
        letter.draft, person, letter.draft.at, public_url=public_url, code=LINK
    ):
        found.setdefault(message.form, []).append(message)
    later = letter.send_from > now.now
    goes = t("owners.goes.later", at=t.hour(letter.send_from)) if later else t("owners.goes.now")
    return ShownLetter(
        who=t("owners.to", who=person.name),
        about=t(
            "owners.about",
            kind=t.words.kinds[letter.draft.kind],
            vans=", ".join(letter.draft.facts.vans),
        ),
        via=t(
            "owners.via",
            channels=", ".join(channel.name for channel in person.channels),
            language=ANSWER_WORDS[person.language].name,
        ),
        goes=goes,
        tag=person.language.value,
        texts=tuple(_text(form, those, t) for form, those in found.items()),
    )


def _text(form: str, messages: Sequence[Message], t: Tongue) -> tuple[Markup, str, str]:
    channels = ", ".join(message.channel for message in messages)
    subject = messages[0].subject if form == "long" else ""
    return t(f"owners.{form}", channels=channels), subject, _hidden(messages[0].body)


def _hidden(text: str) -> str:
    for code in codes_in(text):
        text = text.replace(code, HIDDEN)
    return text


def _nobody(one: NotWritten, now: YardNow, t: Tongue) -> tuple[str, str, Markup]:
    who = now.yard.people[one.owner].name
    at = t.hour(one.at) if one.at is not None else ""
    why = t(f"owners.why.{one.why.name.lower()}", at=at)
    return one.vehicle, _called(one.vehicle, now), t("owners.not.line", who=who, why=why)


def _called(key: str, now: YardNow) -> str:
    vehicle = now.yard.vehicles[key]
    return vehicle.name or vehicle.bay or vehicle.key


def _kept(
    rows: Sequence[OutboxRow], people: Mapping[str, Person], book: Book, t: Tongue
) -> Iterator[KeptLetter]:
    """Newest first; the channels of one letter together."""

    def letter(row: OutboxRow) -> tuple[datetime, str, str, int]:
        one = row.message
        return row.queued_at, one.recipient, one.reminder, one.revision

    own = [row for row in rows if _is_owner(people.get(row.message.recipient))]
    for (at, recipient, reminder, _), group in groupby(
        sorted(own, key=letter, reverse=True), key=letter
    ):
        sent = list(group)
        kind = t.words.kinds[Kind(sent[0].message.kind)]
        yield KeptLetter(
            at=t.hour(at),
            what=t("owners.kept.line", kind=kind, who=people[recipient].name),
            text=_hidden(sent[0].message.short),
            became=tuple(_became(row, t) for row in sent),
            answered=_answered(recipient, reminder, at, book, t),
        )


def _is_owner(person: Person | None) -> bool:
    return person is not None and person.duty is Duty.OWNER


def _became(row: OutboxRow, t: Tongue) -> Markup:
    word = MessageStatus(row.status).name.lower()
    at = row.sent_at or row.next_try_at
    return t(f"owners.became.{word}", channel=row.message.channel, at=t.hour(at), why=row.result)


def _answered(recipient: str, reminder: str, since: datetime, book: Book, t: Tongue) -> Markup:
    """What they answered since, about the vehicle of the matter or any of theirs at the site."""
    matters = [m for those in book.reminders.values() for m in those if m.key == reminder]
    own = {m.vehicle for m in matters} or {v.key for v in book.vehicles if v.keeper == recipient}
    answers = [a for key in own for a in book.answers.get(key, ()) if a.at >= since]
    mine = [a for a in answers if a.by == recipient]
    if not mine:
        return t("owners.answered.none")
    last = max(mine, key=lambda answer: answer.at)
    at = last.going_at if last.kind is AnswerKind.GOING and last.going_at else last.at
    return t(f"owners.answered.{last.kind.value}", at=t.hour(at))
