"""The GSM 7-bit default alphabet: what a text message can hold in 160 characters.

Source: 3GPP TS 23.038, tables of 6.2.1 (from memory of the published table; the test lists it in
full). Anything outside it shrinks a message to 70 characters.
"""

import unicodedata

LIMIT = 160
BASIC = frozenset(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?"
    "¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà"
)
EXTENDED = frozenset("^{}\\[~]|€")
"""Each of these takes two places."""

_PLAIN = {
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "„": '"',
    "«": '"',
    "»": '"',
    "–": "-",
    "—": "-",
    "−": "-",
    "…": "...",
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
    "œ": "oe",
    "Œ": "OE",
    "°": "",
    "ł": "l",
    "Ł": "L",
    "đ": "d",
    "ı": "i",
}


def length(text: str) -> int:
    """Places a text takes in the alphabet."""
    return sum(2 if letter in EXTENDED else 1 for letter in text)


def is_gsm(text: str) -> bool:
    """Whether every character can be sent."""
    return all(letter in BASIC or letter in EXTENDED for letter in text)


def to_gsm(text: str) -> str:
    """The text with other characters replaced by their plain form, "?" where there is none."""
    return "".join(_letter(letter) for letter in text)


def _letter(letter: str) -> str:
    if letter in BASIC:
        return letter
    if letter in _PLAIN:
        return _PLAIN[letter]
    parts = unicodedata.normalize("NFKD", letter)
    plain = "".join(part for part in parts if not unicodedata.combining(part))
    if plain and all(part in BASIC for part in plain):
        return plain
    return "?"
