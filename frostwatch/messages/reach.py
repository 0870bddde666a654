"""What sending a message may reach: hosts outside, and nothing on this computer.

People enter the addresses of their channels themselves. Without a limit, one of them could make
this computer knock at machines inside its own network, run a program, or hand out one of its files.
The limit is drawn where a connection is really made, a file is really opened and a program is
really started, so neither a name that resolves inward nor a redirect gets round it, nor a thread
that a channel starts of its own.
"""

import ipaddress
import ssl
import sys
import sysconfig
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from os import PathLike, fsdecode
from os.path import realpath
from pathlib import Path
from typing import Any

LOCAL_SCHEMES = frozenset(
    ("file", "dbus", "qt", "kde", "glib", "gio", "gnome", "macosx", "windows", "syslog", "blink1")
)
"""Targets that act on this computer itself instead of reaching a person."""

_NAT64 = ipaddress.ip_network("64:ff9b::/96")
"""IPv4 addresses written as IPv6 ones, RFC 6052."""
_COMPATIBLE = ipaddress.ip_network("::/96")
"""The same, deprecated, RFC 4291 section 2.5.5.1; ``::`` and ``::1`` are themselves."""

_SENDS = frozenset(("socket.connect", "socket.sendto", "socket.sendmsg"))
_STARTS = frozenset(
    ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.startfile")
)

_HARMLESS = ("/dev/null", "/dev/urandom", "/etc/hosts", "/etc/resolv.conf", "/etc/mime.types")


class _Limit:
    """One stretch of sending: what counts as inward, and what was refused."""

    def __init__(self, inward: Callable[[object], bool]) -> None:
        self.inward = inward
        self.refused: list[str] = []

    def refuse(self, what: str) -> None:
        """Note it, and let the call fail as any other that cannot be made."""
        self.refused.append(what)
        raise InwardAddressError(what)


CHANNEL_THREADS = "apprise-"
"""How the threads are named in which some channels connect by themselves. They know nothing of the
context that started them and may outlive it, so the latest limit holds in them for good."""

_limit: ContextVar[_Limit | None] = ContextVar("limit", default=None)
_latest: list[_Limit] = []


class InwardAddressError(OSError):
    """Something of this computer or its network was reached for; an OSError like any other."""


def is_inward(host: object) -> bool:
    """Whether a numeric address lies inside this host's own network, or is no address of a host.

    An IPv4 address inside an IPv6 one counts as itself: mapped (RFC 4291), translated (RFC 6052),
    6to4 (RFC 3056), Teredo (RFC 4380).
    """
    try:
        address = ipaddress.ip_address(str(host).partition("%")[0])
    except ValueError:
        return False
    return any(one.is_multicast or not one.is_global for one in _meant(address))


def _meant(
    address: ipaddress.IPv4Address | ipaddress.IPv6Address,
) -> Iterator[ipaddress.IPv4Address | ipaddress.IPv6Address]:
    if isinstance(address, ipaddress.IPv4Address):
        yield address
        return
    if address.ipv4_mapped is not None:
        yield address.ipv4_mapped
        return
    if address in _NAT64 or (address in _COMPATIBLE and int(address) > 1):
        yield ipaddress.IPv4Address(int(address) & 0xFFFFFFFF)
        return
    if address.sixtofour is not None:
        yield address.sixtofour
    if address.teredo is not None:
        yield from address.teredo
    yield address


@contextmanager
def outward_only(inward: Callable[[object], bool] = is_inward) -> Iterator[list[str]]:
    """Refuse what lies inside: addresses, files and programs, in this context and its threads.

    Args:
        inward: whether a numeric address lies inside.

    Yields:
        What was refused so far.
    """
    limit = _Limit(inward)
    _latest[:] = [limit]
    token = _limit.set(limit)
    try:
        yield limit.refused
    finally:
        _limit.reset(token)


def _on_event(event: str, args: tuple[Any, ...]) -> None:
    if event in _SENDS:
        if limit := _here():
            _look_at_address(limit, args[1])
    elif event == "open":
        if limit := _here():
            _look_at_file(limit, args[0])
    elif event in _STARTS and (limit := _here()):
        limit.refuse("a program on this computer")


def _here() -> _Limit | None:
    """The limit in this context, or in a channel's own thread the latest."""
    limit = _limit.get()
    if limit is None and _latest and threading.current_thread().name.startswith(CHANNEL_THREADS):
        limit = _latest[0]
    return limit


def _look_at_address(limit: _Limit, address: object) -> None:
    if not isinstance(address, tuple):
        limit.refuse("a local socket")
    elif not _is_numeric(address[0]):
        # the system would look it up behind this check, and might get another answer each time
        limit.refuse(f"{address[0]}, a name that was not looked up first")
    elif limit.inward(address[0]):
        limit.refuse(f"{address[0]} inside this host's own network")


def _is_numeric(host: object) -> bool:
    try:
        ipaddress.ip_address(str(host).partition("%")[0])
    except ValueError:
        return False
    return True


def _look_at_file(limit: _Limit, name: object) -> None:
    """What the libraries themselves need may be read; anything else is somebody's file."""
    if not isinstance(name, (str, bytes, PathLike)):
        return
    # links and ".." are followed first: the name alone could pass for a library's
    path = Path(realpath(fsdecode(name)))
    if fsdecode(name) in _HARMLESS or any(place in path.parents for place in _libraries()):
        return
    limit.refuse(f"the file {path.name}")


@cache
def _libraries() -> tuple[Path, ...]:
    """Folders of Python, its packages and the certificates of public hosts."""
    certificates = ssl.get_default_verify_paths()
    places = [sys.prefix, sys.base_prefix, *sysconfig.get_paths().values()]
    places += [certificates.openssl_capath, str(Path(certificates.openssl_cafile).parent)]
    places += ["/usr/share/zoneinfo", "/usr/share/ca-certificates", str(Path(__file__).parents[1])]
    return tuple({Path(realpath(place)) for place in places if place})


sys.addaudithook(_on_event)  # for good: Python cannot take an audit hook out again
