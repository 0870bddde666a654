"""Passwords: hashed with Argon2id, refused where they are easily guessed."""

import unicodedata
from enum import StrEnum
from functools import cached_property
from itertools import pairwise

from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

SHORTEST = 12
LONGEST = 200
FEWEST_DIFFERENT = 5
"""NIST SP 800-63B asks for 8 and more, no rules on kinds of letters, and a list of what is refused;
twelve is this project's estimate for a service that has no second factor."""


class Weakness(StrEnum):
    """Why a password is refused."""

    SHORT = "short"
    LONG = "long"
    PLAIN = "plain"
    NAMED = "named"


class Passwords:
    """Hashes and checks passwords.

    Args:
        hasher: other costs than the library's defaults, which are those of RFC 9106 for little
            memory (64 MiB, three passes); tests take cheap ones.
    """

    def __init__(self, hasher: Argon2Hasher | None = None) -> None:
        self._hash = PasswordHash((hasher or Argon2Hasher(),))

    @cached_property
    def _nobody(self) -> str:
        """What stands in where there is no hash."""
        return self._hash.hash("nobody has this password")

    def hash(self, password: str) -> str:
        """What is kept of a password."""
        return self._hash.hash(_same_letters(password))

    def check(self, password: str, hashed: str) -> tuple[bool, str | None]:
        """Whether it is the password, and the hash to keep instead if costs have changed.

        Takes as long where there is no hash, so that nobody learns who has an account.
        """
        if len(password) > LONGEST:
            password = ""
        instead = self._nobody  # made at the first check of all, whoever asks
        right, better = self._hash.verify_and_update(_same_letters(password), hashed or instead)
        return (right, better) if hashed else (False, None)


def weakness_of(password: str, *, email: str, name: str) -> Weakness | None:
    """What is wrong with a password somebody chose; None if nothing is."""
    letters = _same_letters(password)
    if len(letters) < SHORTEST:
        return Weakness.SHORT
    if len(letters) > LONGEST:
        return Weakness.LONG
    if len(set(letters.casefold())) < FEWEST_DIFFERENT or _is_a_run(letters):
        return Weakness.PLAIN
    own = [email, email.partition("@")[0], name, "frostwatch"]
    rest = letters.casefold()
    for word in sorted((w.casefold() for w in own if len(w) > 3), key=len, reverse=True):
        rest = rest.replace(word, "")
    return Weakness.NAMED if len(rest) < SHORTEST // 2 else None


def _same_letters(password: str) -> str:
    """The same word typed on another device gives the same letters (NIST SP 800-63B: NFKC)."""
    return unicodedata.normalize("NFKC", password)


def _is_a_run(letters: str) -> bool:
    """Whether it only counts up or down: ``abcdefghijkl``, ``123456789012``."""
    steps = [ord(b) - ord(a) for a, b in pairwise(letters)]
    return sum(abs(step) == 1 for step in steps) >= len(steps) - 1
