"""Reading the catalogues: the one place where texts come from files.

The files are the ``.po`` files that translators edit, ``locale/<language>/LC_MESSAGES`` beside this
package. Each is read once, when the first text in its language is wanted, and compiled in memory to
what the standard library's gettext reads. So there is nothing to compile after an edit, nothing
compiled that could be older than its source, and who writes English alone reads no file at all.

What they hold does not change while the program runs: for the same arguments the core still says
the same words.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from gettext import GNUTranslations
from importlib.resources import files
from io import BytesIO
from typing import Generic, TypeVar

from frostwatch.fleet.people import Language
from frostwatch.languages.phrases import translated, with_their_units

T = TypeVar("T")


class InEveryLanguage(Mapping[Language, T], Generic[T]):
    """A structure of English texts, and the same in every other language.

    Attributes:
        english: the texts as the code holds them.
        domain: name of the catalogues that translate them: ``messages``, ``pages``.
        units_held: no line of these texts ends between a number and its unit.
    """

    def __init__(self, english: T, *, domain: str, units_held: bool = False) -> None:
        self.english = english
        self.domain = domain
        self.units_held = units_held
        self._known: dict[Language, T] = {Language.EN: self._held(english)}

    def __getitem__(self, language: Language) -> T:
        if language not in self._known:
            into = read_catalogue(language, self.domain)
            self._known[language] = self._held(translated(self.english, into))
        return self._known[language]

    def _held(self, texts: T) -> T:
        return with_their_units(texts) if self.units_held else texts

    def __iter__(self) -> Iterator[Language]:
        return iter(Language)

    def __len__(self) -> int:
        return len(Language)


@cache
def read_catalogue(language: Language, domain: str) -> GNUTranslations:
    """One catalogue, ready to translate.

    An entry that is empty or marked fuzzy is not used: its text stays English. Tests allow none.

    Args:
        language: which; English has none.
        domain: name of the file, without ``.po``.

    Raises:
        OSError: the installation lacks the file.
    """
    # Slow to import, and only needed by who reads another language than English.
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    place = files("frostwatch") / "locale" / language.value / "LC_MESSAGES" / f"{domain}.po"
    with place.open("rb") as file:
        catalogue = read_po(file, locale=language.value, domain=domain, abort_invalid=True)
    compiled = BytesIO()
    write_mo(compiled, catalogue)
    compiled.seek(0)
    return GNUTranslations(compiled)
