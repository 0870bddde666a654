"""Heights of places, looked up once."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "terrain",
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("place", name=op.f("pk_terrain")),
    )
