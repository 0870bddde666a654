"""When a handover plan is told, to whom, and how often."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from frostwatch.advice.handover import plan_for
from frostwatch.advice.plan_calls import Proposed, plans_are_due, say_plans
from frostwatch.advice.reminders import Reason, Reminder, Status
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.advice.ways_out import WaysOut
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Duty, Language
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Draft, Form, Kind, Level
from frostwatch.weather.forecast import Fitness, ForecastStanding
from tests.advice.handovers import AT, ELECTRIC, GAS_6, a_case, steady_air
from tests.builders import a_crew, a_forecourt, a_vehicle, an_operator, an_owner

RESI = an_operator(
    "resi",
    duty=Duty.DEALER,
    sites=("hinterlach",),
    reading=(time(7, 45), time(15)),
    quiet_from=time(19),
    quiet_to=time(5, 30),
)
FRESH = ForecastStanding(fitness=Fitness.USABLE, age_h=1.0, future_h=100.0, colder_k=0.0, reason="")
EVENING = datetime(2027, 1, 14, 14, tzinfo=UTC)
"""Thursday 15:00 at Hinterlach: the last reading before Friday."""


def a_view(
    *, reminders: tuple[Reminder, ...] = (), judged_to: datetime | None, at: datetime = AT
) -> SiteView:
    vehicle = a_vehicle("D08", site="hinterlach", handover=Handover(at=at))
    van = VehicleView(vehicle=vehicle, layout=layout_of(vehicle), water=())
    return SiteView(
        site=a_forecourt(),
        people=(RESI, a_crew("jonas", sites=("hinterlach",))),
        vehicles=(van,),
        air=None,
        forecast=ForecastBasis(standing=FRESH),
        reminders=reminders,
        judged_to=judged_to,
    )


def a_plan(earlier: timedelta = timedelta(0)) -> Proposed:
    case = a_case(steady_air(-6.0))
    plan = plan_for(case, GAS_6)
    moved = tuple(
        replace(step, starts=step.starts - earlier, ends=step.ends - earlier) for step in plan.steps
    )
    assert plan.on_by is not None
    return Proposed(plan=replace(plan, steps=moved, on_by=plan.on_by - earlier))


def live(
    moments: list[datetime], plans: list[Proposed]
) -> tuple[list[tuple[datetime, Draft]], tuple[Reminder, ...]]:
    """Judge moment after moment, each with its plan."""
    kept: dict[str, Reminder] = {}
    said: list[tuple[datetime, Draft]] = []
    before = moments[0] - timedelta(minutes=5)
    for now, plan in zip(moments, plans, strict=True):
        standing = tuple(m for m in kept.values() if m.status is not Status.CLEARED)
        view = a_view(reminders=standing, judged_to=before)
        drafts, changed = say_plans(view, {"D08": plan}, now)
        said += [(now, draft) for draft in drafts]
        kept |= {matter.key: matter for matter in changed}
        before = now
    return said, tuple(kept.values())


def test_the_plan_is_told_the_evening_before_and_again_at_heating_on() -> None:
    plan = a_plan()
    begins = plan.plan.begins
    assert begins is not None
    morning = EVENING - timedelta(hours=7, minutes=15)
    moments = [
        morning,
        EVENING,
        EVENING + timedelta(hours=1),
        begins,
        begins + timedelta(minutes=5),
    ]
    said, _ = live(moments, [plan] * 5)
    assert [(at, draft.reason) for at, draft in said] == [
        (EVENING, Reason.PLANNED.value),
        (begins, Reason.HEATING_ON.value),
    ]
    first = said[0][1]
    assert first.kind is Kind.WARM_UP
    assert first.recipient == "resi"
    assert first.act_by == begins
    assert first.facts.warm is not None
    assert first.facts.warm.on_at == plan.plan.on_by
    assert first.revision == 1
    assert said[1][1].revision == 2
    assert said[1][1].key == first.key


def test_a_night_in_a_warm_building_is_told_with_its_hour() -> None:
    since = EVENING + timedelta(hours=2)
    plan = a_plan()
    indoors = Proposed(plan=replace(plan.plan, indoors_from=since))
    ((_, draft),), _ = live([EVENING], [indoors])
    assert draft.facts.warm is not None
    assert draft.facts.warm.indoors_by == since
    text = word(draft, Language.EN, Form.LONG).body.replace("\u00a0", " ")
    assert "Into the warm building by Thu 17:00" in text


def test_the_same_moment_again_says_nothing_more() -> None:
    plan = a_plan()
    said, _ = live([EVENING, EVENING + timedelta(seconds=1)], [plan, plan])
    assert len(said) == 1


def test_an_hour_that_moves_half_an_hour_is_told_again_and_less_is_not() -> None:
    moments = [EVENING, EVENING + timedelta(hours=1), EVENING + timedelta(hours=2)]
    plans = [a_plan(), a_plan(timedelta(minutes=20)), a_plan(timedelta(minutes=35))]
    said, _ = live(moments, plans)
    assert [draft.reason for _, draft in said] == [Reason.PLANNED.value, Reason.HOUR_MOVED.value]


def test_nothing_is_told_in_quiet_hours() -> None:
    late = EVENING + timedelta(hours=5)
    said, _ = live([EVENING, late], [a_plan(), a_plan(timedelta(hours=2))])
    assert len(said) == 1
    view = a_view(judged_to=late - timedelta(minutes=5))
    assert not plans_are_due(view, late)


def test_what_does_not_fit_is_told_at_once_at_any_reading_with_its_ways_out() -> None:
    case = a_case(steady_air(-9.0), layout="coachbuilt-seat-tank")
    plan = plan_for(case, ELECTRIC)
    other = plan_for(case, GAS_6)
    out = WaysOut(
        indoors=replace(other, indoors_from=EVENING + timedelta(hours=3)),
        other=other,
        later=AT + timedelta(hours=4),
    )
    morning = EVENING - timedelta(hours=7, minutes=15)
    said, _ = live([morning], [Proposed(plan=plan, out=out)])
    ((_, draft),) = said
    assert draft.level is Level.URGENT
    assert draft.act_by is None
    assert draft.facts.warm is not None
    assert draft.facts.warm.on_at is None
    assert draft.facts.warm.other_on == other.on_by
    assert draft.facts.warm.indoors_by == EVENING + timedelta(hours=3)


def test_once_it_fits_again_that_is_told() -> None:
    case = a_case(steady_air(-9.0), layout="coachbuilt-seat-tank")
    bad = Proposed(plan=plan_for(case, ELECTRIC))
    said, _ = live([EVENING, EVENING + timedelta(hours=1)], [bad, a_plan()])
    assert [draft.reason for _, draft in said] == [Reason.PLANNED.value, Reason.HOUR_MOVED.value]


def test_a_handover_that_has_passed_or_moved_is_cleared() -> None:
    _, kept = live([EVENING], [a_plan()])
    after = a_view(reminders=kept, judged_to=AT)
    drafts, changed = say_plans(after, {}, AT + timedelta(minutes=1))
    assert drafts == []
    assert [matter.status for matter in changed] == [Status.CLEARED]
    moved = a_view(reminders=kept, judged_to=EVENING, at=AT + timedelta(hours=2))
    _, changed = say_plans(moved, {}, EVENING + timedelta(hours=1))
    assert [matter.status for matter in changed] == [Status.CLEARED]


def test_an_hour_that_somebody_moves_after_it_was_told_is_told_anew_at_once() -> None:
    _, told = live([EVENING], [a_plan()])
    between = EVENING + timedelta(hours=1, minutes=20)
    later = AT + timedelta(hours=4)
    view = a_view(reminders=told, judged_to=between - timedelta(minutes=5), at=later)
    assert plans_are_due(view, between)
    moved = a_plan(-timedelta(hours=4))
    drafts, changed = say_plans(
        view, {"D08": replace(moved, plan=replace(moved.plan, at=later))}, between
    )
    (draft,) = drafts
    assert draft.reason == Reason.HOUR_MOVED.value
    assert draft.facts.warm is not None
    assert draft.facts.warm.at == later
    assert [matter.status for matter in changed] == [Status.CLEARED, Status.STANDING]


def test_plans_stand_apart_from_matters_of_frost() -> None:
    _, kept = live([EVENING], [a_plan()])
    view = a_view(reminders=kept, judged_to=EVENING)
    assert view.matters == {}
    assert list(view.handover_matters) == [kept[0].key]


def test_a_pass_is_due_at_readings_and_at_heating_on() -> None:
    plan = a_plan()
    begins = plan.plan.begins
    assert begins is not None
    _, kept = live([EVENING], [plan])
    assert plans_are_due(a_view(judged_to=EVENING - timedelta(minutes=5)), EVENING)
    quarter = begins - timedelta(minutes=15)
    assert not plans_are_due(
        a_view(reminders=kept, judged_to=quarter), quarter + timedelta(minutes=5)
    )
    assert plans_are_due(a_view(reminders=kept, judged_to=quarter), begins)


def test_an_owner_going_on_a_trip_is_told_and_a_crew_only_where_nobody_runs_the_place() -> None:
    view = a_view(judged_to=EVENING - timedelta(minutes=5))
    drafts, _ = say_plans(view, {"D08": a_plan()}, EVENING)
    assert [draft.recipient for draft in drafts] == ["resi"]
    alone = replace(view, people=(a_crew("jonas", sites=("hinterlach",), reading=(time(15),)),))
    drafts, _ = say_plans(alone, {"D08": a_plan()}, EVENING)
    assert [draft.recipient for draft in drafts] == ["jonas"]
    owned = replace(view, people=(*view.people, an_owner("maelle", reading=(time(15),))))
    van = replace(view.vehicles[0], vehicle=replace(view.vehicles[0].vehicle, keeper="maelle"))
    drafts, _ = say_plans(replace(owned, vehicles=(van,)), {"D08": a_plan()}, EVENING)
    assert [draft.recipient for draft in drafts] == ["maelle"]


@pytest.mark.parametrize("hours", [40, -1])
def test_far_off_and_past_handovers_are_not_told(hours: int) -> None:
    view = a_view(judged_to=EVENING - timedelta(minutes=5), at=EVENING + timedelta(hours=hours))
    drafts, _ = say_plans(view, {"D08": a_plan()}, EVENING)
    assert drafts == []


def off(
    moment: datetime, *, at: datetime | None = None, said_at: datetime = EVENING
) -> tuple[list[Draft], list[Reminder], SiteView]:
    """The evening's plan was told, and then the handover taken off, or moved to another hour."""
    ((_, _),), kept = live([said_at], [a_plan()])
    view = a_view(reminders=kept, judged_to=moment - timedelta(minutes=5), at=at or AT)
    if at is None:
        (van,) = view.vehicles
        bare = replace(van, vehicle=replace(van.vehicle, handover=None))
        view = replace(view, vehicles=(bare,))
    drafts, changed = say_plans(view, {}, moment)
    return drafts, changed, view


def test_a_handover_taken_off_is_told_once_to_those_who_were_told_of_it() -> None:
    soon = EVENING + timedelta(minutes=10)
    (draft,), changed, view = off(soon)
    assert plans_are_due(view, soon)
    assert draft.recipient == "resi"
    assert draft.reason == Reason.TAKEN_OFF.value
    assert draft.revision == 2
    said = word(draft, Language.EN, Form.SHORT).body
    assert "no longer to be ready for Fri 10:00" in said
    assert "drain it again" in said
    (matter,) = changed
    assert matter.status is Status.CLEARED
    again = replace(view, reminders=())
    assert say_plans(again, {}, soon + timedelta(hours=1)) == ([], [])
    assert not plans_are_due(again, soon + timedelta(hours=1))


def test_taken_off_in_quiet_hours_it_is_told_when_they_are_over() -> None:
    night = EVENING + timedelta(hours=6)
    drafts, changed, view = off(night)
    assert drafts == []
    assert changed == []  # it still stands told, so that the morning finds it
    assert not plans_are_due(view, night)
    morning = EVENING + timedelta(hours=15)
    (draft,), _, _ = off(morning)
    assert draft.reason == Reason.TAKEN_OFF.value


def test_after_the_hour_itself_nobody_is_told_that_it_is_off() -> None:
    drafts, changed, _ = off(AT + timedelta(minutes=5))
    assert drafts == []
    assert [matter.status for matter in changed] == [Status.CLEARED]


def test_moved_far_ahead_the_old_hour_is_off_and_the_new_one_named() -> None:
    soon = EVENING + timedelta(minutes=10)
    (draft,), _, _ = off(soon, at=AT + timedelta(days=3))
    said = word(draft, Language.EN, Form.LONG).body
    assert "the hour is now Mon\N{NO-BREAK SPACE}10:00" in said
    assert "new plan comes nearer to its hour" in said
    drafts, _, _ = off(soon, at=AT + timedelta(hours=2))
    assert drafts == []  # its new plan is told as moved instead


def test_nobody_who_was_told_nothing_hears_that_it_is_off() -> None:
    view = a_view(judged_to=EVENING - timedelta(minutes=5))
    (van,) = view.vehicles
    bare = replace(van, vehicle=replace(van.vehicle, handover=None))
    assert say_plans(replace(view, vehicles=(bare,)), {}, EVENING) == ([], [])


def test_a_plan_that_clashes_with_others_says_so() -> None:
    said, _ = live([EVENING], [replace(a_plan(), clashes=True)])
    ((_, draft),) = said
    assert "do not reach for all" in word(draft, Language.EN, Form.LONG).body
    assert "see Handovers" in word(draft, Language.EN, Form.SHORT).body
    plain, _ = live([EVENING], [a_plan()])
    assert "do not reach" not in word(plain[0][1], Language.EN, Form.LONG).body
