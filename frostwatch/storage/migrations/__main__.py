"""Write the next step after a change to the tables: ``make migration NAME="what it does"``."""

import sys

from alembic import command

from frostwatch.storage.database import Database
from frostwatch.storage.schema import alembic_config, newest_revision

with Database("sqlite://").writing() as connection:
    config = alembic_config(connection)
    command.upgrade(config, "head")
    command.revision(
        config, sys.argv[1], autogenerate=True, rev_id=f"{int(newest_revision()) + 1:04d}"
    )
