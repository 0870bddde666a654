"""What is kept of a file somebody sends: a picture and nothing else, or a reason why not."""

import struct
import zlib
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from frostwatch.ports.photos import NoPhotoError, WhyNot
from frostwatch.storage.pictures import LONGEST_PX, MOST_BYTES, ORIENTATION, SMALL_PX, picture_from
from tests.photographs import a_photo, a_picture, corners

PLACE = "47.3769 N 8.5417 E"
UPRIGHT = [0, 1, 2, 3]
STORED_AS = {
    1: [0, 1, 2, 3],
    2: [1, 0, 3, 2],
    3: [3, 2, 1, 0],
    4: [2, 3, 0, 1],
    5: [0, 2, 1, 3],
    6: [1, 3, 0, 2],
    7: [3, 1, 2, 0],
    8: [2, 0, 3, 1],
}
"""Orientation -> the corner of the scene that the file holds at top left, top right, bottom left
and bottom right, from the table of CIPA DC-008 (Exif 2.32, 4.6.4 A, Orientation: "the 0th row is
the visual top/bottom/left/right, the 0th column ..."), worked out by hand."""


def markers(jpeg: bytes) -> list[int]:
    """Marker codes of a JPEG up to its scan (ITU-T T.81, B.1.1.4), read without any library."""
    assert jpeg[:2] == b"\xff\xd8"
    found, at = [], 2
    while True:
        assert jpeg[at] == 0xFF
        found.append(jpeg[at + 1])
        if jpeg[at + 1] == 0xDA:
            return found
        at += 2 + struct.unpack(">H", jpeg[at + 2 : at + 4])[0]


def refused(data: bytes) -> WhyNot:
    with pytest.raises(NoPhotoError) as fault:
        picture_from(data)
    return fault.value.why


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photograph_is_kept_as_a_jpeg_of_at_most_1600_pixels(form: str) -> None:
    kept = picture_from(a_photo(3000, 2000, form=form))

    for data, longest in ((kept.jpeg, LONGEST_PX), (kept.small, SMALL_PX)):
        image = Image.open(BytesIO(data))
        assert image.format == "JPEG"
        assert max(image.size) == longest
        assert corners(data) == UPRIGHT
    assert (kept.width_px, kept.height_px) == (1600, 1067)


def test_a_small_one_is_not_made_larger() -> None:
    kept = picture_from(a_photo(200, 100))
    assert Image.open(BytesIO(kept.jpeg)).size == (200, 100)
    assert Image.open(BytesIO(kept.small)).size == (200, 100)


@pytest.mark.parametrize("side", range(1, 9))
def test_a_photograph_is_turned_as_the_camera_was_held(side: int) -> None:
    stored = Image.new("RGB", (320, 320))
    for n, corner in enumerate(STORED_AS[side]):
        x, y = (corner % 2) * 160, (corner // 2) * 160
        part = a_picture(320, 320).crop((x, y, x + 160, y + 160))
        stored.paste(part, ((n % 2) * 160, (n // 2) * 160))
    exif = Image.Exif()
    exif[ORIENTATION] = side
    out = BytesIO()
    stored.save(out, "JPEG", exif=exif)

    kept = picture_from(out.getvalue())

    assert corners(kept.jpeg) == UPRIGHT
    assert corners(kept.small) == UPRIGHT


def test_nothing_that_a_camera_writes_into_its_file_is_kept() -> None:
    exif = Image.Exif()
    exif[0x010F] = "an invented maker"
    exif[0x9286] = PLACE
    exif.get_ifd(0x8825)[1] = "N"
    files = [
        a_photo(exif=exif, comment=PLACE.encode(), dpi=(300, 300), icc_profile=b"p" * 200),
        a_photo(form="WEBP", exif=exif, xmp=PLACE.encode()),
    ]
    words = PngInfo()
    words.add_text("Comment", PLACE)
    files.append(a_photo(form="PNG", pnginfo=words, exif=exif))
    for file in files:
        assert PLACE.encode() in file
        kept = picture_from(file)
        for data in (kept.jpeg, kept.small):
            assert PLACE.encode() not in data
            assert b"invented" not in data
            # of the application's own and of comments only the bare head of JFIF
            assert [m for m in markers(data) if 0xE0 <= m <= 0xEF or m == 0xFE] == [0xE0]
            assert not Image.open(BytesIO(data)).getexif()


def test_a_second_file_behind_the_first_is_not_kept() -> None:
    page = b"<html><script>alert(1)</script>"
    for form in ("JPEG", "PNG", "WEBP"):
        kept = picture_from(a_photo(form=form) + page + b"PK\x03\x04")
        assert page not in kept.jpeg + kept.small
        assert kept.jpeg.endswith(b"\xff\xd9")


def test_what_is_clear_becomes_white() -> None:
    out = BytesIO()
    Image.new("RGBA", (64, 64), (0, 0, 0, 0)).save(out, "PNG")
    assert Image.open(BytesIO(picture_from(out.getvalue()).jpeg)).getpixel((9, 9)) == (255,) * 3


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "I;16", "CMYK"])
def test_every_kind_of_pixels_is_read(mode: str) -> None:
    out = BytesIO()
    Image.new(mode, (64, 64)).save(out, "JPEG" if mode == "CMYK" else "PNG")
    assert Image.open(BytesIO(picture_from(out.getvalue()).jpeg)).mode == "RGB"


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", WhyNot.EMPTY),
        (b"not a picture at all", WhyNot.KIND),
        (SVG, WhyNot.KIND),
        (b"<?xml version='1.0'?>" + SVG, WhyNot.KIND),
        (b"%PDF-1.7\n%", WhyNot.KIND),
        (b"GIF89a/*" + b"\x00" * 60 + b"*/=1;alert(1)", WhyNot.KIND),
        (b"\x00" * (MOST_BYTES + 1), WhyNot.HEAVY),
        (a_photo()[:900], WhyNot.BROKEN),
        (a_photo(form="PNG")[:600], WhyNot.BROKEN),
        (a_photo(8, 8), WhyNot.BROKEN),
    ],
    ids=["empty", "text", "svg", "xml", "pdf", "gif and script", "50 MB", "cut", "cut png", "dot"],
)
def test_what_is_no_photograph_is_refused_with_the_reason(data: bytes, why: WhyNot) -> None:
    assert refused(data) is why


def a_png_bomb(width: int, height: int) -> bytes:
    """A few kilobytes that unpack to a picture of any size (ISO/IEC 15948, 11.2)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        check = zlib.crc32(kind + body)
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    rows = zlib.compress(b"\x00" * (height * (width // 8 + 1)), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [5_200, 8_100, 12_000, 60_000])
def test_a_file_that_unpacks_to_a_huge_picture_is_refused_unopened(side: int) -> None:
    rows = min(side, 100)  # the head alone must be enough to refuse it
    bomb = a_png_bomb(side, rows)
    bomb = bomb[:20] + struct.pack(">I", side) + bomb[24:]
    bomb = bomb[:29] + struct.pack(">I", zlib.crc32(bomb[12:29])) + bomb[33:]
    assert len(bomb) < 100_000
    assert refused(bomb) is WhyNot.LARGE


def test_a_phones_fifty_million_pixels_are_taken_and_never_held_all_at_once() -> None:
    kept = picture_from(a_photo(8160, 6144, quality=30))
    assert (kept.width_px, kept.height_px) == (1600, 1205)


def test_a_jpeg_of_endless_scans_is_refused() -> None:
    whole = a_photo(64, 64, progressive=True)
    scan = whole[whole.index(b"\xff\xda") : -2]
    assert refused(whole[:-2] + scan * 60 + whole[-2:]) is WhyNot.BROKEN


@given(
    form=st.sampled_from(["JPEG", "PNG", "WEBP"]),
    place=st.floats(0.0, 0.999),
    noise=st.binary(min_size=1, max_size=12),
)
def test_any_damage_is_either_kept_as_a_picture_or_refused_with_a_reason(
    form: str, place: float, noise: bytes
) -> None:
    whole = a_photo(48, 40, form=form)
    at = int(place * len(whole))
    try:
        kept = picture_from(whole[:at] + noise + whole[at + len(noise) :])
    except NoPhotoError:
        return
    assert Image.open(BytesIO(kept.jpeg)).format == "JPEG"
