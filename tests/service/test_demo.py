"""The demo is laid out anew each time, in a folder of its own, with its story on today's date."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from frostwatch.errors import SettingsError
from frostwatch.service.demo import OWN_FILES, PLACES, Demo, prepare
from frostwatch.service.nights import point_of
from frostwatch.storage.ledger import open_ledger
from frostwatch.weather.forecast import Forecast
from frostwatch.wiring import open_kit

TODAY = datetime(2027, 2, 3, 15, tzinfo=UTC)


def test_a_demo_leaves_only_what_the_next_one_knows_as_its_own(tmp_path: Path) -> None:
    for _ in range(2):
        demo = prepare(tmp_path / "demo", TODAY)
        assert {path.name for path in demo.folder.iterdir()} <= OWN_FILES

    ledger = open_ledger(demo.settings.database_url)
    book = ledger.load(demo.now)
    ledger.close()
    assert len(book.sites) == len(PLACES)
    assert {vehicle for vehicle, own in book.entries.items() if own}


@pytest.mark.parametrize("what", ["file", "folder", "link"])
def test_a_folder_with_anything_else_in_it_is_refused(tmp_path: Path, what: str) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "outbox").mkdir()
    if what == "file":
        (folder / "photo.jpg").write_bytes(b"x")
    elif what == "folder":
        (folder / "letters").mkdir()
    else:
        (folder / "elsewhere").symlink_to(tmp_path)

    with pytest.raises(SettingsError, match="is not the demo's"):
        prepare(folder, TODAY)
    assert (folder / "outbox").is_dir()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")

    with pytest.raises(SettingsError, match="cannot be used"):
        prepare(tmp_path / "taken" / "demo", TODAY)


def test_its_forecasts_see_the_cold_of_the_day_after(tmp_path: Path) -> None:
    demo = prepare(tmp_path / "demo", TODAY)
    kit, ledger = open_kit(demo.settings)
    sites = ledger.load(demo.now).sites
    points = {site.key: point_of(site) for site in sites}
    found = kit.forecasts.at(tuple(points.values()), demo.now)
    ledger.close()

    yard = found[points["cold-rigg"].key]
    assert isinstance(yard, Forecast)
    now = yard.index_at(demo.now)
    assert demo.now.date() == TODAY.date()
    assert yard.columns["air_c"][now : now + 72].min() < -3.0
    assert yard.columns["air_c"][now] > 0.0
    assert demo.now - yard.known_since < timedelta(hours=3, minutes=30)


def test_its_entries_lie_before_its_day(tmp_path: Path) -> None:
    demo = prepare(tmp_path / "demo", TODAY)
    ledger = open_ledger(demo.settings.database_url)
    book = ledger.load(demo.now)
    ledger.close()

    moments = [entry.at for own in book.entries.values() for entry in own]
    assert max(moments) < demo.now


def test_the_dealer_is_told_the_plans_of_the_day_after(played_demo: Demo) -> None:
    """D08 is to be handed over the next morning; D09's valve feels no heat, which is said too."""
    text = (played_demo.folder / "outbox" / "messages.jsonl").read_text(encoding="utf-8")
    plans = [m for m in map(json.loads, text.splitlines()) if m["kind"] == "warm-up"]
    assert {m["to"] for m in plans} == {"resi"}
    assert any("Heizung an bis Do 05" in m["short"] for m in plans), plans
    assert any("H-09 wird bis" in m["short"] for m in plans)
    assert len(plans) == 2
