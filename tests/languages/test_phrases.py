"""English texts in structures, and what becomes of them."""

from dataclasses import dataclass
from gettext import NullTranslations

import pytest

from frostwatch.languages.phrases import (
    CUSTOMER,
    Counted,
    InContext,
    ToYou,
    in_context,
    leaves,
    to_customer,
    translated,
    with_customers,
    with_their_units,
)


class Shouted(NullTranslations):
    """A language that says everything loudly, and what has a context with its first letter."""

    def gettext(self, message: str) -> str:
        return message.upper()

    def pgettext(self, context: str, message: str) -> str:
        return f"{context[0]}:{message.upper()}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return (msgid1 if n < 2 else msgid2).upper()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    head: str
    rows: dict[str, tuple[str | Counted, ...]]


SHEET = Sheet(
    head=InContext("noun", "round"),
    rows={"a": ("walk", "", Counted("{n} van", "{n} vans")), "b": (ToYou("you walk"),)},
)


def test_every_text_of_a_structure_is_found_with_the_keys_that_lead_to_it() -> None:
    found = [(path, leaf) for path, leaf in leaves(SHEET)]
    assert found == [
        ("head", "round"),
        ("rows a", "walk"),
        ("rows a", Counted("{n} van", "{n} vans")),
        ("rows b", "you walk"),
    ]


def test_a_translated_structure_has_the_same_shape_and_leaves_empty_texts_alone() -> None:
    loud = translated(SHEET, Shouted())
    assert loud.head == "n:ROUND"
    assert loud.rows["a"][:2] == ("WALK", "")
    assert loud.rows["b"] == ("YOU WALK",)
    assert SHEET.head == "round"


def test_a_text_that_counts_leaves_the_choice_of_its_form_to_the_language() -> None:
    counted = SHEET.rows["a"][2]
    loud = translated(SHEET, Shouted()).rows["a"][2]
    assert isinstance(counted, Counted)
    assert isinstance(loud, Counted)
    assert [counted.form(n) for n in (0, 1, 2)] == ["{n} vans", "{n} van", "{n} vans"]
    assert [loud.form(n) for n in (0, 1, 2)] == ["{N} VAN", "{N} VAN", "{N} VANS"]
    assert "{n}" in counted
    assert "{m}" not in counted


def test_a_context_reaches_every_text_below_it() -> None:
    placed = in_context("part", {"tap": "tap", "many": Counted("tap", "taps")})
    assert [
        leaf.context for _, leaf in leaves(placed) if isinstance(leaf, InContext | Counted)
    ] == [
        "part",
        "part",
    ]
    assert placed["tap"] == "tap"


def test_only_what_addresses_the_reader_is_said_to_a_customer_in_a_context_of_its_own() -> None:
    turned = to_customer(SHEET)
    you = turned.rows["b"][0]
    assert isinstance(you, InContext)
    assert you.context == CUSTOMER
    assert turned.rows["a"] == SHEET.rows["a"]


def test_a_customers_text_stands_beside_the_owners() -> None:
    table = with_customers({"going.owner": ToYou("you go"), "done": ToYou("you"), "part": "part"})
    assert list(table) == ["going.owner", "done", "part", "going.customer", "done.customer"]
    assert table["going.customer"] == "you go"


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(TypeError, match="7 is no text"):
        translated({"a": 7}, Shouted())


def test_a_number_is_held_to_its_unit_and_to_no_other_word() -> None:
    # A no-break space stands between a number and its unit: BIPM, The International System of
    # Units (SI brochure, 9th edition), 5.4.3, asks for the space; from memory.
    held = with_their_units(("gas {kw} kW, 60 s", "20 l’eau, {van} heated", "{n} °C", "5 Litres"))
    assert held == (
        "gas {kw}\u00a0kW, 60\u00a0s",
        "20 l’eau, {van} heated",
        "{n}\u00a0°C",
        "5 Litres",
    )
