"""Who entered, moved or took off a handover, and when."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "handover_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_handover_change")),
    )
    with op.batch_alter_table("handover_change", schema=None) as batch_op:
        batch_op.create_index("ix_handover_change_site_at", ["site", "at"], unique=False)
        batch_op.create_index(batch_op.f("ix_handover_change_vehicle"), ["vehicle"], unique=False)
