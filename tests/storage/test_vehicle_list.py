"""A site's vehicles as people type and paste them."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.heat import Fuel, Handover, HeatSource, Post
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.people import Language
from frostwatch.storage.kind_words import layout_meant, word_near
from frostwatch.storage.vehicle_list import (
    VehicleList,
    key_from,
    read_vehicle_list,
    with_vehicle,
)
from frostwatch.web.words import PAGE_WORDS
from tests.builders import a_site, a_vehicle, an_operator

SITE = a_site("new-yard", bays=(), operator="")
KNOWN = Fleet(sites=(a_site(),), people=(an_operator(),), vehicles=(a_vehicle("Y03"),))


def read(text: str) -> VehicleList:
    found = read_vehicle_list(text, SITE, KNOWN)
    assert isinstance(found, VehicleList), [str(one) for one in found]
    return found


def problems(text: str) -> list[str]:
    found = read_vehicle_list(text, SITE, KNOWN)
    assert isinstance(found, list)
    return [str(one) for one in found]


def test_a_bare_list_is_bay_plate_kind_key_and_keeper() -> None:
    found = read("A-01;K47;motorhome;hook 3;Maëlle Kerdoncuff\nA-02;K48;caravan;;\n")
    first, second = found.vehicles
    assert (first.key, first.bay, first.site, first.plate_end) == (
        "A-01",
        "A-01",
        "new-yard",
        "K47",
    )
    assert (first.layout, first.key_place) == ("coachbuilt-seat-tank", "hook 3")
    assert first.keeper == "maelle-kerdoncuff"
    assert second.layout == "caravan-inboard"
    assert found.keepers == {"maelle-kerdoncuff": "Maëlle Kerdoncuff"}
    assert found.bays == ("A-01", "A-02")


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_columns_with_heads_may_stand_in_any_order(delimiter: str) -> None:
    rows = [["Kennzeichen", "Typ", "Stellplatz"], ["K47", "Wohnmobil", "A-01"]]
    (vehicle,) = read("\n".join(delimiter.join(row) for row in rows)).vehicles
    assert (vehicle.plate_end, vehicle.layout, vehicle.bay) == (
        "K47",
        "coachbuilt-seat-tank",
        "A-01",
    )


def test_a_vehicle_may_have_a_key_of_its_own_and_numbers_of_its_own() -> None:
    found = read(
        "vehicle,bay,kind_is,layout,F1.capacity_l\n".replace("kind_is,", "") + "V7,A-1,van,90"
    )
    (vehicle,) = found.vehicles
    assert vehicle.key == "V7"
    assert vehicle.overrides == (("F1.capacity_l", 90.0),)


def test_new_bays_stand_behind_those_that_are_there() -> None:
    site = a_site("new-yard", bays=("B-9", "A-01"), operator="")
    found = read_vehicle_list("A-02;;van\nA-01;;van\n", site, KNOWN)
    assert isinstance(found, VehicleList)
    assert found.bays == ("B-9", "A-01", "A-02")


def test_every_layout_is_understood_by_its_name() -> None:
    for word in CATALOGUE:
        assert read(f"A-01;;{word}").vehicles[0].layout == word


@pytest.mark.parametrize("language", Language)
def test_every_word_for_a_kind_that_a_page_names_is_taken(language: Language) -> None:
    for layout, words in PAGE_WORDS[language].kind_words.items():
        for word in words.split(", "):
            for typed in (word, word.upper(), word.title(), f" {word.replace(' ', '-')} "):
                assert layout_meant(typed) == layout, typed


@pytest.mark.parametrize(
    ("typed", "layout"),
    [
        ("panel vans", "panel-van"),
        ("VAN", "panel-van"),
        ("Panel-Van", "panel-van"),
        ("Kastenwägen", "panel-van"),
        ("kastenwagen", "panel-van"),
        ("Fourgons Aménagés", "panel-van"),
        ("fourgon amenage", "panel-van"),
        ("  Camper  Vans ", "small-camper"),
        ("Campingbusse", "small-camper"),
        ("vans aménagés", "small-camper"),
        ("Wohnmobile", "coachbuilt-seat-tank"),
        ("CAMPING-CARS", "coachbuilt-seat-tank"),
        ("camping car", "coachbuilt-seat-tank"),
        ("Integrierte", "a-class-double-floor"),
        ("intégraux", "a-class-double-floor"),
        ("Wohnwägen", "caravan-inboard"),
        ("caravanes", "caravan-inboard"),
        ("capucines", "alcove-family"),
        ("Ship", ""),
        ("", ""),
    ],
)
def test_a_kind_is_taken_in_one_or_several_in_any_letters(typed: str, layout: str) -> None:
    assert layout_meant(typed) == layout


def test_a_word_that_is_nearly_known_is_offered_as_it_is_written() -> None:
    assert problems("A-01;;Kastenwagn") == [
        "line 1, C (layout): kind 'Kastenwagn' is not known. Did you mean Kastenwagen?"
    ]
    assert word_near("submarine") == ""


def test_bay_and_kind_are_all_that_is_needed() -> None:
    first, second = read("A-01; motorhome\nA-02; Kastenwagen").vehicles
    assert [first.bay, second.bay] == ["A-01", "A-02"]
    assert [first.layout, second.layout] == ["coachbuilt-seat-tank", "panel-van"]
    assert (first.plate_end, first.keeper) == ("", "")


def test_a_short_first_line_does_not_cut_those_below_it() -> None:
    found = read("A-01;481;motorhome\nA-02;482;van;board 3;Mel Ashe")
    assert found.vehicles[1].key_place == "board 3"
    assert found.keepers == {"mel-ashe": "Mel Ashe"}


@pytest.mark.parametrize("head", ["Bay;Kind", "Platz;Art", "Place;Genre"])
def test_heads_may_be_the_words_of_the_page(head: str) -> None:
    (vehicle,) = read(f"{head}\nA-01;caravan").vehicles
    assert (vehicle.bay, vehicle.layout) == ("A-01", "caravan-inboard")


def test_all_faults_are_named_at_their_line_and_column() -> None:
    said = problems("A-01;K47;boat\nA-01;K48;van\n;;van\nY03;;\n")
    assert said == [
        "line 1, C (layout): kind 'boat' is not known. Give motorhome, alcove, a-class, panel van, "
        "camper van or caravan, or another word from the kinds below the list.",
        "line 2, A (bay): A-01 stands on line 1 too. Keep one row.",
        "line 3, A (bay): key is missing. Fill it in.",
        "line 4, C (layout): the kind is missing. Give motorhome, alcove, a-class, panel van, "
        "camper van or caravan, or another word from the kinds below the list.",
        "line 4, A (bay): 'Y03' is the key of a vehicle at another place. Add a column 'vehicle' "
        "and give it another.",
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("A-01", "no column tells the kind"),
        ("A-01;=1+1;van", "runs as a formula"),
        ("A-01;;van;;=cmd", "runs as a formula"),
        ("A-01;\u202e74K;van", "turns the direction of writing"),
        (f"A-01;{'x' * 10_000};van", "the cell has 10000 letters"),
        ("A-01;a\x07b;van", "control character"),
        ('A-01;"K47;van', "Look for a quotation mark"),
        ("A-01;K47;van;x;y;z", "beyond the last header"),
        ("bay,colour\nA-01,blue", "'colour' is not known"),
    ],
)
def test_hostile_and_broken_cells_are_refused_with_a_reason(text: str, said: str) -> None:
    assert said in "\n".join(problems(text))


@pytest.mark.parametrize("cell", ["<script>alert(1)</script>", "🚐❄️", "عربة", "'; DROP TABLE x"])
def test_markup_emoji_and_any_script_are_text(cell: str) -> None:
    text = with_vehicle("", {"bay": "A-01", "plate_end": cell, "layout": "van"})
    assert isinstance(text, str)
    assert read(text).vehicles[0].plate_end == cell


@given(st.text(max_size=400))
def test_any_text_is_read_or_refused_but_never_breaks(text: str) -> None:
    read_vehicle_list(text, SITE, KNOWN)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Maëlle Kerdoncuff", "maelle-kerdoncuff"),
        ("Frau Dr. Müller-Lüdenscheidt", "frau-dr-mueller-luedenscheidt"),
        ("  O'Neill  ", "o-neill"),
        ("<b>", "b"),
        ("❄️", "x"),
        ("علي", "علي"),
        ("x" * 300, "x" * 60),
    ],
)
def test_a_key_is_made_out_of_a_name(name: str, key: str) -> None:
    assert key_from(name) == key


def test_one_vehicle_is_added_to_whatever_stands_there() -> None:
    text = "Stellplatz;Typ\nA-01;van\n"
    more = with_vehicle(text, {"bay": "A-02", "layout": "caravan", "keeper": "Kit, the tall"})
    assert more == 'bay,layout,keeper\nA-01,van,\nA-02,caravan,"Kit, the tall"\n'
    found = read(more)
    assert [vehicle.bay for vehicle in found.vehicles] == ["A-01", "A-02"]
    assert found.keepers == {"kit-the-tall": "Kit, the tall"}


def test_a_formula_is_added_as_text() -> None:
    more = with_vehicle("A-01;;van", {"bay": "A-02", "layout": "van", "plate_end": "=1+1"})
    assert isinstance(more, str)
    assert "'=1+1" in more
    assert read(more).vehicles[1].plate_end == "=1+1"


def test_nothing_is_added_to_a_list_that_cannot_be_read() -> None:
    assert isinstance(with_vehicle('A-01;"x', {"bay": "A-02", "layout": "van"}), list)


def test_a_vehicle_that_is_there_keeps_what_a_list_does_not_ask() -> None:
    site = a_site("new-yard", bays=("A-01",), operator="", posts=(Post(name="1", amps=16.0),))
    before = a_vehicle(
        "A-01",
        site="new-yard",
        name="the red one",
        heat=(HeatSource(fuel=Fuel.GAS, power_w=6000.0),),
        post="1",
        handover=Handover(at=datetime(2027, 1, 15, 9, tzinfo=UTC)),
    )
    known = Fleet(sites=(site,), vehicles=(before,))
    found = read_vehicle_list("A-01;X99;motorhome\n", site, known)
    assert isinstance(found, VehicleList)
    (again,) = found.vehicles
    assert again.plate_end == "X99"
    assert (again.heat, again.post, again.handover) == (before.heat, "1", before.handover)
    other = read_vehicle_list("A-01;X99;van\n", site, known)
    assert isinstance(other, VehicleList)
    assert other.vehicles[0].heat == ()  # another kind of vehicle begins anew


def test_a_range_is_no_bay() -> None:
    problem = problems("A-01..A-03;K47;van\n")[0]
    assert "'A-01..A-03' cannot be a bay" in problem
    assert "a row of its own" in problem
