"""Changing one's own password: only for whoever knows the one before."""

from frostwatch.ports.accounts import Account, Session
from frostwatch.web.rights.desk import Rights
from frostwatch.web.rights.limits import sign_in_doors
from frostwatch.web.rights.passwords import weakness_of

WRONG = "wrong"
"""The password before was not that one."""


def change_own_password(
    rights: Rights, account: Account, *, before: str, after: str, address: str, lasting: bool
) -> tuple[Session, str] | str:
    """Change a password; every device is signed out, and this one in again.

    Args:
        rights: who gets in.
        account: whose it is.
        before: the password so far.
        after: the new one.
        address: where the try comes from.
        lasting: whether this device was to be kept signed in.

    Returns:
        The session of this device and its secret, or why not: ``WRONG`` or a ``Weakness``.

    Raises:
        TooManyTriesError: too many passwords were tried.
    """
    now, doors = rights.clock(), sign_in_doors(address, account.email)
    rights.limits.refuse_if_shut(doors, now)
    right, _ = rights.passwords.check(before, rights.access.accounts.password_of(account.id))
    if not right:
        rights.limits.failed(doors, now)
        return WRONG
    weakness = weakness_of(after, email=account.email, name=account.name)
    if weakness is not None:
        return weakness.value
    rights.access.accounts.set_password(account.id, rights.passwords.hash(after))
    rights.limits.got_in(doors)
    return rights.open_session(account, lasting=lasting)
