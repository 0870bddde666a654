"""What the nights of a place taught."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Go one step forward."""

    op.create_table(
        "intake",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("first_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("forgotten_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_intake_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_intake")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("intake", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_intake_site"), ["site"], unique=False)

    op.create_table(
        "lesson",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("learning", sa.Boolean(), nullable=False),
        sa.Column("fitted_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_lesson_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("site", name=op.f("pk_lesson")),
    )
    op.create_table(
        "night_guess",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("night", sa.Date(), nullable=False),
        sa.Column("lead_day", sa.Integer(), nullable=False),
        sa.Column("provider", sa.String(), nullable=False),
        sa.Column("issued_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("lowest_c", sa.Float(), nullable=False),
        sa.Column("plain_c", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_night_guess_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("site", "night", "lead_day", name=op.f("pk_night_guess")),
    )
    op.create_table(
        "seen_night",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("night", sa.Date(), nullable=False),
        sa.Column("provider", sa.String(), nullable=False),
        sa.Column("lowest_c", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_seen_night_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("site", "night", "provider", name=op.f("pk_seen_night")),
    )
    op.create_table(
        "air_reading",
        sa.Column("intake", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("air_c", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(
            ["intake"], ["intake.id"], name=op.f("fk_air_reading_intake"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("intake", "at", name=op.f("pk_air_reading")),
    )
