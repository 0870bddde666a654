"""Who signs in at a place, its machines, and links that are open: given, changed, taken back."""

import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Account, Role, RoleChange, Scope
from tests.web.guests import an_account_of
from tests.web.offices import PLACE, URL, Browser, Office, an_office
from tests.web.pages_read import words

NEW = {"email": "kit@yard.example", "name": "Kit", "role": "crew", "language": "en", "person": ""}


@pytest.fixture
def office() -> Iterator[Office]:
    with an_office() as office:
        yield office


def kit_of(office: Office) -> Account:
    account = office.rights.access.accounts.by_email("kit@yard.example")
    assert account is not None
    return account


def test_somebody_is_let_in_by_a_link_that_works_once(office: Office) -> None:
    answer = office.signed_in().send(f"{PLACE}/accounts", **NEW)
    link = re.search(r'href="(https://frost\.example/sign-in/code\?[^"]+)"', answer.text)
    assert link

    browser = Browser(client=TestClient(office.app, base_url=URL, follow_redirects=False))
    path = link[1].removeprefix(URL).replace("&amp;", "&")
    shown = browser.get(path).text
    code = re.search(r"(?:[A-Z2-7]{4}-){3}[A-Z2-7]{4}", shown)
    assert code, "the link fills the code in"
    assert 'value="kit@yard.example"' in shown
    chosen = {"code": code[0], "email": "kit@yard.example", "password": "nine wet hedges"}
    assert browser.send("/sign-in/code", page=path, **chosen).status_code == 303
    assert browser.get("/round").status_code == 200
    assert browser.get(PLACE).status_code == 403, "crew changes no place"
    assert browser.send("/sign-in/code", page=path, **chosen).status_code == 422
    assert kit_of(office).roles == {"cold-rigg": Role.CREW}


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"email": "kit"}, "no e-mail address"),
        ({"name": "\u202etiK"}, "turns the direction"),
        ({"role": "owner"}, "Choose one"),
        ({"person": "nobody-known"}, "Choose one"),
        ({"email": "ailsa@yard.example"}, "signs in here already"),
    ],
)
def test_a_wrong_field_is_named_and_what_was_typed_stays(
    office: Office, changed: dict[str, str], said: str
) -> None:
    refused = office.signed_in().send(f"{PLACE}/accounts", **{**NEW, **changed})

    assert refused.status_code == 422
    assert said in refused.text
    assert 'aria-invalid="true"' in refused.text
    if "name" not in changed:
        assert 'value="Kit"' in refused.text


def test_whoever_has_an_account_elsewhere_gets_a_role_here_and_no_code(office: Office) -> None:
    an_account_of(office.rights, "kit", hinterlach=Role.CREW)

    answer = office.signed_in().send(f"{PLACE}/accounts", **NEW)

    assert "have an account already" in answer.text
    assert kit_of(office).roles == {"cold-rigg": Role.CREW, "hinterlach": Role.CREW}


def test_a_role_is_changed_and_taken_and_holds_at_once(office: Office) -> None:
    kit = an_account_of(office.rights, "kit", cold_rigg=Role.CREW)
    his, hers = office.signed_in("kit"), office.signed_in()
    path = f"{PLACE}/accounts/{kit.id}/role"

    assert hers.send(path, page=f"{PLACE}/accounts", role="operator", was="crew").status_code == 303
    assert his.get(PLACE).status_code == 200
    assert hers.send(path, page=f"{PLACE}/accounts", role="none", was="operator").status_code == 303
    assert his.get("/round?site=cold-rigg").status_code == 404


def test_the_second_of_two_who_change_a_role_is_told_how_it_stands(office: Office) -> None:
    kit = an_account_of(office.rights, "kit", cold_rigg=Role.CREW)
    path, page = f"{PLACE}/accounts/{kit.id}/role", f"{PLACE}/accounts"
    office.signed_in("chief").send(path, page=page, role="viewer", was="crew")

    second = office.signed_in().send(path, page=page, role="operator", was="crew")

    assert second.status_code == 409
    assert "Somebody else changed what Kit may do" in words(second.text)
    assert kit_of(office).roles == {"cold-rigg": Role.VIEWER}


def test_an_account_that_is_withdrawn_is_signed_out_at_once(office: Office) -> None:
    kit = an_account_of(office.rights, "kit", cold_rigg=Role.CREW)
    his = office.signed_in("kit")
    assert his.get("/round").status_code == 200

    office.signed_in().send(f"{PLACE}/accounts/{kit.id}/withdraw", page=f"{PLACE}/accounts")

    assert his.get("/round").status_code == 401
    assert office.rights.access.accounts.by_email("kit@yard.example") is None


def test_an_operator_of_one_place_has_no_hand_in_accounts_of_another(office: Office) -> None:
    """A code lets its holder in as the account: it would open places its giver may not see."""
    both = an_account_of(office.rights, "kit", cold_rigg=Role.CREW, hinterlach=Role.OPERATOR)
    elsewhere = an_account_of(office.rights, "lou", hinterlach=Role.CREW)
    hers = office.signed_in()
    before = office.rights.access.accounts.listed()
    for account, status in ((both, 403), (office.chief, 403), (elsewhere, 404)):
        for what in ("code", "withdraw"):
            path = f"{PLACE}/accounts/{account.id}/{what}"
            assert hers.send(path, page=f"{PLACE}/accounts").status_code == status, path
    path = f"{PLACE}/accounts/{elsewhere.id}/role"
    assert hers.send(path, page=f"{PLACE}/accounts", role="crew", was="").status_code == 404

    assert office.rights.access.accounts.listed() == before
    assert "New one-time code" not in hers.get(f"{PLACE}/accounts").text


def test_nobody_changes_their_own_role_and_the_last_operator_stays(office: Office) -> None:
    chiefs = office.signed_in("chief")
    own = f"{PLACE}/accounts/{office.chief.id}"
    for what, more in (("role", {"role": "none", "was": ""}), ("withdraw", {}), ("code", {})):
        assert chiefs.send(f"{own}/{what}", page=f"{PLACE}/accounts", **more).status_code == 403
    accounts = office.rights.access.accounts
    unused = accounts.add(
        Account(
            email="new@yard.example",
            name="New",
            everywhere=Role.OPERATOR,
            roles={},
            made_at=office.stage.clock.now,
        )
    )

    assert accounts.withdraw(office.chief.id) is RoleChange.LAST, "New has no password yet"
    assert accounts.withdraw(unused.id) is RoleChange.DONE
    other = an_account_of(office.rights, "second", everywhere=Role.OPERATOR)
    assert accounts.withdraw(office.chief.id) is RoleChange.DONE
    assert accounts.withdraw(other.id) is RoleChange.LAST


def test_a_token_is_shown_once_and_opens_the_api_until_it_is_withdrawn(office: Office) -> None:
    hers = office.signed_in()
    fields: dict[str, Any] = {
        "name": "gate computer",
        "scope": ["read:sites", "read:nights"],
        "days": "30",
    }
    made = hers.send(f"{PLACE}/tokens", **fields)
    secret = re.search(r"fw_[\w-]{40,}", made.text)
    assert secret
    assert secret[0] not in hers.get(f"{PLACE}/tokens").text
    (token,) = office.rights.access.tokens.listed("cold-rigg")
    assert token.scopes == {Scope.SITES, Scope.NIGHTS}
    assert token.expires_at == office.stage.clock.now + timedelta(days=30)
    client = TestClient(office.app, base_url=URL)
    bearer = {"authorization": f"Bearer {secret[0]}"}
    assert client.get("/api/sites", headers=bearer).status_code == 200

    hers.send(f"{PLACE}/tokens/{token.id}/withdraw", page=f"{PLACE}/tokens")

    assert client.get("/api/sites", headers=bearer).status_code == 401


def test_a_token_of_another_place_is_not_withdrawn_from_here(office: Office) -> None:
    office.rights.new_token("hinterlach", "scales", frozenset({Scope.SITES}))
    (token,) = office.rights.access.tokens.listed("hinterlach")
    hers = office.signed_in()

    path = f"{PLACE}/tokens/{token.id}/withdraw"
    assert hers.send(path, page=f"{PLACE}/tokens").status_code == 404
    assert "scales" not in hers.get(f"{PLACE}/tokens").text
    assert office.rights.access.tokens.listed("hinterlach")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"name": ""}, "Give it a name"),
        ({"scope": []}, "Tick at least one"),
        ({"scope": ["write:everything"]}, "Tick at least one"),
        ({"days": "0"}, "from 1 to 3650"),
        ({"days": "forever"}, "from 1 to 3650"),
    ],
)
def test_a_token_nobody_could_mean_is_refused(
    office: Office, changed: dict[str, object], said: str
) -> None:
    fields: dict[str, Any] = {
        "name": "gate computer",
        "scope": ["read:sites"],
        "days": "",
        **changed,
    }

    refused = office.signed_in().send(f"{PLACE}/tokens", **fields)

    assert refused.status_code == 422
    assert said in refused.text
    assert office.rights.access.tokens.listed() == ()


def test_open_links_are_listed_without_their_codes_and_taken_back_by_person(
    office: Office,
) -> None:
    hers = office.signed_in()
    links = office.ledger.links.open_at("cold-rigg", office.stage.clock.now)
    assert links, "people were written to"
    page = hers.get(f"{PLACE}/links").text
    assert "Ailsa" in page
    assert [link.code for link in links if link.code in page] == []

    person = links[0].recipient
    assert hers.send(f"{PLACE}/links", person=person).status_code == 303

    left = office.ledger.links.open_at("cold-rigg", office.stage.clock.now)
    assert person not in {link.recipient for link in left}
    assert hers.client.get(f"/a/{links[0].code}").status_code == 410
    assert hers.send(f"{PLACE}/links", page=f"{PLACE}/accounts", person="x").status_code == 404


@pytest.mark.parametrize("path", ["", "/accounts", "/tokens", "/links"])
def test_crew_and_strangers_see_nothing_of_it(office: Office, path: str) -> None:
    an_account_of(office.rights, "kit", cold_rigg=Role.CREW)
    an_account_of(office.rights, "lou", hinterlach=Role.OPERATOR)

    assert office.signed_in("kit").get(PLACE + path).status_code == 403
    assert office.signed_in("lou").get(PLACE + path).status_code == 404
    stranger = TestClient(office.app, base_url=URL, follow_redirects=False)
    assert stranger.get(PLACE + path).status_code == 401
    assert office.signed_in("chief").get(f"/place/nowhere{path}").status_code == 404


def test_a_role_at_every_place_is_given_changed_and_taken_on_the_page(office: Office) -> None:
    kit = an_account_of(office.rights, "kit", cold_rigg=Role.CREW)
    chief, page = office.signed_in("chief"), f"{PLACE}/accounts"
    path = f"{page}/{kit.id}/everywhere"
    assert chief.send(path, page=page, role="viewer", was="").status_code == 303
    assert kit_of(office).everywhere is Role.VIEWER
    assert kit_of(office).roles == {"cold-rigg": Role.CREW}, "the role here stays"
    late = chief.send(path, page=page, role="crew", was="")
    assert late.status_code == 409
    assert "Somebody else changed what Kit may do" in words(late.text)
    assert chief.send(path, page=page, role="none", was="viewer").status_code == 303
    assert kit_of(office).everywhere is None
    assert chief.send(path, page=page, role="owner", was="").status_code == 422


def test_somebody_is_let_in_at_every_place_at_once(office: Office) -> None:
    chief = office.signed_in("chief")
    assert "At every place, new ones too" in chief.get(f"{PLACE}/accounts").text
    chief.send(f"{PLACE}/accounts", **NEW, everywhere="on")
    assert (kit_of(office).everywhere, kit_of(office).roles) == (Role.CREW, {})


def test_an_account_of_another_place_is_let_in_everywhere_and_keeps_its_role(
    office: Office,
) -> None:
    an_account_of(office.rights, "kit", hinterlach=Role.OPERATOR)
    office.signed_in("chief").send(f"{PLACE}/accounts", **NEW, everywhere="on")
    assert kit_of(office).everywhere is Role.CREW
    assert kit_of(office).roles == {"hinterlach": Role.OPERATOR}


def test_an_operator_of_one_place_gives_nobody_every_place(office: Office) -> None:
    kit = an_account_of(office.rights, "kit", cold_rigg=Role.CREW)
    hers, page = office.signed_in(), f"{PLACE}/accounts"
    assert 'name="everywhere"' not in hers.get(page).text
    assert "/everywhere" not in hers.get(page).text
    for path, fields in (
        (page, {**NEW, "email": "new@yard.example", "everywhere": "on"}),
        (f"{page}/{kit.id}/everywhere", {"role": "operator", "was": ""}),
        (f"{page}/{office.chief.id}/everywhere", {"role": "none", "was": "operator"}),
    ):
        assert hers.send(path, page=page, **fields).status_code == 403, path
    assert kit_of(office).everywhere is None
    assert office.rights.access.accounts.by_email("new@yard.example") is None


def test_the_last_who_can_let_others_in_keeps_every_place(office: Office) -> None:
    accounts = office.rights.access.accounts
    assert accounts.set_everywhere(office.chief.id, Role.CREW, was=Role.OPERATOR) is RoleChange.LAST
    an_account_of(office.rights, "kit", everywhere=Role.OPERATOR)
    assert accounts.set_everywhere(office.chief.id, Role.CREW, was=Role.OPERATOR) is RoleChange.DONE
