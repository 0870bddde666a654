"""English texts as the code holds them, and how they become another language.

A structure of texts is a dataclass, a mapping or a tuple of them, as deep as wanted. Its leaves are
plain strings, or one of the marked ones below where gettext must be told more. Every leaf is
translated: nothing in a structure can be forgotten. Only an empty text stays as it is.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from gettext import NullTranslations
from typing import Any, TypeVar, cast

T = TypeVar("T")

CUSTOMER = "to a customer"
"""Context of a text that speaks to a stranger: Sie, u, Lei where an owner is du, je, tu."""

ENGLISH = NullTranslations()

_DOUBLE_STOP = re.compile(r"(?<!\.)\.((?:</\w+>)*)\.(?=\s|<|$)")
_BEFORE_UNIT = re.compile(r"(?<=[\d}]) (?=(?:°C|kWh?|W|K|A|L|l|mm|km|bar|[Mm]in|h|s|%)(?![\w'’]))")


class InContext(str):
    """A text that stands in a context, because the same English word means several things.

    Attributes:
        context: gettext's ``msgctxt``: what is meant, or where it stands.
    """

    __slots__ = ("context",)
    context: str

    def __new__(cls, context: str, text: str) -> "InContext":
        """Place a text in a context."""
        made = super().__new__(cls, text)
        made.context = context
        return made


class ToYou(str):
    """A text that addresses its reader; a customer may have to be addressed in another way."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Counted:
    """A text with one form for each kind of number that the language knows.

    Attributes:
        one: English form for one.
        more: English form for any other number.
        by: placeholder that holds the number.
        context: as of ``InContext``; None for none.
        spoken: translations that know the forms.
    """

    one: str
    more: str
    by: str = "n"
    context: str | None = None
    spoken: NullTranslations = ENGLISH

    def __contains__(self, placeholder: str) -> bool:
        """Whether a placeholder stands in it; they are the same in every language."""
        return placeholder in self.more

    def form(self, number: int) -> str:
        """The text for a number, its placeholders not yet filled."""
        if self.context is None:
            return self.spoken.ngettext(self.one, self.more, number)
        return self.spoken.npgettext(self.context, self.one, self.more, number)


Leaf = str | Counted


def formed(leaf: Leaf, values: Mapping[str, object]) -> str:
    """A text, its placeholders not yet filled; of one that counts the form for its number."""
    if not isinstance(leaf, Counted):
        return leaf
    number = values[leaf.by]
    assert isinstance(number, int)
    return leaf.form(number)


def one_stop(text: str) -> str:
    """A sentence whose last words end with the stop of a date, ``30.11.``, without a second one."""
    return _DOUBLE_STOP.sub(r".\1", text)


def with_its_unit(text: str) -> str:
    """The text with every number held to its unit: no line ends between ``{kw}`` and ``kW``."""
    return _BEFORE_UNIT.sub("\u00a0", text)


def with_their_units(texts: T) -> T:
    """The same texts, numbers held to their units; what counts stays as it is."""
    return _changed(texts, lambda leaf: leaf if isinstance(leaf, Counted) else with_its_unit(leaf))


def in_context(context: str, texts: T) -> T:
    """The same texts, all in one context."""

    def placed(leaf: Leaf) -> Leaf:
        if isinstance(leaf, Counted):
            return replace(leaf, context=context)
        return InContext(context, leaf)

    return _changed(texts, placed)


def to_customer(texts: T) -> T:
    """The same texts for a customer: those that address the reader in a context of their own."""

    def turned(leaf: Leaf) -> Leaf:
        return InContext(CUSTOMER, leaf) if isinstance(leaf, ToYou) else leaf

    return _changed(texts, turned)


def with_customers(table: Mapping[str, T]) -> dict[str, T]:
    """The table, and beside every text that addresses an owner the one for a customer.

    It stands under the key with ``.customer`` behind it, in place of an ``.owner``.
    """
    to_owners = {
        key: texts
        for key, texts in table.items()
        if any(isinstance(leaf, ToYou) for _, leaf in leaves(texts))
    }
    customers = {f"{key.removesuffix('.owner')}.customer": key for key in to_owners}
    return {**table, **{own: to_customer(table[key]) for own, key in customers.items()}}


def translated(texts: T, into: NullTranslations) -> T:
    """The same structure in another language."""

    def spoken(leaf: Leaf) -> Leaf:
        if isinstance(leaf, Counted):
            return replace(leaf, spoken=into)
        if isinstance(leaf, InContext):
            return into.pgettext(leaf.context, leaf)
        return into.gettext(leaf)

    return _changed(texts, spoken)


def leaves(texts: object, path: str = "") -> Iterator[tuple[str, Leaf]]:
    """Every text of a structure with the keys that lead to it, in order, without empty ones."""
    if isinstance(texts, str | Counted):
        if texts:
            yield path, texts
    elif isinstance(texts, Mapping):
        for key, value in texts.items():
            yield from leaves(value, f"{path} {key}".strip())
    elif isinstance(texts, tuple):
        for value in texts:
            yield from leaves(value, path)
    else:
        for name, value in _fields(texts):
            yield from leaves(value, f"{path} {name}".strip())


def _changed(texts: T, change: Callable[[Leaf], Leaf]) -> T:
    made: Any
    if isinstance(texts, str | Counted):
        made = change(texts) if texts else texts
    elif isinstance(texts, Mapping):
        made = {key: _changed(value, change) for key, value in texts.items()}
    elif isinstance(texts, tuple):
        made = tuple(_changed(value, change) for value in texts)
    else:
        made = replace(
            cast(Any, texts), **{name: _changed(value, change) for name, value in _fields(texts)}
        )
    return cast(T, made)


def _fields(texts: object) -> list[tuple[str, Any]]:
    if not is_dataclass(texts):
        raise TypeError(f"{texts!r} is no text, nor a mapping, tuple or dataclass of texts.")
    return [(field.name, getattr(texts, field.name)) for field in fields(texts)]
