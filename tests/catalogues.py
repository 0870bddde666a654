"""Keeps the catalogues in step with the English texts: ``make catalogues``.

What is to be translated is not searched for in the source: it is every leaf of the structures of
English texts, so that none can be overlooked. The files themselves are for any gettext editor.
"""

from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

from frostwatch import __version__
from frostwatch.fleet.people import Language
from frostwatch.languages.catalogues import InEveryLanguage
from frostwatch.languages.phrases import Counted, InContext, Leaf, ToYou, leaves
from frostwatch.messages.wording import CATALOGUES
from frostwatch.messages.wording.plans import PLANS
from frostwatch.web.answers.words import ANSWER_WORDS
from frostwatch.web.words import FAULT_WORDS, PAGE_WORDS

SOURCES: tuple[InEveryLanguage[Any], ...] = (
    CATALOGUES,
    PLANS,
    PAGE_WORDS,
    ANSWER_WORDS,
    FAULT_WORDS,
)
"""Everything that is translated."""
LOCALE = Path(__file__).parents[1] / "frostwatch" / "locale"
HEADER = """\
# {placeholders} stay as they are, every one of them; where they stand in the sentence is free.
# What stands in [square brackets] goes first where a short form lacks the room; it may be left out.
# {?conditions} are never shown: they stay in the part that is only said where they hold.
# A short form is one text message: 160 characters of the GSM alphabet, once it is filled."""


def domains() -> list[str]:
    """Names of the catalogues of every language."""
    return list(dict.fromkeys(source.domain for source in SOURCES))


def translations() -> list[Language]:
    """Every language that has catalogues: all but English."""
    return [language for language in Language if language is not Language.EN]


def place_of(language: Language, domain: str, locale: Path = LOCALE) -> Path:
    """Where a catalogue lies."""
    return locale / language.value / "LC_MESSAGES" / f"{domain}.po"


def template(domain: str) -> Catalog:
    """All English texts of a domain, none of them translated.

    Raises:
        ValueError: an English text stands with and without a plural, which gettext cannot hold.
    """
    found = Catalog(domain=domain, project="frostwatch", charset="utf-8")
    for source in SOURCES:
        for path, leaf in leaves(source.english) if source.domain == domain else ():
            texts = (leaf.one, leaf.more) if isinstance(leaf, Counted) else str(leaf)
            known = found.get(texts, context_of(leaf))
            if known is not None and isinstance(known.id, str) is isinstance(leaf, Counted):
                raise ValueError(f"{path}: give {texts!r} a context, it counts at one place only.")
            notes = [path, "speaks to an owner"] if isinstance(leaf, ToYou) else [path]
            found.add(texts, auto_comments=notes, context=context_of(leaf))
    return found


def context_of(leaf: Leaf) -> str | None:
    """The context of a text, None for none."""
    return leaf.context if isinstance(leaf, Counted | InContext) else None


def read(language: Language, domain: str, locale: Path = LOCALE) -> Catalog:
    """A catalogue as it lies there; an empty one where none does."""
    place = place_of(language, domain, locale)
    if not place.is_file():
        return _new(language, domain)
    with place.open("rb") as file:
        return read_po(file, locale=language.value, domain=domain, abort_invalid=True)


def _new(language: Language, domain: str) -> Catalog:
    made = Catalog(
        locale=language.value,
        domain=domain,
        header_comment=HEADER,
        project="frostwatch",
        version=__version__,
        msgid_bugs_address="the issues of frostwatch",
        last_translator="nobody yet",
        language_team="nobody yet",
        charset="utf-8",
        fuzzy=False,
    )
    made.revision_date = made.creation_date
    return made


def bring_into_step(language: Language, domain: str, locale: Path = LOCALE) -> list[Message]:
    """Write a catalogue anew: what is new is added, what nobody says any more is dropped.

    A text that was changed keeps its old translation, marked fuzzy.

    Returns:
        The entries that are left to translate.
    """
    catalogue = read(language, domain, locale)
    catalogue.update(template(domain), update_creation_date=False)
    for message in catalogue:
        _flag(message)
    place = place_of(language, domain, locale)
    place.parent.mkdir(parents=True, exist_ok=True)
    with place.open("wb") as file:
        write_po(file, catalogue, width=100, ignore_obsolete=True, include_previous=True)
    return [message for message in catalogue if message.id and is_open(message)]


def _flag(message: Message) -> None:
    """Let editors check placeholders; a per cent sign is not one, and a condition is no format."""
    message.flags.discard("python-format")
    texts = message.id if isinstance(message.id, tuple) else (message.id,)
    if any("{?" in text for text in texts):
        message.flags.discard("python-brace-format")


def is_open(message: Message) -> bool:
    """Whether an entry is still to be translated, or to be looked over."""
    forms = message.string if isinstance(message.string, tuple) else (message.string,)
    return message.fuzzy or not all(forms)


def main() -> None:
    """Bring every language into step."""
    for language in translations():
        for domain in domains():
            left = len(bring_into_step(language, domain))
            name = place_of(language, domain).relative_to(LOCALE.parents[1])
            print(f"{name}: {left} to translate")


if __name__ == "__main__":
    main()
