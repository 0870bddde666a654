"""One polite GET: short time-outs, few retries, never more than one at a time per provider."""

import re
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime

import requests

RETRIED = frozenset({500, 502, 503, 504})
"""Statuses that may pass by themselves within seconds."""
MOST_BYTES = 64 * 2**20
PATIENCE_S = 60.0
"""Longest a whole body may take, so that a server that drips cannot hold a pass [s]."""


class UnreachableError(Exception):
    """Nothing that could be read came back. Stays inside the providers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a server sent.

    Attributes:
        status: HTTP status.
        body: bytes, decompressed.
        headers: names in lower case.
    """

    status: int
    body: bytes
    headers: Mapping[str, str]

    @property
    def words(self) -> str:
        """The start of the body on one line, for a message."""
        return " ".join(self.body[:200].decode("utf-8", "replace").split())


class Asker:
    """Sends GET requests to one provider, one at a time.

    Args:
        user_agent: who is asking; some providers refuse anonymous clients.
        headers: further headers of every request.
        timeout_s: to connect, and between two reads [s].
        tries: requests at most for one question.
        pause_s: pause before the second try, doubled before the third, and between questions [s].
        sleep: how to wait.
    """

    def __init__(
        self,
        *,
        user_agent: str,
        headers: Mapping[str, str] | None = None,
        timeout_s: tuple[float, float] = (5.0, 30.0),
        tries: int = 3,
        pause_s: float = 2.0,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self._session = requests.Session()
        self._session.max_redirects = 5
        self._session.headers.update({"User-Agent": user_agent, "Accept-Encoding": "gzip"})
        self._session.headers.update(headers or {})
        self._timeout_s = timeout_s
        self._tries = tries
        self._pause_s = pause_s
        self._sleep = sleep
        self._turn = threading.Lock()

    def get(
        self,
        url: str,
        *,
        headers: Mapping[str, str] | None = None,
        complete: Callable[[bytes], bool] = lambda _: True,
    ) -> Answer:
        """The server's answer, whatever its status.

        Args:
            url: address with its query.
            headers: further headers of this request.
            complete: False for a body that was cut off and is worth asking for again.

        Raises:
            UnreachableError: no connection, no answer in time, or a body that broke off.
        """
        trouble = ""
        with self._turn:
            for attempt in range(self._tries):
                if attempt:
                    self._sleep(self._pause_s * 2.0 ** (attempt - 1))
                try:
                    answer = self._once(url, headers or {})
                except (requests.RequestException, UnreachableError) as broken:
                    trouble = _in_words(broken)
                    continue
                if answer.status in RETRIED and "retry-after" not in answer.headers:
                    trouble = f"HTTP {answer.status}: {answer.words}"
                elif answer.status == 200 and not complete(answer.body):
                    trouble = f"the body broke off or is not what was asked for: {answer.words}"
                else:
                    return answer
        raise UnreachableError(f"{self._tries} tries, last one: {trouble}"[:500].rstrip(".") + ".")

    def pause(self) -> None:
        """Wait between two questions."""
        self._sleep(self._pause_s / 2.0)

    def _once(self, url: str, headers: Mapping[str, str]) -> Answer:
        latest = time.monotonic() + PATIENCE_S
        chunks, size = [], 0
        with self._session.get(
            url, headers=dict(headers), timeout=self._timeout_s, stream=True
        ) as response:
            for chunk in response.iter_content(65536):
                chunks.append(chunk)
                size += len(chunk)
                if size > MOST_BYTES or time.monotonic() > latest:
                    raise UnreachableError("the body is too long or too slow")
            return Answer(
                status=response.status_code,
                body=b"".join(chunks),
                headers={name.lower(): value for name, value in response.headers.items()},
            )


def http_date(text: str) -> datetime | None:
    """A date in a header as UTC; None if it is missing or no date."""
    try:
        moment = parsedate_to_datetime(text)
    except (TypeError, ValueError):
        return None
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def retry_after(answer: Answer, now: datetime) -> datetime | None:
    """When the server wants to be asked again, UTC; None if it does not say."""
    text = answer.headers.get("retry-after", "").strip()
    if text.isdigit():
        return now + timedelta(seconds=min(int(text), 86_400))
    return http_date(text) if text else None


def _in_words(trouble: Exception) -> str:
    """What went wrong on the line, without the library's own names around it."""
    words = str(trouble)
    if isinstance(trouble, requests.Timeout):
        return "no answer in time"
    if (refused := re.search(r"\[Errno -?\d+\] ([^'\")]+)", words)) is not None:
        return f"no connection: {refused[1]}"
    return f"{type(trouble).__name__}: {words}"
