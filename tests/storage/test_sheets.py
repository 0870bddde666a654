"""A spreadsheet's CSV: what spreadsheets do to it, and what people do to spreadsheets."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.roofs import Roof, Under
from frostwatch.fleet.vehicles import HeatedHold
from frostwatch.storage.bay_ranges import bays_from, bays_text
from frostwatch.storage.hours_text import spans_from, spans_text
from frostwatch.storage.sheets import decoded, letter, read_sheet, write_sheet
from frostwatch.storage.vehicle_sheet import HEADERS, read_vehicle_sheet, write_vehicle_sheet
from tests.builders import a_site, a_vehicle, an_operator

KNOWN = Fleet(sites=(a_site(),), people=(an_operator(),))
WITH_ONE = replace(KNOWN, vehicles=(a_vehicle("Y03", bay="A-03"),))

HEADER = "key,site,bay,layout\n"


def read(text: str, known: Fleet = KNOWN) -> Fleet:
    result = read_vehicle_sheet(text, known)
    assert isinstance(result, Fleet), [str(problem) for problem in result]
    return result


def problems(text: str, known: Fleet = KNOWN) -> list[str]:
    result = read_vehicle_sheet(text, known)
    assert isinstance(result, list)
    return [str(problem) for problem in result]


@pytest.mark.parametrize(
    "text",
    [
        "key,site,bay,layout,indoors,hold_source,hold_power_w,hold_setting_c,F1.capacity_l\n"
        'Y01,cold-rigg,A-01,panel-van,yes,hook-up 6 A,1380,5,"82,5"\n',
        "Fahrzeug;Standort;Stellplatz;Aufbau;Halle;Heizquelle;Heizleistung W;Heiztemperatur C;"
        "F1.capacity_l\r\nY01;cold-rigg;A-01;panel-van;WAHR;hook-up 6 A;1380,0;5,0;82,5\r\n",
        "\ufeffsep=;\nVéhicule;Lieu;Emplacement;Modèle;Intérieur;Source de chauffage;Puissance W;"
        "Consigne C;F1.capacity_l\nY01;cold-rigg;A-01;panel-van;VRAI;hook-up 6 A;1380;5;82,5\n",
        "Key\tSite\tBay\tLayout\tIndoors\tHold Source\tHold Power W\tHold-Setting C\t"
        "F1.capacity_l\n"
        "Y01\tcold-rigg\tA-01\tpanel-van\tx\thook-up 6 A\t1 380\t5\t82.5\n\t\t\t\t\t\t\t\t\n",
    ],
)
def test_comma_semicolon_and_tab_marks_and_decimal_commas_read_alike(text: str) -> None:
    (vehicle,) = read(text).vehicles
    assert vehicle == a_vehicle(
        "Y01",
        bay="A-01",
        layout="panel-van",
        plate_end="",
        indoors=True,
        hold=HeatedHold(source="hook-up 6 A", power_w=1380.0, setting_c=5.0),
        overrides=(("F1.capacity_l", 82.5),),
    )


def test_where_a_vehicle_stands_is_read_from_four_columns() -> None:
    text = (
        "Fahrzeug;Standort;Aufbau;Steht;Halle warm C;Halle laut;Halle bis\n"
        "Y01;cold-rigg;panel-van;heated;15;Resi;2027-01-14T16:00:00Z\n"
        "Y02;cold-rigg;panel-van;roofed;;;\n"
    )
    first, second = read(text).vehicles
    until = datetime(2027, 1, 14, 16, tzinfo=UTC)
    assert first.under == Under(kind=Roof.HEATED, heated_to_c=15.0, by="Resi", until=until)
    assert second.under == Under(kind=Roof.ROOFED)
    half = "key,site,layout,under_kind,under_heated_to_c\nY01,cold-rigg,panel-van,heated,15\n"
    assert any("who says so and until when" in problem for problem in problems(half))


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_every_encoding_of_a_spreadsheet_reads_alike(coding: str) -> None:
    text = "key,site,bay,layout,name\nY01,cold-rigg,,panel-van,Größe é\n"
    back = decoded(text.encode(coding))
    assert isinstance(back, str)
    assert read(back).vehicles[0].name == "Größe é"


def test_bytes_that_are_no_text_are_answered() -> None:
    answer = decoded(b"\xff\xfe\x00")
    assert isinstance(answer, list)
    assert "Save it as CSV UTF-8." in str(answer[0])


def test_rows_replace_vehicles_of_the_same_key_and_add_new_ones() -> None:
    fleet = read(HEADER + "Y03,cold-rigg,B-01,panel-van\nY04,cold-rigg,,panel-van\n", WITH_ONE)
    assert [(one.key, one.bay) for one in fleet.vehicles] == [("Y03", "B-01"), ("Y04", "")]
    assert fleet.sites == KNOWN.sites


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "file: the file is empty. Begin with a header."),
        (HEADER + "Y01,cold-rig,,panel-van\n", "line 2, B (site): its site 'cold-rig' is not"),
        (HEADER + "Y01,cold-rigg,Z-1,panel-van\n", "line 2, C (bay): bay 'Z-1' is not at site"),
        (HEADER + "\n,cold-rigg,,panel-van\n", "line 3, A (key): key is missing."),
        (HEADER + "Y01,cold-rigg,,panelvan\n", "line 2, D (layout): layout 'panelvan' is not"),
        (HEADER + "Y01,cold-rigg,,,\nY02,,,x,y\n", "line 3, E: there is a cell beyond the last"),
        (HEADER + "Y01,cold-rigg\n", "line 2, D (layout): layout is missing."),
        (
            HEADER + "Y01,cold-rigg,,panel-van\nY01,cold-rigg,,panel-van\n",
            "line 3, A (key): Y01 stands on line 2 too.",
        ),
        (HEADER + 'Y01,"cold-rigg,,panel-van\n', "line 2: the row cannot be read: unexpected"),
        (HEADER + "Y01,=1+1,,panel-van\n", "line 2, B (site): the cell begins with '=', which"),
        (HEADER + "Y01,cold-rigg,@SUM(A1),panel-van\n", "line 2, C (bay): the cell begins with"),
        (HEADER + "-cmd,cold-rigg,,panel-van\n", "line 2, A (key): the cell begins with '-'"),
        (HEADER + "+4,cold-rigg,,panel-van,\n" + "a b,cold-rigg,,x", "line 3, A (key): 'a b'"),
        ("key,site,site,layout\n", "line 1, C (site): site stands in two columns. Keep one."),
        ("key,site,bey,layout\n", "line 1, C (bey): the header 'bey' is not known. Use key"),
        ("key,,bay\nY01,x,A-01\n", "line 1, B: the column has no header."),
        (
            "key,site,layout,F1.capacity_l\nY01,cold-rigg,panel-van,none\n",
            "line 2, D (F1.capacity_l): 'none' is no number.",
        ),
        (
            "key,site,layout,F1.capacity_l\nY01,cold-rigg,panel-van,0\n",
            "line 2, D (F1.capacity_l): F1.capacity_l is 0, it must be between",
        ),
        (
            "key,site,layout,F1.capcity_l\nY01,cold-rigg,panel-van,90\n",
            "line 2, D (F1.capcity_l): 'F1.capcity_l' is no number of layout panel-van.",
        ),
        (
            'key,site,layout,F1.capacity_l\nY01,cold-rigg,panel-van,"1,250"\n',
            "'1,250' can be read as thousands or as a decimal comma.",
        ),
        (
            "key,site,layout,indoors\nY01,cold-rigg,panel-van,maybe\n",
            "line 2, D (indoors): 'maybe' is neither yes nor no.",
        ),
        (
            "key,site,layout,hold_power_w\nY01,cold-rigg,panel-van,900\n",
            "line 2, hold_source: hold_source is missing.",
        ),
        (
            "key,site,layout,name\nY01,cold-rigg,panel-van,a\x07\n",
            "line 2, D (name): name has a control character in it.",
        ),
    ],
)
def test_a_bad_row_is_told_with_line_column_and_what_to_do(text: str, said: str) -> None:
    assert any(said in problem for problem in problems(text)), problems(text)


def test_lines_are_counted_through_cells_with_line_breaks() -> None:
    rows = 'Y01,cold-rigg,panel-van,"a"\n"Y02\n",cold-rigg,panel-van,b\nY 3,x,y,\n'
    text = f"key,site,layout,name\n{rows}"
    told = problems(text)
    assert any(problem.startswith("line 5, A (key)") for problem in told), told


def test_one_bad_row_keeps_every_row_out() -> None:
    text = HEADER + "Y01,cold-rigg,,panel-van\nY02,nowhere,,panel-van\nY05,elsewhere,,x\n"
    assert [problem.split(",")[0] for problem in problems(text)] == ["line 3", "line 4", "line 4"]


def test_a_lone_dash_is_nothing_and_a_small_decimal_comma_is_a_number() -> None:
    text = "key;site;bay;layout;W3.foam_m\nY01;cold-rigg;-;panel-van;0,025\n"
    (vehicle,) = read(text).vehicles
    assert vehicle.bay == ""
    assert vehicle.overrides == (("W3.foam_m", 0.025),)


@pytest.mark.parametrize(
    "text", ["=1+1", "+49 1", "-x", "@a", "'=", "''", "'t Hoekje", "-", "–", "'"]
)
def test_text_that_looks_like_a_formula_is_written_harmless_and_reads_back(text: str) -> None:
    sheet = write_vehicle_sheet([a_vehicle("Y01", name=text)])
    assert f",{text}," not in sheet or not text.startswith(("=", "+", "-", "@"))
    (vehicle,) = read(sheet).vehicles
    assert vehicle.name == text


def test_every_header_of_our_own_is_understood() -> None:
    assert set(HEADERS.values()) == set(write_vehicle_sheet([]).strip().split(","))


@pytest.mark.parametrize(("place", "name"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ")])
def test_columns_go_by_their_letters(place: int, name: str) -> None:
    assert letter(place) == name


@given(st.text(max_size=120) | st.text('key,;"\n=ab', max_size=60))
def test_whatever_stands_in_a_sheet_it_is_read_or_answered(text: str) -> None:
    result = read_vehicle_sheet(text, KNOWN)
    assert isinstance(result, Fleet) or all(problem.what for problem in result)


@given(st.lists(st.lists(st.text(max_size=6), min_size=2, max_size=2), max_size=4))
def test_written_cells_are_valid_csv(rows: list[list[str]]) -> None:
    assert read_sheet(write_sheet(["key", "name"], rows), {"key": "key", "name": "name"})


# Hours and bays


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("mon-fri 08:00-16:30", [0, 1, 2, 3, 4]),
        ("sat 08:00-16:30", [5]),
        ("Saturday 08:00-16:30", [5]),
        ("mon,wed,fri 08:00-16:30", [0, 2, 4]),
        ("sat-mon 08:00-16:30", [5, 6, 0]),
        ("mon-sun 08:00–16:30", [0, 1, 2, 3, 4, 5, 6]),
    ],
)
def test_hours_are_written_as_people_write_them(text: str, days: list[int]) -> None:
    spans = spans_from(text)
    assert [day for day, _, _ in spans] == days
    assert {f"{a:%H:%M}-{b:%H:%M}" for _, a, b in spans} == {"08:00-16:30"}


def test_days_with_the_same_hours_are_written_together() -> None:
    spans = (*spans_from("mon-fri 08:00-16:30"), *spans_from("sat 09:00-12:00"))
    assert spans_text(spans) == ["mon-fri 08:00-16:30", "sat 09:00-12:00"]


@pytest.mark.parametrize(
    ("words", "bays"),
    [
        (["A-09..A-11"], ("A-09", "A-10", "A-11")),
        (["1..3"], ("1", "2", "3")),
        (["A-1..B-3"], ("A-1..B-3",)),
        (["gate", "7 .. 8"], ("gate", "7", "8")),
        (["A-3..A-1"], ()),
    ],
)
def test_bays_may_be_given_as_ranges(words: list[str], bays: tuple[str, ...]) -> None:
    assert bays_from(words) == bays


@given(st.lists(st.from_regex(r"[AB]?[0-9]{1,3}", fullmatch=True), unique=True))
def test_bays_written_short_read_back_as_the_same(bays: list[str]) -> None:
    assert bays_from(bays_text(bays)) == tuple(bays)
