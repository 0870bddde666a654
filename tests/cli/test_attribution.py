"""Licences ask to be named wherever their data are shown: every output is walked and looked at.

Terms: open-meteo.com/en/license (CC BY 4.0: credit, link, licence, and that it was changed).
"""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pytest_httpserver import HTTPServer

from frostwatch.cli.app import COMMANDS
from frostwatch.records.entries import State
from frostwatch.storage.ledger import open_ledger
from frostwatch.wiring import utc_now
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.cli.conftest import Cli
from tests.folders import write_folder, write_replies
from tests.worlds import Weather, open_meteo_reply

WORDS = ("Weather data by Open-Meteo.com", "https://open-meteo.com/", "CC BY 4.0")
HEIGHTS = "Copernicus GLO-90"
START = datetime(2026, 12, 1, 6, tzinfo=UTC)
END = START + timedelta(days=3, hours=12)
SPAN = ("--from", f"{START:%Y-%m-%dT%H:%M}Z", "--to", f"{END:%Y-%m-%dT%H:%M}Z")
PLACE = ("--lat", "54.74", "--lon", "-2.31", "--zone", "UTC")

Read = Callable[[Cli, Path], str]


@pytest.fixture
def yard(at_home: Path, httpserver: HTTPServer) -> Path:
    """A yard without a height, one wet vehicle, hard frost tonight; a server on loopback."""
    now = utc_now()
    weather = Weather()
    weather.cold(now - timedelta(hours=30), hours=60.0, air_c=-12.0)
    httpserver.expect_request("/v1/forecast").respond_with_data(
        open_meteo_reply(weather, now), content_type="application/json"
    )
    httpserver.expect_request("/v1/elevation").respond_with_json({"elevation": [410.0] * 9})
    address = httpserver.url_for("").rstrip("/")
    (at_home / "frostwatch.toml").write_text(
        f'[weather.open_meteo]\nbase_url = "{address}"\nensemble = false\n'
    )
    awake = now + timedelta(hours=12)
    operator = an_operator(
        quiet_from=awake.time().replace(microsecond=0),
        quiet_to=(awake + timedelta(minutes=1)).time().replace(microsecond=0),
    )
    ledger = open_ledger(f"sqlite:///{at_home}/var/frostwatch.db")
    ledger.save_fleet(
        sites=[a_site(time_zone="UTC", height_m=None)], people=[operator], vehicles=[a_vehicle()]
    )
    ledger.add_entries(entries_for(a_layout(), State.FULL, at=now - timedelta(days=2)))
    ledger.close()
    return at_home


@pytest.fixture
def past(at_home: Path) -> Path:
    """A replay folder with one cold night."""
    weather = Weather()
    weather.cold(START + timedelta(days=2, hours=14))
    path = write_folder(
        at_home / "past",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=[a_vehicle()],
        entries=entries_for(a_layout(), State.FULL, at=START - timedelta(days=2)),
    )
    write_replies(path, "cold-rigg", weather, START - timedelta(hours=3), END)
    return path


def told(cli: Cli, home: Path) -> str:
    """The e-mail as a person gets it, out of the ledger."""
    cli("assess")
    ledger = open_ledger(f"sqlite:///{home}/var/frostwatch.db")
    try:
        (row, *_) = ledger.outbox.listed(since=utc_now() - timedelta(hours=1))
    finally:
        ledger.close()
    return row.message.long


def saved(cli: Cli, home: Path) -> str:
    """What lies beside replies that leave the ledger."""
    cli("assess")
    at = f"{utc_now() + timedelta(minutes=1):%Y-%m-%dT%H:%M:%SZ}"
    ran = cli("evidence", "cold-rigg", "--at", at, "--save", "kept")
    assert "CREDITS.txt" in ran.out, ran.err
    return (home / "kept" / "CREDITS.txt").read_text("utf-8")


def shown(*arguments: str, after_a_pass: bool = False) -> Read:
    def read(cli: Cli, _: Path) -> str:
        if after_a_pass:
            cli("assess")
        ran = cli(*arguments)
        assert ran.status == 0, ran.err
        return ran.out

    return read


LIVE: dict[str, Read] = {
    "messages": told,
    "assess": shown("assess", "--look-only"),
    "assess, for machines": shown("assess", "--look-only", "--json"),
    "weather": shown("weather", "cold-rigg", after_a_pass=True),
    "weather, for machines": shown("weather", "--json", after_a_pass=True),
    "tonight": shown("tonight", *PLACE),
    "tonight, for machines": shown("tonight", *PLACE, "--json"),
    "evidence": saved,
}
PAST: dict[str, Read] = {
    "replay": shown("replay", "past", *SPAN),
    "replay, for machines": shown("replay", "past", *SPAN, "--json"),
}
ELSEWHERE = {"run", "why", "handover", "calendar", "advise"}
"""``run`` sends the messages; what the others name is looked at in their own tests."""
NO_WEATHER = {
    "accounts", "check", "estimate", "export", "import", "handbook", "layouts", "links",
    "people", "place", "readings",
    "record",
}  # fmt: skip


@pytest.mark.parametrize("output", LIVE)
def test_every_output_names_whose_weather_and_whose_heights_it_shows(
    cli: Cli, yard: Path, output: str
) -> None:
    text = LIVE[output](cli, yard)
    assert [words for words in WORDS if words not in text] == []
    if output != "evidence":
        assert HEIGHTS in text


@pytest.mark.parametrize("output", ["messages", "assess", "weather", "tonight"])
def test_it_is_said_that_the_data_were_changed(cli: Cli, yard: Path, output: str) -> None:
    assert "orrected to the place" in LIVE[output](cli, yard)


@pytest.mark.parametrize("output", PAST)
def test_a_replay_names_whose_weather_it_shows(cli: Cli, past: Path, output: str) -> None:
    text = PAST[output](cli, past)
    assert [words for words in WORDS if words not in text] == []


def test_what_is_exported_holds_no_weather(cli: Cli, yard: Path) -> None:
    cli("assess")
    for form in ("fleet", "vehicles", "entries"):
        text = cli("export", form).out
        assert text
        assert "open-meteo" not in text.lower()
        assert "height_m = 4" not in text, "a height that was looked up is not the operator's"


def test_every_command_has_its_place_in_this_walk() -> None:
    walked = {name.split(",")[0] for name in (*LIVE, *PAST)}
    assert set(COMMANDS) == walked | ELSEWHERE | NO_WEATHER
