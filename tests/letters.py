"""Builders of invented messages."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from frostwatch.ports import Message


def a_message(now: datetime, **changed: Any) -> Message:
    """A work order to the yard's operator by e-mail."""
    message = Message(
        recipient="ailsa",
        channel="e-mail",
        address="outbox://local",
        form="long",
        reminder="cold-rigg/ailsa/work order/1",
        revision=1,
        kind="work order",
        site="cold-rigg",
        subject="Cold Rigg Yard: 17 bays by Wed 15:30",
        short="Cold Rigg Yard: 17 bays by Wed 15:30, 2.9 h.",
        long="17 of 24 bays need a visit by Wed 15:30.\nAbout −5 °C.",
        send_from=now,
    )
    return replace(message, **changed)
