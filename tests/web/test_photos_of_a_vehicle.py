"""Photographs on a vehicle's page: added, shown to those who may see it, handed out, refused."""

import csv
import hashlib
import re
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest
from PIL import Image
from starlette.testclient import TestClient

from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Role
from frostwatch.ports.photos import MOST_OF_A_VEHICLE, Photo
from tests.photographs import a_photo, tiny
from tests.web.pages_read import words
from tests.web.yards import HOSTILE, Stage, a_cold_yard, an_account, form_of

FORM = "/v/Y01/photos"


@pytest.fixture(scope="module")
def yard() -> Stage:
    """A yard whose Y01 has one photograph; read, never changed."""
    stage = a_cold_yard()
    add(stage.client(), a_photo())
    return stage


def add(client: TestClient, data: bytes, path: str = FORM, **fields: str) -> tuple[int, str]:
    """Send a photograph by its form; status, and the page or where it leads."""
    page = client.get(path).text
    found = re.search(r'name="id" value="(\w+)"', page)
    assert found is not None
    form = form_of(client, path) | {"id": found[1]} | fields
    files = {"photo": ("valve.jpg", data, "image/jpeg")}
    answer = client.post(path, data=form, files=files)
    return answer.status_code, answer.headers.get("location", answer.text)


def photos(stage: Stage, vehicle: str = "Y01") -> tuple[Photo, ...]:
    return stage.world.ledger.photos.of_vehicle(vehicle)


def test_a_photograph_is_kept_and_shown_with_its_date_and_who_took_it(yard: Stage) -> None:
    (photo,) = photos(yard)
    assert (photo.by, photo.at, photo.entry) == ("ailsa", yard.clock.now, 0)

    page = yard.client().get("/v/Y01").text

    shown = f'src="/v/Y01/photos/{photo.id}?small=1" alt="Photo by Ailsa Thornber, Tue 07:50"'
    assert shown in page.replace("\u00a0", " ")
    assert "Photo. Ailsa Thornber." in words(page)
    assert "Export its photo" in words(page)


def test_the_picture_is_sent_as_nothing_but_a_picture(yard: Stage) -> None:
    (photo,) = photos(yard)
    for query, longest in (("", 640), ("?small=1", 320)):
        answer = yard.client().get(f"/v/Y01/photos/{photo.id}{query}")
        assert answer.headers["content-type"] == "image/jpeg"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["content-security-policy"] == "default-src 'none'; sandbox"
        assert answer.headers["cache-control"] == "private, no-store"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert max(Image.open(BytesIO(answer.content)).size) == longest


def test_only_those_see_it_who_may_see_the_vehicle_and_only_with_it(yard: Stage) -> None:
    (photo,) = photos(yard)
    for path in (f"/v/Y01/photos/{photo.id}", "/v/Y01/photos.zip"):
        assert yard.client(an_account(Role.VIEWER, "cold-rigg")).get(path).status_code == 200
        assert yard.client(an_account(Role.OPERATOR, "hinterlach")).get(path).status_code == 404
        assert yard.client(nobody=True).get(path).status_code in (303, 401)
    assert yard.client().get(f"/v/Y02/photos/{photo.id}").status_code == 404
    assert yard.client().get("/v/Y01/photos/none-of-that-id").status_code == 404
    assert yard.client().get("/v/Y99/photos.zip").status_code == 404


def test_a_viewer_adds_none(yard: Stage) -> None:
    viewer = yard.client(an_account(Role.VIEWER, "cold-rigg"))
    assert "Add a photo" not in viewer.get("/v/Y01").text
    assert viewer.get(FORM).status_code == 403 or viewer.get(FORM).status_code == 404


def test_all_photographs_are_handed_out_with_a_list_that_names_them(yard: Stage) -> None:
    (photo,) = photos(yard)
    answer = yard.client().get("/v/Y01/photos.zip")
    packed = ZipFile(BytesIO(answer.content))
    listed, name = packed.namelist()

    assert answer.headers["content-disposition"] == 'attachment; filename="Y01-photos.zip"'
    assert listed == "photos.csv"
    row = packed.read(listed).decode().splitlines()[1].split(",")
    assert row[0] == name
    assert hashlib.sha256(packed.read(name)).hexdigest() == photo.digest in row


def test_sending_the_same_form_twice_keeps_one() -> None:
    stage = a_cold_yard()
    client = stage.client()
    form = form_of(client, FORM) | {"id": "the-same-form"}
    for _ in range(2):
        files = {"photo": ("valve.jpg", a_photo(), "image/jpeg")}
        assert client.post(FORM, data=form, files=files).status_code == 303
    assert [photo.id for photo in photos(stage)] == ["the-same-form"]


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "send JPEG, PNG or WebP"),
        (b"MZ" + b"\x00" * 4000, "send JPEG, PNG or WebP"),
        (a_photo()[:700], "damaged"),
    ],
)
def test_what_is_no_photograph_is_refused_with_the_reason(
    yard: Stage, data: bytes, why: str
) -> None:
    status, page = add(yard.client(), data)
    assert status == 422
    assert why in words(page)
    assert len(photos(yard)) == 1


def test_nothing_chosen_is_said(yard: Stage) -> None:
    client = yard.client()
    page = client.post(FORM, data=form_of(client, FORM)).text
    assert "No photograph was chosen." in words(page)


def test_fifty_megabytes_are_turned_away_unread(yard: Stage) -> None:
    client = yard.client()
    files = {"photo": ("valve.jpg", b"\xff\xd8" + b"\x00" * 50_000_000, "image/jpeg")}
    answer = client.post(FORM, data=form_of(client, FORM), files=files)
    assert answer.status_code == 413
    assert "12 MB" in answer.text


def test_when_there_are_enough_it_is_said() -> None:
    stage = a_cold_yard()
    client = stage.client()
    for n in range(MOST_OF_A_VEHICLE):
        add(client, a_photo(16, 16), id=f"photo-{n:03d}")
    status, page = add(client, a_photo(16, 16))
    assert status == 422
    assert f"{MOST_OF_A_VEHICLE} photographs of this season already" in words(page)


def test_what_was_found_is_recorded_with_its_photograph() -> None:
    stage = a_cold_yard()
    status, place = add(
        stage.client(), a_photo(), "/v/Y01/record", how="seen", what="drained", note="valve open"
    )

    assert (status, place) == (303, "/v/Y01")
    (photo,) = photos(stage)
    first = stage.world.ledger.record_of("Y01")[photo.entry - 1].entry
    assert (first.note, first.by, first.at) == ("valve open", "ailsa", stage.clock.now)
    line = stage.client().get("/v/Y01").text.partition('class="record"')[2].partition("</li>")[0]
    assert "valve open" in line
    assert photo.id in line


def test_a_bad_photograph_takes_nothing_from_the_record() -> None:
    stage = a_cold_yard()
    client = stage.client()
    before = len(stage.world.ledger.record_of("Y01"))

    status, page = add(client, b"no picture", "/v/Y01/record", how="seen", what="drained")

    assert status == 422
    assert "What you said is kept. The photo is not" in words(page)
    assert len(stage.world.ledger.record_of("Y01")) > before
    assert photos(stage) == ()
    entry = re.search(r'name="entry" value="(\d+)"', page)
    assert entry is not None
    add(client, a_photo(), entry=entry[1])
    assert [photo.entry for photo in photos(stage)] == [before + 1]


def test_a_form_that_is_put_right_asks_for_its_photograph_again(yard: Stage) -> None:
    status, page = add(yard.client(), a_photo(), "/v/Y01/record", how="seen")
    assert status == 422
    assert "Choose the photo again" in words(page)
    assert len(photos(yard)) == 1


def test_the_export_says_how_many_belong_to_each_row() -> None:
    stage = a_cold_yard()
    add(stage.client(), a_photo(), "/v/Y01/record", how="seen", what="drained")
    (photo,) = photos(stage)
    text = stage.client().get("/v/Y01/record.csv").text
    counts = [row["photos"] for row in csv.DictReader(StringIO(text))]
    assert [n for n, count in enumerate(counts, start=1) if count == "1"] == [photo.entry]


def test_names_are_shown_harmlessly() -> None:
    stage = a_cold_yard()
    add(stage.client(), a_photo())
    (photo,) = photos(stage)
    for n, name in enumerate(HOSTILE):
        other = Photo(
            id=f"hostile-{n}",
            vehicle="Y01",
            by=name,
            at=photo.at,
            received_at=photo.received_at,
            note="phone clock 60 min ahead",
            width_px=16,
            height_px=16,
            size_bytes=1,
            digest="",
        )
        stage.world.ledger.photos.add(other, tiny())
    client = stage.client()
    page = client.get("/v/Y01").text
    assert "<script>alert" not in page
    assert "onerror=alert" not in page.replace("&#34;", "").replace("&gt;", "").split("alt=")[0]
    listed = ZipFile(BytesIO(client.get("/v/Y01/photos.zip").content)).read("photos.csv").decode()
    assert ",=HYPERLINK" not in listed
    assert ',"=HYPERLINK' not in listed


@pytest.mark.parametrize("language", list(Language))
def test_the_form_speaks_every_language(yard: Stage, language: Language) -> None:
    who = an_account(language=language)
    for path in (FORM, "/v/Y01", "/v/Y01/record"):
        assert yard.client(who).get(path).status_code == 200


def test_a_page_asks_the_database_equally_often_for_any_number_of_photographs() -> None:
    counts = []
    for count in (1, 6):
        stage = a_cold_yard()
        client = stage.client()
        for n in range(count):
            add(client, a_photo(16, 16), id=f"photo-{n:03d}")
        with stage.counted() as asked:
            client.get("/v/Y01")
        counts.append(len(asked))
        assert not any("jpeg" in statement for statement in asked), "no picture is read for a page"
    assert counts[0] == counts[1] <= 20
