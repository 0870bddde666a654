"""Links in messages, replies, and answers taken only once."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "answer_link",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("recipient", sa.String(), nullable=False),
        sa.Column("reminder", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("urgent", sa.Boolean(), nullable=False),
        sa.Column("deadline", sa.DateTime(timezone=True), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_answer_link")),
    )
    with op.batch_alter_table("answer_link", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_answer_link_deadline"), ["deadline"], unique=False)
        batch_op.create_index(batch_op.f("ix_answer_link_made_at"), ["made_at"], unique=False)
        batch_op.create_index(
            "ix_answer_link_recipient_made_at", ["recipient", "made_at"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_answer_link_site"), ["site"], unique=False)

    op.create_table(
        "heard",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sender", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("taken_as", sa.String(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_heard")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("heard", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_heard_at"), ["at"], unique=False)

    op.add_column("answer", sa.Column("once", sa.String(), nullable=True))
    op.create_index("uq_answer_once", "answer", ["once"], unique=True)
