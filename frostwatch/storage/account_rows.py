"""Accounts and what they may do."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Select, delete, select, update

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role, RoleChange
from frostwatch.storage.database import Database
from frostwatch.storage.tables import (
    AccountRoleRow,
    AccountRow,
    DraftRow,
    OneTimeCodeRow,
    SessionRow,
    SiteRow,
    table_of,
)

_account = table_of(AccountRow)
_role = table_of(AccountRoleRow)
_session = table_of(SessionRow)
_code = table_of(OneTimeCodeRow)
_draft = table_of(DraftRow)
_site = table_of(SiteRow)


class SqlAccounts:
    """Who can sign in."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def any(self) -> bool:
        """Whether there is an account at all."""
        with self._database.reading() as connection:
            return is_any(connection)

    def listed(self) -> tuple[Account, ...]:
        """Every account, in order of their e-mail addresses."""
        with self._database.reading() as connection:
            return load(connection, select(_account).order_by(_account.c.email))

    def by_email(self, email: str) -> Account | None:
        """The account of that address, in any spelling of its capitals."""
        wanted = select(_account).where(_account.c.email == email.casefold())
        with self._database.reading() as connection:
            return next(iter(load(connection, wanted)), None)

    def password_of(self, account: int) -> str:
        """Its hash, "" for none."""
        wanted = select(_account.c.password).where(_account.c.id == account)
        with self._database.reading() as connection:
            return str(connection.execute(wanted).scalar() or "")

    def add(self, account: Account) -> Account:
        """Enter an account; the same comes back with its number.

        Raises:
            LedgerError: there is one with that address, or a site of its roles is not entered.
        """
        with self._database.writing() as connection:
            return insert(connection, account)

    def save(self, account: Account) -> None:
        """Put name, person, language and roles in the place of those kept under its number.

        Raises:
            LedgerError: a site of its roles is not entered, or nobody could enter sites any more.
        """
        with self._database.writing() as connection:
            connection.execute(
                update(_account).where(_account.c.id == account.id).values(_columns(account))
            )
            _save_roles(connection, account.id, account.roles)
            _refuse_to_lock_out(connection)

    def set_role(
        self, account: int, site: str, role: Role | None, *, was: Role | None
    ) -> RoleChange:
        """Change what somebody may do at one site; what they may do elsewhere stays.

        Args:
            account: number of the account.
            site: key of the site.
            role: the new role, None to take it.
            was: the role that whoever changes it saw.
        """
        own = (_role.c.account == account, _role.c.site == site)
        with self._database.writing() as connection:
            # two who change the same person wait for each other here
            there = select(_account.c.id).where(_account.c.id == account).with_for_update()
            known = connection.execute(there).first() is not None
            held = connection.execute(select(_role.c.role).where(*own)).scalar()
            if not known or held != (was.value if was else None):
                return RoleChange.MEANWHILE
            connection.execute(delete(_role).where(*own))
            if role is not None:
                row = {"account": account, "site": site, "role": role.value}
                connection.execute(_role.insert(), row)
            return RoleChange.DONE

    def set_everywhere(self, account: int, role: Role | None, *, was: Role | None) -> RoleChange:
        """Change what somebody may do at every place, unless nobody else could let others in.

        Args:
            account: number of the account.
            role: the new role, None to take it.
            was: the role that whoever changes it saw.
        """
        with self._database.writing() as connection:
            able = set(connection.scalars(_keepers().with_for_update()))
            there = select(_account.c.everywhere).where(_account.c.id == account)
            held = connection.execute(there.with_for_update()).first()
            if held is None or (held.everywhere or None) != (was.value if was else None):
                return RoleChange.MEANWHILE
            if role is not Role.OPERATOR and able == {account}:
                return RoleChange.LAST
            value = role.value if role is not None else ""
            change = update(_account).where(_account.c.id == account).values(everywhere=value)
            connection.execute(change)
            return RoleChange.DONE

    def withdraw(self, account: int) -> RoleChange:
        """Take an account out as ``remove`` does, unless it is the last that can let others in."""
        with self._database.writing() as connection:
            able = set(connection.scalars(_keepers().with_for_update()))
            if able == {account}:
                return RoleChange.LAST
            connection.execute(delete(_draft).where(_draft.c.account == account))
            connection.execute(delete(_account).where(_account.c.id == account))
            return RoleChange.DONE

    def set_language(self, account: int, language: Language) -> None:
        """Change the language of somebody's pages."""
        with self._database.writing() as connection:
            connection.execute(
                update(_account).where(_account.c.id == account).values(language=language.value)
            )

    def set_password(self, account: int, hashed: str) -> None:
        """Change the hash; every device of the account is signed out, its codes are void."""
        with self._database.writing() as connection:
            change_password(connection, account, hashed)

    def rehash(self, account: int, hashed: str) -> None:
        """Keep the same password at other costs; nobody is signed out."""
        with self._database.writing() as connection:
            connection.execute(
                update(_account).where(_account.c.id == account).values(password=hashed)
            )

    def remove(self, account: int) -> None:
        """Take an account out, with its roles, sessions, codes and draft. What it recorded stays.

        Raises:
            LedgerError: nobody could enter sites any more.
        """
        with self._database.writing() as connection:
            connection.execute(delete(_draft).where(_draft.c.account == account))
            connection.execute(delete(_account).where(_account.c.id == account))
            _refuse_to_lock_out(connection)


def is_any(connection: Connection) -> bool:
    """Whether there is an account at all."""
    return connection.execute(select(_account.c.id).limit(1)).first() is not None


def load(connection: Connection, wanted: Select[Any]) -> tuple[Account, ...]:
    """Accounts with their roles, in two queries.

    Args:
        connection: an open connection.
        wanted: selects whole rows of the account table.
    """
    rows = connection.execute(wanted).all()
    roles = roles_of(connection, [row.id for row in rows])
    return tuple(replace(read(row), roles=roles.get(row.id, {})) for row in rows)


def read(row: Any) -> Account:
    """An account without its roles, from a row that has the account's columns in it."""
    return Account(
        id=row.id,
        email=row.email,
        name=row.name,
        person=row.person,
        language=Language(row.language),
        everywhere=Role(row.everywhere) if row.everywhere else None,
        roles={},
        has_password=bool(row.password),
        made_at=row.made_at,
    )


def roles_of(connection: Connection, accounts: Sequence[int]) -> Mapping[int, Mapping[str, Role]]:
    """Account -> site -> role there."""
    found: dict[int, dict[str, Role]] = {}
    wanted = select(_role).where(_role.c.account.in_(accounts)).order_by(_role.c.site)
    for row in connection.execute(wanted):
        found.setdefault(row.account, {})[row.site] = Role(row.role)
    return found


def insert(connection: Connection, account: Account) -> Account:
    """Enter an account; see ``SqlAccounts.add``."""
    email = account.email.casefold()
    taken = select(_account.c.id).where(_account.c.email == email)
    if connection.execute(taken).first() is not None:
        raise LedgerError(
            f"There is an account for {email} already. Change its role instead, or remove it first."
        )
    row = {**_columns(account), "email": email, "made_at": account.made_at, "password": ""}
    number = connection.execute(_account.insert().returning(_account.c.id), row).scalar_one()
    _save_roles(connection, number, account.roles)
    return replace(account, id=number, email=email, has_password=False)


def change_password(connection: Connection, account: int, hashed: str) -> None:
    """See ``SqlAccounts.set_password``."""
    connection.execute(update(_account).where(_account.c.id == account).values(password=hashed))
    connection.execute(delete(_session).where(_session.c.account == account))
    connection.execute(delete(_code).where(_code.c.account == account))


def _columns(account: Account) -> dict[str, Any]:
    return {
        "name": account.name,
        "person": account.person,
        "language": account.language.value,
        "everywhere": account.everywhere.value if account.everywhere else "",
    }


def _save_roles(connection: Connection, account: int, roles: Mapping[str, Role]) -> None:
    known = set(connection.scalars(select(_site.c.key)))
    for site in roles:
        if site not in known:
            raise LedgerError(
                f"There is no site {site!r}. Enter it first; its key stands in: "
                "frostwatch export fleet"
            )
    connection.execute(delete(_role).where(_role.c.account == account))
    if roles:
        rows = [{"account": account, "site": s, "role": r.value} for s, r in roles.items()]
        connection.execute(_role.insert(), rows)


def _keepers() -> Select[Any]:
    """Who can sign in and let others in."""
    return select(_account.c.id).where(
        _account.c.everywhere == Role.OPERATOR.value, _account.c.password != ""
    )


def _refuse_to_lock_out(connection: Connection) -> None:
    keeper = select(_account.c.id).where(_account.c.everywhere == Role.OPERATOR.value).limit(1)
    if connection.execute(keeper).first() is None:
        raise LedgerError(
            "Then nobody could enter sites and accounts any more. Make another account an "
            "operator of every site first."
        )
