"""What people write back: the exact word is an answer, anything else waits for the office."""

from datetime import UTC, datetime
from typing import Any

import pytest
from httpx2 import Response

from frostwatch.fleet.people import Channel
from frostwatch.messages.replies import season_end
from tests.web.vans import TOKEN, Street, a_street

PHONE = "+44 7700 900123"
"""Of the range set aside for drama (Ofcom numbering plan)."""


@pytest.fixture
def street() -> Street:
    address = "json://gateway.example/hook?to=447700900123"
    return a_street(channels=(Channel(name="phone", address=address, form="short"),))


def reply(street: Street, text: str, *, token: str = TOKEN, **more: Any) -> Response:
    return street.client.post(
        "/replies",
        json={"from": PHONE, "text": text, **more},
        headers={"authorization": f"Bearer {token}"},
    )


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        ("DONE", "done"),
        ("Erledigt.", "done"),
        ("fait", "done"),
        ("PART", "part"),
        ("NEIN", "cannot"),
    ],
)
def test_the_word_from_a_known_number_answers_the_one_open_message(
    street: Street, text: str, taken: str
) -> None:
    answer = reply(street, text).json()

    assert answer["taken"] == taken
    assert answer["reply"].startswith("Noted")
    (kept,) = street.world.ledger.load(street.clock.now).answers["M1"]
    assert (kept.kind.value, kept.by) == (taken, "maelle")


@pytest.mark.parametrize("text", ["done i think", "I will go DONE", "yes", "no idea", "👍"])
def test_anything_else_is_never_guessed_at_and_kept_for_the_office(
    street: Street, text: str
) -> None:
    answer = reply(street, text).json()

    assert answer["taken"] is None
    assert answer["reply"] == ""
    assert street.world.ledger.load(street.clock.now).answers == {}
    (heard,) = street.world.ledger.links.heard(since=street.clock.now)
    assert heard.text == text
    assert heard.why


def test_a_stranger_answers_for_nobody(street: Street) -> None:
    answer = reply(street, "DONE", **{"from": "+44 7700 900999"}).json()

    assert answer["taken"] is None
    assert "nobody has this address" in answer["why"]


def test_a_mail_must_quote_its_link_because_senders_are_easily_feigned(street: Street) -> None:
    mail = b"From: maelle@drive.example\nContent-Type: text/plain\n\nDONE\n"
    headers = {"authorization": f"Bearer {TOKEN}", "content-type": "message/rfc822"}
    answer = street.client.post("/replies", content=mail, headers=headers).json()

    assert answer["taken"] is None
    assert "does not quote" in answer["why"]


@pytest.mark.parametrize("token", ["", "wrong", TOKEN[:-1]])
def test_without_the_token_nothing_is_taken(street: Street, token: str) -> None:
    before = street.everything()

    assert reply(street, "DONE", token=token).status_code == 401

    assert street.everything() == before


def test_after_twenty_wrong_tokens_an_address_waits(street: Street) -> None:
    for _ in range(20):
        reply(street, "DONE", token="wrong")

    assert reply(street, "DONE").status_code == 429


@pytest.mark.parametrize(
    "body", [b"", b"[]", b'{"from": 1, "text": "DONE"}', b'{"text": ""}', b'{"words": "DONE"}']
)
def test_a_body_that_makes_no_sense_is_refused_with_words(street: Street, body: bytes) -> None:
    headers = {"authorization": f"Bearer {TOKEN}", "content-type": "application/json"}
    answer = street.client.post("/replies", content=body, headers=headers)

    assert answer.status_code == 422
    assert "text" in answer.text


@pytest.mark.parametrize(
    ("made", "latitude_deg", "ends"),
    [
        ("2026-12-01", 54.7, "2027-06-01"),
        ("2027-05-31", 54.7, "2028-06-01"),  # a link of a late frost opens for a month at least
        ("2027-05-01", 54.7, "2027-06-01"),
        ("2027-06-15", -45.0, "2027-12-01"),
    ],
)
def test_a_link_ends_with_its_winter_and_a_month_on_at_the_soonest(
    made: str, latitude_deg: float, ends: str
) -> None:
    at = datetime.fromisoformat(made).replace(tzinfo=UTC)
    assert f"{season_end(at, latitude_deg):%Y-%m-%d}" == ends
