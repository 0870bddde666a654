"""First tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Go one step forward."""
    op.create_table(
        "answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("answer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_answer_at"), ["at"], unique=False)
        batch_op.create_index("ix_answer_vehicle_at", ["vehicle", "at"], unique=False)

    op.create_table(
        "attempt",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("host", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_attempt")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("attempt", schema=None) as batch_op:
        batch_op.create_index("ix_attempt_host_at", ["host", "at"], unique=False)

    op.create_table(
        "decision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("until_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("recipient", sa.String(), nullable=False),
        sa.Column("said", sa.Boolean(), nullable=False),
        sa.Column("reply_id", sa.Integer(), nullable=True),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_decision")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("decision", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_decision_reply_id"), ["reply_id"], unique=False)
        batch_op.create_index(
            "ix_decision_site_vehicle_recipient_id",
            ["site", "vehicle", "recipient", "id"],
            unique=False,
        )
        batch_op.create_index(batch_op.f("ix_decision_until_at"), ["until_at"], unique=False)
        batch_op.create_index("ix_decision_vehicle_at", ["vehicle", "at"], unique=False)

    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("circuit", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("link", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry")),
        sa.UniqueConstraint("vehicle", "number", name=op.f("uq_entry_vehicle_number")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_entry_at"), ["at"], unique=False)
        batch_op.create_index(batch_op.f("ix_entry_received_at"), ["received_at"], unique=False)
        batch_op.create_index(
            "ix_entry_vehicle_circuit_id", ["vehicle", "circuit", "id"], unique=False
        )

    op.create_table(
        "message",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("recipient", sa.String(), nullable=False),
        sa.Column("channel", sa.String(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("form", sa.String(), nullable=False),
        sa.Column("reminder", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("short", sa.Text(), nullable=False),
        sa.Column("long", sa.Text(), nullable=False),
        sa.Column("status", sa.String(), nullable=False),
        sa.Column("queued_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("send_from", sa.DateTime(timezone=True), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("first_tried_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("next_try_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("claimed_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("result", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_message")),
        sa.UniqueConstraint(
            "recipient",
            "channel",
            "reminder",
            "revision",
            name=op.f("uq_message_recipient_channel_reminder_revision"),
        ),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("message", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_message_queued_at"), ["queued_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_message_site"), ["site"], unique=False)
        batch_op.create_index(
            "ix_message_status_next_try_at", ["status", "next_try_at"], unique=False
        )

    op.create_table(
        "person",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("duty", sa.String(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_person")),
    )
    op.create_table(
        "reminder",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("recipient", sa.String(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("standing", sa.Boolean(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_reminder")),
    )
    with op.batch_alter_table("reminder", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reminder_changed_at"), ["changed_at"], unique=False)
        batch_op.create_index("ix_reminder_site_standing", ["site", "standing"], unique=False)

    op.create_table(
        "reply",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("point", sa.String(), nullable=False),
        sa.Column("provider", sa.String(), nullable=False),
        sa.Column("fetched_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("issued_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_modified", sa.String(), nullable=False),
        sa.Column("etag", sa.String(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("payload", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reply")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("reply", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reply_fetched_at"), ["fetched_at"], unique=False)
        batch_op.create_index(
            "ix_reply_provider_point_id", ["provider", "point", "id"], unique=False
        )

    op.create_table(
        "site",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_site")),
    )
    op.create_table(
        "channel",
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("form", sa.String(), nullable=False),
        sa.Column("last_sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("refused_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("refused_reason", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["person"], ["person.key"], name=op.f("fk_channel_person"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("person", "name", name=op.f("pk_channel")),
    )
    op.create_table(
        "site_pass",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("passed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("judged_to", sa.DateTime(timezone=True), nullable=True),
        sa.Column("failed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("next_try_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_site_pass_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("site", name=op.f("pk_site_pass")),
    )
    op.create_table(
        "vehicle",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("bay", sa.String(), nullable=False),
        sa.Column("keeper", sa.String(), nullable=False),
        sa.Column("layout", sa.String(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site"], ["site.key"], name=op.f("fk_vehicle_site")),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_vehicle")),
    )
    with op.batch_alter_table("vehicle", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_vehicle_keeper"), ["keeper"], unique=False)
        batch_op.create_index(batch_op.f("ix_vehicle_site"), ["site"], unique=False)

    op.create_table(
        "node_state",
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("signature", sa.String(), nullable=False),
        sa.Column("shapes", sa.Text(), nullable=False),
        sa.Column("numbers", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["vehicle"], ["vehicle.key"], name=op.f("fk_node_state_vehicle"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("vehicle", name=op.f("pk_node_state")),
    )

    op.create_table(
        "account",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("everywhere", sa.String(), nullable=False),
        sa.Column("password", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_account")),
        sa.UniqueConstraint("email", name=op.f("uq_account_email")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "knock",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("door", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_knock")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("knock", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_knock_at"), ["at"], unique=False)
        batch_op.create_index("ix_knock_door_at", ["door", "at"], unique=False)

    op.create_table(
        "account_role",
        sa.Column("account", sa.Integer(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["account"], ["account.id"], name=op.f("fk_account_role_account"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_account_role_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("account", "site", name=op.f("pk_account_role")),
    )
    op.create_table(
        "one_time_code",
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("account", sa.Integer(), nullable=True),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["account"], ["account.id"], name=op.f("fk_one_time_code_account"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_one_time_code")),
    )
    with op.batch_alter_table("one_time_code", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_one_time_code_account"), ["account"], unique=False)

    op.create_table(
        "session",
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("account", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("lasting", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["account"], ["account.id"], name=op.f("fk_session_account"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_session")),
    )
    with op.batch_alter_table("session", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_session_account"), ["account"], unique=False)
        batch_op.create_index(batch_op.f("ix_session_expires_at"), ["expires_at"], unique=False)

    op.create_table(
        "token",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("scopes", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_token_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_token")),
        sa.UniqueConstraint("digest", name=op.f("uq_token_digest")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("token", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_token_site"), ["site"], unique=False)

    op.create_table(
        "reading",
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("sensor", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("where", sa.String(), nullable=False),
        sa.Column("temperature_c", sa.Float(), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_by", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["vehicle"], ["vehicle.key"], name=op.f("fk_reading_vehicle"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("vehicle", "sensor", "at", name=op.f("pk_reading")),
    )

    op.create_table(
        "site_board",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_site_board_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("site", name=op.f("pk_site_board")),
    )
    op.create_table(
        "vehicle_night",
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["vehicle"], ["vehicle.key"], name=op.f("fk_vehicle_night_vehicle"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("vehicle", name=op.f("pk_vehicle_night")),
    )
    with op.batch_alter_table("vehicle_night", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_vehicle_night_site"), ["site"], unique=False)

    op.create_table(
        "round",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("handed_back_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["site"], ["site.key"], name=op.f("fk_round_site"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_round")),
    )
    with op.batch_alter_table("round", schema=None) as batch_op:
        batch_op.create_index("ix_round_site_made_at", ["site", "made_at"], unique=False)

    op.create_table(
        "press",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("round", sa.String(), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["round"], ["round.code"], name=op.f("fk_press_round"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_press")),
    )
    with op.batch_alter_table("press", schema=None) as batch_op:
        batch_op.create_index("ix_press_round_received_at", ["round", "received_at"], unique=False)
