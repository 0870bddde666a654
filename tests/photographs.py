"""Invented photographs: coloured corners, so that turning and cutting shows."""

from io import BytesIO
from typing import Any

from PIL import Image

from frostwatch.ports.photos import Picture
from frostwatch.storage.pictures import picture_from

CORNERS = ((200, 40, 40), (40, 160, 40), (40, 40, 200), (220, 200, 40))
"""Top left, top right, bottom left, bottom right."""


def a_picture(width: int = 640, height: int = 480) -> Image.Image:
    """Four fields of colour."""
    image = Image.new("RGB", (width, height))
    for n, colour in enumerate(CORNERS):
        left, top = (n % 2) * width // 2, (n // 2) * height // 2
        image.paste(colour, (left, top, left + width // 2, top + height // 2))
    return image


def a_photo(width: int = 640, height: int = 480, *, form: str = "JPEG", **how: Any) -> bytes:
    """The same as a file."""
    out = BytesIO()
    a_picture(width, height).save(out, form, **how)
    return out.getvalue()


def corners(data: bytes) -> list[int]:
    """Which of the colours lies in which corner, in the order of ``CORNERS``."""
    image = Image.open(BytesIO(data))
    found = []
    for n in range(4):
        x = image.width // 4 + (n % 2) * image.width // 2
        y = image.height // 4 + (n // 2) * image.height // 2
        seen = image.convert("RGB").getpixel((x, y))
        assert isinstance(seen, tuple)
        found.append(
            min(
                range(4),
                key=lambda c: sum(abs(a - b) for a, b in zip(CORNERS[c], seen, strict=True)),
            )
        )
    return found


def tiny() -> Picture:
    """A picture as the ledger keeps it."""
    return picture_from(a_photo(16, 16))
