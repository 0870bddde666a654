"""MET Norway Locationforecast: one place a request, with the manners its terms ask for.

Terms (api.met.no, read in the state of 2023): name yourself with a contact, at most four decimals,
no repeat before ``Expires``, then ``If-Modified-Since`` with the very string received, under 20
requests a second over all installations together.
"""

import re
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from urllib.parse import urlencode, urlsplit

from frostwatch.errors import SettingsError
from frostwatch.weather.asking import (
    Commercial,
    Fetched,
    Limit,
    Outcome,
    Parsed,
    Unchanged,
    Validators,
    distinct,
)
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure, Point
from frostwatch.weather.providers.http import (
    Answer,
    Asker,
    UnreachableError,
    http_date,
    retry_after,
)
from frostwatch.weather.providers.met_norway_reply import ATTRIBUTION, NAME, parse

CONTACT = re.compile(r"[^\s@]+@[^\s@]+\.[^\s@]+|(https?://)?[\w-]+(\.[\w-]+)+(/\S*)?")


class MetNorway:
    """Asks MET Norway, or a proxy of one's own.

    Args:
        user_agent: name and version of the program.
        contact: e-mail or web address of whoever runs it; anonymous clients are refused.
        base_url: scheme and host; "" for the public one.
        pause_s: pause before a second try [s].
        sleep: how to wait.

    Raises:
        SettingsError: no contact, or an address that is none.
    """

    name = NAME
    attribution: tuple[Attribution, ...] = ATTRIBUTION
    commercial = Commercial.YES
    max_batch = 1
    horizon_h = 216
    refresh = timedelta(hours=3)
    limits: tuple[Limit, ...] = ()

    def __init__(
        self,
        *,
        user_agent: str,
        contact: str,
        base_url: str = "",
        pause_s: float = 2.0,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        if not CONTACT.fullmatch(contact.strip()):
            raise SettingsError(
                f"weather.met_norway: contact is {contact!r}; give your e-mail or web address. "
                "MET Norway turns away clients that cannot be reached."
            )
        self._base_url = (base_url or "https://api.met.no").rstrip("/")
        host = urlsplit(self._base_url).hostname
        if not host or urlsplit(self._base_url).scheme not in ("http", "https"):
            raise SettingsError(
                f"weather.met_norway: base_url is {base_url!r}; give scheme and host."
            )
        self.host = host
        self._ask = Asker(
            user_agent=f"{user_agent} {contact.strip()}", pause_s=pause_s, sleep=sleep
        )

    def weight(self, places: int) -> float:
        """One a place: every place is a request."""
        return float(places)

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        known: Mapping[str, Validators] | None = None,
    ) -> dict[str, Outcome]:
        """See ``Provider``."""
        found: dict[str, Outcome] = {}
        for number, point in enumerate(distinct(points)):
            if number:
                self._ask.pause()
            found[point.key] = self._one(point, now, (known or {}).get(point.key, Validators()))
        return found

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        """See ``Parser``."""
        return parse(body, points, fetched_at)

    def url(self, point: Point) -> str:
        """Address of the request for a place: two decimals, whole metres."""
        query = {"lat": f"{point.latitude_deg:g}", "lon": f"{point.longitude_deg:g}"}
        if point.height_m is not None:
            query["altitude"] = f"{point.height_m:.0f}"
        return f"{self._base_url}/weatherapi/locationforecast/2.0/complete?{urlencode(query)}"

    def _one(self, point: Point, now: datetime, known: Validators) -> Outcome:
        headers = {"If-Modified-Since": known.last_modified} if known.last_modified else {}
        try:
            answer = self._ask.get(
                self.url(point), headers=headers, complete=lambda body: body.rstrip().endswith(b"}")
            )
        except UnreachableError as trouble:
            return _failure(FailureKind.UNREACHABLE, str(trouble))
        expires_at = http_date(answer.headers.get("expires", ""))
        if answer.status == 304:
            return Unchanged(expires_at=expires_at)
        if answer.status not in (200, 203):
            return _refusal(answer, now)
        parsed = parse(answer.body, [point], now)[point.key]
        if isinstance(parsed, FetchFailure):
            return parsed
        return Fetched(
            forecast=parsed,
            payload=answer.body,
            expires_at=expires_at,
            validators=Validators(
                last_modified=answer.headers.get("last-modified", "")
                if answer.status == 200
                else ""
            ),
        )


def _failure(kind: FailureKind, words: str, retry_at: datetime | None = None) -> FetchFailure:
    return FetchFailure(kind=kind, message=f"MET Norway: {words}", retry_at=retry_at)


def _refusal(answer: Answer, now: datetime) -> FetchFailure:
    """What a status means here; bodies of errors may be HTML and are only quoted."""
    words = f"HTTP {answer.status}: {answer.words}"
    if answer.status == 403:
        hint = f"{words} Blocked or not identified: check contact in [weather.met_norway]."
        return _failure(FailureKind.REFUSED, hint, now + timedelta(hours=6))
    if answer.status in (404, 422):
        return _failure(FailureKind.NOT_COVERED, words, now + timedelta(hours=24))
    if answer.status == 429:
        return _failure(FailureKind.THROTTLED, words, retry_after(answer, now))
    if answer.status >= 499:
        return _failure(FailureKind.UNREACHABLE, words, retry_after(answer, now))
    return _failure(FailureKind.REFUSED, words, now + timedelta(hours=1))
