"""Entering a place that somebody has looked at: site, vehicles and people, and who may sign in."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from frostwatch.ports.accounts import Account, Role
from frostwatch.web.rights import Rights
from frostwatch.web.set_up.draft import Meant
from frostwatch.web.set_up.people_list import ROLE_OF
from frostwatch.web.set_up.room import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class Invitation:
    """How somebody gets in.

    Attributes:
        name: what they are called.
        email: what they sign in with.
        code: one-time code, "" where they have an account already.
    """

    name: str
    email: str
    code: str


def enter(desk: Desk, meant: Meant, rights: Rights) -> tuple[Invitation, ...]:
    """Enter the place, and let its people in.

    Raises:
        LedgerError: it could not be kept; then nothing of the place was.
    """
    site, people = meant.site, meant.people
    assert site is not None
    assert people is not None
    desk.room.ledger.save_fleet(sites=[site], people=people.people, vehicles=meant.vehicles or ())
    desk.room.ledger.access.drafts.drop(desk.account.id)
    return tuple(_invited(desk, meant, rights, site.key))


def _invited(desk: Desk, meant: Meant, rights: Rights, site: str) -> Iterator[Invitation]:
    assert meant.people is not None
    accounts = desk.room.ledger.access.accounts
    for person in meant.people.people:
        email = meant.people.sign_ins.get(person.key, "")
        role = ROLE_OF.get(person.duty, Role.VIEWER)
        if not email:
            continue
        there = accounts.by_email(email)
        if there is not None:
            if not there.may(role, site):
                accounts.save(replace(there, roles={**there.roles, site: role}))
            yield Invitation(name=person.name, email=email, code="")
            continue
        made = accounts.add(
            Account(
                email=email,
                name=person.name,
                person=person.key,
                language=person.language,
                roles={site: role},
                made_at=desk.now,
            )
        )
        yield Invitation(name=person.name, email=email, code=rights.new_code(made.id))
