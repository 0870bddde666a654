"""From a file that somebody sends to a picture that is kept: looked through, upright, bare.

Nothing of the file itself is kept. It is opened only as the formats of phone cameras, its pixels
are drawn anew onto an empty picture, and that is written: what else the file held (place, name of
the owner, a second file behind the first) is not in it. Colours of a wide gamut become a little
paler, as the profile that explains them is left out too.
"""

import re
import struct
import threading
import zlib
from io import BytesIO
from typing import TYPE_CHECKING

from frostwatch.ports.photos import NoPhotoError, Picture, WhyNot

if TYPE_CHECKING:
    from PIL.Image import Image, Transpose

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 12 * 1024 * 1024
MOST_PIXELS = 64_000_000
"""Told by the file's head: phones take 12 to 50 million. Estimate."""
MOST_DECODED = 26_000_000
"""Pixels that are ever held at once: some 100 MB. A JPEG is opened at a fraction of its size."""
MOST_SCANS = 100
"""A progressive JPEG of a camera has about ten; each costs a pass over all of it (libjpeg-turbo,
"Two issues with the JPEG standard"). Estimate."""
LONGEST_PX = 1600
SMALL_PX = 320
SMALLEST_PX = 16
QUALITIES = (80, 65, 50)
HEAVIEST = 700_000
"""From here on the next lower quality is tried [byte]."""
ORIENTATION = 0x0112
"""Tag of the side that is up (CIPA DC-008, Exif 2.32, 4.6.4 A)."""
TURNS = {
    2: "FLIP_LEFT_RIGHT",
    3: "ROTATE_180",
    4: "FLIP_TOP_BOTTOM",
    5: "TRANSPOSE",
    6: "ROTATE_270",
    7: "TRANSVERSE",
    8: "ROTATE_90",
}
"""What puts a picture upright, by the tag's value (same table)."""
DAMAGED = (
    OSError,
    ValueError,
    SyntaxError,
    EOFError,
    LookupError,
    TypeError,
    AttributeError,
    ArithmeticError,
    MemoryError,
    RuntimeError,
    struct.error,
    zlib.error,
)
"""What the readers of formats raise at a file that is none."""

_scan = re.compile(rb"\xff\xda")
_one_at_a_time = threading.Lock()


def picture_from(data: bytes) -> Picture:
    """The picture in a file, as it is kept.

    Raises:
        NoPhotoError: it is none, or cannot be kept; with the reason.
    """
    if not data:
        raise NoPhotoError(WhyNot.EMPTY)
    if len(data) > MOST_BYTES:
        raise NoPhotoError(WhyNot.HEAVY)
    with _one_at_a_time:
        upright = _upright(data)
        kept = _drawn_anew(upright, LONGEST_PX)
        return Picture(
            jpeg=_written(kept),
            small=_written(_drawn_anew(kept, SMALL_PX)),
            width_px=kept.width,
            height_px=kept.height,
        )


def _opened(data: bytes) -> "Image":
    """The file by its head, where nothing speaks against reading on."""
    from PIL import Image, UnidentifiedImageError

    try:
        image: Image.Image = Image.open(BytesIO(data), formats=FORMATS)
    except UnidentifiedImageError as unknown:
        raise NoPhotoError(WhyNot.KIND) from unknown
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as bomb:
        raise NoPhotoError(WhyNot.LARGE) from bomb
    except DAMAGED as damage:
        raise NoPhotoError(WhyNot.BROKEN) from damage
    if image.width * image.height > MOST_PIXELS:
        raise NoPhotoError(WhyNot.LARGE)
    if min(image.size) < SMALLEST_PX or len(_scan.findall(data)) > _most_scans(image):
        raise NoPhotoError(WhyNot.BROKEN)
    return image


def _most_scans(image: "Image") -> float:
    """Elsewhere than in a JPEG the two bytes that begin a scan mean nothing."""
    return MOST_SCANS if image.format in ("JPEG", "MPO") else float("inf")


def _upright(data: bytes) -> "Image":
    """The pixels, turned as the camera was held."""
    image = _opened(data)
    try:
        image.draft("RGB", (LONGEST_PX, LONGEST_PX))
        if image.width * image.height > MOST_DECODED:
            raise NoPhotoError(WhyNot.LARGE)
        image.load()
        turn = TURNS.get(_side_up(image))
        plain = _on_white(image)
        return plain if turn is None else plain.transpose(_turn(turn))
    except DAMAGED as damage:
        raise NoPhotoError(WhyNot.BROKEN) from damage


def _turn(name: str) -> "Transpose":
    from PIL.Image import Transpose

    return Transpose[name]


def _side_up(image: "Image") -> int:
    """1 to 8; 1 where the file does not say."""
    try:
        side = image.getexif().get(ORIENTATION, 1)
    except DAMAGED:
        return 1
    return side if isinstance(side, int) else 1


def _on_white(image: "Image") -> "Image":
    """The same in three colours; what was clear becomes white."""
    from PIL import Image

    if not image.has_transparency_data:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    ground = Image.new("RGB", image.size, "white")
    ground.paste(clear, mask=clear.getchannel("A"))
    return ground


def _drawn_anew(image: "Image", longest: int) -> "Image":
    """The pixels on a new picture that knows nothing of the old one, at most so long."""
    from PIL import Image

    scale = min(1.0, longest / max(image.size))
    width, height = (max(1, round(side * scale)) for side in image.size)
    anew = Image.new("RGB", (width, height))
    anew.paste(image.resize((width, height), Image.Resampling.LANCZOS) if scale < 1.0 else image)
    return anew


def _written(image: "Image") -> bytes:
    out = BytesIO()
    for quality in QUALITIES:
        out = BytesIO()
        image.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= HEAVIEST:
            break
    return out.getvalue()
