"""Handover plans for the pages, and those that somebody is at work on."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "site_plans",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_site_plans_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("site", name=op.f("pk_site_plans")),
    )
    op.create_table(
        "under_way",
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["vehicle"], ["vehicle.key"], name=op.f("fk_under_way_vehicle"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("vehicle", name=op.f("pk_under_way")),
    )
    with op.batch_alter_table("under_way", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_under_way_site"), ["site"], unique=False)
