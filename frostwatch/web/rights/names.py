"""Text that people type: what can be shown harmlessly, and what is refused with a reason."""

import re
import unicodedata
from enum import StrEnum

from frostwatch.errors import FrostwatchError

LONGEST_NAME = 120
LONGEST_EMAIL = 254
"""RFC 5321, 4.5.3.1.3, less the angle brackets."""

_EMAIL = re.compile(r"[^\s@<>()\[\],;:\\\"]{1,64}@([a-z0-9-]{1,63}\.)+[a-z0-9-]{2,63}", re.I)
_JOINERS = "\u200c\u200d"
"""Emoji and some scripts are written with them."""
_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that change the direction of what follows (Unicode Standard Annex 9)."""


class Doubt(StrEnum):
    """Why a text is refused."""

    EMPTY = "empty"
    LONG = "long"
    CONTROL = "control"
    TURNED = "turned"


def doubt_about(text: str, *, longest: int = LONGEST_NAME, lines: bool = False) -> Doubt | None:
    """What is wrong with a text for people to read; None if nothing is.

    Markup, formulas, emoji and letters of any script are harmless: pages show them as they are.

    Args:
        text: as typed, with blanks taken off both ends.
        longest: most code points.
        lines: whether line breaks and tabs are allowed.
    """
    if not text:
        return Doubt.EMPTY
    if len(text) > longest:
        return Doubt.LONG
    for sign in text:
        if sign in _TURNS:
            return Doubt.TURNED
        if lines and sign in "\n\r\t":
            continue
        if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp") and sign not in _JOINERS:
            return Doubt.CONTROL
    return None


def is_email(text: str) -> bool:
    """Whether it looks like an address that mail could be sent to; ASCII hosts only."""
    return (
        len(text) <= LONGEST_EMAIL
        and _EMAIL.fullmatch(text) is not None
        and doubt_about(text, longest=LONGEST_EMAIL) is None
    )


def email_from(text: str) -> str:
    """An e-mail address, lower case.

    Raises:
        FrostwatchError: it is none.
    """
    plain = text.strip()
    if not is_email(plain):
        raise FrostwatchError(f"{plain[:80]!r} is no e-mail address. Write name@host.example.")
    return plain.casefold()


def name_from(text: str) -> str:
    """A name to show.

    Raises:
        FrostwatchError: it is empty, too long, or has signs in it that cannot be shown.
    """
    plain = text.strip()
    doubt = doubt_about(plain)
    if doubt is None:
        return plain
    why = {
        Doubt.EMPTY: "is empty",
        Doubt.LONG: f"has more than {LONGEST_NAME} letters",
        Doubt.CONTROL: "has a control character in it",
        Doubt.TURNED: "has a mark in it that turns the direction of writing",
    }[doubt]
    raise FrostwatchError(f"The name {why}. Type it anew.")
