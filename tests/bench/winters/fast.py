"""What every reading of every filling comes to, without ledger and messages.

The numbers are the service's own: its air, its heat model with kept states, its window. Only the
words, the ledger and the budget are left out; ``bench_winters`` checks that the calls agree.
"""

import json
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import islice
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.act_by import plan_for
from frostwatch.advice.daylight import Span
from frostwatch.advice.harm import VehicleNight, vehicle_night
from frostwatch.advice.jobs import minutes_of, still_wet
from frostwatch.advice.slots import Diary
from frostwatch.advice.verdict import numbers_for
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.heatloss.solve import Trajectory, solve
from frostwatch.ports import KeptState
from frostwatch.service.nights import Memory, Van, air_of, job_for, point_of, state_to_keep
from frostwatch.weather.choice import RecentAir
from frostwatch.weather.forecast import FetchFailure, Forecast
from frostwatch.weather.members import DEFAULT_LAW
from frostwatch.weather.providers import open_meteo_reply
from frostwatch.weather.site_air import SiteAir, air_at_site
from tests.bench.winters.cases import CASES, Case, fillings, readings
from tests.bench.winters.places import Winter
from tests.weather.made import (
    Issue,
    _along,
    _still_frost,
    made_forecasts,
    open_meteo_body,
    usual_air_c,
)

HOUR = timedelta(hours=1)
DELAY = timedelta(minutes=5)
AHEAD_H = 72
"""Reaches the end of every window of people who can come on at least six days a week."""
TRUTH_H = 264
"""A filling is followed for eleven days, so that what a late call was for is seen."""
NO_FROST_K = 0.5
"""Nothing freezes while air and night sky stay this far above 0 degC."""
BOUND_MEMBERS = 100


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """One vehicle in one week: its water as it was filled."""

    case: Case
    filled: datetime
    van: Van


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Truth:
    """What happened to one filling.

    Attributes:
        harm_h: hours from filling to the first harm, inf for none in eleven days.
        harmed: whether something stands harmed at each hour from the filling on.
    """

    harm_h: float
    harmed: NDArray[np.bool_]


def stands(site: Site, filled: Sequence[datetime], cases: Sequence[Case]) -> list[Stand]:
    """Every case in every week."""
    found = []
    for at in filled:
        for case in cases:
            van = Memory().van(case.vehicle(site), case.filled(site, at), at)
            found.append(Stand(case=case, filled=at, van=van))
    return found


def truth_of(winter: Winter, site: Site, found: Sequence[Stand]) -> list[Truth]:
    """What the observed air does to the water of every week, had nobody acted."""
    seen = observed_forecast(winter, site)
    airs = {
        at: air_at_site(
            seen,
            site_key=site.key,
            now=at,
            height_m=site.height_m,
            lie_offset_k=0.0,
            shelter_factor=1.0,
            count=1,
            ahead_h=TRUTH_H,
        )
        for at in {stand.filled for stand in found}
    }
    jobs = [job_for(stand.van, airs[stand.filled], None) for stand in found]
    truths = []
    for stand, job, path in zip(found, jobs, solve(jobs), strict=True):
        first_h = float(night_of(stand, path).harm_h.min(initial=math.inf))
        harmed = path.ice_fraction[:, 0] >= job.network.harm_fraction[:, None]
        truths.append(Truth(harm_h=first_h, harmed=np.any(harmed, axis=0)))
    return truths


def night_of(stand: Stand, path: Trajectory) -> VehicleNight:
    return vehicle_night(path, stand.van.layout, stand.van.water)


def observed_forecast(winter: Winter, site: Site) -> Forecast:
    """The observed hours in the form of a forecast that is past throughout."""
    seen = winter.observed
    return Forecast(
        start=seen.start,
        columns={
            "air_c": seen.air_c,
            "dew_c": seen.dew_c,
            "humidity_fraction": seen.humidity_fraction,
            "wind_m_per_s": seen.wind_m_per_s,
            "sun_w_per_m2": seen.sun_w_per_m2,
            "cloud_fraction": seen.cloud_fraction,
        },
        provider="observed",
        fetched_at=seen.start + seen.hours * HOUR,
        height_m=site.height_m,
    )


class Made:
    """Made forecasts of a winter, as they would have arrived."""

    def __init__(self, winter: Winter, site: Site, seed: int) -> None:
        self.winter, self.site, self.seed = winter, site, seed
        rng = np.random.default_rng([seed, *winter.name.encode()])
        self.issues: list[Issue] = list(
            made_forecasts(
                winter.observed,
                rng,
                first=winter.first - timedelta(days=1),
                last=winter.last + timedelta(days=8),
            )
        )
        self._recent = RecentAir()
        self._read: dict[int, Forecast] = {}
        self._noted = -1

    def at(self, now: datetime) -> tuple[Issue, Forecast]:
        """The newest that had arrived; to be asked in order of time."""
        number = int((now - DELAY - self.issues[0].at) // (3 * HOUR))
        issue = self.issues[number]
        if number not in self._read:
            self._read[number] = self._recent.noted("here", self._parsed(issue))
        return issue, self._read[number]

    def _parsed(self, issue: Issue) -> Forecast:
        point = point_of(self.site)
        body = self.body(issue)
        found = open_meteo_reply.parse(body, [point], issue.at + DELAY)[point.key]
        assert not isinstance(found, FetchFailure)
        return found

    def body(self, issue: Issue) -> bytes:
        return json.dumps(open_meteo_body(self.winter.observed, issue)).encode()


class TrueLaw:
    """Members by the law the forecasts were made with: the bound for every rule on this physics.

    Of a forecast that departs by d from the usual air, s the spread of the weather and sigma the
    law's error at that lead, the truth is ``usual + rho d`` with the standard deviation
    ``sigma sqrt(1 - sigma^2 / 4 s^2)``, ``rho = 1 - sigma^2 / 2 s^2``.
    """

    def __init__(self, made: Made, count: int = BOUND_MEMBERS) -> None:
        observed = made.winter.observed
        self.count = count
        self.usual_c = usual_air_c(observed)
        begin, end = made.issues[0].index, made.issues[-1].index
        self.variance = float(np.var((observed.air_c - self.usual_c)[begin : end + 1]))
        self.still = _still_frost(observed)
        rng = np.random.default_rng([7, made.seed])
        self.site_k = DEFAULT_LAW.site_k * rng.standard_normal(count)
        self.noise = np.array([_along(rng, 400, DEFAULT_LAW.along_h) for _ in range(count)])

    def air(self, issue: Issue, air: SiteAir) -> SiteAir:
        """The air of a pass with its members replaced."""
        hours = air.air_c.shape[1]
        first = int((air.start - issue.at) / HOUR) + issue.index
        lead = np.arange(hours) + first - issue.index
        begin = first - (issue.index - 120)
        given = issue.air_c[begin : begin + hours]
        usual = self.usual_c[first : first + hours]
        sigma = np.minimum(DEFAULT_LAW.sigma_k(np.maximum(lead, 0.0)), math.sqrt(2 * self.variance))
        sigma = np.where(lead >= 0, sigma, 0.0)
        rho = 1.0 - sigma**2 / (2.0 * self.variance)
        spread = sigma * np.sqrt(1.0 - sigma**2 / (4.0 * self.variance))
        departure = (
            given
            - DEFAULT_LAW.warm_bias_k * self.still[first : first + hours] * (lead >= 0)
            - usual
        )
        members = usual + rho * departure + spread * self.noise[:, :hours]
        return replace(air, air_c=members - self.site_k[:, None] * np.ones(hours))


def rows(
    made: Made,
    person: Person,
    *,
    cases: Sequence[Case] = CASES,
    law: TrueLaw | None = None,
    members: int = 40,
) -> Iterator[dict[str, Any]]:
    """One row for each reading of each filling of each case.

    Hours are counted from the filling. ``window``, ``before``, ``begun`` are chances of harm;
    ``min_c`` is the lowest forecast air of the window.
    """
    site, winter = made.site, made.winter
    diary = Diary(person=person, site=site)
    found = stands(site, fillings(winter), cases)
    moments = {at: list(readings(diary, at)) for at in fillings(winter)}
    for at in sorted(moment for own in moments.values() for moment in own):
        made.at(at)
    kept: dict[int, KeptState] = {}
    for turn in range(max(map(len, moments.values()))):
        live = [
            (n, stand, moments[stand.filled][turn])
            for n, stand in enumerate(found)
            if turn < len(moments[stand.filled])
        ]
        yield from _turn(made, diary, turn, live, kept, law, members)


def _turn(
    made: Made,
    diary: Diary,
    turn: int,
    live: Sequence[tuple[int, Stand, datetime]],
    kept: dict[int, KeptState],
    law: TrueLaw | None,
    members: int,
) -> Iterator[dict[str, Any]]:
    """The same reading of every week, side by side."""
    airs: dict[datetime, tuple[Issue, Forecast, SiteAir]] = {}
    slots: dict[datetime, tuple[Span, ...]] = {}
    for now in {now for _, _, now in live}:
        issue, forecast = made.at(now)
        air = air_of(made.site, forecast, now, colder_k=0.0, members=members)
        air = shortened(air, AHEAD_H)
        airs[now] = issue, forecast, law.air(issue, air) if law is not None else air
        slots[now] = tuple(islice(diary.slots(now), 12))
    frosty = [one for one in live if one[0] in kept or not is_mild(airs[one[2]][2])]
    paths = solve([job_for(s.van, airs[now][2], kept.get(n)) for n, s, now in frosty])
    solved = {one[0]: path for one, path in zip(frosty, paths, strict=True)}
    for n, stand, now in live:
        _, forecast, air = airs[now]
        wet = still_wet(stand.van.water)
        job_min = minutes_of(wet, diary.person.duty)
        plan = plan_for(slots[now], now, travel_min=diary.person.travel_min, job_min=job_min)
        assert plan.ready_at is not None
        assert plan.after is not None
        row = {
            "n": n,
            "case": stand.case.key,
            "group": stand.case.group,
            "turn": turn,
            "read_h": (now - stand.filled) / HOUR,
            "ready_h": (plan.ready_at - stand.filled) / HOUR,
            "until_h": (plan.after.end - stand.filled) / HOUR,
            "min_c": lowest_c(forecast, plan.ready_at, plan.after.end),
            "window": 0.0,
            "before": 0.0,
            "begun": 0.0,
            "active": 0.0,
        }
        path = solved.get(n)
        if path is not None:
            kept[n] = state_to_keep(stand.van.vehicle.key, path)
            numbers = numbers_for(
                night_of(stand, path),
                slots[now],
                now,
                travel_min=diary.person.travel_min,
                job_min=job_min,
            )
            row["window"] = numbers.window.probability
            row["before"] = numbers.before.probability
            row["begun"] = numbers.begun.probability
            row["active"] = numbers.by_active.probability
        yield row


def shortened(air: SiteAir, ahead_h: int) -> SiteAir:
    """The first hours ahead only."""
    end = min(air.air_c.shape[1], air.now_index + ahead_h + 1)
    return replace(
        air,
        air_c=air.air_c[:, :end],
        wind_m_per_s=air.wind_m_per_s[:end],
        roof_k=air.roof_k[:end],
        error_k=None,
    )


def is_mild(air: SiteAir) -> bool:
    """Nothing can freeze under this air, whatever stands in it."""
    coldest = air.air_c.min() + min(0.0, float(air.roof_k.min()))
    return bool(coldest > NO_FROST_K)


def lowest_c(forecast: Forecast, start: datetime, end: datetime) -> float:
    """Lowest forecast air of a stretch [degC]."""
    first, last = forecast.index_at(start), forecast.index_at(end)
    return float(forecast.columns["air_c"][first : last + 1].min())
