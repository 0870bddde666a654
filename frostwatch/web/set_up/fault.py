"""One thing to put right on a page."""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing to put right.

    Attributes:
        field: id of the field on the page.
        key: of the sentence that says what is wrong and how to mend it.
        values: what is put into the sentence.
    """

    field: str
    key: str
    values: Mapping[str, object] = dataclasses.field(default_factory=dict)
