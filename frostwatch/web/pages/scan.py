"""Scan squares: links that a phone's camera opens."""

from urllib.parse import quote

import segno
from fastapi import Request
from markupsafe import Markup

from frostwatch.web.pages.room import room_of


def base_of(request: Request) -> str:
    """Where people reach this service: as it is set, or else as this page was reached."""
    return room_of(request).public_url or str(request.base_url).rstrip("/")


def walk_link(base: str, code: str) -> str:
    """Link to a round on its way."""
    return f"{base}/walk/{code}"


def vehicle_link(base: str, key: str) -> str:
    """Link to a vehicle's page."""
    return f"{base}/v/{quote(key, safe='')}"


def square(link: str) -> Markup:
    """A link as a square to be scanned, with its white border (ISO/IEC 18004).

    A quarter of it may be soiled: it hangs in a vehicle all winter.
    """
    code = segno.make(link, error="q", micro=False)
    drawn = code.svg_inline(border=4, omitsize=True, svgclass="scan", lineclass=None)
    return Markup(drawn)
