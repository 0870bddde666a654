"""Findings: what is wrong or missing, with an id that can be looked up."""

from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How much a finding matters."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is wrong or missing.

    Attributes:
        id: stays the same for ever, ``FW101`` and so on.
        level: an error keeps somebody from being told; a warning may; a note is good to know.
        what: what was found, and where.
        hint: how to mend it.
    """

    id: str
    level: Weight
    what: str
    hint: str
