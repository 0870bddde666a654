"""A plan that somebody is at work on: what is told meanwhile, and that it can be shown later."""

from datetime import timedelta

from frostwatch.messages.wording.draft import Kind
from tests.web.test_handovers_page import a_forecourt, on_by, press
from tests.web.yards import Stage

HOURS = 5


def told_to_begin() -> Stage:
    """A forecourt whose people were told that it is time to heat."""
    stage = a_forecourt()
    stage.clock.now = on_by(stage)
    told = stage.world.told_at(stage.clock.now)
    assert Kind.WARM_UP in {message.kind for message in told}
    return stage


def told_after(stage: Stage) -> list[str]:
    """What is told of handovers in the next hours, with no gate passed."""
    passes = (stage.clock.now + timedelta(hours=hour, minutes=10) for hour in range(HOURS))
    told = [message for now in passes for message in stage.world.told_at(now)]
    return [message.subject for message in told if message.kind == Kind.WARM_UP]


def test_whoever_is_at_work_is_told_no_plan_of_somebody_who_would_begin_only_now() -> None:
    idle, at_work = told_to_begin(), told_to_begin()
    press(at_work.client(), "on")
    assert [subject for subject in told_after(idle) if "cannot be ready" in subject]
    assert told_after(at_work) == []


def test_who_was_at_work_is_kept_with_what_a_pass_rested_on() -> None:
    stage = told_to_begin()
    press(stage.client(), "on")
    assert stage.world.ledger.load(stage.clock.now).under_way == {"Y01"}
    told_after(stage)
    kept = stage.world.ledger.bases.listed("cold-rigg", since=stage.clock.now)
    assert {one.under_way for one in kept if one.at > stage.clock.now} == {("Y01",)}
