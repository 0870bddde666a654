"""Catalogues at run time: read once, when a language is wanted, and never for English."""

import subprocess
import sys

import pytest

from frostwatch.fleet.people import Language
from frostwatch.languages.catalogues import InEveryLanguage, read_catalogue
from frostwatch.languages.phrases import InContext
from frostwatch.messages.wording import CATALOGUES


def test_a_structure_is_there_in_every_language() -> None:
    assert list(CATALOGUES) == list(Language)
    assert len(CATALOGUES) == len(Language)
    assert CATALOGUES[Language.EN] is CATALOGUES.english
    assert CATALOGUES[Language.DE].link == "Link: {link}"
    assert CATALOGUES[Language.FR].link == "Lien : {link}"


def test_a_catalogue_is_read_once() -> None:
    assert read_catalogue(Language.DE, "messages") is read_catalogue(Language.DE, "messages")
    assert CATALOGUES[Language.DE] is CATALOGUES[Language.DE]


def test_words_that_clash_are_told_apart_by_their_context() -> None:
    german = CATALOGUES[Language.DE].words
    assert german.groups["fresh"] == "Frischwasser"
    assert "Frischwassertank" in german.parts.values()
    same = InContext("vessel, before its litres", "fresh tank")
    assert InEveryLanguage((same,), domain="messages")[Language.DE] == ("Frischwasser",)


def test_a_missing_catalogue_is_an_error_and_no_silent_english() -> None:
    with pytest.raises(FileNotFoundError):
        read_catalogue(Language.DE, "nothing of that name")


@pytest.mark.parametrize(
    "asked",
    [
        "from frostwatch.__main__ import main; sys.argv = ['frostwatch', '--help']; main()",
        "from frostwatch.messages.wording import CATALOGUES; CATALOGUES[Language.EN].link",
    ],
)
def test_neither_the_help_nor_english_reads_a_catalogue(asked: str) -> None:
    code = (
        "import atexit, os, sys\n"
        "from frostwatch.fleet.people import Language\n"
        "atexit.register(lambda: 'babel' in sys.modules and os._exit(7))\n"
        f"{asked}"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
