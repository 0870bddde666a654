"""Replies from a folder: past nights run again, or a demonstration without a network.

``FOLDER/forecasts/<provider>/<site>/<UTC time of arrival>.json`` holds replies as received, read
by that provider's own parser; ``FOLDER/ensemble/<provider>/<site>/...`` may hold the spread, and
``FOLDER/ground/<provider>/<site>/...`` the height of that provider's own ground. A reply counts
from its time of arrival, never before.
"""

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

from frostwatch.weather.asking import Parsed, Parser
from frostwatch.weather.choice import (
    SHORT_PAST,
    RecentAir,
    best_of,
    with_past,
    with_second_opinion,
)
from frostwatch.weather.ensemble import with_spread
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point

ARRIVAL = "%Y%m%dT%H%M%SZ"


def arrival_of(path: Path) -> datetime | None:
    """Time in a file's name such as ``20261201T060500Z.json``, UTC; None if there is none."""
    try:
        return datetime.strptime(path.stem, ARRIVAL).replace(tzinfo=UTC)
    except ValueError:
        return None


@dataclass(slots=True)
class Counts:
    """What became of the files of a folder so far.

    Attributes:
        used: replies that gave a forecast.
        failed: replies that gave none, by what was wrong.
    """

    used: int = 0
    failed: dict[str, int] = field(default_factory=dict)


class _Shelf:
    """The replies of one provider for one site, each read at most once."""

    def __init__(
        self, folder: Path, read: Callable[[bytes, datetime], Parsed], counts: Counts
    ) -> None:
        found = ((arrival_of(path), path) for path in folder.glob("*.json"))
        self._files = sorted((at, path) for at, path in found if at is not None)
        self._arrivals = [at for at, _ in self._files]
        self._read: Callable[[bytes, datetime], Parsed] = read
        self._counts = counts
        self._good: tuple[int, Forecast] | None = None
        self._bad: dict[int, FetchFailure] = {}

    def newest(self, now: datetime) -> Parsed | None:
        """The newest good reply that had arrived, else why the newest is none, else None."""
        arrived = bisect_right(self._arrivals, now)
        for number in reversed(range(arrived)):
            if self._good is not None and self._good[0] == number:
                return self._good[1]
            if number not in self._bad and (found := self._open(number)) is not None:
                return found
        return self._bad.get(arrived - 1)

    def _open(self, number: int) -> Forecast | None:
        at, path = self._files[number]
        try:
            found = self._read(path.read_bytes(), at)
        except OSError as unreadable:
            found = FetchFailure(kind=FailureKind.UNREACHABLE, message=str(unreadable))
        if isinstance(found, FetchFailure):
            self._bad[number] = found
            failed = self._counts.failed
            failed[found.kind.value] = failed.get(found.kind.value, 0) + 1
            return None
        self._good = (number, found)
        self._counts.used += 1
        return found


class Recorded:
    """Forecasts out of a folder of recorded replies.

    Args:
        folder: the folder that holds ``forecasts`` and perhaps ``ensemble``.
        sites: point key -> names of the sites that stand there.
        parsers: provider -> its parser, the preferred provider first.
        ensemble_parsers: provider -> parser of its ensemble replies.
        ground_parsers: provider -> parser of replies about its own ground.
    """

    def __init__(
        self,
        folder: Path,
        *,
        sites: Mapping[str, Sequence[str]],
        parsers: Mapping[str, Parser],
        ensemble_parsers: Mapping[str, Parser] | None = None,
        ground_parsers: Mapping[str, Parser] | None = None,
    ) -> None:
        self._folder = folder
        self._sites = sites
        self._parsers = parsers
        self._beside = {"ensemble": ensemble_parsers or {}, "ground": ground_parsers or {}}
        self._shelves: dict[tuple[str, str], list[_Shelf]] = {}
        self._beside_shelves: dict[tuple[str, str, str], list[_Shelf]] = {}
        self._leaned_on: dict[str, Forecast] = {}
        self._recent = RecentAir()
        self.counts = Counts()
        self.ensemble_counts = Counts()

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """Point key -> the best forecast that had arrived by ``now``, or why there is none."""
        return {point.key: self._best(point, now) for point in points}

    def _best(self, point: Point, now: datetime) -> Forecast | FetchFailure:
        newest = [_newest(self._forecast_shelves(name, point), now) for name in self._parsers]
        frames = [one for one in newest if isinstance(one, Forecast)]
        chosen = best_of(frames, now)
        if chosen is not None:
            chosen = with_second_opinion(chosen, frames, now)
            if chosen.start > now - SHORT_PAST:
                chosen = with_past(chosen, self._leaned_on.get(point.key), now)
            chosen = self._recent.noted(point.key, chosen)
            self._leaned_on[point.key] = chosen
            return self._laid_beside(chosen, point, now)
        for failure in newest:
            if isinstance(failure, FetchFailure):
                return failure
        return FetchFailure(
            kind=FailureKind.UNREACHABLE,
            message=f"No recorded reply for {point.key} had arrived by {now:%Y-%m-%d %H:%M} UTC.",
        )

    def _laid_beside(self, chosen: Forecast, point: Point, now: datetime) -> Forecast:
        """The forecast with the height of its model's ground and a spread, where recorded."""
        ground = self._newest_beside("ground", chosen.provider, point, now)
        if ground is not None:
            chosen = replace(chosen, grid_height_m=ground.grid_height_m)
        spreads = [
            found
            for name in self._beside["ensemble"]
            if (found := self._newest_beside("ensemble", name, point, now)) is not None
        ]
        return with_spread(chosen, max(spreads, key=lambda one: one.known_since, default=None), now)

    def _newest_beside(self, kind: str, name: str, point: Point, now: datetime) -> Forecast | None:
        parse = self._beside[kind].get(name)
        if parse is None:
            return None
        key = (kind, name, point.key)
        if key not in self._beside_shelves:
            self._beside_shelves[key] = [
                _Shelf(folder, _one(parse, point), self.ensemble_counts)
                for folder in self._folders(kind, name, point)
            ]
        found = _newest(self._beside_shelves[key], now)
        return found if isinstance(found, Forecast) else None

    def _forecast_shelves(self, name: str, point: Point) -> list[_Shelf]:
        key = (name, point.key)
        if key not in self._shelves:
            parse = self._parsers[name]
            self._shelves[key] = [
                _Shelf(folder, _one(parse, point), self.counts)
                for folder in self._folders("forecasts", name, point)
            ]
        return self._shelves[key]

    def _folders(self, kind: str, provider: str, point: Point) -> list[Path]:
        """Folders of a provider for the sites of a point, under either spelling of its name."""
        names = dict.fromkeys((provider, provider.replace("-", "_"), provider.replace("_", "-")))
        return [
            folder
            for name in names
            for site in self._sites.get(point.key, ())
            if (folder := self._folder / kind / name / site).is_dir()
        ]


def _one(parse: Parser, point: Point) -> Callable[[bytes, datetime], Parsed]:
    return lambda body, at: parse(body, [point], at)[point.key]


def _newest(shelves: Sequence[_Shelf], now: datetime) -> Parsed | None:
    """The newest good reply on any shelf, else a failure, else None."""
    found = [shelf.newest(now) for shelf in shelves]
    good = [one for one in found if one is not None and not isinstance(one, FetchFailure)]
    if good:
        return max(good, key=lambda one: one.fetched_at)
    return next((one for one in found if one is not None), None)
