"""Style and other files that never change while the service runs, kept ready compressed.

These files hold no secret, so their length gives none away (CVE-2013-3587).
"""

import gzip
import hashlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from fastapi import APIRouter, Request
from starlette.responses import PlainTextResponse, Response

FOLDER = Path(__file__).parent / "static"
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webmanifest": "application/manifest+json",
}
FOR_GOOD = "public, max-age=31536000, immutable"
FOR_NOW = "public, max-age=600"

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class StaticFile:
    """One file.

    Attributes:
        body: its bytes.
        packed: the same, gzip.
        mark: changes with the bytes.
        kind: its media type.
    """

    body: bytes
    packed: bytes
    mark: str
    kind: str


@cache
def static_files() -> dict[str, StaticFile]:
    """Name -> file."""
    found = {}
    for path in sorted(FOLDER.iterdir()):
        if path.suffix in TYPES:
            body = path.read_bytes()
            found[path.name] = StaticFile(
                body=body,
                packed=gzip.compress(body, mtime=0),
                mark=hashlib.sha256(body).hexdigest()[:12],
                kind=TYPES[path.suffix],
            )
    return found


def style_address(name: str = "style.css") -> str:
    """Address of a style, from a page one step below the root; a new one whenever it changes."""
    return f"../static/{name}?v={static_files()[name].mark}"


def static_address(name: str) -> str:
    """The same from the root."""
    return f"/static/{name}?v={static_files()[name].mark}"


@router.api_route("/walk-worker.js", methods=["GET", "HEAD"])
async def worker() -> Response:
    """The worker that serves rounds without signal; browsers look for a new one themselves."""
    file = static_files()["worker.js"]
    return Response(file.body, media_type=file.kind, headers={"cache-control": "no-cache"})


@router.api_route("/static/{name}", methods=["GET", "HEAD"])
async def static(request: Request, name: str, v: str = "") -> Response:
    """One file; under the address that names its present content it may be kept for good."""
    file = static_files().get(name)
    if file is None:
        return PlainTextResponse("There is no such file.", 404)
    headers = {
        "cache-control": FOR_GOOD if v == file.mark else FOR_NOW,
        "etag": f'"{file.mark}"',
        "vary": "accept-encoding",
    }
    if request.headers.get("if-none-match") == f'"{file.mark}"':
        return Response(status_code=304, headers=headers)
    if "gzip" in request.headers.get("accept-encoding", ""):
        headers["content-encoding"] = "gzip"
        return Response(file.packed, media_type=file.kind, headers=headers)
    return Response(file.body, media_type=file.kind, headers=headers)
