"""Which vehicle or person somebody means."""

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.finding import person_meant, vehicle_meant
from tests.builders import a_vehicle, an_operator

VEHICLES = (
    a_vehicle("Y03", bay="A-01", name="Blue Bird", plate_end="K47"),
    a_vehicle("Y04", bay="A-02", name="twins", plate_end=""),
    a_vehicle("Y05", bay="A-03", name="twins", plate_end=""),
    a_vehicle("a-02", bay="B-07", plate_end=""),
)


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("Y03", "Y03"),
        ("y03", "Y03"),
        ("A-01", "Y03"),
        ("a1", ""),
        ("a01", "Y03"),
        ("blue bird", "Y03"),
        ("k47", "Y03"),
        ("a-02", "a-02"),
        ("b-07", "a-02"),
    ],
)
def test_a_vehicle_is_found_by_key_bay_name_or_plate(word: str, key: str) -> None:
    if key:
        assert vehicle_meant(word, VEHICLES).key == key
    else:
        with pytest.raises(FleetError, match="is not entered"):
            vehicle_meant(word, VEHICLES)


@pytest.mark.parametrize(
    ("word", "says"),
    [("twins", "fits several vehicles: Y04, Y05"), ("Y33", "Did you mean 'Y03'"), ("", "Give one")],
)
def test_a_word_that_fits_none_or_several_is_refused(word: str, says: str) -> None:
    with pytest.raises(FleetError, match=says):
        vehicle_meant(word, VEHICLES)


def test_a_person_is_found_by_key_or_name() -> None:
    people = (an_operator("ailsa", name="Ailsa Thornber"), an_operator("kit", name="Kit"))
    assert person_meant("ailsa thornber", people).key == "ailsa"
    assert person_meant("KIT", people).key == "kit"
    with pytest.raises(FleetError, match="Did you mean 'ailsa'"):
        person_meant("alisa", people)
