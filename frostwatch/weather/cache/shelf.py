"""Replies at hand: what is kept, each body read once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.ports import Reply, ReplyStore
from frostwatch.weather.asking import Fetched, Outcome, Provider, Unchanged
from frostwatch.weather.forecast import FetchFailure, Forecast, Point


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Held:
    """What is at hand from one provider for one place."""

    reply: Reply
    forecast: Forecast


class Shelf:
    """Frames out of kept replies, and why the last request for a place brought nothing.

    Args:
        replies: where replies are kept.
    """

    def __init__(self, replies: ReplyStore) -> None:
        self._replies = replies
        self._read: dict[tuple[str, str], Held] = {}
        self._refused: dict[tuple[str, str], FetchFailure] = {}

    def held(self, provider: Provider, points: Sequence[Point]) -> dict[str, Held]:
        """Point key -> newest reply and its frame; places without one are left out."""
        found: dict[str, Held] = {}
        replies = self._replies.newest(provider.name, [point.key for point in points])
        for point in points:
            reply = replies.get(point.key)
            if reply is None:
                continue
            known = self._read.get((provider.name, point.key))
            if known is None or known.reply != reply:
                frame = provider.parse(reply.payload, [point], reply.fetched_at)[point.key]
                if isinstance(frame, FetchFailure):
                    continue
                known = Held(reply=reply, forecast=replace(frame, reply_id=reply.id))
                self._read[provider.name, point.key] = known
            found[point.key] = known
        return found

    def refusal(self, provider: Provider, point: Point) -> FetchFailure | None:
        """Why the last request brought nothing for a place, None if it did or was never sent."""
        return self._refused.get((provider.name, point.key))

    def keep(
        self,
        provider: Provider,
        found: Mapping[str, Outcome],
        held: Mapping[str, Held],
        moment: datetime,
    ) -> None:
        """Keep what came back at ``moment``, and remember what did not."""
        fresh = []
        for key, one in found.items():
            self._refused.pop((provider.name, key), None)
            if isinstance(one, FetchFailure):
                self._refused[provider.name, key] = one
            elif isinstance(one, Unchanged):
                if key in held:
                    self._replies.still_valid(
                        held[key].reply, fetched_at=moment, expires_at=one.expires_at
                    )
            else:
                fresh.append(_reply(provider, key, one, moment))
        for reply in self._replies.keep(fresh) if fresh else ():
            fetched = found[reply.point]
            if isinstance(fetched, Fetched):
                self._read[provider.name, reply.point] = Held(
                    reply=reply, forecast=replace(fetched.forecast, reply_id=reply.id)
                )


def _reply(provider: Provider, key: str, fetched: Fetched, moment: datetime) -> Reply:
    return Reply(
        point=key,
        provider=provider.name,
        fetched_at=moment,
        issued_at=fetched.forecast.issued_at,
        expires_at=fetched.expires_at,
        last_modified=fetched.validators.last_modified,
        etag=fetched.validators.etag,
        payload=fetched.payload,
    )


class MemoryReplies:
    """Replies of one process, all of them kept. Implements ``ports.ReplyStore``."""

    def __init__(self) -> None:
        self._replies: dict[int, Reply] = {}
        self._newest: dict[tuple[str, str], int] = {}

    def keep(self, replies: Sequence[Reply]) -> tuple[Reply, ...]:
        """Store replies; the same ones come back with their numbers."""
        kept = []
        for reply in replies:
            numbered = replace(reply, id=len(self._replies) + 1)
            self._replies[numbered.id] = numbered
            self._newest[reply.provider, reply.point] = numbered.id
            kept.append(numbered)
        return tuple(kept)

    def still_valid(
        self, reply: Reply, *, fetched_at: datetime, expires_at: datetime | None
    ) -> None:
        """Note that a conditional request was answered "not modified"."""
        self._replies[reply.id] = replace(reply, fetched_at=fetched_at, expires_at=expires_at)

    def newest(self, provider: str, points: Sequence[str]) -> Mapping[str, Reply]:
        """Point key -> newest reply of that provider; places without one are left out."""
        return {
            point: self._replies[self._newest[provider, point]]
            for point in points
            if (provider, point) in self._newest
        }

    def reply(self, reply_id: int) -> Reply | None:
        """The reply of that number, None if it was never kept."""
        return self._replies.get(reply_id)
