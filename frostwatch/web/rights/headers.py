"""What every answer tells the browser to refuse, and which requests are turned away unread."""

from collections.abc import Iterable
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from frostwatch.web.bare import bare

MOST_BYTES = 12 * 1024 * 1024
"""Largest body: a round's photo of a phone is 2 to 8 MB. Estimate."""

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        # places in a drawing are given as --x: 41.7 on the element; nothing can be loaded by it
        "style-src-attr 'unsafe-inline'",
        "img-src 'self' blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
"""W3C Content Security Policy Level 3: this server alone, no inline script, no frames."""

HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "referrer-policy": "same-origin",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
}
YEAR_LONG = "max-age=31536000"
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})


class Guard:
    """Stands before the whole app.

    Sets the headers, adds the cookies that dependencies asked for (``ask_for_cookie``), refuses
    changes that another site's page makes a browser send, and bodies that are too large.

    Args:
        app: what it stands before.
        secure: whether people reach this service over HTTPS alone.
        most_bytes: largest body that is read [byte].
    """

    def __init__(self, app: ASGIApp, *, secure: bool, most_bytes: int = MOST_BYTES) -> None:
        self._app = app
        self._headers = {**HEADERS, **({"strict-transport-security": YEAR_LONG} if secure else {})}
        self._most_bytes = most_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        scope = _without_nul(scope)
        cookies: list[str] = []
        scope.setdefault("state", {})["cookies"] = cookies

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._dress(MutableHeaders(scope=message), cookies)
            await send(message)

        headers = Headers(scope=scope)
        if scope["method"] not in SAFE_METHODS and comes_from_elsewhere(headers):
            refusal = bare(headers, scope["path"], "elsewhere", 403)
            await refusal(scope, receive, send_guarded)
            return
        if _announced(headers) > self._most_bytes:
            await self._too_large(headers, scope["path"])(scope, receive, send_guarded)
            return
        try:
            await self._app(scope, _counted(receive, self._most_bytes), send_guarded)
        except _TooLargeError:
            await self._too_large(headers, scope["path"])(scope, receive, send_guarded)

    def _dress(self, headers: MutableHeaders, cookies: Iterable[str]) -> None:
        for name, value in self._headers.items():
            headers.setdefault(name, value)
        headers.setdefault("cache-control", "private, no-store")
        for cookie in cookies:
            headers.append("set-cookie", cookie)

    def _too_large(self, headers: Headers, path: str) -> Response:
        answer = bare(headers, path, "large", 413, most=self._most_bytes // 1024 // 1024)
        answer.headers["connection"] = "close"
        return answer


def _without_nul(scope: Scope) -> Scope:
    """The request with the sign for what is no text where its address has a NUL: no database on
    PostgreSQL can be asked for one, and nothing here is called so."""
    path, query = scope["path"], scope.get("query_string", b"")
    if "\0" not in path and b"%00" not in query:
        return scope
    plain = {
        "path": path.replace("\0", "\ufffd"),
        "query_string": query.replace(b"%00", b"%EF%BF%BD"),
    }
    return {**scope, **plain}


class _TooLargeError(Exception):
    pass


def comes_from_elsewhere(headers: Headers) -> bool:
    """Whether a browser says that another site's page made it send this.

    Browsers say so in ``Sec-Fetch-Site`` (W3C Fetch Metadata), older ones in ``Origin``; what is
    no browser says neither and cannot be made to send anybody's cookies.
    """
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc != headers.get("host", "")


def _announced(headers: Headers) -> int:
    length = headers.get("content-length", "0")
    return int(length) if length.isdecimal() else 0


def _counted(receive: Receive, most: int) -> Receive:
    """The same body, which breaks off where it grows too large."""
    seen = 0

    async def receive_counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            raise _TooLargeError
        return message

    return receive_counted
