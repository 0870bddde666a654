"""Secrets that are handed out once and kept only as digests."""

import base64
import hashlib
import hmac
import secrets

CODE_BYTES = 10
"""80 bits: sixteen letters, in fours."""


def new_secret() -> str:
    """256 random bits, fit for a cookie or a header."""
    return secrets.token_urlsafe(32)


def digest_of(secret: str) -> str:
    """SHA-256, hexadecimal. Enough for secrets nobody chose: there are too many to try."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def new_code() -> str:
    """A code that is typed from paper or a screen: ``K3QH-7T2M-XWZB-A5CD``, RFC 4648 letters."""
    letters = base64.b32encode(secrets.token_bytes(CODE_BYTES)).decode()
    return "-".join(letters[at : at + 4] for at in range(0, len(letters), 4))


def plain_code(typed: str) -> str:
    """The letters of a code however they were typed; 0, 1 and 8 are not among them."""
    letters = "".join(sign for sign in typed.upper() if sign.isalnum())
    return letters.translate(str.maketrans("018", "OIB"))


def token_of(secret: str) -> str:
    """What a form carries to show that it came from a page shown to the holder of ``secret``."""
    return hmac.new(secret.encode(), b"frostwatch form", hashlib.sha256).hexdigest()


def same(one: str, other: str) -> bool:
    """Comparison that takes as long for a near miss as for a far one."""
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode("utf-8", "replace"))


def masked(token: str) -> str:
    """A token as it stands in a page: different every time, so that a page may be compressed.

    Whoever sees the lengths of compressed answers learns nothing of what never repeats (BREACH,
    CVE-2013-3587).
    """
    mask = secrets.token_bytes(len(token) // 2)
    mixed = bytes(a ^ b for a, b in zip(mask, bytes.fromhex(token), strict=True))
    return f"{mask.hex()}.{mixed.hex()}"


def unmasked(sent: str) -> str:
    """The token in a masked one; any other text as it is."""
    left, dot, right = sent.partition(".")
    try:
        mask, mixed = bytes.fromhex(left), bytes.fromhex(right)
    except ValueError:
        return sent
    if not dot or len(mask) != len(mixed):
        return sent
    return bytes(a ^ b for a, b in zip(mask, mixed, strict=True)).hex()
