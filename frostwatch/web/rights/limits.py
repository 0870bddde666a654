"""How often somebody may try a secret: by address, by account, and all together.

Failed tries are kept in the ledger, so that a restart forgets none and several processes count
together. All numbers are estimates: a person who mistypes is not held up, a program that tries
words is.
"""

import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.storage.session_rows import SqlKnocks
from frostwatch.web.rights.secret import digest_of
from frostwatch.web.rights.visitor import TooManyTriesError

WINDOW = timedelta(minutes=15)
"""After so long a failed try no longer counts."""
BY_ADDRESS = 20
BY_ACCOUNT = 10
CODES_BY_ADDRESS = 10
CODES_BY_ALL = 60
"""Six figures with a few rounds open at a time: at this rate a hit in a day is one in 170."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """Something that failed tries are counted at.

    Attributes:
        name: in the ledger.
        most: failed tries within the window before it stays shut.
    """

    name: str
    most: int


def sign_in_doors(address: str, email: str) -> tuple[Door, ...]:
    """Where a failed password counts. The address typed is kept as a digest: people mistype."""
    account = digest_of(email.casefold())[:32]
    return (
        Door(name=f"sign-in from {network_of(address)}", most=BY_ADDRESS),
        Door(name=f"sign-in to {account}", most=BY_ACCOUNT),
    )


def code_doors(address: str, kind: str, *, short: bool = False) -> tuple[Door, ...]:
    """Where a failed code counts.

    Args:
        address: who tries.
        kind: e.g. ``"one-time"``, ``"round"``, ``"token"``.
        short: so few letters that many addresses together could find one. Their tries are counted
            together then, at the price that they can keep others out for a while.
    """
    own = Door(name=f"{kind} from {network_of(address)}", most=CODES_BY_ADDRESS)
    return (own, Door(name=f"{kind} code", most=CODES_BY_ALL)) if short else (own,)


def network_of(address: str) -> str:
    """An IPv4 address, or the /64 that one subscriber of IPv6 holds; "unknown" for neither."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return "unknown"
    mapped = getattr(found, "ipv4_mapped", None)
    if mapped is not None:
        return str(mapped)
    if found.version == 6:
        return str(ipaddress.ip_network((found, 64), strict=False))
    return str(found)


class Limits:
    """Counts failed tries."""

    def __init__(self, knocks: SqlKnocks) -> None:
        self._knocks = knocks

    def refuse_if_shut(self, doors: Sequence[Door], now: datetime) -> None:
        """Let nobody try further at a door with too many failed tries.

        Raises:
            TooManyTriesError: one of the doors is shut.
        """
        counted = self._knocks.counted([door.name for door in doors], now - WINDOW)
        if any(counted.get(door.name, 0) >= door.most for door in doors):
            raise TooManyTriesError(wait=WINDOW)

    def failed(self, doors: Sequence[Door], now: datetime) -> None:
        """Count a failed try at each door."""
        self._knocks.note([door.name for door in doors], now, forget=now - WINDOW)

    def got_in(self, doors: Sequence[Door]) -> None:
        """Forget the failed tries at the account's own door."""
        self._knocks.forget([door.name for door in doors if " to " in door.name])
