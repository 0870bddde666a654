"""How every vehicle of a site stands after a pass."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from frostwatch.advice.board import Board, board_of
from frostwatch.advice.marks import marks_of
from frostwatch.advice.passing import Passing
from frostwatch.advice.reminders import Answer, AnswerKind
from frostwatch.advice.view import VehicleView
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Level
from frostwatch.records.entries import Evidence, State
from frostwatch.storage.bodies import from_body, to_body
from tests import builders
from tests.advice import nights

NOW = builders.NOW
TOMORROW_NIGHT = NOW + timedelta(hours=40)


def a_wet_van(key: str, bay: str, hours: float = 30.0, **changed: Any) -> VehicleView:
    night = nights.a_night(NOW, NOW + timedelta(hours=hours))
    return nights.a_van(key, bay=bay, night=night, **changed)


def a_dry_van(key: str, bay: str) -> VehicleView:
    return nights.a_van(key, bay=bay, litres=nights.DRY)


def test_vehicles_stand_in_walking_order_with_what_there_is_to_do() -> None:
    view = nights.a_view(NOW, a_wet_van("Y02", "A-02"), a_dry_van("Y01", "A-01"))
    board = board_of(view, NOW)
    first, second = board.vehicles
    assert (first.vehicle, first.stop, first.passing) == ("Y01", None, Passing.DRAINED)
    assert second.stop is not None
    assert second.stop.job is Job.DRAIN_FULLY
    assert second.stop.act_by is not None
    assert second.level in (Level.ACT, Level.URGENT)
    assert second.passing is None


def test_what_nobody_knows_is_a_stop_on_the_quietest_day() -> None:
    van = nights.a_van("Y07", state=State.UNKNOWN, night=nights.a_night(NOW))
    board = board_of(nights.a_view(NOW, van), NOW)
    stop = board.vehicles[0].stop
    assert board.vehicles[0].unknown
    assert stop is not None
    assert (stop.job, stop.minutes, stop.act_by) == (Job.LOOK, 5.0, None)


def test_without_a_forecast_all_that_is_wet_is_listed_and_no_hour_is_given() -> None:
    view = nights.a_view(
        NOW, a_wet_van("Y02", "A-02"), a_dry_van("Y01", "A-01"), standing=nights.LOST
    )
    board = board_of(view, NOW)
    assert (board.air, board.facts, board.thaw_at) == (None, None, None)
    assert [s.vehicle for s in board.vehicles if s.stop] == ["Y02"]
    stop = board.vehicles[1].stop
    assert stop is not None
    assert (stop.act_by, stop.earliest, stop.likely) == (None, None, None)


def test_a_vehicle_that_froze_is_left_alone() -> None:
    van = a_wet_van("Y03", "A-03", hours=-2.0)
    board = board_of(nights.a_view(NOW, van, air=nights.an_air(NOW, -4.0)), NOW)
    assert board.vehicles[0].level is Level.TOO_LATE
    assert board.vehicles[0].passing is Passing.FROZEN
    assert board.vehicles[0].stop is None
    assert board.vehicles[0].began_at is None  # nobody was told, so nobody reckoned it


def test_when_harm_began_is_what_was_reckoned_last_before_it_did() -> None:
    days = nights.Days()
    nights.replay(nights.on(1, 22), [nights.on(0, 17.25), nights.on(1, 17.25)], days=days)
    morning = nights.on(2, 7)
    view = nights.an_owners_view(morning, nights.on(1, 22))
    view = replace(view, reminders=tuple(days.reminders.values()))
    (standing,) = board_of(view, morning).vehicles
    assert standing.began_at is not None
    assert abs(standing.began_at - nights.on(1, 22)) < timedelta(minutes=3)


def test_an_owner_who_is_written_to_sees_to_it_until_they_cannot() -> None:
    owner = builders.an_owner("orla")
    van = a_wet_van("Y19", "C-04", keeper="orla")
    people = (builders.an_operator(), owner)
    view = nights.a_view(NOW, van, people=people)
    kept = board_of(view, NOW).vehicles[0]
    assert (kept.owner, kept.passing, kept.stop) == ("orla", Passing.OWNER, None)
    cannot = Answer(vehicle="Y19", by="orla", kind=AnswerKind.CANNOT, at=NOW)
    left = board_of(replace(view, answers=(cannot,)), NOW).vehicles[0]
    assert left.answer is AnswerKind.CANNOT
    assert left.stop is not None


def test_an_owner_on_a_drive_has_their_own_van_as_a_stop() -> None:
    owner = builders.an_owner()
    van = a_wet_van("VAN", "", site="aunt-drive", keeper="maelle", name="the panel van")
    view = nights.a_view(NOW, van, people=(owner,), site=builders.a_drive())
    standing = board_of(view, NOW).vehicles[0]
    assert standing.owner == ""
    assert standing.stop is not None
    assert standing.stop.bay == "the panel van"


def test_a_site_where_nobody_is_entered_has_a_board_all_the_same() -> None:
    view = nights.a_view(NOW, a_wet_van("Y02", "A-02"), people=())
    assert board_of(view, NOW).vehicles[0].stop is not None


def test_a_board_comes_back_from_its_text_as_it_was() -> None:
    van, dry = a_wet_van("Y02", "A-02"), a_dry_van("Y01", "A-01")
    board = board_of(nights.a_view(NOW, van, dry, air=nights.an_air(NOW, -4.0)), NOW)
    assert from_body(Board, to_body(Board, board), where="board") == board


def test_a_vessel_is_marked_by_what_counts_most_and_by_the_weakest_evidence() -> None:
    layout = builders.a_layout()
    water = nights.some_water(
        {Circuit.WASTE_TANK: 0.0, Circuit.OUTLET_STUB: 0.25}, since=nights.LONG_AGO
    )
    told = nights.some_water(
        {Circuit.FRESH_TANK: 20.0}, since=nights.LONG_AGO, evidence=Evidence.ASSERTED
    )
    fresh, waste = marks_of((*water, *told), layout)
    assert (fresh.vessel, fresh.litres, fresh.evidence) == ("fresh", 20.0, Evidence.ASSERTED)
    assert fresh.share == pytest.approx(0.2)
    # the tank is empty, its outlet is not
    assert (waste.vessel, waste.state, waste.litres) == ("waste", State.RESIDUAL, None)
    assert waste.wet


def test_one_unknown_circuit_makes_its_vessel_unknown() -> None:
    layout = builders.a_layout()
    water = nights.some_water({Circuit.PUMP: 0.0}, since=nights.LONG_AGO)
    doubt = nights.some_water({Circuit.COLD_PIPES: 2.0}, since=nights.LONG_AGO, state=State.UNKNOWN)
    (pipes,) = marks_of((*water, *doubt), layout)
    assert (pipes.state, pipes.evidence, pipes.wet) == (State.UNKNOWN, Evidence.EXPIRED, True)
