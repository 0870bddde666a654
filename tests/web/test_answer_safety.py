"""What a link gives away, to whom, for how long, and what opening it changes: nothing."""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from frostwatch.records.entries import State
from tests.builders import a_layout, an_owner, entries_for
from tests.web.vans import THURSDAY, Street, a_row_of_vans, a_street


@pytest.fixture
def street() -> Street:
    return a_street()


def test_opening_a_link_ten_times_changes_nothing(street: Street) -> None:
    link, before = street.link(), street.everything()
    for n in range(10):
        assert street.get(link, lang=("en", "de", "fr")[n % 3]).status_code == 200
    assert street.everything() == before


SCANNERS = [
    {"user-agent": "Mozilla/5.0 (compatible; mail preview)", "purpose": "prefetch"},
    {"sec-purpose": "prefetch;prerender", "user-agent": "Mozilla/5.0"},
    {"user-agent": "link checker/1.0", "accept": "*/*", "range": "bytes=0-1023"},
]


@pytest.mark.parametrize("headers", SCANNERS)
@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_scanners_and_previews_change_nothing(
    street: Street, headers: dict[str, str], method: str
) -> None:
    link, before = street.link(), street.everything()
    for query in ("", "?ask=part", "?ask=going", "?answer=done&van=M1&press=0"):
        street.client.request(method, f"/a/{link.code}{query}", headers=headers)
    assert street.everything() == before


def test_an_expired_link_shows_nothing_of_anybody(street: Street) -> None:
    link = street.link()
    street.clock.now = datetime(2027, 6, 1, tzinfo=UTC)

    for page in (street.get(link), street.press(link, "done")):
        assert page.status_code == 410
        assert "opens nothing any more" in page.text
        for secret in ("panel van", "Maëlle", "Aunt", "tank", link.code):
            assert secret not in page.text


@pytest.mark.parametrize("code", ["0" * 13, "x", "a" * 400, "%00", "k" * 12 + "u"])
def test_a_made_up_code_opens_nothing(street: Street, code: str) -> None:
    page = street.client.get(f"/a/{code}")
    assert page.status_code == 404
    assert "Maëlle" not in page.text


def test_after_twenty_made_up_codes_an_address_waits(street: Street) -> None:
    for n in range(20):
        assert street.get(f"{n:013d}").status_code == 404
    shut = street.get(street.link())
    assert shut.status_code == 429
    assert shut.headers["retry-after"] == "900"
    assert "Maëlle" not in shut.text

    feigned = {"x-forwarded-for": "192.0.2.9"}
    again = street.client.get(f"/a/{street.link().code}", headers=feigned)
    assert again.status_code == 429, "a header that anybody can write is not believed"
    street.clock.now += timedelta(minutes=16)
    assert street.get(street.link()).status_code == 200


def test_whoever_guesses_shuts_nobody_elses_links(street: Street) -> None:
    for n in range(60):
        street.get(f"{n:013d}")
    elsewhere = street.client
    elsewhere._transport.client = ("198.51.100.4", 5000)  # type: ignore[attr-defined]
    assert street.get(street.link()).status_code == 200


def test_a_revoked_link_opens_nothing(street: Street) -> None:
    link = street.link()
    assert street.world.ledger.links.revoke("maelle") == 1
    assert street.get(link).status_code == 410
    assert street.world.ledger.links.revoke("maelle") == 0


def test_whoever_no_longer_keeps_the_vehicle_has_nothing_to_open(street: Street) -> None:
    ledger, link = street.world.ledger, street.link()
    book = ledger.load(street.clock.now)
    sold = [replace(vehicle, keeper="noa") for vehicle in book.vehicles]
    ledger.save_fleet(people=[an_owner("noa", name="Noa")], vehicles=sold)

    assert street.get(link).status_code == 410
    assert street.press(link, "done").status_code == 410


def test_another_persons_code_reveals_and_changes_nothing_else() -> None:
    street = a_street()
    a_row_of_vans(street)
    street.told_at(datetime(2026, 11, 20, 7, 40, tzinfo=UTC))
    yards, before = street.link("ailsa"), street.entries()

    page = street.get(yards)
    assert "A-01" in page.text
    for secret in ("panel van", "Maëlle", "Aunt", street.link().code):
        assert secret not in page.text
    forged = street.client.post(f"/a/{yards.code}", data={"answer": "done", "van": "M1"})
    assert forged.status_code == 422
    assert street.entries() == before


def test_the_page_loads_nothing_from_elsewhere_and_gives_nothing_away(street: Street) -> None:
    answer = street.get(street.link())

    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "unsafe-inline" not in policy.replace("style-src-attr 'unsafe-inline'", "")
    assert answer.headers["referrer-policy"] == "same-origin"
    assert answer.headers["x-robots-tag"] == "noindex, nofollow"
    assert answer.headers["cache-control"] == "no-store"
    assert "set-cookie" not in answer.headers
    assert "<script" not in answer.text
    assert not re.search(r'(?:src|href|action)="(?:https?:)?//', answer.text)


def test_the_first_load_is_small(street: Street) -> None:
    page = street.get(street.link())
    (style,) = re.findall(r'href="\.\./(static/style\.css\?v=\w+)"', page.text)
    sheet = street.client.get(f"/{style}")

    assert sheet.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert "content-security-policy" in sheet.headers
    sent = len(page.content) + int(sheet.headers["content-length"])
    assert sent < 20_000
    kept = {"if-none-match": sheet.headers["etag"]}
    assert street.client.get(f"/{style}", headers=kept).status_code == 304


def test_the_style_asks_for_nothing_from_elsewhere(street: Street) -> None:
    sheet = street.client.get("/static/style.css", headers={"accept-encoding": "identity"}).text
    assert re.findall(r"url\((?!#)|@import|@font-face", sheet) == []
    assert street.client.get("/static/../app.py").status_code == 404


def test_what_people_wrote_is_shown_harmlessly() -> None:
    street = a_street(name='<script>alert("x")</script>')
    seen = entries_for(
        a_layout("panel-van"), State.DRAINED, vehicle="M1", now=THURSDAY, by="<b>kit</b>\u202e"
    )
    street.world.ledger.add_entries(seen)
    page = street.get(street.link()).text
    assert "<script" not in page
    assert "<b>kit" not in page


@pytest.mark.parametrize(
    "headers", [{"sec-fetch-site": "cross-site"}, {"origin": "https://elsewhere.example"}]
)
def test_another_sites_page_cannot_press_for_anybody(
    street: Street, headers: dict[str, str]
) -> None:
    before = street.everything()
    answer = street.client.post(
        f"/a/{street.link().code}", data={"answer": "done", "van": "M1"}, headers=headers
    )
    assert answer.status_code == 403
    assert street.everything() == before


def test_a_form_too_large_is_turned_away(street: Street) -> None:
    body = {"answer": "done", "van": "M1", "other": "x" * 3_000_000}
    assert street.client.post(f"/a/{street.link().code}", data=body).status_code in (400, 413)


def test_the_service_says_that_it_answers_and_wants_no_search_engine(street: Street) -> None:
    assert street.client.get("/healthz").json() == {"status": "ok"}
    assert "Disallow: /" in street.client.get("/robots.txt").text
    assert street.client.get("/favicon.ico").status_code == 204
    for path in ("/docs", "/openapi.json"):
        assert street.client.get(path).status_code == 404
