"""Refusals for which nothing may be looked up: neither who asks, nor anything in the ledger."""

from typing import Any

from markupsafe import Markup
from starlette.datastructures import Headers
from starlette.responses import HTMLResponse, JSONResponse, Response

from frostwatch.fleet.people import Language
from frostwatch.web.static_files import static_address
from frostwatch.web.words import PAGE_WORDS

PAGE = Markup(
    '<!doctype html><html lang="{tag}"><head><meta charset="utf-8"><meta name="viewport" '
    'content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark">'
    '<title>{head}: frostwatch</title><link rel="stylesheet" href="{style}"></head><body>'
    '<main id="main" class="owner"><div class="lead"><p class="kicker">frostwatch</p>'
    '<h1>{head}</h1><p class="say">{says}</p></div></main></body></html>\n'
)


def bare(headers: Headers, path: str, key: str, status: int, **values: Any) -> Response:
    """A page that says why nothing was done, in the browser's language; JSON for machines.

    Args:
        headers: of the request.
        path: what was asked for.
        key: which refusal.
        status: HTTP status.
        values: what is put into its sentence.
    """
    language = preferred_language(headers)
    texts = PAGE_WORDS[Language.EN if for_machines(path) else language].texts
    says = str(texts[f"refused.{key}"]).format(**values)
    if for_machines(path):
        return JSONResponse({"detail": says}, status)
    page = PAGE.format(
        tag=language.value,
        head=texts[f"refused.{key}_title"],
        style=static_address("style.css"),
        says=says,
    )
    return HTMLResponse(page, status)


def for_machines(path: str) -> bool:
    """Whether the answer is read by a program."""
    return path.startswith("/api/")


def preferred_language(headers: Headers) -> Language:
    """The browser's first language that the pages have (RFC 9110, 12.5.4)."""
    wishes: list[tuple[float, str]] = []
    for part in headers.get("accept-language", "")[:500].split(","):
        name, _, weight = part.strip().partition(";q=")
        try:
            wishes.append((float(weight or 1), name.partition("-")[0].strip().casefold()))
        except ValueError:
            continue
    for _, name in sorted(wishes, key=lambda wish: -wish[0]):
        if name in set(Language):
            return Language(name)
    return Language.EN
