"""``frostwatch accounts``: who can sign in, and which machines may ask."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FrostwatchError

if TYPE_CHECKING:
    from frostwatch.fleet.people import Language
    from frostwatch.ports.accounts import Account, Role
    from frostwatch.web.rights import Rights

Email = Annotated[str, typer.Argument(help="E-mail address the person signs in with.")]
RoleName = Annotated[str, typer.Option("--role", help="viewer, crew or operator.")]
SiteKey = Annotated[
    str, typer.Option("--site", help="Key of the site; left out, every site, new ones too.")
]


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    group = typer.Typer(
        help="Who can sign in to the pages, and which machines may ask the API.",
        no_args_is_help=True,
    )
    group.command(name="list")(list_)
    group.command(name="add")(add)
    group.command(name="role")(role)
    group.command(name="code")(code)
    group.command(name="remove")(remove)
    group.command(name="token")(token)
    group.command(name="tokens")(tokens)
    app.add_typer(group, name="accounts")


@contextmanager
def _rights(config: Path | None) -> Iterator[tuple["Rights", str]]:
    """The rights over the ledger of the settings, and the address of the pages."""
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.web.rights import Rights
    from frostwatch.wiring import settings_from, utc_now

    settings, _ = settings_from(config)
    secure = settings.public_url.startswith("https:")
    with closing(open_ledger(settings.database_url)) as ledger:
        yield Rights(access=ledger.access, clock=utc_now, secure=secure), settings.public_url


def list_(config: Config = None, as_json: AsJson = False) -> None:
    """Everybody who can sign in, with what they may do where."""
    from frostwatch.cli.say import say, say_json

    with _rights(config) as (rights, _):
        accounts = rights.access.accounts.listed()
    if as_json:
        say_json([_as_json(account) for account in accounts])
        return
    if not accounts:
        say("No accounts yet. The first start of the pages prints a code for the first one.")
        return
    table = [["e-mail", "name", "may", "signs in"]]
    for one in accounts:
        signs_in = "yes" if one.has_password else "after choosing a password"
        table.append([one.email, one.name, "; ".join(_may(one)) or "nothing yet", signs_in])
    say(rows_of(table))


def _may(account: "Account") -> Iterator[str]:
    if account.everywhere is not None:
        yield f"{account.everywhere.value} everywhere"
    for site, held in account.roles.items():
        yield f"{held.value} at {site}"


def _as_json(account: "Account") -> dict[str, object]:
    return {
        "email": account.email,
        "name": account.name,
        "person": account.person,
        "language": account.language.value,
        "everywhere": account.everywhere.value if account.everywhere else None,
        "roles": {site: held.value for site, held in account.roles.items()},
        "has_password": account.has_password,
        "made_at": account.made_at.isoformat(),
    }


def add(
    email: Email,
    role: RoleName,
    site: SiteKey = "",
    name: Annotated[str, typer.Option("--name", help="How they are addressed.")] = "",
    person: Annotated[
        str, typer.Option("--person", help="Their key among the people who are told.")
    ] = "",
    language: Annotated[str, typer.Option("--language", help="en, de or fr.")] = "en",
    config: Config = None,
) -> None:
    """Let somebody in: prints a one-time code with which they choose a password."""
    from frostwatch.ports.accounts import Account
    from frostwatch.web.rights.names import email_from, name_from

    held = _role(role)
    with _rights(config) as (rights, address):
        account = rights.access.accounts.add(
            Account(
                email=email_from(email),
                name=name_from(name or email.partition("@")[0]),
                person=person,
                language=_language(language),
                everywhere=None if site else held,
                roles={site: held} if site else {},
                made_at=rights.clock(),
            )
        )
        _say_code(account.email, rights.new_code(account.id), address)


def role(
    email: Email,
    role: Annotated[str, typer.Argument(help="viewer, crew or operator; none takes it away.")],
    site: SiteKey = "",
    config: Config = None,
) -> None:
    """Change what somebody may do at a site, or at every site."""
    from dataclasses import replace

    from frostwatch.cli.say import say

    held = None if role == "none" else _role(role)
    with _rights(config) as (rights, _):
        account = _found(rights, email)
        if site:
            others = {key: was for key, was in account.roles.items() if key != site}
            changed = replace(account, roles=others | ({site: held} if held else {}))
        else:
            changed = replace(account, everywhere=held)
        rights.access.accounts.save(changed)
    say(f"{changed.email}: {'; '.join(_may(changed)) or 'may do nothing any more'}")


def code(email: Email, config: Config = None) -> None:
    """A new one-time code for somebody who forgot the password; the old one holds until then."""
    with _rights(config) as (rights, address):
        account = _found(rights, email)
        _say_code(account.email, rights.new_code(account.id), address)


def remove(email: Email, config: Config = None) -> None:
    """Take an account out and sign its devices out. What it recorded stays."""
    from frostwatch.cli.say import say

    with _rights(config) as (rights, _):
        account = _found(rights, email)
        rights.access.accounts.remove(account.id)
    say(f"{account.email} cannot sign in any more.")


def token(
    site: Annotated[str, typer.Argument(help="Key of the site the machine may ask about.")],
    name: Annotated[str, typer.Option("--name", help="What it is for, e.g. gate computer.")],
    scope: Annotated[
        list[str] | None,
        typer.Option("--scope", help="May be given again; left out, everything that only reads."),
    ] = None,
    days: Annotated[
        float | None, typer.Option("--days", min=0.01, help="Void after so many days.")
    ] = None,
    config: Config = None,
) -> None:
    """Make a token for the API. It is shown once: only its digest is kept."""
    from datetime import timedelta

    from frostwatch.cli.say import say
    from frostwatch.ports.accounts import Scope
    from frostwatch.web.rights.names import name_from

    asked = scope or [one.value for one in Scope if one.value.startswith("read:")]
    unknown = sorted(set(asked) - set(Scope))
    if unknown:
        known = ", ".join(Scope)
        raise FrostwatchError(f"--scope: {unknown[0]!r} is not known. Give some of {known}.")
    with _rights(config) as (rights, _):
        made = rights.new_token(
            site,
            name_from(name),
            frozenset(Scope(one) for one in asked),
            holds=None if days is None else timedelta(days=days),
        )
    say(made)


def tokens(
    remove: Annotated[
        int | None, typer.Option("--remove", help="Number of a token to make void.")
    ] = None,
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """The tokens there are, with what they may do and when they were last used."""
    from frostwatch.cli.say import say, say_json

    with _rights(config) as (rights, _):
        if remove is not None:
            if not rights.access.tokens.remove(remove):
                raise FrostwatchError(
                    f"There is no token {remove}. See: frostwatch accounts tokens"
                )
            say(f"Token {remove} is void.")
            return
        found = rights.access.tokens.listed()
    if as_json:
        say_json(
            [
                {
                    "number": one.id,
                    "site": one.site,
                    "name": one.name,
                    "scopes": sorted(one.scopes),
                    "made_at": one.made_at.isoformat(),
                    "expires_at": one.expires_at.isoformat() if one.expires_at else None,
                    "used_at": one.used_at.isoformat() if one.used_at else None,
                }
                for one in found
            ]
        )
        return
    if not found:
        say("No tokens. See: frostwatch accounts token --help")
        return
    table = [["number", "site", "name", "scopes", "void from", "last used (UTC)"]]
    for one in found:
        ends = f"{one.expires_at:%Y-%m-%d}" if one.expires_at else "-"
        used = f"{one.used_at:%Y-%m-%d %H:%M}" if one.used_at else "never"
        table.append([str(one.id), one.site, one.name, " ".join(sorted(one.scopes)), ends, used])
    say(rows_of(table))


def _say_code(email: str, code: str, address: str) -> None:
    from frostwatch.cli.say import say

    say(f"One-time code for {email}: {code}")
    say(f"It holds for seven days, once. Choose a password at {address or 'PAGES'}/sign-in/code")


def _found(rights: "Rights", email: str) -> "Account":
    account = rights.access.accounts.by_email(email)
    if account is None:
        raise FrostwatchError(f"There is no account for {email!r}. See: frostwatch accounts list")
    return account


def _role(word: str) -> "Role":
    from frostwatch.ports.accounts import Role

    if word not in set(Role):
        raise FrostwatchError(f"Role {word!r} is not known. Give {', '.join(Role)}.")
    return Role(word)


def _language(word: str) -> "Language":
    from frostwatch.fleet.people import Language

    if word not in set(Language):
        raise FrostwatchError(f"Language {word!r} is not known. Give {', '.join(Language)}.")
    return Language(word)
