"""Photographs by an owner's link: kept once, believed, shown by no other link, or refused."""

import re
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from httpx2 import Response
from PIL import Image

from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.ports.photos import Photo
from frostwatch.records.entries import Evidence, State
from frostwatch.records.standing_water import water_of
from tests.builders import a_layout, a_vehicle
from tests.photographs import a_photo
from tests.web.pages_read import words
from tests.web.vans import FROST, Street, a_row_of_vans, a_street

FRIDAY = datetime(2026, 11, 20, 15, 40, tzinfo=UTC)


def done(**changed: object) -> Street:
    """Maëlle pressed Done on Friday."""
    street = a_street(**changed)
    street.clock.now = FRIDAY
    street.press(street.link(), "done")
    return street


def send(
    street: Street,
    data: bytes = b"",
    *,
    id: str = "",
    van: str = "M1",
) -> Response:
    """Send a photograph as the page's form does."""
    link = street.link()
    found = re.search(r'name="id" value="(\w+)"', street.get(link).text)
    fields = {"id": id or (found[1] if found else "no-form-shown"), "van": van}
    files = {"photo": ("valve.jpg", data or a_photo(), "image/jpeg")}
    path = f"/a/{link.code}/photo"
    return street.client.post(path, data=fields, files=files)


def photos(street: Street) -> tuple[Photo, ...]:
    return street.world.ledger.photos.of_vehicle("M1")


def standing(street: Street) -> set[tuple[State, Evidence]]:
    """What the three circuits that were wet hold now, and how that is known."""
    van, layout = a_vehicle("M1", layout="panel-van"), a_layout("panel-van")
    wet = (Circuit.FRESH_TANK, Circuit.HEATER_TANK, Circuit.WASTE_TANK)
    water = water_of(van, layout, street.entries(), street.clock.now)
    return {(one.state, one.evidence) for one in water if one.circuit in wet}


def test_after_done_a_photograph_is_asked_for_and_makes_it_seen() -> None:
    """Trade, story 10: what was told becomes seen with a photograph."""
    street = done()
    assert standing(street) == {(State.DRAINED, Evidence.ASSERTED)}
    assert "A photo of the open valve makes it seen" in words(street.get(street.link()).text)
    told = len(street.entries())
    street.clock.now += timedelta(minutes=3)

    page = send(street).text

    assert "drained, seen by you with a photo, Fri 16:40" in words(page)
    assert standing(street) == {(State.DRAINED, Evidence.SEEN)}
    (photo,) = photos(street)
    new = street.entries()[told:]
    assert {(e.event, e.photo, e.by) for e in new} == {("photo", photo.id, "maelle")}
    assert {e.at for e in new} == {FRIDAY}, "it was so when it was told"
    assert photo.entry == told + 1
    assert street.told_at(FRIDAY + timedelta(hours=2)) == []


def test_the_same_photograph_twice_is_one_and_says_nothing_twice() -> None:
    street = done()
    for _ in range(2):
        send(street, id="photo-of-friday")
        once = street.entries()
    assert len(photos(street)) == 1
    send(street, id="another-of-it")
    assert street.entries() == once, "it is seen already"
    assert {photo.entry for photo in photos(street)} == {photos(street)[0].entry}


def test_the_page_shows_it_and_no_other_link_does() -> None:
    street = done()
    send(street)
    (photo,) = photos(street)
    link = street.link()
    assert f'src="{link.code}/photos/{photo.id}?small=1" alt="Photo by Ma' in street.get(link).text
    answer = street.client.get(f"/a/{link.code}/photos/{photo.id}")
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert Image.open(BytesIO(answer.content)).size == (640, 480)

    assert street.client.get(f"/v/M1/photos/{photo.id}").status_code != 200
    assert street.client.get(f"/a/{link.code}/photos/some-other-id").status_code == 404
    assert street.client.get(f"/a/0000000000000/photos/{photo.id}").status_code == 404
    street.clock.now = link.expires_at
    assert street.client.get(f"/a/{link.code}/photos/{photo.id}").status_code == 410
    late = {"photo": ("valve.jpg", a_photo(), "image/jpeg")}
    sent = street.client.post(f"/a/{link.code}/photo", data={"id": "too-late"}, files=late)
    assert sent.status_code == 410
    assert len(photos(street)) == 1


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"<svg onload='alert(1)'/>", "It is no photograph that can be read here"),
        (b"GIF89a;<script>alert(1)</script>", "It is no photograph that can be read here"),
        (a_photo()[:500], "The photograph is damaged"),
    ],
)
def test_what_is_no_photograph_is_refused_and_what_was_told_stands(data: bytes, why: str) -> None:
    street = done()
    before = street.everything()
    page = send(street, data).text
    assert f"The photo is not kept: {why}" in words(page)
    assert "<script>alert" not in page
    assert photos(street) == ()
    assert street.everything() == before


def test_a_photograph_of_somebody_elses_vehicle_is_not_taken() -> None:
    street = done()
    send(street, van="Y01")
    assert photos(street) == ()
    assert street.world.ledger.photos.of_vehicle("Y01") == ()


def test_before_anything_was_answered_none_is_asked_for() -> None:
    street = a_street()
    assert 'name="photo"' not in street.get(street.link()).text


def test_when_it_is_too_late_it_is_to_be_photographed_before_anybody_touches_it() -> None:
    street = a_street()
    street.told_at(FROST + timedelta(hours=6))
    page = street.get(street.link()).text
    assert "Photograph it before anybody touches it" in words(page)
    before = street.entries()
    send(street)
    (photo,) = photos(street)
    assert photo.entry == 0
    assert street.entries() == before, "a photograph of damage says nothing about the water"


def test_of_many_vehicles_each_has_its_own_form() -> None:
    street = Street()
    street.world.weather.cold(FROST, hours=8.0, air_c=-5.0)
    a_row_of_vans(street)
    street.told_at(datetime(2026, 11, 20, 7, 40, tzinfo=UTC))
    link = street.link("ailsa")
    street.press(link, "done", van=["Y02"])
    page = street.get(link).text
    assert "?ask=photo&amp;van=Y02" in page
    assert 'name="photo"' not in page
    form = street.get(link, ask="photo", van="Y02").text
    found = re.search(r'name="id" value="(\w+)"', form)
    assert found is not None
    files = {"photo": ("valve.jpg", a_photo(), "image/jpeg")}
    fields = {"id": found[1], "van": "Y02"}
    street.client.post(f"/a/{link.code}/photo", data=fields, files=files)
    assert [p.id for p in street.world.ledger.photos.of_vehicle("Y02")] == [found[1]]


@pytest.mark.parametrize("language", list(Language))
def test_the_form_and_its_refusals_speak_every_language(language: Language) -> None:
    street = done(language=language)
    page = send(street, b"no picture").text
    assert f'<html lang="{language.value}"' in page
    assert 'role="alert"' in page
    english = "The photo is not kept"
    assert (english in page) is (language is Language.EN)
