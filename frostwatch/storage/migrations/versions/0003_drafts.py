"""Places that somebody began to enter."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "draft",
        sa.Column("account", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("account", name=op.f("pk_draft")),
    )
