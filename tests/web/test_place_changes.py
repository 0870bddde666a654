"""Changing a place that is entered: what it does is said first, recorded, and never half done."""

import io
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest
from openpyxl import Workbook

from frostwatch.fleet.roofs import Roof, RoofedBays, Under
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.ports.changes import Entered
from frostwatch.records.entries import State
from frostwatch.records.standing_water import water_of
from tests.builders import a_layout, an_owner
from tests.web.offices import PLACE, Browser, Office, hidden
from tests.web.pages_read import words
from tests.web.yards import HOSTILE

WEEK = timedelta(days=7)
SITE, Y01 = f"{PLACE}/place", f"{PLACE}/vehicles/Y01"


def assert_same(office: Office, before: Entered) -> None:
    now = office.ledger.entered()
    for kind in ("sites", "people", "vehicles"):
        for one, was in zip(getattr(now, kind), getattr(before, kind), strict=True):
            assert one == was


def vehicle_of(office: Office, key: str = "Y01") -> Vehicle:
    found = office.ledger.vehicle(key)
    assert found is not None
    return found


def states(office: Office, key: str) -> set[State]:
    vehicle = vehicle_of(office, key)
    entries = [linked.entry for linked in office.ledger.record_of(key)]
    return {
        one.state
        for one in water_of(vehicle, a_layout(vehicle.layout), entries, office.stage.clock.now)
    }


def test_a_form_that_is_sent_unchanged_changes_nothing(office: Office, hers: Browser) -> None:
    hold = HeatedHold(source="hook-up", power_w=500.5, setting_c=5.0, battery_ah=40.0)
    fine = Vehicle(
        key="Y09",
        site="cold-rigg",
        bay="A-09",
        layout="panel-van",
        overrides=(("F1.capacity_l", 71.123456789),),
        hold=hold,
        under=Under(kind=Roof.UNHEATED, by="ailsa"),
    )
    site = office.ledger.site("cold-rigg")
    assert site is not None
    roof = RoofedBays(bays=("A-02",), under=Under(kind=Roof.ROOFED))
    site = replace(site, roofs=(roof,), latitude_deg=54.741239)
    office.ledger.save_fleet(sites=[site])
    office.ledger.save_fleet(vehicles=[fine])
    before = office.ledger.entered()
    for path in (SITE, Y01, f"{PLACE}/vehicles/Y09", f"{PLACE}/people/maelle"):
        if path.endswith("maelle"):
            office.ledger.save_fleet(vehicles=[vehicle_with(office, keeper="maelle")])
            before = office.ledger.entered()
        answer = hers.send(path, **hers.typed_in(path))
        assert answer.status_code == 303, (path, words(answer.text))
    assert_same(office, before)
    assert site in office.ledger.entered().sites


def vehicle_with(office: Office, key: str = "Y01", **changed: object) -> Vehicle:
    return replace(vehicle_of(office, key), **changed)  # type: ignore[arg-type]


def test_the_place_is_changed_in_everything_that_is_kept_about_it(
    office: Office, hers: Browser
) -> None:
    typed = hers.typed_in(SITE) | {
        "name": "Cold Rigg",
        "hours": "mon-fri 08:00-16:30\nsat 10:00-14:00",
        "caution": "own",
        "cost_ratio": "0,08",
        "posts": "1..3 16 A",
        "supply": "9000",
        "roofs": "A-01 roofed\nA-02, A-03 heated 15.5 until 2027-03-31 17:00 by Resi Zwiesel",
        "crew": "4",
    }

    assert hers.send(SITE, **typed).headers["location"] == f"{SITE}?kept=1"

    site = office.ledger.site("cold-rigg")
    assert site is not None
    assert (site.name, site.crew, site.cost_ratio) == ("Cold Rigg", 4, 0.08)
    assert [post.name for post in site.posts] == ["1", "2", "3"]
    assert site.supply_w == 9000
    assert site.under("A-01") == Under(kind=Roof.ROOFED)
    until = datetime(2027, 3, 31, 16, tzinfo=UTC)
    hall = Under(kind=Roof.HEATED, heated_to_c=15.5, by="Resi Zwiesel", until=until)
    assert (site.under("A-03"), site.under("A-04")) == (hall, None)
    assert hers.typed_in(SITE)["roofs"] == (
        "A-01 roofed\nA-02, A-03 heated 15.5 until 2027-03-31 17:00 by Resi Zwiesel"
    )
    assert (site.shifts[-1].weekday, site.shifts[-1].closes) == (5, time(14))


def test_a_place_that_goes_elsewhere_forgets_what_its_nights_taught_and_says_so(
    office: Office, hers: Browser
) -> None:
    typed = hers.typed_in(SITE) | {"where": "55.20 N, 2.31 W", "height": "200"}
    said = hers.send(SITE, **typed)
    assert "learnt anew in about a month" in words(said.text)
    site = office.ledger.site("cold-rigg")
    assert site is not None
    assert site.latitude_deg == pytest.approx(54.74, abs=0.01), "not before it was seen"

    again = typed | {"seen": hidden(said.text, "seen")}
    assert hers.send(SITE, **again).status_code == 303

    site = office.ledger.site("cold-rigg")
    assert site is not None
    assert (site.latitude_deg, site.height_m) == (55.2, 200.0)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"name": ""}, "Give it a name"),
        ({"where": "nowhere"}, "not understood"),
        ({"hours": "noonday"}, "cannot be read"),
        ({"hours": "mon 17:00-08:00"}, "the end must be later"),
        ({"caution": "own", "cost_ratio": "7"}, "from 0.005 to 0.9"),
        ({"caution": "own", "cost_ratio": ""}, "from 0.005 to 0.9"),
        ({"posts": "a socket"}, "is no post"),
        ({"roofs": "A-01 under a tree"}, "cannot be read"),
        ({"roofs": "A-01 heated 15"}, "until when and who says so"),
        ({"roofs": "A-01 roofed 15"}, "any other is not heated"),
        ({"roofs": "A-01 roofed\nA-01 unheated"}, "under two roofs"),
        ({"supply": "plenty"}, "Give a number"),
        ({"bays": "A-01"}, "is not at site"),
        ({"bays": "\u202eA-01"}, "turns the direction"),
        ({"bays": "\n".join(f"{n}-1..{n}-9999" for n in range(900))}, "More than 10000"),
        ({"posts": "\n".join(f"{n}-1..{n}-9999 16 A" for n in range(700))}, "More than 10000"),
        ({"operator": "nobody"}, "is not among the people"),
        ({"zone": "Mars/Base"}, "not known"),
    ],
)
def test_what_makes_no_sense_is_refused_at_its_field_and_nothing_typed_is_lost(
    kept_office: Office, changed: dict[str, str], said: str
) -> None:
    hers = kept_office.signed_in()
    typed = hers.typed_in(SITE) | {"crew": "7", **changed}
    before = kept_office.ledger.entered()

    refused = hers.send(SITE, **typed)
    if refused.status_code == 200:  # what it does was said first
        refused = hers.send(SITE, **typed | {"seen": hidden(refused.text, "seen")})

    assert refused.status_code == 422
    assert said in words(refused.text)
    assert 'aria-invalid="true"' in refused.text
    assert 'value="7"' in refused.text
    assert_same(kept_office, before)


def test_another_keeper_is_said_to_end_what_is_known_and_does(
    office: Office, hers: Browser
) -> None:
    office.ledger.save_fleet(vehicles=[vehicle_with(office, "Y04", keeper="ailsa")])
    path = f"{PLACE}/vehicles/Y04"
    assert State.UNKNOWN not in states(office, "Y04"), "drained"
    office.ledger.save_fleet(people=[an_owner(sites=("cold-rigg",))])
    typed = hers.typed_in(path) | {"keeper": "maelle"}

    said = hers.send(path, **typed)
    assert "nobody knows what is in it any more" in words(said.text)
    assert vehicle_of(office, "Y04").keeper == "ailsa"
    hers.send(path, **typed | {"seen": hidden(said.text, "seen")})

    assert vehicle_of(office, "Y04").keeper == "maelle"
    assert states(office, "Y04") == {State.UNKNOWN}
    last = office.ledger.record_of("Y04")[-1].entry
    assert (last.event, last.by, last.note) == ("keeper change", "ailsa", "from ailsa to maelle")


def test_another_bay_is_a_correction_unless_it_was_moved(office: Office, hers: Browser) -> None:
    count = len(office.ledger.record_of("Y01"))
    hers.send(Y01, **hers.typed_in(Y01) | {"bay": "A-07"})
    assert vehicle_of(office).bay == "A-07"
    assert len(office.ledger.record_of("Y01")) == count

    typed = hers.typed_in(Y01) | {"bay": "A-08", "moved": "moved"}
    said = hers.send(Y01, **typed)
    assert "is recorded as moved" in words(said.text)
    hers.send(Y01, **typed | {"seen": hidden(said.text, "seen")})

    last = office.ledger.record_of("Y01")[-1].entry
    assert (last.event, last.note) == ("moved", "from A-07 to A-08")


def test_a_roof_that_was_told_of_does_not_go_along_to_another_bay(
    office: Office, hers: Browser
) -> None:
    roof = Under(
        kind=Roof.HEATED, heated_to_c=15.0, by="ailsa", until=office.stage.clock.now + WEEK
    )
    office.ledger.save_fleet(vehicles=[vehicle_with(office, under=roof)])
    typed = hers.typed_in(Y01) | {"bay": "A-07"}

    said = hers.send(Y01, **typed)
    assert "about a roof over it no longer counts" in words(said.text)
    hers.send(Y01, **typed | {"seen": hidden(said.text, "seen")})

    assert vehicle_of(office).under is None


def test_a_new_bay_and_one_that_is_taken_are_said(office: Office, hers: Browser) -> None:
    said = hers.send(Y01, **hers.typed_in(Y01) | {"bay": "A-02"})
    assert "Y02 is entered in bay A-02 too" in words(said.text)

    typed = hers.typed_in(Y01) | {"bay": "Z-99"}
    said = hers.send(Y01, **typed)
    assert "goes to the end of the walk" in words(said.text)
    hers.send(Y01, **typed | {"seen": hidden(said.text, "seen")})
    site = office.ledger.site("cold-rigg")
    assert site is not None
    assert site.bays[-1] == "Z-99"


def test_a_vehicle_goes_to_another_place_only_into_ones_own_hands(office: Office) -> None:
    hers, chiefs = office.signed_in(), office.signed_in("chief")
    typed = hers.typed_in(Y01) | {"site": "hinterlach", "bay": ""}
    assert "Choose one" in words(hers.send(Y01, **typed).text), "it is not Ailsa's"

    said = chiefs.send(Y01, **typed)
    assert "is recorded as moved" in words(said.text)
    chiefs.send(Y01, **typed | {"seen": hidden(said.text, "seen")})

    assert vehicle_of(office).site == "hinterlach"
    assert office.ledger.record_of("Y01")[-1].entry.event == "moved"
    assert hers.get(Y01).status_code == 404
    assert hers.get("/round").status_code == 200


def test_a_vehicle_that_is_entered_by_form_counts_as_full(office: Office, hers: Browser) -> None:
    path = f"{PLACE}/vehicles/new"
    typed = hers.typed_in(path) | {"bay": "A-05", "layout": "panel-van", "heat": "gas 4 kW"}

    assert hers.send(path, **typed).status_code == 303

    made = vehicle_of(office, "A-05")
    assert (made.bay, made.layout, made.heat[0].power_w) == ("A-05", "panel-van", 4000)
    assert states(office, "A-05") == {State.UNKNOWN}
    again = hers.send(path, **typed)
    assert again.status_code == 422
    assert "short name of another vehicle" in words(again.text)


def test_a_vehicle_that_cannot_be_reckoned_with_may_leave_too(
    office: Office, hers: Browser
) -> None:
    broken = vehicle_with(office, overrides=(("X9.capacity_l", 5.0),))
    office.ledger.save_fleet(vehicles=[broken])
    path = f"{Y01}/leave"

    assert hers.send(path, was=hidden(hers.get(path).text, "was")).status_code == 303

    assert office.ledger.vehicle("Y01") is None
    assert office.ledger.record_of("Y01")[-1].entry.event == "left"


def test_a_vehicle_that_leaves_is_on_no_page_and_its_record_stays(
    office: Office, hers: Browser
) -> None:
    office.stage.look()
    path = f"{Y01}/leave"
    page = hers.get(path).text
    assert "Its record stays" in words(page)

    assert hers.send(path, was=hidden(page, "was")).status_code == 303

    assert office.ledger.vehicle("Y01") is None
    assert hers.get("/v/Y01").status_code == 404
    for left in ("/round", "/roll", f"{PLACE}/vehicles"):
        text = hers.get(left).text
        assert "A-02" in text
        assert "A-01" not in text, left
    last = office.ledger.record_of("Y01")[-1].entry
    assert (last.event, last.by) == ("left", "ailsa")
    office.stage.clock.pass_by(hours=1)
    office.stage.look()
    assert hers.get("/round").status_code == 200


@pytest.mark.parametrize("path", [SITE, Y01, f"{PLACE}/people/kit"])
def test_the_second_of_two_who_change_the_same_is_told_and_keeps_what_was_typed(
    office: Office, path: str
) -> None:
    first, second = office.signed_in(), office.signed_in("chief")
    mine = first.typed_in(path) | {"name": "First name"}
    theirs = second.typed_in(path) | {"name": "Second name"}
    assert first.send(path, **mine).status_code == 303

    told = second.send(path, **theirs)

    assert told.status_code == 409
    assert "somebody else changed this meanwhile" in words(told.text)
    assert "First name" in words(told.text), "how it stands"
    note = told.text.partition('id="meanwhile"')[2].partition("</div>")[0]
    assert note.count("<li>") == 1, "that alone differs"
    assert 'value="Second name"' in told.text, "what was typed"
    again = second.send(path, **theirs | {"was": hidden(told.text, "was")})
    assert again.status_code == 303, "whoever has read it may mean it all the same"


def test_a_vehicle_that_was_changed_meanwhile_does_not_leave_unseen(
    office: Office, hers: Browser
) -> None:
    was = hidden(hers.get(f"{Y01}/leave").text, "was")
    hers.send(Y01, **hers.typed_in(Y01) | {"name": "Goose"})

    told = hers.send(f"{Y01}/leave", was=was)

    assert told.status_code == 409
    assert vehicle_of(office).name == "Goose"


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"layout": "spaceship"}, "Choose one"),
        ({"keeper": "nobody"}, "Choose one"),
        ({"bay": "A-01..A-09"}, "A bay is one place"),
        ({"heat": "sunshine"}, "is no heat source"),
        ({"hold": "", "hold_power": "500"}, "Say what keeps it warm"),
        ({"hold": "hook-up", "hold_power": ""}, "Give its power"),
        ({"plate_end": "\u202e123"}, "turns the direction"),
        ({"name": "x" * 10_000}, "More than 120 letters"),
    ],
)
def test_a_vehicle_that_cannot_be_is_refused_at_the_field(
    kept_office: Office, changed: dict[str, str], said: str
) -> None:
    hers = kept_office.signed_in()
    before = kept_office.ledger.entered()

    refused = hers.send(Y01, **hers.typed_in(Y01) | {"key_place": "board 9", **changed})

    assert refused.status_code == 422
    assert said in words(refused.text)
    assert "board 9" in refused.text
    assert_same(kept_office, before)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_harmlessly_or_refused(kept_office: Office, text: str) -> None:
    hers = kept_office.signed_in()
    for path, field in ((Y01, "bay"), (SITE, "bays"), (f"{PLACE}/people/kit", "name")):
        page = hers.send(path, **hers.typed_in(path) | {field: text, "crew": "0", "travel": "x"})
        assert "<script>alert" not in page.text
        assert "<img src=x" not in page.text
        assert ">49<" not in page.text
    listed = hers.send(f"{PLACE}/vehicle-list", list=f"{text};1;van;;\n")
    assert "<script>alert" not in listed.text
    assert listed.status_code in (200, 422)


def test_a_list_says_what_it_does_and_leaves_alone_what_it_does_not_name(
    office: Office, hers: Browser
) -> None:
    path = f"{PLACE}/vehicle-list"
    office.ledger.save_fleet(people=[an_owner(sites=("cold-rigg",))])
    office.ledger.save_fleet(vehicles=[vehicle_with(office, keeper="ailsa")])
    text = "vehicle;bay;plate;type;keeper\nY01;A-01;999;motorhome;\nY77;A-77;777;van;Mel Ashe\n"
    refused = hers.send(path, list=text)
    assert "Mel Ashe is not entered here" in words(refused.text)

    text = text.replace("Mel Ashe", "Maëlle Kerdoncuff")
    said = hers.send(path, list=text)
    assert "1 new, 1 changed, 0 as before" in words(said.text)
    assert office.ledger.vehicle("Y77") is None
    done = hers.send(path, list=text, seen=hidden(said.text, "seen"))

    assert done.status_code == 303
    assert (vehicle_of(office, "Y77").keeper, vehicle_of(office).plate_end) == ("maelle", "999")
    assert vehicle_of(office).keeper == "ailsa", "an empty cell leaves what is entered"
    assert vehicle_of(office, "Y02").bay == "A-02"
    site = office.ledger.site("cold-rigg")
    assert site is not None
    assert site.bays[-1] == "A-77"


def test_the_site_and_its_pages_may_be_read_in_every_language(office: Office) -> None:
    hers = office.signed_in()
    for language, said in (("de", "Gehreihenfolge"), ("fr", "ordre de marche")):
        hers.send("/language", page=PLACE, language=language, next=PLACE)
        assert said in hers.get(SITE).text
        typed = hers.typed_in(SITE)
        assert hers.send(SITE, **typed).status_code == 303, "days are read in every language"
    assert office.stage.clock.now - office.ailsa.made_at < timedelta(days=1)


def a_workbook(*rows: Sequence[object]) -> dict[str, tuple[str, bytes, str]]:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(list(row))
    out = io.BytesIO()
    book.save(out)
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return {"file": ("vans.xlsx", out.getvalue(), kind)}


def test_a_workbook_is_taken_as_a_list_and_its_faults_name_row_and_column(
    office: Office, hers: Browser
) -> None:
    path = f"{PLACE}/vehicle-list"
    head = ["bay", "plate", "type"]
    bad = hers.send(path, files=a_workbook(head, ["A-31", 1, "van"], ["A-32", 2, "spaceship"]))
    assert bad.status_code == 422
    assert "Line 3, C (type)" in words(bad.text)
    assert "spaceship" in bad.text, "it stands in the list to be put right"
    formula = hers.send(path, files=a_workbook(head, ["A-31", "=1+1", "van"]))
    assert "Line 2, B: the cell holds a formula" in words(formula.text)

    said = hers.send(path, files=a_workbook(head, ["A-31", 1, "van"]))
    listed = hers.typed_in_of(said.text)["list"]
    hers.send(path, list=listed, seen=hidden(said.text, "seen"))

    assert vehicle_of(office, "A-31").plate_end == "1"
