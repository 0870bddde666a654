"""A folder as a channel: each message a text people can read, and one line for machines."""

import json
import re
from datetime import datetime
from pathlib import Path

from frostwatch.ports import Message, Refused, Sent

SCHEME = "outbox"


class LocalOutbox:
    """Writes messages into a folder; implements ``ports.Channels`` for ``outbox://local``.

    Attributes:
        folder: where the texts and ``messages.jsonl`` are; made when first needed.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def send(self, message: Message, now: datetime) -> Sent | Refused:
        """Write the text, then the line; a message whose line is there was written whole."""
        name = _file_name(message, now)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            name = self._free(name)
            (self.folder / name).write_text(_letter(message, now), encoding="utf-8")
            with (self.folder / "messages.jsonl").open("a", encoding="utf-8") as lines:
                lines.write(_line(message, now, name) + "\n")
        except OSError as failure:
            return Refused(
                permanent=False,
                reason=f"the outbox folder {self.folder} cannot be written: {failure.strerror}",
            )
        return Sent(note=f"written to {name}")

    def _free(self, name: str) -> str:
        """The name, or one like it: long keys are cut, and two messages may be left with one."""
        stem = name.removesuffix(".txt")
        taken = iter(range(2, 10_000))
        while (self.folder / name).exists():
            name = f"{stem}-{next(taken)}.txt"
        return name


def _file_name(message: Message, now: datetime) -> str:
    words = (message.recipient, message.channel, message.kind, message.reminder)
    plain = "-".join(re.sub(r"[^\w]+", "-", word).strip("-") for word in words)
    return f"{now:%Y%m%dT%H%M%SZ}-{plain[:120]}-{message.revision}.txt"


def _letter(message: Message, now: datetime) -> str:
    return (
        f"To:      {message.recipient} ({message.channel})\n"
        f"At:      {now:%Y-%m-%d %H:%M} UTC\n"
        f"Subject: {message.subject}\n\n"
        f"{message.body}\n"
    )


def _line(message: Message, now: datetime, name: str) -> str:
    return json.dumps(
        {
            "at": now.isoformat(),
            "to": message.recipient,
            "channel": message.channel,
            "site": message.site,
            "kind": message.kind,
            "reminder": message.reminder,
            "revision": message.revision,
            "subject": message.subject,
            "short": message.short,
            "long": message.long,
            "file": name,
        },
        ensure_ascii=False,
    )
