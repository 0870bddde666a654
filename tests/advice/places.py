"""The demo's three invented places at any moment, with the model's own nights."""

import tomllib
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.reminders import Answer
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.fleet.fleet import Fleet
from frostwatch.records.entries import Entry
from frostwatch.service.demo import source_folder
from frostwatch.service.demo_weather import midnight_of, write_replies
from frostwatch.service.nights import Memory, air_of, point_of, work_out
from frostwatch.storage.entry_files import read_entries_csv
from frostwatch.storage.fleet_files import read_fleet_toml
from frostwatch.weather.forecast import Forecast, standing
from frostwatch.wiring import build_recorded
from tests.advice.nights import Days


class Place:
    """One place of the demo, on the days of its own story.

    Args:
        name: yard, owner or forecourt.
        folder: where its forecasts are written.
        shift_k: what the whole course of the air is warmer by [K].
        last_issue_h: hours of the last issue after midnight of the demo's day; None for all.
    """

    def __init__(
        self, name: str, folder: Path, *, shift_k: float = 0.0, last_issue_h: float | None = None
    ) -> None:
        text = (source_folder() / f"{name}.toml").read_text(encoding="utf-8")
        read = read_fleet_toml(text)
        assert not isinstance(read, list)
        assert read.anchor is not None
        self.fleet: Fleet = read.fleet
        self.midnight = midnight_of(read.anchor)
        entries = read_entries_csv(
            (source_folder() / f"{name}-entries.csv").read_text(encoding="utf-8"), self.fleet
        )
        assert not isinstance(entries, list)
        self.entries: tuple[Entry, ...] = (*read.entries, *entries)
        (self.site,) = self.fleet.sites
        courses = tomllib.loads((source_folder() / "weather.toml").read_text(encoding="utf-8"))
        course = next(c for c in courses["place"] if c["site"] == self.site.key)
        course["air"] = [[hour, air_c + shift_k] for hour, air_c in course["air"]]
        write_replies(folder, [course], self.midnight)
        if last_issue_h is not None:
            last = self.midnight + timedelta(hours=last_issue_h)
            for path in sorted(folder.rglob("*.json")):
                if path.stem > f"{last:%Y%m%dT%H%M%SZ}":
                    path.unlink()
        self.point = point_of(self.site)
        self.forecasts = build_recorded(folder, {self.point.key: [self.site.key]})
        self.memory = Memory()
        self._views: dict[datetime, SiteView] = {}

    def on(self, day: int, hour: float) -> datetime:
        """A moment, UTC, counted from the demo's day."""
        return self.midnight + timedelta(days=day, hours=hour)

    def view(
        self,
        now: datetime,
        *,
        record: Callable[[Entry], bool] | None = None,
        more: tuple[Entry, ...] = (),
        answers: tuple[Answer, ...] = (),
    ) -> SiteView:
        """The place as it stands at a moment.

        Args:
            now: the moment, UTC.
            record: which of the demo's entries are kept; None for all.
            more: further entries.
            answers: what people answered.
        """
        if record or more or answers:
            return self._view(now, record or (lambda entry: True), more, answers)
        if now not in self._views:
            self._views[now] = self._view(now, lambda entry: True, (), ())
        return self._views[now]

    def _view(
        self,
        now: datetime,
        record: Callable[[Entry], bool],
        more: tuple[Entry, ...],
        answers: tuple[Answer, ...],
    ) -> SiteView:
        found = self.forecasts.at([self.point], now)[self.point.key]
        forecast = found if isinstance(found, Forecast) else None
        known = standing(forecast, now)
        own = [e for e in (*self.entries, *more) if record(e) and e.received_at <= now]
        vans = [
            self.memory.van(v, tuple(e for e in own if e.vehicle == v.key), now)
            for v in self.fleet.vehicles
        ]
        air, nights = None, dict[str, VehicleNight]()
        if forecast is not None and known.usable:
            air = air_of(self.site, forecast, now, colder_k=known.colder_k, members=40)
            wet = [van for van in vans if van.is_stepped]
            nights, _, _ = work_out(wet, {self.site.key: air}, {})
        return SiteView(
            site=self.site,
            people=tuple(self.fleet.people),
            vehicles=tuple(
                VehicleView(
                    vehicle=van.vehicle,
                    layout=van.layout,
                    water=van.water,
                    night=nights.get(van.vehicle.key),
                    recorded_at=van.recorded_at,
                )
                for van in vans
            ),
            air=air,
            forecast=ForecastBasis(
                standing=known,
                issued_at=forecast.known_since if forecast else None,
                provider="recorded",
            ),
            answers=answers,
            judged_to=now - timedelta(hours=1),
        )


def judged(place: Place, *moments: datetime, days: Days | None = None) -> Days:
    """The place judged at these moments, one after another."""
    days = days or Days()
    if days.judged_to is None:
        days.judged_to = moments[0] - timedelta(hours=1)
    for now in moments:
        days.judge(place.view(now), now)
    return days


def only(view: SiteView, *keys: str) -> SiteView:
    """The view with these vehicles alone."""
    return replace(view, vehicles=tuple(v for v in view.vehicles if v.vehicle.key in keys))
