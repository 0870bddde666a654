"""The words of the page behind a link, one module for each language.

Whole sentences with placeholders. A key with ``.customer`` behind it is the formal form, one with
``.crew`` that of a work sheet; where there is none, the plain key holds.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.fleet.people import Language
from frostwatch.messages.wording.draft import Voice
from frostwatch.web.answers.words.de import NAME as DE_NAME
from frostwatch.web.answers.words.de import STEPS as DE_STEPS
from frostwatch.web.answers.words.de import TEXTS as DE
from frostwatch.web.answers.words.en import NAME as EN_NAME
from frostwatch.web.answers.words.en import STEPS as EN_STEPS
from frostwatch.web.answers.words.en import TEXTS as EN
from frostwatch.web.answers.words.fr import NAME as FR_NAME
from frostwatch.web.answers.words.fr import STEPS as FR_STEPS
from frostwatch.web.answers.words.fr import TEXTS as FR

TEXTS: Mapping[Language, Mapping[str, str]] = {
    Language.EN: EN,
    Language.DE: DE,
    Language.FR: FR,
}
NAMES: Mapping[Language, str] = {
    Language.EN: EN_NAME,
    Language.DE: DE_NAME,
    Language.FR: FR_NAME,
}
STEPS: Mapping[Language, tuple[tuple[str, str], ...]] = {
    Language.EN: EN_STEPS,
    Language.DE: DE_STEPS,
    Language.FR: FR_STEPS,
}
"""How to drain, what and how; the handbook goes first. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """Says things in one language to one kind of reader."""

    language: Language
    voice: Voice = Voice.OWNER

    def __call__(self, key: str, **values: object) -> str:
        """A sentence, filled."""
        texts = TEXTS[self.language]
        own = f"{key}.{self.voice.value}"
        return texts[own if own in texts else key].format(**values)
