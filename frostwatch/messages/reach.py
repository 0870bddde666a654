"""Which addresses a message may be sent to.

People enter the addresses of their channels themselves. Without a limit, one of them could make
this computer knock at machines inside its own network. The limit is drawn where a connection is
really made, so neither a name that resolves inward nor a redirect gets round it.
"""

import ipaddress
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

LOCAL_SCHEMES = frozenset(
    ("file", "dbus", "qt", "kde", "glib", "gio", "gnome", "macosx", "windows", "syslog", "blink1")
)
"""Targets that act on this computer itself instead of reaching a person."""

_refused: ContextVar[list[str] | None] = ContextVar("refused", default=None)


class InwardAddressError(OSError):
    """A connection into this host's own network; an OSError, as any other that cannot be made."""


@contextmanager
def outward_only() -> Iterator[list[str]]:
    """Refuse connections to private, loopback and link-local addresses made in this context.

    Yields:
        Addresses refused so far.
    """
    refused: list[str] = []
    token = _refused.set(refused)
    try:
        yield refused
    finally:
        _refused.reset(token)


def is_inward(host: object) -> bool:
    """Whether a numeric address lies inside this host's own network, or is no address of a host."""
    try:
        address = ipaddress.ip_address(str(host).partition("%")[0])
    except ValueError:
        return False
    mapped = getattr(address, "ipv4_mapped", None)
    real = mapped or address
    return real.is_multicast or not real.is_global


def _on_event(event: str, args: tuple[Any, ...]) -> None:
    if event not in ("socket.connect", "socket.sendto"):
        return
    refused = _refused.get()
    if refused is None:
        return
    address = args[1]
    host = address[0] if isinstance(address, tuple) else "a local socket"
    if not isinstance(address, tuple) or is_inward(host):
        refused.append(str(host))
        raise InwardAddressError(f"{host} lies inside this host's own network")


sys.addaudithook(_on_event)  # for good: Python cannot take an audit hook out again
