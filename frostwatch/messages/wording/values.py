"""What a placeholder is worked out from, and how much room there is."""

from collections.abc import Callable
from dataclasses import dataclass

from frostwatch.messages.wording.draft import Draft
from frostwatch.messages.wording.say import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """How much a text must be shortened.

    Attributes:
        optional: keep the parts in square brackets.
        place: longest name of a place or a vehicle [characters].
        names: most names in a list.
        wet: most vessels told.
    """

    optional: bool = True
    place: int | None = None
    names: int | None = None
    wet: int | None = None


Value = Callable[[Draft, Speech, Cut], str | None]
"""None where it is not known."""


def condition(holds: Callable[[Draft], bool]) -> Value:
    """A condition: fills nothing where it holds, and is unknown where not."""

    def value(draft: Draft, speech: Speech, cut: Cut) -> str | None:
        return "" if holds(draft) else None

    return value
