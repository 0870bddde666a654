"""The words of the page behind a link.

Whole sentences with placeholders. A key with ``.customer`` behind it is the formal form, one with
``.crew`` that of a work sheet; where there is none, the plain key holds.
"""

from dataclasses import dataclass

from frostwatch.fleet.people import Language
from frostwatch.languages.catalogues import InEveryLanguage
from frostwatch.languages.phrases import formed, one_stop
from frostwatch.messages.wording.draft import Voice
from frostwatch.web.answers.words.en import WORDS

ANSWER_WORDS = InEveryLanguage(WORDS, domain="pages", units_held=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """Says things in one language to one kind of reader."""

    language: Language
    voice: Voice = Voice.OWNER

    def __call__(self, key: str, **values: object) -> str:
        """A sentence, filled. Of one that counts, the number chooses the form."""
        texts = ANSWER_WORDS[self.language].texts
        own = f"{key}.{self.voice.value}"
        return one_stop(formed(texts[own if own in texts else key], values).format(**values))
