"""The step Place: coordinates as maps give them, and fields as people fill them in."""

from datetime import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import COST_RATIO, Caution, Lie, Shelter, Site, SiteKind
from frostwatch.web.set_up.coordinates import coordinates_from, coordinates_text
from frostwatch.web.set_up.place_form import empty_place, kept_fields, place_fields, site_from
from tests.builders import a_drive, a_forecourt, a_site

FILLED = empty_place(Language.EN) | {"name": "Cold Rigg Yard", "where": "54.74 N, 2.31 W"}


def site(**changed: str) -> Site:
    made = site_from(FILLED | changed, key="cold-rigg", language=Language.EN)
    assert isinstance(made, Site), made
    return made


def faults(**changed: str) -> dict[str, str]:
    made = site_from(FILLED | changed, key="k", language=Language.EN)
    assert not isinstance(made, Site)
    return {fault.field: fault.key for fault in made}


@pytest.mark.parametrize(
    ("text", "language", "place"),
    [
        ("54.74 N, 2.31 W", "en", (54.74, -2.31)),
        ("54.74, -2.31", "en", (54.74, -2.31)),
        ("54.74 -2.31", "en", (54.74, -2.31)),
        ("54,74 -2,31", "de", (54.74, -2.31)),
        ("54,74; -2,31", "de", (54.74, -2.31)),
        ("54,74, -2,31", "fr", (54.74, -2.31)),
        ("54, -2", "en", (54.0, -2.0)),
        ("54,-2", "en", (54.0, -2.0)),
        ("N 54.74 W 2.31", "en", (54.74, -2.31)),
        ("2.31W 54.74N", "en", (54.74, -2.31)),
        ("54°44'24\"N 2°18'36\"W", "en", (54.74, -2.31)),
        ("54° 44′ 24″ N, 2° 18′ 36″ W", "en", (54.74, -2.31)),
        ("54° 44.4' N 2° 18.6' W", "en", (54.74, -2.31)),
        ("47,70 N 10,29 O", "de", (47.7, 10.29)),
        ("48,71 N 4,05 O", "fr", (48.71, -4.05)),
        ("−33.9, 18.4", "en", (-33.9, 18.4)),
    ],
)
def test_coordinates_are_read_as_maps_write_them(
    text: str, language: str, place: tuple[float, float]
) -> None:
    """Degrees, minutes and seconds of ISO 6709, annex D, and what map pages copy."""
    found = coordinates_from(text, Language(language))
    assert found is not None
    assert found == pytest.approx(place, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "54.74",
        "54.74, -2.31, 410",
        "somewhere",
        "91, 0",
        "0, 181",
        "54 N, 2 S",
        "54 N, -2",
        "-54 N, 2 W",
        "48,71 N 4,05 O",
        "54°61' N 2° W",
        "1e1 2",
        "<b>54</b> 2",
        "54.74\x00, -2.31",
        "\u202e54.74, -2.31",
        "9" * 10_000,
    ],
)
def test_what_is_no_place_on_earth_is_not_guessed_at(text: str) -> None:
    assert coordinates_from(text, Language.EN) is None


@given(st.floats(-90, 90), st.floats(-180, 180), st.sampled_from(list(Language)))
def test_coordinates_written_down_read_back(latitude: float, longitude: float, own: Any) -> None:
    found = coordinates_from(coordinates_text(latitude, longitude, own), own)
    assert found is not None
    assert found == pytest.approx((latitude, longitude), abs=5.1e-5)


@given(st.text(max_size=60))
def test_any_text_is_a_place_on_earth_or_nothing(text: str) -> None:
    found = coordinates_from(text)
    assert found is None or (abs(found[0]) <= 90 and abs(found[1]) <= 180)


def test_the_fields_make_a_site() -> None:
    made = site(height="410 m", crew="2", day_sat="on", opens="8", closes="16.30")
    assert made == a_site(
        bays=(),
        operator="",
        cost_ratio=COST_RATIO[Caution.BALANCED],
        shifts=made.shifts,
    )
    assert [shift.weekday for shift in made.shifts] == [0, 1, 2, 3, 4, 5]
    assert made.shifts[0].opens == time(8)
    assert made.shifts[0].closes == time(16, 30)


def test_a_height_left_out_is_the_grounds() -> None:
    made = site_from(FILLED, key="k", language=Language.EN, ground_m=402.0)
    assert isinstance(made, Site)
    assert made.height_m == 402.0
    assert site().height_m is None


@pytest.mark.parametrize("made", [a_site(), a_drive(), a_forecourt()])
@pytest.mark.parametrize("language", list(Language))
def test_the_fields_of_a_site_make_that_site(made: Site, language: Language) -> None:
    again = site_from(place_fields(made, language), key=made.key, language=language)
    assert isinstance(again, Site)
    assert place_fields(again, language) == place_fields(made, language)
    assert again.shifts == made.shifts


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        ({"name": ""}, {"name": "set.text_empty"}),
        ({"name": "x" * 10_000}, {"name": "set.text_long"}),
        ({"name": "a\x00b"}, {"name": "set.text_control"}),
        ({"name": "\u202eyard"}, {"name": "set.text_turned"}),
        ({"where": ""}, {"where": "set.where_empty"}),
        ({"where": "up the hill"}, {"where": "set.where_unread"}),
        ({"height": "high"}, {"height": "set.height_unread"}),
        ({"height": "6000"}, {"height": "set.height_range"}),
        ({"zone": "Europe/Cold Rigg"}, {"zone": "set.zone_unread"}),
        ({"zone": "../../etc/passwd"}, {"zone": "set.zone_unread"}),
        ({"zone": ""}, {"zone": "set.zone_unread"}),
        ({"opens": "25:00"}, {"opens": "set.clock_unread"}),
        ({"opens": "17:00"}, {"closes": "set.hours_order"}),
        ({"crew": "0"}, {"crew": "set.crew_range"}),
        ({"crew": "٣"}, {"crew": "set.crew_range"}),
        ({"kind": "castle"}, {"kind": "set.choose"}),
        ({"lie": "", "shelter": "x"}, {"lie": "set.choose", "shelter": "set.choose"}),
    ],
)
def test_each_fault_is_named_at_its_field(changed: dict[str, str], found: dict[str, str]) -> None:
    assert faults(**changed) == found


def test_all_faults_come_at_once_in_the_order_of_the_page() -> None:
    nothing = dict.fromkeys(FILLED, "")
    assert list(faults(**nothing)) == [
        "name", "kind", "where", "zone", "lie", "shelter", "crew", "caution",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("height", "key", "meant"),
    [("4100", "set.height_above", "410"), ("-2000", "set.height_below", "402")],
)
def test_a_slip_of_the_pen_in_the_height_is_found_with_the_ground(
    height: str, key: str, meant: str
) -> None:
    made = site_from(FILLED | {"height": height}, key="k", language=Language.EN, ground_m=402.0)
    assert not isinstance(made, Site)
    assert made[0].key == key
    assert made[0].values["meant"] == meant


def test_no_working_days_ask_for_no_hours() -> None:
    days = {f"day_{day}": "" for day in ("mon", "tue", "wed", "thu", "fri")}
    assert site(opens="", closes="never", **days).shifts == ()


def test_only_the_steps_own_fields_are_kept_of_a_form() -> None:
    kept = kept_fields({"name": "a", "form_token": "t", "day_mon": "on", "role": "operator"})
    assert kept["name"] == "a"
    assert kept["day_mon"] == "on"
    assert kept["day_tue"] == ""
    assert "form_token" not in kept
    assert "role" not in kept


@given(st.dictionaries(st.sampled_from(sorted(FILLED)), st.text(max_size=40)))
def test_any_fields_make_a_site_or_faults(fields: dict[str, str]) -> None:
    made = site_from(FILLED | fields, key="k", language=Language.EN, ground_m=100.0)
    if not isinstance(made, Site):
        assert made
        return
    assert made.kind in SiteKind
    assert made.lie in Lie
    assert made.shelter in Shelter
