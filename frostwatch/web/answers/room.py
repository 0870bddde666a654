"""What the page behind a link works with."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from fastapi import Request

from frostwatch.ports import Ledger, LinkStore
from frostwatch.ports.photos import Photos
from frostwatch.service.photos import ProofStore
from frostwatch.service.trips import TripDesk


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRoom:
    """What the page behind a link works with.

    Attributes:
        ledger: what is known and said.
        links: where links and replies are kept.
        photos: where photographs are kept.
        record: where what they prove is recorded.
        clock: the present moment, UTC.
        public_url: web address under which people reach this service, "" for none.
        replies_token: what a gateway shows that hands over replies; "" takes none.
        trips: where the hour of a trip is kept.
    """

    ledger: Ledger
    links: LinkStore
    photos: Photos
    record: ProofStore
    clock: Callable[[], datetime]
    trips: TripDesk
    public_url: str = ""
    replies_token: str = ""


def room_of(request: Request) -> AnswerRoom:
    """The room of the app that serves a request."""
    room: AnswerRoom = request.app.state.answers
    return room
