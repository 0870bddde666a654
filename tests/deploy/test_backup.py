"""The nightly copy is whole, the last ones are kept, a failure drops none."""

import importlib.util
from datetime import datetime, timedelta
from pathlib import Path
from types import ModuleType

import pytest

from frostwatch.storage.ledger import open_ledger
from tests.builders import a_site, a_vehicle

DEPLOY = Path(__file__).parents[2] / "deploy"


@pytest.fixture(scope="module")
def backup() -> ModuleType:
    spec = importlib.util.spec_from_file_location("backup", DEPLOY / "backup.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_a_copy_of_a_database_in_use_opens_with_all_that_was_in_it(
    backup: ModuleType, tmp_path: Path, now: datetime
) -> None:
    ledger = open_ledger(f"sqlite:///{tmp_path}/ledger.db")
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])

    copy = backup.back_up(tmp_path / "ledger.db", tmp_path / "copies", now)

    ledger.close()
    restored = open_ledger(f"sqlite:///{copy}")
    assert restored.load(now).vehicles == (a_vehicle(),)
    restored.close()
    assert copy.name == "frostwatch-20261201T060500Z.db"


def test_only_the_last_copies_are_kept(backup: ModuleType, tmp_path: Path, now: datetime) -> None:
    open_ledger(f"sqlite:///{tmp_path}/ledger.db").close()
    for day in range(4):
        backup.back_up(tmp_path / "ledger.db", tmp_path / "copies", now + timedelta(days=day), 2)

    kept = sorted(path.name for path in (tmp_path / "copies").iterdir())
    assert kept == ["frostwatch-20261203T060500Z.db", "frostwatch-20261204T060500Z.db"]


def test_what_cannot_be_copied_is_said_and_older_copies_stay(
    backup: ModuleType, tmp_path: Path, now: datetime
) -> None:
    older = tmp_path / "copies" / "frostwatch-20251201T000000Z.db"
    older.parent.mkdir()
    older.write_text("old")
    (tmp_path / "ledger.db").write_text("not a database " * 100)

    with pytest.raises(SystemExit, match="could not be copied"):
        backup.back_up(tmp_path / "ledger.db", tmp_path / "copies", now, 1)
    with pytest.raises(SystemExit, match="is not there"):
        backup.back_up(tmp_path / "elsewhere.db", tmp_path / "copies", now, 1)

    assert [path.name for path in older.parent.iterdir()] == [older.name]
