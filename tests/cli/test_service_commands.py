"""``assess``, ``messages``, ``check``, ``weather``, ``replay`` and ``run --demo`` as called."""

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from socket import socket

import pytest
from sqlalchemy import text

from frostwatch.records.entries import State
from frostwatch.storage.database import Database
from frostwatch.storage.ledger import open_ledger
from frostwatch.weather.providers.recorded import ARRIVAL
from frostwatch.wiring import utc_now
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.cli.conftest import Cli
from tests.folders import write_folder, write_replies
from tests.worlds import Weather, open_meteo_reply

SETTINGS = """\
[weather]
providers = ["recorded"]
recorded_folder = "recorded"
contact = "office@yard.example"

[messages]
outbox_folder = "outbox"
"""


@pytest.fixture
def yard(at_home: Path) -> Path:
    """A yard on recorded replies, one vehicle full of water, another drained; hard frost now."""
    now = utc_now()
    (at_home / "frostwatch.toml").write_text(SETTINGS, encoding="utf-8")
    awake = now + timedelta(hours=12)
    operator = an_operator(
        quiet_from=awake.time().replace(microsecond=0),
        quiet_to=(awake + timedelta(minutes=1)).time().replace(microsecond=0),
    )
    ledger = open_ledger(f"sqlite:///{at_home}/var/frostwatch.db")
    vehicles = [a_vehicle("Y01", bay="A-01"), a_vehicle("Y02", bay="A-02")]
    site = a_site(time_zone="UTC")
    ledger.save_fleet(sites=[site], people=[operator], vehicles=vehicles)
    seen = now - timedelta(days=2)
    ledger.add_entries(entries_for(a_layout(), State.FULL, vehicle="Y01", at=seen))
    ledger.add_entries(entries_for(a_layout(), State.DRAINED, vehicle="Y02", at=seen))
    ledger.close()
    weather = Weather()
    weather.cold(now - timedelta(hours=30), hours=60.0, air_c=-12.0)
    reply(at_home, weather, now - timedelta(hours=1))
    return at_home


def reply(home: Path, weather: Weather, issued: datetime) -> None:
    folder = home / "recorded" / "forecasts" / "open-meteo" / "cold-rigg"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{issued:{ARRIVAL}}.json").write_bytes(open_meteo_reply(weather, issued))


# --- assess --------------------------------------------------------------------------------------


def test_assess_shows_every_vehicle_and_queues_what_is_due(cli: Cli, yard: Path) -> None:
    ran = cli("assess")

    assert ran.status == 0, ran.err
    assert "Cold Rigg Yard: 1 of 2 vehicles are wet or unknown. Forecast of " in ran.out
    rows = [line for line in ran.out.splitlines() if re.search(r" Y0\d ", line)]
    assert len(rows) == 2
    assert "Y01" in rows[0], "the one to go to first"
    assert "nothing known to hold water" in rows[1]
    assert ran.out.endswith("1 message queued.\n")
    assert cli("assess").out.endswith("Nothing to say now.\n"), "told once"


def test_assess_of_nothing_says_that_nothing_was_looked_at(cli: Cli, at_home: Path) -> None:
    ran = cli("assess")
    assert "No site is entered, so nothing was looked at." in ran.out
    assert "Nothing to say" not in ran.out


def test_assess_that_only_looks_keeps_nothing(cli: Cli, yard: Path) -> None:
    cli("assess", "--look-only")

    assert cli("messages").out == "No messages in the last 14 days.\n"


def test_assess_for_machines(cli: Cli, yard: Path) -> None:
    (site,) = cli("assess", "--look-only", "--json").json

    assert site["site"] == "cold-rigg"
    assert site["forecast"] == "open-meteo"
    assert site["no_forecast"] is None
    assert site["wet"] == 1
    by_key = {row["vehicle"]: row for row in site["vehicles"]}
    assert by_key["Y01"]["probability"] > 0.9
    assert by_key["Y02"]["probability"] is None


def test_assess_without_a_forecast_says_that_this_does_not_mean_no_frost(
    cli: Cli, yard: Path
) -> None:
    for file in (yard / "recorded").rglob("*.json"):
        file.write_text('{"error": true, "reason": "no run"}')

    ran = cli("assess")
    (site,) = cli("assess", "--json", "--look-only").json

    assert "no usable forecast" in ran.out
    assert "This does not mean no frost: 1 of 2 vehicles are wet or unknown" in ran.out
    assert site["forecast"] is None
    assert "no run" in site["no_forecast"]


def test_assess_names_a_vehicle_it_cannot_reckon_with_and_is_status_1(cli: Cli, yard: Path) -> None:
    ledger = open_ledger(f"sqlite:///{yard}/var/frostwatch.db")
    ledger.save_fleet(vehicles=[a_vehicle("Y99", layout="long-gone", bay="A-03")])
    ledger.close()

    ran = cli("assess", "--look-only")
    as_json = cli("assess", "--look-only", "--json")

    assert ran.status == as_json.status == 1
    assert "Left out, not reckoned with: Y99: " in ran.out
    assert "Y01" in ran.out
    assert "long-gone" in as_json.json[0]["left_out"][0]


def test_assess_cut_short_by_its_reader(shell: Cli, yard: Path) -> None:
    ran = shell("frostwatch assess | head -1")

    assert ran.out.startswith("Cold Rigg Yard")
    assert ran.err == ""


def test_a_database_of_a_newer_version_is_left_alone(cli: Cli, yard: Path) -> None:
    database = Database(f"sqlite:///{yard}/var/frostwatch.db")
    with database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999_far_future'"))
    database.close()

    for command in ("assess", "messages", "export", "run"):
        ran = cli(command)
        assert ran.status == 2, command
        assert ran.out == ""
        assert "newer" in ran.err
    assert "FW102" in cli("check").out


# --- messages ------------------------------------------------------------------------------------


def test_messages_are_listed_with_what_became_of_them(cli: Cli, yard: Path) -> None:
    cli("assess")

    ran = cli("messages")
    (line,) = [json.loads(one) for one in cli("messages", "--json").out.splitlines()]

    assert "queued" in ran.out
    assert line["to"] == "ailsa"
    assert line["kind"] == "leave alone"
    assert line["status"] == "queued"
    assert len(line["short"]) <= 160


def test_messages_are_chosen_by_person_and_site_however_they_are_written(
    cli: Cli, yard: Path
) -> None:
    cli("assess")

    here = cli("messages", "--to", "AILSA", "--site", "Cold-Rigg", "--json").out.splitlines()
    unknown = cli("messages", "--to", "ailsq")

    assert len(here) == 1
    assert unknown.status == 2
    assert "Did you mean 'ailsa'?" in unknown.err


# --- check ---------------------------------------------------------------------------------------


def test_check_is_status_0_while_nothing_keeps_anybody_from_being_told(
    cli: Cli, yard: Path
) -> None:
    ran = cli("check")

    assert ran.status == 0, ran.out
    assert "FW302 warning" in ran.out


def test_check_is_status_1_when_something_does(cli: Cli, yard: Path) -> None:
    (yard / "frostwatch.toml").write_text(SETTINGS.replace('"recorded"\n', '"nowhere"\n'))

    ran = cli("check")
    found = cli("check", "--json").json

    assert ran.status == 1
    assert "FW203 error" in ran.out
    assert {"id", "level", "what", "hint"} == set(found[0])


def test_check_names_settings_that_do_not_exist(cli: Cli, at_home: Path) -> None:
    (at_home / "frostwatch.toml").write_text("[wether]\nuse = 'private'\n")

    ran = cli("check")

    assert ran.status == 1
    assert "FW100 error" in ran.out
    assert "Did you mean weather" in ran.out


# --- replay --------------------------------------------------------------------------------------

START = datetime(2026, 12, 1, 6, tzinfo=UTC)
END = datetime(2026, 12, 4, 18, tzinfo=UTC)
SPAN = ("--from", "2026-12-01T06:00Z", "--to", "2026-12-04T18:00:00+00:00")


@pytest.fixture
def past(at_home: Path) -> Path:
    """A yard in the first days of December 2026, cold on the evening of the 3rd."""
    vehicle = a_vehicle("Y01", bay="A-01")
    seen = START - timedelta(days=2)
    path = write_folder(
        at_home / "past",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=[vehicle],
        entries=entries_for(a_layout(), State.FULL, vehicle="Y01", at=seen),
    )
    weather = Weather()
    weather.cold(datetime(2026, 12, 3, 20, tzinfo=UTC))
    write_replies(path, "cold-rigg", weather, START - timedelta(hours=3), END)
    return path


def test_replay_is_one_line_a_message_with_the_report_apart(cli: Cli, past: Path) -> None:
    ran = cli("replay", "past", *SPAN, "--json")

    assert ran.status == 0, ran.err
    lines = [json.loads(line) for line in ran.out.splitlines()]
    assert [line["kind"] for line in lines][:2] == ["outlook", "work order"]
    assert list(lines[0]) == [
        "at",
        "local",
        "to",
        "site",
        "kind",
        "level",
        "vehicles",
        "act_by",
        "earliest",
        "likely",
        "probability",
        "reason",
        "short",
        "long",
    ]
    assert f"{len(lines)} messages; 29 replies used" in ran.err


def test_replay_counts_what_could_not_be_used(cli: Cli, past: Path) -> None:
    files = sorted((past / "forecasts/open-meteo/cold-rigg").glob("*.json"))
    files[4].write_bytes(b"")
    files[5].write_bytes(files[5].read_bytes()[:4000])

    ran = cli("replay", "past", *SPAN)

    assert "27 replies used, not usable: 2 broken reply" in ran.err
    assert "to ailsa, work order (first):" in ran.out


def test_replay_with_answers_is_quiet_after_them(cli: Cli, past: Path) -> None:
    ran = cli("replay", "past", *SPAN, "--answer-after", "2h", "--json")

    kinds = [json.loads(line)["kind"] for line in ran.out.splitlines()]
    assert kinds == ["outlook", "work order"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nowhere", *SPAN], "fleet.toml cannot be read"),
        (["past", "--from", "yesterday", "--to", "2026-12-04"], "'yesterday' is not a moment"),
        (["past", "--from", "2026-12-04", "--to", "2026-12-01"], "lies before --from"),
        (["past", *SPAN, "--answer-after", "soon"], "'soon' is not a length of time"),
    ],
)
def test_replay_says_what_it_does_not_understand(
    cli: Cli, past: Path, arguments: list[str], words: str
) -> None:
    ran = cli("replay", *arguments)

    assert ran.status == 2
    assert ran.out == ""
    assert words in ran.err


def test_replay_cut_short_by_its_reader(shell: Cli, past: Path) -> None:
    ran = shell(f"frostwatch replay past {' '.join(SPAN)} --json | head -1")

    assert json.loads(ran.out)["kind"] == "outlook"
    assert ran.err == ""


# --- the demo ------------------------------------------------------------------------------------


def test_the_demo_says_whom_it_would_tell_what_by_when_and_where_to_look(
    cli: Cli, at_home: Path
) -> None:
    ran = cli("run", "--demo", "--once")

    assert ran.status == 0, ran.err
    assert "All of it is invented" in ran.out
    for place in ("Cold Rigg Yard", "Reisemobilhof Hinterlach", "Tante Soazig’s drive"):
        assert f"{place}: " in ran.out
    assert re.search(
        r"to kit by crew chat:\n +Cold Rigg Yard: \d+ bays by \w{3} \d\d:\d\d", ran.out
    )
    assert "var/demo/outbox/messages.jsonl" in ran.out
    letters = list((at_home / "var/demo/outbox").glob("*.txt"))
    lines = (at_home / "var/demo/outbox/messages.jsonl").read_text("utf-8").splitlines()
    assert len(letters) == len(lines) >= 5
    assert ran.err == ""


@pytest.mark.parametrize("once", [True, False])
def test_the_demo_never_empties_a_folder_that_is_not_its_own(
    cli: Cli, at_home: Path, once: bool
) -> None:
    (at_home / "letters").mkdir()
    (at_home / "letters" / "dear.txt").write_text("kept")
    with socket() as free:  # a demo that runs beside the tests holds the usual port
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])

    ran = cli("run", "--demo", "--folder", "letters", *(["--once"] if once else ["--port", port]))

    assert ran.status == 2
    assert ran.out == ""
    assert "'dear.txt', which is not the demo's" in ran.err
    assert (at_home / "letters" / "dear.txt").read_text() == "kept"
