"""Choosing a password by a one-time code: the first account, a new one, or a forgotten password."""

from enum import StrEnum

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role, Session
from frostwatch.web.rights.desk import Rights
from frostwatch.web.rights.limits import code_doors
from frostwatch.web.rights.names import is_email
from frostwatch.web.rights.passwords import weakness_of
from frostwatch.web.rights.secret import digest_of, plain_code

LONGEST_CODE = 60


class CodeFault(StrEnum):
    """Why no password was chosen, beside the weaknesses of passwords."""

    VOID = "void"
    OTHER = "other"
    NO_EMAIL = "no_email"


def choose_password(
    rights: Rights,
    *,
    code: str,
    email: str,
    password: str,
    address: str,
    language: Language,
) -> tuple[Session, str] | str:
    """Choose a password, and sign the device in.

    Args:
        rights: who gets in.
        code: the code as typed.
        email: address to sign in with; for a first account the one it gets.
        password: the password.
        address: where the try comes from.
        language: of a first account.

    Returns:
        The session and its secret, or why not: a ``CodeFault`` or a ``Weakness``.

    Raises:
        TooManyTriesError: too many codes were tried.
    """
    now, doors = rights.clock(), code_doors(address, "one-time")
    rights.limits.refuse_if_shut(doors, now)
    email = email.strip().casefold()
    if not is_email(email):
        return CodeFault.NO_EMAIL
    digest = digest_of(plain_code(code[:LONGEST_CODE]))
    found = rights.access.codes.find(digest, now)
    if found is None:
        rights.limits.failed(doors, now)
        return CodeFault.VOID
    if found.account is not None and found.account.email != email:
        rights.limits.failed(doors, now)
        return CodeFault.OTHER
    name = found.account.name if found.account else email.partition("@")[0]
    weakness = weakness_of(password, email=email, name=name)
    if weakness is not None:
        return weakness.value
    first = None
    if found.account is None:
        first = Account(
            email=email,
            name=name,
            language=language,
            everywhere=Role.OPERATOR,
            roles={},
            made_at=now,
        )
    try:
        account = rights.access.codes.use(
            digest, now, hashed=rights.passwords.hash(password), first=first
        )
    except LedgerError:
        return CodeFault.VOID
    return rights.open_session(account, lasting=False)
