"""Every catalogue says all that the English texts say, and nothing else."""

import re
import tomllib
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

from frostwatch.fleet.people import Language
from tests.catalogues import (
    LOCALE,
    SOURCES,
    bring_into_step,
    domains,
    is_open,
    place_of,
    read,
    template,
    translations,
)

ROOT = Path(__file__).parents[2]
EACH = [(language, domain) for language in translations() for domain in domains()]
BRACKETED = re.compile(r"\[[^\]]*\]")
MARKUP = re.compile(r"<[^>]*>")
each = pytest.mark.parametrize(("language", "domain"), EACH)


def keys(catalogue: Catalog) -> set[tuple[object, object]]:
    return {(message.context, message.id) for message in catalogue if message.id}


def forms_of(text: object) -> tuple[str, ...]:
    return tuple(text) if isinstance(text, list | tuple) else (str(text),)


def names(text: str) -> set[str]:
    """What must be in every translation: names anywhere, conditions outside square brackets."""
    shown = set(re.findall(r"\{(\w+)\}", text))
    return shown | set(re.findall(r"\{(\?\w+)\}", BRACKETED.sub("", text)))


def conditions(text: str) -> set[str]:
    return set(re.findall(r"\{(\?\w+)\}", text))


def faults(message: Message) -> list[str]:
    """Forms of a translation whose placeholders are not those of the English text."""
    english, forms = forms_of(message.id), forms_of(message.string)
    found = []
    for number, form in enumerate(forms):
        own = english[min(number, len(english) - 1)]
        # A form for one number alone may leave the number out, or tell it where English does not.
        fits = names(own) == names(form) or (
            number == 0
            and len(forms) > 1
            and names(form) in (names(english[0]), names(english[-1]))
        )
        braces = re.sub(r"\{\??\w+\}|\[|\]", "", form)
        if not fits or not conditions(form) <= conditions(own) or set(braces) & set("{}"):
            found.append(form)
    return found


@each
def test_a_catalogue_has_exactly_the_texts_of_the_code(language: Language, domain: str) -> None:
    kept, said = keys(read(language, domain)), keys(template(domain))
    assert said - kept == set(), "new texts: make catalogues, then translate them"
    assert kept - said == set(), "no longer said: make catalogues"


@each
def test_nothing_is_untranslated_fuzzy_or_left_over(language: Language, domain: str) -> None:
    catalogue = read(language, domain)
    assert [m.id for m in catalogue if m.id and is_open(m)] == []
    assert list(catalogue.obsolete.values()) == []


@each
def test_every_translation_has_the_placeholders_of_its_english_text(
    language: Language, domain: str
) -> None:
    told = [message for message in read(language, domain) if message.id and not is_open(message)]
    wrong = {message.id: found for message in told if (found := faults(message))}
    assert wrong == {}


def ends(text: str) -> tuple[str, str]:
    """White space at either end."""
    return text[: len(text) - len(text.lstrip())], text[len(text.rstrip()) :]


@each
def test_every_translation_has_the_white_space_and_the_markup_of_its_text(
    language: Language, domain: str
) -> None:
    wrong = [
        form
        for message in read(language, domain)
        if message.id
        for own, form in zip(forms_of(message.id), forms_of(message.string), strict=False)
        if ends(own) != ends(form) or MARKUP.findall(own) != MARKUP.findall(form)
    ]
    assert wrong == []


@each
def test_a_catalogue_is_what_gettext_editors_expect(language: Language, domain: str) -> None:
    catalogue = read(language, domain)
    assert str(catalogue.locale) == language.value
    assert catalogue.charset == "utf-8"
    counted = [message for message in catalogue if isinstance(message.id, tuple)]
    assert {len(forms_of(message.string)) for message in counted} <= {catalogue.num_plurals}


def test_every_structure_of_texts_is_kept_in_step() -> None:
    made = [
        line
        for path in (ROOT / "frostwatch").rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if re.search(r"= InEveryLanguage\(", line)
    ]
    assert len(made) == len(SOURCES), "enter the new structure in tests/catalogues.py"


def test_there_is_a_catalogue_for_every_language_and_no_other() -> None:
    found = {path.relative_to(LOCALE) for path in LOCALE.rglob("*.po")}
    assert found == {place_of(*one).relative_to(LOCALE) for one in EACH}


def test_every_catalogue_is_installed_with_the_package() -> None:
    config = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    patterns = config["tool"]["setuptools"]["package-data"]["frostwatch"]
    package = ROOT / "frostwatch"
    carried = {path for pattern in patterns for path in package.glob(pattern)}
    assert {place_of(*one) for one in EACH} <= carried


@pytest.mark.parametrize(
    ("english", "wrong"),
    [
        ("{van} by {by}", "{van}"),
        ("{van}", "{van} {by}"),
        ("{van}", "{ van }"),
        ("{van}", "{van"),
        ("Look{?again}", "Nachsehen"),
        ("Look", "Nachsehen{?again}"),
        ("[ {told} told,] {all}", "{all}"),
    ],
)
def test_a_wrong_placeholder_would_be_noticed(english: str, wrong: str) -> None:
    assert faults(Message(english, wrong)) == [wrong]


def test_a_bracket_may_be_left_out_with_its_condition() -> None:
    assert faults(Message("{van}[, we write{?again}]", "{van}")) == []


def test_a_new_language_begins_with_every_text_empty(tmp_path: Path) -> None:
    for domain in domains():
        left = bring_into_step(Language.FR, domain, tmp_path)
        assert len(left) == len(keys(template(domain)))
        assert "Plural-Forms: nplurals=2; plural=(n > 1)" in place_of(
            Language.FR, domain, tmp_path
        ).read_text(encoding="utf-8")


def test_a_changed_text_keeps_its_translation_marked_for_review(tmp_path: Path) -> None:
    place = place_of(Language.DE, "messages", tmp_path)
    place.parent.mkdir(parents=True)
    before = Catalog(locale="de")
    before.add("Only then 20 L, pump on, and watch for five minutes.", "Danach 20 l, fünf Minuten.")
    before.add("Not a public warning.", "Keine amtliche Warnung.")
    before.add("Nobody says this any more, whoever asks.", "Das sagt niemand mehr.")
    with place.open("wb") as file:
        write_po(file, before)
    bring_into_step(Language.DE, "messages", tmp_path)
    with place.open("rb") as file:
        after = read_po(file, locale="de")
    kept = after.get("Not a public warning.")
    assert kept is not None
    assert kept.string == "Keine amtliche Warnung."
    assert not kept.fuzzy
    changed = [message for message in after if message.string == "Danach 20 l, fünf Minuten."]
    assert changed
    assert all(message.fuzzy for message in changed)
    assert "Nobody says" not in place.read_text(encoding="utf-8")


def test_bringing_into_step_twice_changes_nothing(tmp_path: Path) -> None:
    for language, domain in EACH:
        place = place_of(language, domain, tmp_path)
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(place_of(language, domain).read_bytes())
        bring_into_step(language, domain, tmp_path)
        once = place.read_bytes()
        bring_into_step(language, domain, tmp_path)
        assert place.read_bytes() == once
