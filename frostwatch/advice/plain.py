"""Records as JSON values and back: what a ledger can keep."""

import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from enum import Enum
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Record = TypeVar("Record")


def to_plain(value: Any) -> Any:
    """Dataclasses as mappings, tuples as lists, times as ISO 8601, enums as their values."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, (tuple, list)):
        return [to_plain(part) for part in value]
    return value


def from_plain(kind: type[Record], values: Mapping[str, Any]) -> Record:
    """The record of that kind; fields that are missing take their defaults, unknown ones are left.

    Raises:
        KeyError, TypeError, ValueError: the values do not fit.
    """
    hints = _hints(kind)
    known = {name: _value(hint, values[name]) for name, hint in hints.items() if name in values}
    return kind(**known)


def _hints(kind: type[Any]) -> dict[str, Any]:
    if kind not in _known_hints:
        _known_hints[kind] = get_type_hints(kind)
    return _known_hints[kind]


_known_hints: dict[type[Any], dict[str, Any]] = {}


def _value(hint: Any, value: Any) -> Any:
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        if value is None:
            return None
        return _value(next(part for part in get_args(hint) if part is not type(None)), value)
    if origin is tuple:
        parts = get_args(hint)
        if len(parts) == 2 and parts[1] is Ellipsis:
            return tuple(_value(parts[0], part) for part in value)
        return tuple(_value(part, one) for part, one in zip(parts, value, strict=True))
    if is_dataclass(hint) and isinstance(hint, type):
        return from_plain(hint, value)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return hint(value)
    if hint is datetime:
        return datetime.fromisoformat(value)
    return float(value) if hint is float else value
