"""Records as one JSON text, and back."""

from functools import lru_cache
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from frostwatch.errors import FrostwatchError, LedgerError

Record = TypeVar("Record")
MOST_KEPT = 4096
"""Records kept read: some megabytes."""


def to_body(kind: type[Record], record: Record) -> str:
    """A record as JSON text, every field in order."""
    return _adapter(kind).dump_json(record).decode()


def from_body(kind: type[Record], body: str, *, where: str) -> Record:
    """The record in a JSON text; fields added since it was written take their defaults.

    Raises:
        LedgerError: the text does not hold such a record; ``where`` is named.
    """
    try:
        return _adapter(kind).validate_json(body)
    except (ValidationError, FrostwatchError) as wrong:
        cause = str(wrong).splitlines()
        raise LedgerError(
            f"{where} in the database does not hold together: {'; '.join(cause[:3])}. "
            "Restore a backup, or enter it again."
        ) from wrong


def read_again(kind: type[Record], body: str, *, where: str) -> Record:
    """The same for records that are read over and over and seldom change: vehicles, people, sites.

    A text that was read before gives the same record, which is frozen.

    Raises:
        LedgerError: as ``from_body``.
    """
    key: Any = kind
    try:
        found: Record = _read_before(key, body)
    except LedgerError:
        return from_body(kind, body, where=where)
    return found


@lru_cache(maxsize=MOST_KEPT)
def _read_before(kind: type[Any], body: str) -> Any:
    return from_body(kind, body, where="")


def _adapter(kind: type[Record]) -> TypeAdapter[Record]:
    if kind not in _adapters:
        _adapters[kind] = TypeAdapter(kind)
    return _adapters[kind]


_adapters: dict[type[Any], TypeAdapter[Any]] = {}
