"""The demo's clock: forward keeps what was done, back starts over, each scene shows its point."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from frostwatch.errors import RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Level
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.service.demo import prepare
from frostwatch.service.demo_stage import SCENES, Stage
from frostwatch.storage.ledger import SqlLedger
from frostwatch.wiring import open_kit
from tests.worlds import FEW_MEMBERS

TODAY = datetime(2027, 2, 3, 15, tzinfo=UTC)


@pytest.fixture
def played(tmp_path: Path) -> Iterator[tuple[Stage, SqlLedger]]:
    demo = prepare(tmp_path / "demo", TODAY, public_url="http://127.0.0.1:8080")
    kit, ledger = open_kit(demo.settings)
    yield Stage(demo, replace(kit, members=FEW_MEMBERS), ledger, lambda: TODAY), ledger
    ledger.close()


def to_scene(stage: Stage, key: str) -> None:
    stage.set_to(next(stage.moment_of(scene) for scene in SCENES if scene.key == key))


def yard_levels(stage: Stage, ledger: SqlLedger) -> set[Level]:
    yard = ledger.pages.yard("cold-rigg", stage.now())
    assert yard is not None
    assert yard.board is not None
    assert yard.board.at == stage.now(), "the pages show the hour that was set"
    return {standing.level for standing in yard.board.vehicles}


def kinds(ledger: SqlLedger, stage: Stage) -> set[str]:
    rows = ledger.outbox.listed(since=stage.now() - timedelta(days=20))
    return {row.message.kind for row in rows if row.message.site == "cold-rigg"}


@pytest.mark.slow
def test_scenes_tell_the_story_forward_keeps_what_was_recorded_and_back_starts_over(
    played: tuple[Stage, SqlLedger], tmp_path: Path
) -> None:
    stage, ledger = played
    to_scene(stage, "order")
    assert yard_levels(stage, ledger) & {Level.ACT, Level.URGENT}
    assert "work order" in kinds(ledger, stage)
    outbox = tmp_path / "demo" / "outbox"
    assert list(outbox.glob("*work-order*"))
    told = Entry(
        vehicle="Y03",
        circuit=Circuit.FRESH_TANK,
        state=State.DRAINED,
        evidence=Evidence.SEEN,
        by="kit",
        at=stage.now(),
        received_at=stage.now(),
    )
    ledger.add_entries([told])

    to_scene(stage, "walk")
    assert told in [linked.entry for linked in ledger.record_of("Y03")]

    to_scene(stage, "order")
    assert told not in [linked.entry for linked in ledger.record_of("Y03")]
    assert "work order" in kinds(ledger, stage), "the story was told again"
    to_scene(stage, "late")
    assert Level.TOO_LATE in yard_levels(stage, ledger)
    assert "leave alone" in kinds(ledger, stage)
    to_scene(stage, "quiet")
    assert yard_levels(stage, ledger) == {Level.NONE}
    assert kinds(ledger, stage) == set()
    assert not list(outbox.glob("*work-order*")), "nor a file of the story that was left"


def test_an_hour_without_invented_weather_is_refused(played: tuple[Stage, SqlLedger]) -> None:
    stage, _ = played
    for moment in (stage.first - timedelta(minutes=1), stage.last + timedelta(minutes=1)):
        with pytest.raises(RecordError, match="Choose an hour in between"):
            stage.play(moment)
