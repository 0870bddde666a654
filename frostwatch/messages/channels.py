"""One message to one target: sent, refused for now, or refused for good.

Targets are Apprise URLs (e-mail, chat, push, text message ...), or ``outbox://local`` for the
outbox folder. Each message has a target of its own, so that one that fails never makes another
be sent twice.
"""

import logging
import re
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

from frostwatch.messages.local_outbox import SCHEME, LocalOutbox
from frostwatch.messages.reach import LOCAL_SCHEMES, is_inward, outward_only
from frostwatch.ports import Message, Refused, Sent
from frostwatch.told import told

TIMEOUT_S = 45.0
"""Longest time one target may take; below outbox.SEND_AT_MOST."""

_HOOKS = frozenset(("json", "jsons", "xml", "xmls", "form", "forms"))
"""Targets whose path is often the secret itself."""

_PASSING_HTTP = frozenset((408, 425, 429))
"""RFC 9110 request timeout, RFC 8470 too early, RFC 6585 too many requests."""

_HTTP_CODE = re.compile(r"\berror=(\d{3})\b")
_SMTP_CODE = re.compile(r"\(([45]\d\d), b?['\"](.{0,200}?)['\"]\)", re.DOTALL)


class AppriseChannels:
    """Hands messages over; implements ``ports.Channels``.

    Attributes:
        local: the outbox folder.
        allow_private: whether targets may lie inside this host's own network.
    """

    def __init__(self, local: LocalOutbox, *, allow_private: bool = False) -> None:
        self.local = local
        self.allow_private = allow_private

    def send(self, message: Message, now: datetime) -> Sent | Refused:
        """Try once. Never raises for what a target or the network does."""
        scheme = message.address.partition("://")[0].lower()
        if scheme == SCHEME:
            return self.local.send(message, now)
        if self.allow_private:
            return _hand_over(message)
        if scheme in LOCAL_SCHEMES:
            return _inward(f"{scheme}:// acts on this computer itself")
        with outward_only() as inward:
            outcome = _hand_over(message)
        if inward and isinstance(outcome, Refused):
            return _inward(f"it would reach {inward[0]}")
        return outcome


def address_fault(address: str, *, allow_private: bool = False) -> str:
    """Why nothing could be sent to an address, "" if it looks right. Connects to nothing."""
    parts = urlsplit(address)
    if parts.scheme == SCHEME:
        return ""
    if not allow_private and (parts.scheme in LOCAL_SCHEMES or is_inward(parts.hostname)):
        return told("inward")
    target = _target(address)
    return target.reason if isinstance(target, Refused) else ""


def shown_address(address: str) -> str:
    """An address without what opens it: passwords, tokens and the paths of hooks left out."""
    scheme = address.partition("://")[0].lower()
    if scheme == SCHEME:
        return address
    target = _target(address)
    if isinstance(target, Refused):
        return f"{scheme}://..."
    if scheme in _HOOKS:
        return f"{scheme}://{urlsplit(address).hostname or ''}/..."
    shown: str = target[0].url(privacy=True)
    return shown.partition("?")[0]


def _inward(why: str) -> Refused:
    return Refused(
        permanent=True,
        reason=f"{why}. Where that is meant, set allow_private_addresses = true.",
    )


def _target(address: str) -> Any:
    """The Apprise object with this one target, or a refusal."""
    import apprise

    # a target's own words stand at the level that also names secrets: read here, logged nowhere
    log = logging.getLogger("apprise")
    log.setLevel(logging.DEBUG)
    log.propagate = False
    asset = apprise.AppriseAsset(
        app_id="frostwatch",
        app_desc="frostwatch",
        async_mode=False,
        service_timeout=TIMEOUT_S,
        storage_mode=apprise.PersistentStoreMode.MEMORY,
        allow_templates=False,
    )
    target = apprise.Apprise(asset=asset)
    if not target.add(address) or len(target) != 1:
        return Refused(
            permanent=True,
            reason=told("address"),
        )
    return target


def _hand_over(message: Message) -> Sent | Refused:
    from apprise import NotifyFormat

    target = _target(message.address)
    if isinstance(target, Refused):
        return target
    result = target.notify(
        title="" if message.form == "short" else message.subject,
        body=message.body,
        body_format=NotifyFormat.TEXT,
        log_level=logging.DEBUG,
    )
    with result:
        return _outcome(result)


def _outcome(result: Any) -> Sent | Refused:
    from apprise import AppriseResultStatus

    if result.status == AppriseResultStatus.SUCCESS:
        return Sent()
    if result.status == AppriseResultStatus.TIMEOUT:
        return Refused(permanent=False, reason=f"no answer within {TIMEOUT_S:g} s")
    return refusal_in([entry.message for entry in result.logs()])


def refusal_in(log: list[str]) -> Refused:
    """Tell from the target's own words whether trying again can help; in doubt it can.

    SMTP replies: 4yz passing, 5yz permanent (RFC 5321 section 4.2.1). HTTP: 4xx permanent but for
    time-outs and throttling, all others passing (RFC 9110 section 15).
    """
    for line in log:
        if found := _SMTP_CODE.search(line):
            code = int(found[1])
            words = " ".join(found[2].split())
            return Refused(permanent=code >= 500, reason=f"mail server: {code} {words}")
        if found := _HTTP_CODE.search(line):
            code = int(found[1])
            permanent = 400 <= code < 500 and code not in _PASSING_HTTP
            return Refused(permanent=permanent, reason=f"server: HTTP {code}")
    return Refused(permanent=False, reason="the target could not be reached")
