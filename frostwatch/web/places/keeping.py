"""Keeping a change: said first what it does, refused where somebody else was quicker."""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.storage.bodies import to_body
from frostwatch.storage.fleet_changes import MisfitError
from frostwatch.storage.ledger import SqlLedger
from frostwatch.told import Told, told
from frostwatch.web.set_up.fault import Fault

MARK_LETTERS = 16


class ChangedMeanwhileError(Exception):
    """What is to be changed is no longer as whoever changes it saw it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One thing that a change does beside what its field says.

    Attributes:
        key: of the sentence that says it.
        values: what is put into the sentence.
    """

    key: str
    values: Mapping[str, object] = field(default_factory=dict)


def mark_of(record: Site | Person | Vehicle | None) -> str:
    """A mark that changes whenever the record does; "" for one that is not entered."""
    if record is None:
        return ""
    kind: type = type(record)
    body = to_body(kind, record)
    return hashlib.sha256(body.encode()).hexdigest()[:MARK_LETTERS]


def mark_of_effects(effects: Sequence[Effect]) -> str:
    """A mark of what was said; "" where nothing had to be."""
    if not effects:
        return ""
    said = "\n".join(f"{one.key} {sorted(one.values.items())}" for one in effects)
    return hashlib.sha256(said.encode()).hexdigest()[:MARK_LETTERS]


def keep_change(
    ledger: SqlLedger,
    change: FleetChange,
    *,
    seen: str,
    present: Callable[[Entered], Site | Person | Vehicle | None],
) -> None:
    """Keep a change, if what it changes is still as it was seen.

    Args:
        ledger: where everything is kept.
        change: the change.
        seen: mark of the record as it was seen.
        present: finds the same record in what is entered now.

    Raises:
        ChangedMeanwhileError: somebody else changed it.
        MisfitError: things would no longer fit each other.
    """

    def made(entered: Entered) -> FleetChange:
        if mark_of(present(entered)) != seen:
            raise ChangedMeanwhileError
        return change

    ledger.change_fleet(made)


def misfits(refused: MisfitError, fields: Mapping[str, str], otherwise: str) -> tuple[Fault, ...]:
    """What does not fit, at the fields of a form.

    Args:
        refused: what does not fit.
        fields: field of the record -> id of the field on the page.
        otherwise: id of the field for everything else.
    """
    return tuple(
        Fault(
            field=fields.get(one.field, otherwise),
            key="set.problem_whole",
            values={"what": _said(one.what), "mend": _said(one.mend)},
        )
        for one in refused.found
    )


def _said(text: str) -> str:
    return text if not text or isinstance(text, Told) else told("verbatim", what=text)
