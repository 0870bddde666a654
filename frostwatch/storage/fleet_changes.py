"""Changing what is entered in one transaction, from how it stands in that transaction."""

from collections.abc import Callable

from sqlalchemy import Connection, delete, text

from frostwatch.errors import FleetError
from frostwatch.fleet.mismatches import Mismatch, mismatches
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.storage import entry_rows, fleet_rows, outbox_rows
from frostwatch.storage.tables import PersonRow, VehicleRow, table_of

_person = table_of(PersonRow)
_vehicle = table_of(VehicleRow)


class MisfitError(FleetError):
    """A change after which things would no longer fit each other.

    Attributes:
        found: what does not fit.
    """

    def __init__(self, found: tuple[Mismatch, ...]) -> None:
        super().__init__("\n".join(str(one) for one in found))
        self.found = found


def entered(connection: Connection) -> Entered:
    """Everything that is entered, in three queries and one for channels."""
    return Entered(
        sites=fleet_rows.load_sites(connection, None),
        people=fleet_rows.load_people(connection),
        vehicles=fleet_rows.load_vehicles(connection, None),
    )


def change_fleet(connection: Connection, make: Callable[[Entered], FleetChange]) -> FleetChange:
    """Change what is entered; returns what was changed.

    What did not fit before does not stand in the way of a change that leaves it so.

    Args:
        connection: of a transaction that is kept or dropped as a whole.
        make: works the change out from how things stand; what it raises drops the transaction.

    Raises:
        MisfitError: things would no longer fit each other.
    """
    if connection.dialect.name == "postgresql":
        # two changes of different rows could each fit alone and not together
        connection.execute(text("LOCK TABLE site IN SHARE ROW EXCLUSIVE MODE"))
    before = entered(connection)
    change = make(before)
    after = change.applied_to(before)
    old = {_plain(one) for one in _misfits(before)}
    new = tuple(one for one in _misfits(after) if _plain(one) not in old)
    if new:
        raise MisfitError(new)
    fleet_rows.save_sites(connection, change.sites)
    fleet_rows.save_people(connection, change.people)
    fleet_rows.save_vehicles(connection, change.vehicles)
    entry_rows.append(connection, change.entries)
    for key in change.gone_vehicles:
        connection.execute(delete(_vehicle).where(_vehicle.c.key == key))
    outbox_rows.let_go(connection, change.gone_people)
    for key in change.gone_people:
        connection.execute(delete(_person).where(_person.c.key == key))
    return change


def _misfits(those: Entered) -> tuple[Mismatch, ...]:
    return mismatches(those.sites, those.people, those.vehicles)


def _plain(misfit: Mismatch) -> tuple[str, str, str, str]:
    """What does not fit, without how to mend it: that names what else is there."""
    return misfit.kind, misfit.key, misfit.field, misfit.what
