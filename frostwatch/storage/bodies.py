"""Records as one JSON text, and back."""

from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from frostwatch.errors import FrostwatchError, LedgerError

Record = TypeVar("Record")


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


def _adapter(kind: type[Record]) -> TypeAdapter[Record]:
    if kind not in _adapters:
        _adapters[kind] = TypeAdapter(kind)
    return _adapters[kind]


_adapters: dict[type[Any], TypeAdapter[Any]] = {}
