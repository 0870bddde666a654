"""Fields of a JSON case, each with the path to it, so that every error names the field."""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import CaseError

Span = tuple[float, float]

TEMPERATURE_C: Span = (-273.15, 1000.0)
WATER_L: Span = (0.0, 1e9)
CAPACITY_J_PER_K: Span = (0.0, 1e12)
HEAT_W: Span = (-1e9, 1e9)
CONDUCTANCE: Span = (0.0, 1e6)
SIZE: Span = (0.0, 1e4)
FRACTION: Span = (0.0, 1.0)
"""Lowest and highest value of each kind of number: wide enough for any case, narrow enough that no
answer can overflow."""


class Field:
    """One JSON object with its path."""

    def __init__(self, data: object, path: str) -> None:
        if not isinstance(data, Mapping):
            raise CaseError(f"{path or 'the case'} must be an object {{...}}.")
        self.data: Mapping[str, Any] = data
        self.path = path

    def name(self, key: str) -> str:
        """Path of one of its fields, as shown to people."""
        return f"{self.path}.{key}" if self.path else key

    def has(self, key: str) -> bool:
        """The field is there and not null."""
        return self.data.get(key) is not None

    def get(self, key: str) -> Any:
        """Its value; an error if it is missing."""
        if not self.has(key):
            raise CaseError(f"{self.name(key)} is missing. Add it.")
        return self.data[key]

    def field(self, key: str) -> "Field":
        """The object in a field."""
        return Field(self.get(key), self.name(key))

    def text(self, key: str) -> str:
        """A name."""
        value = self.get(key)
        if not isinstance(value, str) or not value:
            raise CaseError(f"{self.name(key)} must be a name in quotes.")
        return value

    def number(self, key: str, span: Span, default: float | None = None) -> float:
        """A finite number within ``span``."""
        if default is not None and not self.has(key):
            return default
        return number(self.get(key), self.name(key), span)

    def rows(self, key: str, *, needed: bool = False) -> list["Field"]:
        """The objects of a list; none if the field is not there."""
        value = self.get(key) if needed or self.has(key) else []
        if not isinstance(value, list):
            raise CaseError(f"{self.name(key)} must be a list [...].")
        return [Field(row, f"{self.name(key)}[{n}]") for n, row in enumerate(value)]


def number(value: object, path: str, span: Span) -> float:
    """A finite number within ``span``, or an error that names the field."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise CaseError(f"{path} must be a number, not {value!r:.40}.")
    low, high = span
    if not (math.isfinite(value) if isinstance(value, float) else True) or not low <= value <= high:
        raise CaseError(f"{path} is {value!r:.40}, it must be between {low:g} and {high:g}.")
    return float(value)


def series(value: object, path: str, span: Span, length: int | None) -> NDArray[np.float64]:
    """A list of numbers, one for each hour boundary; of ``length`` if that is known."""
    if not isinstance(value, list) or not value:
        raise CaseError(f"{path} must be a list of numbers, one for each hour boundary.")
    if length is not None and len(value) != length:
        raise CaseError(f"{path} has {len(value)} values, the others have {length}.")
    return np.array([number(v, f"{path}[{n}]", span) for n, v in enumerate(value)])


def distinct(names: list[str], where: str) -> set[str]:
    """The names as a set; an error if one stands twice."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise CaseError(f"{where}: the name {name!r} stands twice. Names must differ.")
        seen.add(name)
    return seen
