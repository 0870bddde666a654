"""What must hold whatever the nights bring."""

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.judge import judge
from frostwatch.advice.reminders import ACT_KINDS, Answer, AnswerKind
from frostwatch.advice.slots import Diary
from frostwatch.advice.view import SiteView
from frostwatch.fleet.people import Duty, Person
from frostwatch.messages.wording.draft import Kind
from tests import builders
from tests.advice.nights import (
    DRY,
    HOUR,
    LOST,
    MEMBERS,
    USABLE,
    Days,
    a_night,
    a_van,
    a_view,
    an_air,
)

START = datetime(2026, 12, 1, 17, 15, tzinfo=UTC)
DRIVE = builders.a_drive(operator="")
OWNER = builders.an_owner(slots=(), reading=())

hours_of_harm = st.one_of(st.none(), st.floats(-24.0, 120.0))
shares = st.floats(0.0, 1.0)


def a_random_night(now: datetime, harm_h: float | None, share: float) -> VehicleNight:
    harm = None if harm_h is None else now + harm_h * HOUR
    return a_night(now, harm, share=share, spread_h=8.0)


def a_drive_view(now: datetime, night: VehicleNight, **changed: Any) -> SiteView:
    van = a_van("M1", night=night, site=DRIVE.key, bay="", keeper="maelle")
    return a_view(now, van, people=[OWNER], site=DRIVE, **changed)


@settings(max_examples=40)
@given(counts=st.lists(st.sampled_from([3, 4]), min_size=2, max_size=60), first=st.booleans())
def test_air_wandering_inside_the_dead_band_raises_at_most_once(
    counts: list[int], first: bool
) -> None:
    # 3 of 40 members are above half the cost ratio and below it, 4 of 40 just above it.
    days = Days()
    now = START
    for count in counts:
        night = a_night(now, now + 30 * HOUR, share=count / MEMBERS)
        days.judge(a_drive_view(now, night), now)
        now += timedelta(days=1)
    raised = [reason for *_, kind, reason in days.said if reason in ("first", "after quiet days")]
    assert len(raised) <= 1


@settings(max_examples=60)
@given(nights=st.lists(st.tuples(hours_of_harm, shares), min_size=1, max_size=8))
def test_the_same_pass_twice_adds_nothing(nights: list[tuple[float | None, float]]) -> None:
    days = Days()
    for step, (harm_h, share) in enumerate(nights):
        now = START + step * timedelta(hours=12)
        view = a_drive_view(now, a_random_night(now, harm_h, share))
        days.judge(view, now)
        kept = dict(days.reminders)
        days.judged_to = now - HOUR  # as if the pass had been lost after it was kept
        again = days.judge(view, now)
        assert again.drafts == ()
        assert {k: r for k, r in days.reminders.items() if r != kept.get(k)} == {}


@settings(max_examples=30)
@given(
    nights=st.lists(st.tuples(hours_of_harm, shares), min_size=2, max_size=8),
    seed=st.integers(0, 999),
)
def test_the_order_of_vehicles_does_not_matter(
    nights: list[tuple[float | None, float]], seed: int
) -> None:
    now = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)
    bays = builders.bay_names(len(nights))
    vans = [
        a_van(f"Y{n:02d}", bay=bays[n], night=a_random_night(now, harm_h, share))
        for n, (harm_h, share) in enumerate(nights)
    ]
    people = [builders.an_operator(), builders.a_crew()]
    mixed = list(vans)
    random.Random(seed).shuffle(mixed)
    assert judge(a_view(now, *vans, people=people), now) == judge(
        a_view(now, *mixed, people=people[::-1]), now
    )


@settings(max_examples=40)
@given(
    nights=st.lists(st.tuples(hours_of_harm, shares), min_size=4, max_size=20),
    answered=st.integers(0, 3),
)
def test_answering_done_stops_everything(
    nights: list[tuple[float | None, float]], answered: int
) -> None:
    at = START + answered * timedelta(hours=12) + timedelta(minutes=30)
    days = Days(answers=[Answer(vehicle="M1", by="maelle", kind=AnswerKind.DONE, at=at)])
    for step, (harm_h, share) in enumerate(nights):
        now = START + step * timedelta(hours=12)
        days.judge(a_drive_view(now, a_random_night(now, harm_h, share)), now)
    assert not [kind for said_at, _, kind, _ in days.said if said_at > at]


@settings(max_examples=40)
@given(
    hours=st.lists(st.integers(0, 400), min_size=1, max_size=25, unique=True),
    nights=st.lists(st.tuples(hours_of_harm, shares), min_size=25, max_size=25),
    duty=st.sampled_from([Duty.OWNER, Duty.OPERATOR, Duty.DEALER, Duty.CREW]),
    lost=st.lists(st.booleans(), min_size=25, max_size=25),
)
def test_nobody_is_written_to_in_quiet_hours_and_no_act_by_hour_misses_its_slot(
    hours: list[int], nights: list[tuple[float | None, float]], duty: Duty, lost: list[bool]
) -> None:
    person = Person(key="p", name="P", duty=duty, sites=("cold-rigg",), channels=OWNER.channels)
    site = builders.a_site(operator="")
    diary = Diary(person=person, site=site)
    days = Days()
    for number, hour in enumerate(sorted(hours)):
        now = START + hour * HOUR
        harm_h, share = nights[number]
        keeper = "p" if duty is Duty.OWNER else ""
        van = a_van(night=a_random_night(now, harm_h, share), keeper=keeper)
        standing = LOST if lost[number] and number % 5 == 4 else USABLE
        found = days.judge(a_view(now, van, people=[person], site=site, standing=standing), now)
        for draft in found.drafts:
            assert not diary.is_quiet(draft.at)
            if draft.kind is Kind.WORK_ORDER:
                assert draft.act_by is not None
                assert draft.act_by > now
                assert draft.earliest is None or draft.act_by <= draft.earliest
                slots = [s for s in diary.slots(now) if s.start < draft.act_by <= s.end]
                assert slots, "an act-by hour outside every slot"
            else:
                assert draft.act_by is None or draft.kind in (Kind.OUTLOOK, Kind.CHECK_REQUEST)


@settings(max_examples=30)
@given(nights=st.lists(st.tuples(hours_of_harm, shares), min_size=1, max_size=20))
def test_a_drained_vehicle_never_gets_a_message(
    nights: list[tuple[float | None, float]],
) -> None:
    days = Days()
    for step, (harm_h, share) in enumerate(nights):
        now = START + step * timedelta(hours=12)
        van = a_van(
            "M1",
            litres=DRY,
            night=a_random_night(now, harm_h, share),
            site=DRIVE.key,
            bay="",
            keeper="maelle",
        )
        days.judge(a_view(now, van, people=[OWNER], site=DRIVE), now)
    assert days.said == []


@settings(max_examples=30)
@given(nights=st.lists(st.tuples(hours_of_harm, shares), min_size=1, max_size=40))
def test_who_never_answers_is_called_at_most_twice_about_one_spell(
    nights: list[tuple[float | None, float]],
) -> None:
    days = Days()
    for step, (harm_h, share) in enumerate(nights):
        now = START + step * timedelta(hours=6)
        days.judge(a_drive_view(now, a_random_night(now, harm_h, share)), now)
    for matter in days.reminders.values():
        if not matter.is_tally:
            assert matter.times(*ACT_KINDS) <= 2
            assert len(matter.said) <= 3


@settings(max_examples=20)
@given(harm_h=st.floats(20.0, 60.0), share=shares, colder_h=st.floats(0.0, 12.0))
def test_a_colder_night_never_silences_a_call(harm_h: float, share: float, colder_h: float) -> None:
    now = START
    night = a_random_night(now, harm_h, share)
    earlier = replace(night, harm_h=np.maximum(night.harm_h - colder_h, 18.0))
    mild = judge(a_drive_view(now, night, air=an_air(now, -2.0)), now)
    cold = judge(a_drive_view(now, earlier, air=an_air(now, -4.0)), now)
    called = {d.kind for d in mild.drafts} & ACT_KINDS
    assert not called or {d.kind for d in cold.drafts} & ACT_KINDS
