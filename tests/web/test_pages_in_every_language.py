"""Whole pages in the languages that are catalogues: nothing on them stays English."""

import re

import pytest

from frostwatch.fleet.people import Language
from frostwatch.languages.phrases import Counted, leaves
from frostwatch.messages.wording import CATALOGUES
from frostwatch.web.words import PAGE_WORDS
from tests.web.pages_read import words
from tests.web.yards import Stage, a_cold_yard, an_account

PAGES = ("/round", "/roll", "/leave-alone", "/v/Y01", "/v/Y01/record", "/v/Y04", "/calendar")
TWO_WORDS = re.compile(r"[a-z]{2,} [a-z]{2,}", re.IGNORECASE)
TRANSLATED = [language for language in Language if language is not Language.EN]


@pytest.fixture(scope="module")
def cold() -> Stage:
    """A yard that nobody changes."""
    return a_cold_yard()


def english(language: Language) -> set[str]:
    """English texts of two words and more that the language says in another way."""
    found = set()
    for source in (PAGE_WORDS, CATALOGUES):
        for (_, own), (_, other) in zip(
            leaves(source.english), leaves(source[language]), strict=True
        ):
            if not isinstance(own, Counted) and own != other:
                parts = re.split(r"\{\w+\}|<[^>]+>", own)
                found |= {part.strip() for part in parts if TWO_WORDS.search(part)}
    return found


@pytest.mark.parametrize("language", TRANSLATED)
@pytest.mark.parametrize("page", PAGES)
def test_nothing_on_a_page_stays_english(cold: Stage, page: str, language: Language) -> None:
    text = cold.client(an_account(language=language)).get(page).text
    assert f'lang="{language.value}"' in text
    shown = words(text)
    assert [left for left in english(language) if left in shown] == []


@pytest.mark.parametrize("language", list(Language))
def test_no_sentence_ends_with_two_stops(cold: Stage, language: Language) -> None:
    for page in PAGES:
        text = words(cold.client(an_account(language=language)).get(page).text)
        assert re.findall(r".{20}(?<!\.)\.\s?\.(?!\.)", text) == []
