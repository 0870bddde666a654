"""What judgements rested on."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Go one step forward."""

    op.create_table(
        "pass_basis",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("said", sa.Boolean(), nullable=False),
        sa.Column("reply_id", sa.Integer(), nullable=True),
        sa.Column("spread_reply_id", sa.Integer(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.Column("numbers", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pass_basis")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("pass_basis", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_pass_basis_at"), ["at"], unique=False)
        batch_op.create_index(batch_op.f("ix_pass_basis_reply_id"), ["reply_id"], unique=False)
        batch_op.create_index("ix_pass_basis_site_at", ["site", "at"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_pass_basis_spread_reply_id"), ["spread_reply_id"], unique=False
        )
