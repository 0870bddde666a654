"""Every finding has an id, says what, and says how to mend it."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from frostwatch.errors import SettingsError
from frostwatch.fleet.people import Channel
from frostwatch.ports import MessageStatus
from frostwatch.service.checks import run_checks
from frostwatch.service.findings import Finding, Weight
from frostwatch.settings import Settings, load_settings
from frostwatch.storage.database import Database
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.weather.asking import Use
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure
from frostwatch.weather.terrain import Terrain, place_of
from tests.builders import a_site, a_vehicle, an_operator
from tests.letters import a_message

GOOD = {
    "FROSTWATCH_WEATHER__CONTACT": "office@yard.example",
    "FROSTWATCH_SERVICE__HEARTBEAT_URL": "https://monitor.example/abc",
    "FROSTWATCH_PUBLIC_URL": "https://frost.example",
}


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path}/ledger.db"


@pytest.fixture
def settings_with(tmp_path: Path, url: str) -> Callable[..., Settings]:
    def make(**changed: str) -> Settings:
        environment = {
            **GOOD,
            "FROSTWATCH_DATABASE_URL": url,
            "FROSTWATCH_MESSAGES__OUTBOX_FOLDER": str(tmp_path / "outbox"),
            **{f"FROSTWATCH_{name}": value for name, value in changed.items()},
        }
        return load_settings(None, environment)

    return make


@pytest.fixture
def filled(url: str, now: datetime) -> SqlLedger:
    """A ledger in which all is well."""
    ledger = open_ledger(url)
    ledger.save_fleet(sites=[a_site()], people=[an_operator()], vehicles=[a_vehicle()])
    ledger.commit("cold-rigg", now)
    return ledger


def look(settings: Settings, now: datetime, config: Path | None = None) -> tuple[Finding, ...]:
    """Run the checks over providers that mind commercial use."""

    def build_weather(given: Settings) -> None:
        if given.weather.use is Use.COMMERCIAL:
            raise SettingsError("the free host is not for commercial use")

    return run_checks(settings, now, build_weather=build_weather, config=config)


def ids(found: tuple[Finding, ...]) -> list[str]:
    for finding in found:
        assert finding.what
        assert finding.hint
    return [finding.id for finding in found]


def test_where_all_is_well_nothing_is_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    assert look(settings_with(), now) == ()


def test_a_first_look_changes_nothing(
    settings_with: Callable[..., Settings], tmp_path: Path, now: datetime
) -> None:
    assert ids(look(settings_with(), now)) == ["FW103"]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"WEATHER__USE": "commercial"}, "FW201"),
        ({"WEATHER__CONTACT": ""}, "FW202"),
        ({"WEATHER__PROVIDERS": '["recorded"]', "WEATHER__RECORDED_FOLDER": "/nowhere"}, "FW203"),
        ({"MESSAGES__OUTBOX_FOLDER": "/dev/null/outbox"}, "FW301"),
        ({"SERVICE__HEARTBEAT_URL": ""}, "FW302"),
        ({"PUBLIC_URL": ""}, "FW303"),
        ({"WEB__PORT": "0"}, "FW305"),
        ({"PUBLIC_URL": "http://frost.example"}, "FW306"),
        ({"DATABASE_URL": "sqlite:////dev/null/ledger.db"}, "FW101"),
        ({"DATABASE_URL": "postgresql://nobody@127.0.0.1:1/x"}, "FW101"),
        ({"DATABASE_URL": "oracle://x"}, "FW101"),
    ],
)
def test_a_setting_that_stands_in_the_way_is_found(
    settings_with: Callable[..., Settings],
    filled: SqlLedger,
    now: datetime,
    changed: dict[str, str],
    expected: str,
) -> None:
    assert ids(look(settings_with(**changed), now)) == [expected]


def test_secrets_in_a_file_that_all_may_read_are_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, tmp_path: Path, now: datetime
) -> None:
    settings = settings_with(WEATHER__OPEN_METEO__API_KEY="hunter2")
    config = tmp_path / "frostwatch.toml"
    config.write_text("")
    config.chmod(0o644)

    found = look(settings, now, config)

    assert ids(found) == ["FW304"]
    assert "hunter2" not in found[0].what
    config.chmod(0o640)
    assert look(settings, now, config) == ()
    config.chmod(0o644)
    assert look(settings_with(), now, config=config) == ()


def test_a_database_of_a_newer_version_is_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, url: str, now: datetime
) -> None:
    database = Database(url)
    with database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    database.close()

    assert ids(look(settings_with(), now)) == ["FW102"]


def test_an_empty_database_is_noted(
    settings_with: Callable[..., Settings], tmp_path: Path, now: datetime
) -> None:
    (tmp_path / "ledger.db").write_bytes(b"")

    assert ids(look(settings_with(), now)) == ["FW103"]


def test_an_empty_fleet_is_found(
    settings_with: Callable[..., Settings], url: str, now: datetime
) -> None:
    open_ledger(url).close()

    assert ids(look(settings_with(), now)) == ["FW401"]


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("nonsense", "not understood"),
        ("json://192.168.1.5/hook", "allow_private_addresses"),
        ("syslog://", "allow_private_addresses"),
    ],
)
def test_a_channel_that_can_reach_nobody_is_found(
    settings_with: Callable[..., Settings],
    filled: SqlLedger,
    now: datetime,
    address: str,
    words: str,
) -> None:
    filled.save_fleet(people=[an_operator(channels=(Channel(name="chat", address=address),))])

    (finding,) = look(settings_with(), now)

    assert finding.id == "FW402"
    assert "ailsa, channel chat" in finding.what
    assert words in finding.what


def test_an_inward_channel_is_fine_where_that_is_allowed(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    channel = Channel(name="chat", address="json://192.168.1.5/hook")
    filled.save_fleet(people=[an_operator(channels=(channel,))])

    assert look(settings_with(MESSAGES__ALLOW_PRIVATE_ADDRESSES="true"), now) == ()


def test_a_channel_that_refused_and_the_message_it_cost_are_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    filled.outbox.enqueue([a_message(now, channel="outbox")], now)
    row = filled.outbox.claim(now, until=now + timedelta(hours=1))
    assert row is not None
    filled.outbox.mark_failed(row, MessageStatus.REFUSED, now, "no such mailbox")

    found = look(settings_with(), now)

    assert ids(found) == ["FW403", "FW503"]
    assert "no such mailbox" in found[0].what
    assert "1 messages of the last week were refused (to ailsa)" in found[1].what


def test_vehicles_nobody_can_be_told_about_are_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    filled.save_fleet(people=[an_operator(channels=())])

    assert ids(look(settings_with(), now)) == ["FW404"]


def test_a_site_without_height_and_a_fleet_that_does_not_fit_are_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    filled.save_fleet(sites=[a_site(height_m=None)], vehicles=[a_vehicle(bay="Q-99")])

    assert ids(look(settings_with(), now)) == ["FW407", "FW405"]


def test_a_height_that_was_looked_up_is_shown_with_its_source(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    site = a_site(height_m=None)
    filled.save_fleet(sites=[site])
    place = place_of(site.latitude_deg, site.longitude_deg)
    credit = Attribution(text="Heights: a map", url="", licence="")
    filled.terrain.keep([Terrain(place=place, asked_at=now, heights_m=(131.0,) * 9, credit=credit)])
    (found,) = look(settings_with(), now)
    assert (found.id, found.level) == ("FW408", Weight.NOTE)
    assert "Height 131 m, looked up" in found.what
    assert "Heights: a map" in found.what


def test_a_height_that_could_not_be_looked_up_is_told_with_the_cause(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    site = a_site(height_m=None)
    filled.save_fleet(sites=[site])
    away = FetchFailure(kind=FailureKind.UNREACHABLE, message="nobody answers")
    place = place_of(site.latitude_deg, site.longitude_deg)
    filled.terrain.keep([Terrain(place=place, asked_at=now, failure=away)])
    (found,) = look(settings_with(), now)
    assert found.id == "FW405"
    assert "nobody answers" in found.what
    assert "colder" in found.what


def test_where_nobody_is_asked_for_heights_that_is_not_promised(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    filled.save_fleet(sites=[a_site(height_m=None)])
    (found,) = look(settings_with(WEATHER__PROVIDERS='["met-norway"]'), now)
    assert found.id == "FW405"
    assert "next pass" not in found.what


def test_passes_that_fail_or_have_stopped_are_found(
    settings_with: Callable[..., Settings], filled: SqlLedger, now: datetime
) -> None:
    assert ids(look(settings_with(), now + timedelta(hours=26, minutes=1))) == ["FW502"]
    filled.note_failure("cold-rigg", now, cause="no forecast", next_try_at=now)

    (finding,) = look(settings_with(), now)

    assert (finding.id, finding.level) == ("FW501", Weight.ERROR)
    assert "no forecast" in finding.what


def test_every_id_is_explained_and_tried_here() -> None:
    root = Path(__file__).parents[2]
    source = "".join(path.read_text() for path in root.glob("frostwatch/service/*checks.py"))
    used = set(re.findall(r'id="(FW\d{3})"', source))
    explained = set(re.findall(r"FW\d{3}", (root / "deploy/README.md").read_text()))
    tried = set(re.findall(r"FW\d{3}", Path(__file__).read_text()))
    assert explained == used
    assert tried == used
