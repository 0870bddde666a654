"""The page of one vehicle, its record, and the form in which it is recorded."""

import csv
import re
from datetime import UTC, datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Language
from frostwatch.messages.outbox import flush
from frostwatch.messages.replies import codes_in
from frostwatch.ports import Message, Refused
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import Evidence, State
from frostwatch.storage.entry_files import read_entries_csv, write_entries_csv
from frostwatch.web.pages.record_form import read_form
from tests.builders import NOW, a_crew, a_site, a_vehicle, an_operator, an_owner
from tests.web.pages_read import headline, words
from tests.web.yards import (
    HOSTILE,
    Stage,
    a_cold_yard,
    a_row,
    an_account,
    form_of,
    the_people,
    water,
)


@pytest.fixture(scope="module")
def cold() -> Stage:
    """A yard that nobody changes: Y01 to Y03 wet, Y04 drained."""
    return a_cold_yard()


def test_the_headline_says_what_to_do_by_when_and_the_tag_says_it_is_wet(cold: Stage) -> None:
    page = cold.client().get("/v/Y01").text
    assert re.fullmatch(r"A-01: drain fully by (Tue|Wed) \d\d:\d\d", headline(page))
    assert "Wet: do not leave" in page
    assert "Ice can block or split it from" in words(page)


def test_the_drawing_and_the_table_tell_the_same_hours(cold: Stage) -> None:
    page = cold.client().get("/v/Y01").text
    lanes = re.findall(r'<div class="name"><b>([^<]+)</b>', page)
    table = re.findall(r'<th scope="row">([^<,]+)', page.partition("<table")[2])
    assert len(lanes) > 3
    assert set(lanes[1:]) <= set(table)
    assert len(re.findall(r"Ice from <time", page)) >= 1
    assert 'aria-hidden="true" focusable="false"' in page


def test_a_drained_vehicle_needs_nothing_and_has_no_night(cold: Stage) -> None:
    page = cold.client().get("/v/Y04").text
    assert headline(page) == "A-04: nothing to do, Tue 1 Dec"
    assert "Do not fill. Do not switch the pump on." in page
    assert "no night to show" in page
    assert "Wet again" in page
    assert "May it be filled again?" not in page


def test_a_vehicle_nobody_recorded_counts_as_full() -> None:
    stage = Stage()
    stage.enter(a_row(1))
    stage.look()
    page = words(stage.client().get("/v/Y01").text)
    assert "Nobody has recorded this vehicle. It counts as full." in page
    assert "Not known: counts as full" in page


def test_before_the_first_look_nothing_is_called_recorded_and_the_look_has_its_minutes() -> None:
    stage = Stage()
    stage.enter(a_row(1))
    client = stage.client()
    for path in ("/v/Y01", "/round"):
        page = words(client.get(path).text)
        assert "ecorded just now" not in page
        assert "was recorded since" not in page
        assert "first look at the forecast since it was entered" in page
        assert "due within 5 minutes" in page
    stage.look()
    assert "due within" not in words(client.get("/v/Y01").text)


def test_a_vehicle_entered_after_a_pass_is_not_called_free_of_frost() -> None:
    stage = a_cold_yard()
    new = a_row(5)[4]
    stage.world.ledger.save_fleet(vehicles=[new])
    client = stage.client()
    row = words(client.get("/round").text).partition("A-05")[2].partition("How to read")[0]
    assert "hours follow" in row
    assert "none in sight" not in row
    assert headline(client.get("/v/Y05").text) == "A-05: look; its hours follow, Tue 1 Dec"


def test_without_a_usable_forecast_no_hour_is_told() -> None:
    stage = a_cold_yard()
    stage.clock.pass_by(hours=31)
    page = stage.client().get("/v/Y01").text
    assert headline(page) == "A-01: look; treat tonight, Wed 2 Dec, as frost"
    assert "There is no usable forecast, so no hours are shown." in page
    assert 'class="night"' not in page
    assert 'class="by"' not in page


def test_a_frozen_vehicle_is_left_alone_and_what_was_found_is_recorded() -> None:
    stage = Stage()
    vans = a_row(1)
    stage.enter(vans, water(*vans))
    stage.cold_from(-30.0, lasts=60.0, air_c=-12.0)
    stage.look()
    client = stage.client()
    page = client.get("/v/Y01").text
    assert headline(page).startswith("Leave A-01 alone")
    assert "What I found" in page
    assert "Record what you did" not in page
    assert "A-01 may not be filled yet." in page
    assert "Ice may still be in it." in page
    assert "Nobody has looked since the frost." in page
    form = client.get("/v/Y01/record").text
    assert "Frozen: left alone" in form


def test_an_owner_to_whom_it_is_left_is_named() -> None:
    stage = Stage()
    vans = [a_vehicle("Y01", keeper="maelle")]
    stage.enter(vans, water(*vans), people=[*the_people(), an_owner()])
    stage.cold_from(30.0)
    stage.look()
    page = stage.client().get("/v/Y01").text
    assert headline(page) == "A-01: left to its owner, Maëlle Kerdoncuff, Tue 1 Dec"


def test_the_record_says_what_was_seen_and_what_was_sent(cold: Stage) -> None:
    page = words(cold.client().get("/v/Y01").text)
    assert "Everything full. Kit." in page
    assert re.search(r"Work order to Marek, Kit and Ailsa Thornber: act by", page)


def test_a_vehicle_page_asks_the_database_equally_often_for_any_site() -> None:
    counts = []
    for bays in (2, 12):
        client_stage = a_cold_yard(bays)
        client = client_stage.client()
        client.get("/v/Y01")
        with client_stage.counted() as asked:
            client.get("/v/Y01")
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 20


def keep(client: TestClient, key: str = "Y01", **fields: str) -> tuple[int, str]:
    """Send the form; its status, and the page or where it leads."""
    path = f"/v/{key}/record"
    answer = client.post(path, data=form_of(client, path) | fields)
    return answer.status_code, answer.headers.get("location", answer.text)


def states(stage: Stage, key: str = "Y01") -> set[tuple[str, str]]:
    """What was recorded last about a vehicle: states and how they are known."""
    record = [linked.entry for linked in stage.world.ledger.record_of(key)]
    last = max(entry.received_at for entry in record)
    return {(e.state.value, e.evidence.value) for e in record if e.received_at == last}


def test_drained_and_seen_is_kept_in_six_taps() -> None:
    stage = a_cold_yard()
    client = stage.client()
    assert "checked" not in client.get("/v/Y01/record").text
    assert keep(client, how="seen", what="drained, traps dosed", dose="40") == (303, "/v/Y01")
    assert states(stage) == {("drained", "seen"), ("dosed", "seen")}
    page = client.get("/v/Y01").text
    assert headline(page) == "A-01: nothing to do, Tue 1 Dec"


@pytest.mark.parametrize("at", ["0001-01-01T00:00", "9999-12-31T23:59"])
@pytest.mark.parametrize("zone", ["Asia/Tokyo", "America/New_York"])
def test_an_hour_beyond_any_calendar_is_refused_at_its_field(at: str, zone: str) -> None:
    typed = {"how": "seen", "what": "drained", "at": at}
    read = read_form(typed, zone=ZoneInfo(zone), now=NOW, found=False)
    assert read.statement is None
    assert read.fault("at") == "fault.at"


def test_what_was_told_is_kept_as_told() -> None:
    stage = a_cold_yard()
    assert keep(stage.client(), how="told", what="wet", litres="30,5")[0] == 303
    assert {how for _, how in states(stage)} == {Evidence.ASSERTED.value}
    page = words(stage.client().get("/v/Y01").text)
    assert "its night follows with the next, due within 5 minutes." in page


def test_hours_from_paper_are_those_of_the_place() -> None:
    stage = a_cold_yard()
    fields = {
        "how": "seen",
        "what": "drained",
        "at": "2026-11-30T16:05",
        "note": "told by the gate",
    }
    assert keep(stage.client(), **fields)[0] == 303
    entry = stage.world.ledger.record_of("Y01")[-1].entry
    assert entry.at.isoformat() == "2026-11-30T16:05:00+00:00"
    assert entry.received_at == stage.clock.now
    assert "Arrived" in words(stage.client().get("/v/Y01").text)


@pytest.mark.parametrize(
    ("fields", "fault"),
    [
        ({"what": "wet"}, "Choose how you know it."),
        ({"how": "seen"}, "Choose what is so."),
        ({"how": "seen", "what": "drained, traps dosed"}, "Choose how strong"),
        ({"how": "seen", "what": "drained, traps dosed", "dose": "³"}, "Choose how strong"),
        ({"how": "seen", "what": "wet", "litres": "many"}, "Give litres as a number"),
        ({"how": "seen", "what": "wet", "litres": "nan"}, "Give litres as a number"),
        ({"how": "seen", "what": "wet", "at": "2026-12-24T10:00"}, "that has been"),
        ({"how": "seen", "what": "wet", "at": "yesterday"}, "that has been"),
        ({"how": "seen", "what": "wet", "note": "x" * 501}, "more than 500"),
        ({"how": "seen", "what": "wet", "note": "a\x00b"}, "cannot be shown"),
        ({"how": "seen", "what": "wet", "note": "\u202egnirts"}, "cannot be shown"),
    ],
)
def test_what_does_not_hold_together_is_refused_with_the_reason_and_nothing_typed_is_lost(
    cold: Stage, fields: dict[str, str], fault: str
) -> None:
    before = len(cold.world.ledger.record_of("Y01"))
    status, page = keep(cold.client(), **fields)
    assert status == 422
    assert fault in page
    assert 'role="alert"' in page
    if "what" in fields:
        assert f'value="{fields["what"]}" ' in page
        assert "checked" in page
    assert len(cold.world.ledger.record_of("Y01")) == before


def test_a_vehicle_whose_layout_fits_nothing_says_why_and_keeps_nothing() -> None:
    stage = Stage()
    stage.enter([a_vehicle("Y01", overrides=(("F1.capacity_l", 0.001),))])
    client = stage.client()
    assert client.get("/v/Y01").status_code == 200
    status, _ = keep(client, how="seen", what="wet")
    assert status in (303, 422)


def test_wet_again_is_one_press() -> None:
    stage = a_cold_yard()
    client = stage.client()
    answer = client.post("/v/Y04/wet-again", data=form_of(client, "/v/Y04"))
    assert answer.status_code == 303
    assert {state for state, _ in states(stage, "Y04")} == {State.FULL.value}
    page = client.get("/v/Y04").text
    assert "drain fully" in headline(page)
    assert "Demonstration" in page


def test_the_export_is_the_sealed_record_as_a_file() -> None:
    stage = a_cold_yard()
    client = stage.client()
    keep(client, how="seen", what="wet", note=HOSTILE[2])
    answer = client.get("/v/Y01/record.csv")
    assert answer.headers["content-disposition"] == 'attachment; filename="Y01-record.csv"'
    rows = list(csv.DictReader(StringIO(answer.text.lstrip("\ufeff"))))
    assert len(rows) == len(stage.world.ledger.record_of("Y01"))
    assert rows[-1]["link"]
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row.values())


def test_the_export_tells_times_by_the_clock_of_the_place_beside_utc() -> None:
    stage = a_cold_yard()
    client = stage.client()
    keep(client, how="seen", what="wet")
    rows = list(csv.DictReader(StringIO(client.get("/v/Y01/record.csv").text)))
    for row in rows:
        assert row["at"].endswith("Z")
        utc, local = (datetime.fromisoformat(row[name]) for name in ("at", "at_local"))
        assert utc.replace(microsecond=0) == local
        assert local.utcoffset() == timedelta(0)  # Europe/London in December
        assert row["received_local"]
    summer = water(a_vehicle(), at=datetime(2026, 7, 1, 12, tzinfo=UTC))
    text = write_entries_csv(summer, sealed=True, zone=ZoneInfo("Europe/London"))
    assert "2026-07-01T13:00:00+01:00" in text
    fleet = Fleet(sites=(a_site(operator=""),), vehicles=(a_vehicle(),))
    assert len(read_entries_csv(text, fleet)) == len(summer)


def test_the_messages_about_it_are_exported_with_what_became_of_each() -> None:
    stage = a_cold_yard()
    store = stage.world.ledger.outbox
    flush(store, _Refuses(), stage.clock.now, limit=1)
    client = stage.client()
    answer = client.get("/v/Y01/messages.csv")
    assert answer.headers["content-disposition"] == 'attachment; filename="Y01-messages.csv"'
    rows = list(csv.DictReader(StringIO(answer.text)))
    assert {row["to"] for row in rows} == {"Ailsa Thornber", "Kit", "Marek"}
    assert [row["status"] for row in rows].count("refused") == 1
    (refused,) = [row for row in rows if row["status"] == "refused"]
    assert refused["result"] == "'=unknown address"
    for row in rows:
        assert row["at"].endswith("Z")
        assert row["act_by_local"].endswith("+00:00")
        assert row["forecast_issued"]
        assert codes_in(row["text"]) == ()
    assert list(csv.DictReader(StringIO(client.get("/v/Y04/messages.csv").text))) == []


class _Refuses:
    def send(self, message: Message, now: datetime) -> Refused:
        return Refused(permanent=True, reason="=unknown address")


def test_what_people_typed_is_shown_harmlessly() -> None:
    stage = Stage()
    for n, name in enumerate(HOSTILE):
        van = a_vehicle(f"Y{n}", bay=f"B{n}", name=name, plate_end="x", key_place=name)
        people = [an_operator(name=HOSTILE[0]), a_crew(name=HOSTILE[1])]
        said = water(van, by=name, note=name)
        stage.enter([van], said, site=a_site(name=HOSTILE[0], bays=()), people=people)
    stage.cold_from(30.0)
    stage.look()
    for n in range(len(HOSTILE)):
        for path in (f"/v/Y{n}", f"/v/Y{n}/record"):
            page = stage.client().get(path).text
            assert "<script" not in page
            assert "<img" not in page


def test_others_see_nothing_and_viewers_change_nothing(cold: Stage) -> None:
    stranger = cold.client(an_account(Role.OPERATOR, "hinterlach"))
    for path in ("/v/Y01", "/v/Y01/record", "/v/Y01/record.csv"):
        assert stranger.get(path).status_code == 404
        assert cold.client(nobody=True).get(path).status_code in (401, 302, 303)
    assert cold.client().get("/v/none").status_code == 404
    viewer = cold.client(an_account(Role.VIEWER))
    page = viewer.get("/v/Y01").text
    assert "Record what you did" not in page
    assert viewer.get("/v/Y01/record").status_code in (403, 404)


def test_a_form_of_another_page_is_refused(cold: Stage) -> None:
    answer = cold.client().post("/v/Y01/wet-again", data={"form_token": "x"})
    assert answer.status_code in (400, 403)


@pytest.mark.parametrize("language", list(Language))
def test_the_page_speaks_every_language(cold: Stage, language: Language) -> None:
    client = cold.client(an_account(language=language))
    for path in ("/v/Y01", "/v/Y01/record", "/v/Y04"):
        assert f'<html lang="{language.value}">' in client.get(path).text
