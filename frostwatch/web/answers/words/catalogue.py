"""What the words of the page behind a link are made of."""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.languages.phrases import Leaf


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerWords:
    """All words of the page, in one language.

    Attributes:
        name: what the language is called by those who speak it.
        texts: key -> sentence.
        steps: how to drain, what and how; the handbook goes first. Common practice, no source.
        by_handbook: number of a step -> what stands there where a vehicle's handbook says so.
    """

    name: str
    texts: Mapping[str, Leaf]
    steps: tuple[tuple[str, str], ...]
    by_handbook: Mapping[int, tuple[str, str]]
