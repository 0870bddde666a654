"""Links and words with which people answer a message.

A link carries a short random code that is kept beside what it is for, instead of a signed text that
holds it all: a code of 65 bits fits into a text message of 160 characters where a signature and its
contents would not; it can be revoked for one person without touching anybody else's; and it needs
no secret that would open every link at once if it leaked. What a signature gives, that nobody makes
up a link of his own, the size of the room gives here: with a million codes in force, a try a second
finds one in about a million years.
"""

import re
import secrets
import string
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, time, timedelta
from email import policy
from email.parser import BytesParser
from zoneinfo import ZoneInfo

from frostwatch.advice.reminders import AnswerKind

CODE_LENGTH = 13
"""Letters of a code: 32 to the 13th are 65 bits."""
ALPHABET = "".join(sorted(set(string.digits + string.ascii_lowercase) - set("ilou")))
"""Digits and small letters without i, l, o and u: what is read aloud or copied is not mistaken."""

SEASON_ENDS = (6, 1)
"""Month and day on which a northern winter's links end; six months later in the south."""
LEAST_OPEN = timedelta(days=30)
"""No link ends sooner: on high ground it freezes in June too. Estimate."""

WORDS: dict[str, AnswerKind] = {
    "done": AnswerKind.DONE,
    "erledigt": AnswerKind.DONE,
    "fait": AnswerKind.DONE,
    "part": AnswerKind.PART,
    "teil": AnswerKind.PART,
    "partie": AnswerKind.PART,
    "no": AnswerKind.CANNOT,
    "nein": AnswerKind.CANNOT,
    "non": AnswerKind.CANNOT,
}
"""The words understood in reply. Nothing else is."""

TRIP_WORDS = frozenset({"going", "trip", "reise", "fahrt", "depart", "départ"})
"""With a day and an hour behind it: "GOING SAT 09:00", "REISE SA 9 Uhr", "DEPART SAM 9h"."""
DAYS: Mapping[str, int] = {
    name: number
    for number, names in enumerate(
        (
            "mon monday mo montag lun lundi",
            "tue tuesday di dienstag mar mardi",
            "wed wednesday mi mittwoch mer mercredi",
            "thu thursday do donnerstag jeu jeudi",
            "fri friday fr freitag ven vendredi",
            "sat saturday sa samstag sonnabend sam samedi",
            "sun sunday so sonntag dim dimanche",
        )
    )
    for name in names.split()
}

MOST_TEXT = 2000
"""Longest reply that is kept [characters]."""

_TRIP = re.compile(
    r"(?P<word>\w+)\s+(?P<day>\w+)\.?,?\s+(?:at\s+|um\s+|à\s+|a\s+)?"
    r"(?P<hour>\d{1,2})(?:\s*[:.h]\s*(?P<minute>\d{2}))?\s*(?:h|uhr)?\.?"
)
_LINK = re.compile(rf"/a/([{ALPHABET}]{{{CODE_LENGTH}}})(?![0-9A-Za-z])")


def new_code() -> str:
    """A code nobody can guess."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def plain_code(typed: str) -> str:
    """A code however it was typed or copied; "" if it cannot be one."""
    letters = typed.strip(" .,;:!?)>\"'").lower().translate(str.maketrans("ilo", "110"))
    fits = len(letters) == CODE_LENGTH and set(letters) <= set(ALPHABET)
    return letters if fits else ""


def season_end(now: datetime, latitude_deg: float) -> datetime:
    """When links made now end, UTC."""
    month, day = SEASON_ENDS
    if latitude_deg < 0.0:
        month = (month + 5) % 12 + 1
    end = datetime(now.astimezone(UTC).year, month, day, tzinfo=UTC)
    return end if end >= now + LEAST_OPEN else end.replace(year=end.year + 1)


def link_path(code: str) -> str:
    """The path of a link."""
    return f"/a/{code}"


def codes_in(text: str) -> tuple[str, ...]:
    """Codes of the links in a text, each once, in order: a reply often quotes the message."""
    return tuple(dict.fromkeys(_LINK.findall(text)))


def parse_reply(text: str) -> AnswerKind | None:
    """The answer that a reply consists of; None for anything else, which is never guessed at.

    The word stands alone, in capitals or not; a full stop may follow. Below it only what mail
    programs add is passed over: quoted lines with the line that introduces them, and a signature
    after ``--``.
    """
    lines = _own_lines(text.replace("\r\n", "\n").split("\n"))
    if len(lines) != 1:
        return None
    return WORDS.get(lines[0].removesuffix(".").rstrip().casefold())


def parse_trip(text: str, now: datetime, zone: ZoneInfo) -> datetime | None:
    """The hour at which somebody sets out on a trip, UTC; None for anything else.

    The word, a day of the week and an hour, alone as with ``parse_reply``; the next such day whose
    hour is still to come.
    """
    found = _trip(text)
    if found is None:
        return None
    hour, minute = int(found["hour"]), int(found["minute"] or 0)
    if hour > 23 or minute > 59:
        return None
    today = now.astimezone(zone).date()
    ahead = (DAYS[found["day"]] - today.weekday()) % 7
    for days in (ahead, ahead + 7):
        at = datetime.combine(
            today + timedelta(days=days), time(hour, minute), tzinfo=zone
        ).astimezone(UTC)
        if at > now:
            return at
    return None


def is_trip(text: str) -> bool:
    """Whether it names a trip, with a day and an hour."""
    return _trip(text) is not None


def _trip(text: str) -> re.Match[str] | None:
    lines = _own_lines(text.replace("\r\n", "\n").split("\n"))
    found = _TRIP.fullmatch(lines[0].casefold()) if len(lines) == 1 else None
    if found is None or found["word"] not in TRIP_WORDS or found["day"] not in DAYS:
        return None
    return found


def _own_lines(lines: Sequence[str]) -> list[str]:
    """What the writer wrote, without empty lines."""
    own: list[str] = []
    for line in lines:
        if line.rstrip() == "--":
            break
        if line.startswith(">"):
            if own and own[-1].endswith(":"):
                own.pop()
            continue
        if line.strip():
            own.append(line.strip())
    return own


def read_mail(raw: bytes) -> tuple[str, str]:
    """Sender and plain text of a mail (RFC 5322), "" where it has none."""
    mail = BytesParser(policy=policy.default).parsebytes(raw)
    part = mail.get_body(preferencelist=("plain",))
    try:
        text = part.get_content() if part is not None else ""
    except (LookupError, ValueError):  # a character set nobody knows, or one that lies
        text = ""
    return str(mail.get("From", "")), str(text)
