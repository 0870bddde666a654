"""``frostwatch accounts`` as an operator calls it."""

import re

import pytest

from frostwatch.storage.ledger import open_ledger
from frostwatch.web.rights.secret import digest_of, plain_code
from frostwatch.wiring import utc_now
from tests.builders import a_site
from tests.cli.conftest import Cli

DATABASE = "sqlite:///var/frostwatch.db"


@pytest.fixture(autouse=True)
def _a_yard(at_home: object) -> None:
    ledger = open_ledger(DATABASE)
    ledger.save_fleet(sites=[a_site()])
    ledger.close()


@pytest.fixture
def keeper(cli: Cli) -> str:
    """Somebody must be able to enter sites."""
    cli("accounts", "add", "first@yard.example", "--role", "operator")
    return "first@yard.example"


def listed(cli: Cli) -> dict[str, dict[str, object]]:
    return {one["email"]: one for one in cli("accounts", "list", "--json").json}


def test_an_account_is_added_with_a_code_for_its_first_password(cli: Cli) -> None:
    ran = cli("accounts", "add", "Kit@Yard.example", "--role", "crew", "--site", "cold-rigg")
    assert ran.status == 0, ran.err
    code = re.search(r"kit@yard\.example: ((?:[A-Z2-7]{4}-?){4})", ran.out)
    assert code is not None
    ledger = open_ledger(DATABASE)
    held = ledger.access.codes.find(digest_of(plain_code(code[1])), utc_now())
    ledger.close()
    assert held is not None
    assert held.account is not None
    assert held.account.email == "kit@yard.example"

    kit = listed(cli)["kit@yard.example"]
    assert kit["roles"] == {"cold-rigg": "crew"}
    assert kit["everywhere"] is None
    assert kit["has_password"] is False
    assert code[1] not in cli("accounts", "list").out


def test_without_a_site_the_role_holds_everywhere(cli: Cli, keeper: str) -> None:
    assert listed(cli)[keeper]["everywhere"] == "operator"
    assert "operator everywhere" in cli("accounts", "list").out


def test_a_role_is_given_changed_and_taken_away(cli: Cli, keeper: str) -> None:
    kit = "kit@yard.example"
    cli("accounts", "add", kit, "--role", "viewer", "--site", "cold-rigg")
    assert "crew at cold-rigg" in cli("accounts", "role", kit, "crew", "--site", "cold-rigg").out
    assert cli("accounts", "role", kit, "none", "--site", "cold-rigg").status == 0
    assert listed(cli)[kit]["roles"] == {}
    ran = cli("accounts", "role", keeper, "viewer")
    assert ran.status == 2
    assert "Make another account an operator of every site first" in ran.err


def test_a_new_code_takes_the_place_of_the_old_one(cli: Cli, keeper: str) -> None:
    codes = [re.findall(r"(?:[A-Z2-7]{4}-){3}[A-Z2-7]{4}", cli("accounts", "code", keeper).out)]
    codes += [re.findall(r"(?:[A-Z2-7]{4}-){3}[A-Z2-7]{4}", cli("accounts", "code", keeper).out)]
    ledger = open_ledger(DATABASE)
    held = [
        ledger.access.codes.find(digest_of(plain_code(one[0])), utc_now()) is not None
        for one in codes
    ]
    ledger.close()
    assert held == [False, True]


def test_an_account_is_removed_unless_it_is_the_last_that_may_enter_sites(
    cli: Cli, keeper: str
) -> None:
    cli("accounts", "add", "kit@yard.example", "--role", "crew", "--site", "cold-rigg")
    assert cli("accounts", "remove", "kit@yard.example").status == 0
    assert list(listed(cli)) == [keeper]
    assert cli("accounts", "remove", keeper).status == 2


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["add", "no address", "--role", "crew"], "is no e-mail address"),
        (["add", "<b>@yard.example", "--role", "crew"], "is no e-mail address"),
        (["add", "kit@yard.example", "--role", "boss"], "Give viewer, crew, operator"),
        (["add", "kit@yard.example", "--role", "crew", "--site", "nowhere"], "no site 'nowhere'"),
        (["add", "kit@yard.example", "--role", "crew", "--name", "a\x00b"], "control character"),
        (["add", "kit@yard.example", "--role", "crew", "--name", "\u202ekit"], "direction"),
        (["add", "kit@yard.example", "--role", "crew", "--language", "it"], "Give en, de, fr"),
        (["role", "nobody@yard.example", "crew"], "There is no account for"),
        (["code", "nobody@yard.example"], "There is no account for"),
        (["remove", "nobody@yard.example"], "There is no account for"),
        (["token", "nowhere", "--name", "gate"], "no site 'nowhere'"),
        (["token", "cold-rigg", "--name", "gate", "--scope", "all"], "Give some of read:sites"),
        (["tokens", "--remove", "7"], "There is no token 7"),
    ],
)
def test_what_does_not_fit_is_said_and_changes_nothing(
    cli: Cli, arguments: list[str], said: str
) -> None:
    ran = cli("accounts", *arguments)
    assert ran.status == 2
    assert said in ran.err
    assert listed(cli) == {}


def test_a_token_is_shown_once_and_made_void(cli: Cli) -> None:
    secret = cli("accounts", "token", "cold-rigg", "--name", "gate", "--days", "30").out.strip()
    assert secret.startswith("fw_")
    (token,) = cli("accounts", "tokens", "--json").json
    assert token["scopes"] == [
        "read:handovers",
        "read:messages",
        "read:nights",
        "read:rounds",
        "read:sites",
        "read:vehicles",
    ]
    table = cli("accounts", "tokens").out
    assert "gate" in table
    assert secret not in table
    ledger = open_ledger(DATABASE)
    assert ledger.access.tokens.find(digest_of(secret), utc_now()) is not None
    ledger.close()
    assert cli("accounts", "tokens", "--remove", str(token["number"])).status == 0
    assert cli("accounts", "tokens", "--json").json == []


def test_a_token_may_be_narrow(cli: Cli) -> None:
    cli("accounts", "token", "cold-rigg", "--name", "logger", "--scope", "write:readings")
    (token,) = cli("accounts", "tokens", "--json").json
    assert token["scopes"] == ["write:readings"]
    assert token["expires_at"] is None
