"""Latitude and longitude as people copy them from maps."""

import re
from itertools import pairwise

from frostwatch.fleet.people import Language

_ANGLE = re.compile(
    r"""(?P<before>[NSEWO])?\s*
        (?P<sign>[+-])?\s*(?P<deg>\d{1,3}(?:\.\d+)?)\s*(?:°|DEG)?\s*
        (?:(?P<min>\d{1,2}(?:\.\d+)?)\s*['’′]\s*)?
        (?:(?P<sec>\d{1,2}(?:\.\d+)?)\s*(?:["”″]|'')\s*)?
        (?(before)|(?P<after>[NSEWO])?)(?![A-Z0-9])""",
    re.VERBOSE,
)
_BETWEEN = re.compile(r"[\s,;/]*")
LONGEST = 120

Coordinates = tuple[float, float]
"""Latitude and longitude [deg], north and east positive."""


def coordinates_from(text: str, language: Language = Language.EN) -> Coordinates | None:
    """What a text means; None where it is not understood or is no place on earth.

    Understands signs or letters, decimals with point or comma, minutes and seconds, either order
    where letters tell which is which. ``O`` is east in German and west in French.
    """
    plain = _plain(text)
    if plain is None:
        return None
    found = list(_ANGLE.finditer(plain))
    gaps = [plain[: found[0].start()], plain[found[-1].end() :]] if found else [plain]
    gaps += [plain[one.end() : other.start()] for one, other in pairwise(found)]
    if len(found) != 2 or not all(_BETWEEN.fullmatch(gap) for gap in gaps):
        return None
    angles = [_angle(one, language) for one in found]
    if any(angle is None for angle in angles):
        return None
    (first, first_axis), (second, second_axis) = (a for a in angles if a is not None)
    if {first_axis, second_axis} == {""}:
        latitude, longitude = first, second
    elif {first_axis, second_axis} == {"lat", "lon"}:
        latitude, longitude = (first, second) if first_axis == "lat" else (second, first)
    else:
        return None
    on_earth = -90.0 <= latitude <= 90.0 and -180.0 <= longitude <= 180.0
    return (latitude, longitude) if on_earth else None


def coordinates_text(latitude_deg: float, longitude_deg: float, language: Language) -> str:
    """The same as text that reads back as the same place, to about ten metres."""
    east = "O" if language is Language.DE else "E"
    west = "O" if language is Language.FR else "W"
    figures = (
        f"{abs(latitude_deg):.4f} {'N' if latitude_deg >= 0 else 'S'}",
        f"{abs(longitude_deg):.4f} {east if longitude_deg >= 0 else west}",
    )
    return ", ".join(figures)


def _plain(text: str) -> str | None:
    """Upper case with ASCII signs, decimals with points; None for what cannot be coordinates."""
    if len(text) > LONGEST:
        return None
    plain = text.upper().replace("\u2212", "-").replace("º", "°").replace("˚", "°")
    commas = len(re.findall(r"\d,\d", plain))
    whole = re.fullmatch(r"\s*-?\d+,-?\d+\s*", plain)
    if "." not in plain and (commas > 1 or (commas == 1 and not whole)):
        # without a point, a comma between digits is a decimal one; only in "54,2" it parts the two
        plain = re.sub(r"(\d),(\d)", r"\1.\2", plain)
    return plain


def _angle(found: re.Match[str], language: Language) -> tuple[float, str] | None:
    letter = found["before"] or found["after"]
    if letter and found["sign"]:
        return None
    parts = [float(found[name] or 0) for name in ("deg", "min", "sec")]
    if parts[1] >= 60 or parts[2] >= 60:
        return None
    angle = parts[0] + parts[1] / 60 + parts[2] / 3600
    if not letter:
        return (-angle if found["sign"] == "-" else angle), ""
    if letter == "O":
        if language is Language.EN:
            return None
        letter = "E" if language is Language.DE else "W"
    return (-angle if letter in "SW" else angle), "lat" if letter in "NS" else "lon"
