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

from frostwatch.advice.calls import Case as CallCase
from frostwatch.advice.calls import Moment, call_for, is_quiet_night
from frostwatch.advice.daylight import Span
from frostwatch.advice.harm import VehicleNight, vehicle_night
from frostwatch.advice.jobs import minutes_of, still_wet
from frostwatch.advice.reminders import ACT_KINDS
from frostwatch.advice.slots import Diary
from frostwatch.advice.verdict import TOO_LATE, Numbers, numbers_for
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.heatloss.solve import Trajectory, solve
from frostwatch.ports import KeptState
from frostwatch.records.standing_water import CircuitWater
from frostwatch.service.kit import MEMBERS
from frostwatch.service.nights import Memory, Van, air_of, job_for, point_of, state_to_keep
from frostwatch.service.reach import within_reach
from frostwatch.service.rules import minimum_below
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
BOUND_MEMBERS = 100
RATIOS = (0.05, 0.1, 0.2)
LIMITS_C = (0.0, 2.0, 3.0)


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
                last=winter.last + timedelta(days=12),
            )
        )
        self._recent = RecentAir()
        self._read: dict[int, Forecast] = {}

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
) -> Iterator[dict[str, Any]]:
    """One row for each reading of each filling of each case, in any order.

    Hours are counted from the filling. ``window`` is the chance of harm in the window, ``call X``
    whether the service calls at cost ratio X if nothing was said before, ``below X`` whether the
    plain rule does; ``quiet`` before either, whether no harm is in sight for it. Readings go on
    past the week as if nobody filled again, so that the end of a spell is seen. With ``law`` the
    members are those of the true law and the rule is the bound: call where the chance in the window
    exceeds the ratio and harm is not likely there already.
    """
    site, winter = made.site, made.winter
    diary = Diary(person=person, site=site)
    found = stands(site, fillings(winter), cases)
    moments = {at: list(readings(diary, at, TRUTH_H / 24.0)) for at in fillings(winter)}
    for at in sorted(moment for own in moments.values() for moment in own):
        made.at(at)
    kept: dict[int, KeptState] = {}
    for turn in range(max(map(len, moments.values()))):
        live = [
            (n, stand, moments[stand.filled][turn])
            for n, stand in enumerate(found)
            if turn < len(moments[stand.filled])
        ]
        yield from _turn(made, diary, turn, live, kept, law)


def _turn(
    made: Made,
    diary: Diary,
    turn: int,
    live: Sequence[tuple[int, Stand, datetime]],
    kept: dict[int, KeptState],
    law: TrueLaw | None,
) -> Iterator[dict[str, Any]]:
    """The same reading of every week, side by side."""
    airs: dict[datetime, tuple[Forecast, SiteAir]] = {}
    slots: dict[datetime, tuple[Span, ...]] = {}
    for now in {now for _, _, now in live}:
        issue, forecast = made.at(now)
        air = air_of(made.site, forecast, now, colder_k=0.0, members=MEMBERS)
        air = within_reach(air, AHEAD_H)
        airs[now] = forecast, law.air(issue, air) if law is not None else air
        slots[now] = tuple(islice(diary.slots(now), 12))
    paths = solve([job_for(s.van, airs[now][1], kept.get(n)) for n, s, now in live])
    for (n, stand, now), path in zip(live, paths, strict=True):
        kept[n] = state_to_keep(stand.van.vehicle.key, path)
        night = night_of(stand, path)
        reading = Reading(diary=diary, stand=stand, turn=turn, now=now, slots=slots[now])
        numbers = reading.numbers(night)
        assert numbers.window_from is not None
        row = {
            "n": n,
            "case": stand.case.key,
            "group": stand.case.group,
            "turn": turn,
            "read_h": (now - stand.filled) / HOUR,
            "ready_h": (numbers.window_from - stand.filled) / HOUR,
            "until_h": (numbers.window_to - stand.filled) / HOUR,
            "window": numbers.window.probability,
        }
        if law is not None:
            calm = numbers.begun.probability <= TOO_LATE
            chance = numbers.window.probability
            row |= {f"call {ratio}": calm and chance > ratio for ratio in RATIOS}
        else:
            row |= {f"call {ratio}": reading.calls(numbers, ratio) for ratio in RATIOS}
            for limit_c in LIMITS_C:
                cold = minimum_below(limit_c)([stand.van], airs[now][0], now)
                plain = reading.numbers(cold[stand.van.vehicle.key])
                row[f"below {limit_c}"] = reading.calls(plain, RATIOS[1])
                row[f"quiet below {limit_c}"] = is_quiet_night(plain, RATIOS[1])
        row |= {f"quiet call {ratio}": is_quiet_night(numbers, ratio) for ratio in RATIOS}
        yield row


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """A person's look at one vehicle about which nothing was said yet."""

    diary: Diary
    stand: Stand
    turn: int
    now: datetime
    slots: tuple[Span, ...]

    @property
    def wet(self) -> tuple[CircuitWater, ...]:
        return still_wet(self.stand.van.water)

    @property
    def job_min(self) -> float:
        return minutes_of(self.wet, self.diary.person.duty)

    def numbers(self, night: VehicleNight) -> Numbers:
        return numbers_for(
            night,
            self.slots,
            self.now,
            travel_min=self.diary.person.travel_min,
            job_min=self.job_min,
        )

    def calls(self, numbers: Numbers, ratio: float) -> bool:
        """Whether the service calls; the filling itself is told at once, as new water."""
        case = CallCase(
            diary=self.diary,
            moment=Moment(now=self.now, reading=self.turn > 0, evening=self.turn > 0),
            numbers=numbers,
            ratio=ratio,
            wet=self.wet,
            job_min=self.job_min,
            matter=None,
            answer=None,
            at_once=self.turn == 0,
            called_before=False,
            refilled=False,
            min_c=0.0,
            thawed=False,
            can_look=False,
        )
        return call_for(case).kind in ACT_KINDS
