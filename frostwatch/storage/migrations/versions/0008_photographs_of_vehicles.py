"""Photographs of vehicles."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "photo",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("round", sa.String(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("small", sa.LargeBinary(), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photo")),
    )
    with op.batch_alter_table("photo", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_photo_received_at"), ["received_at"], unique=False)
        batch_op.create_index("ix_photo_round", ["round"], unique=False)
        batch_op.create_index("ix_photo_vehicle_at", ["vehicle", "at"], unique=False)
