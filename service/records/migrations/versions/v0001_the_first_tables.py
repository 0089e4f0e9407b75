"""The first tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:  # noqa: PLR0915 -- one statement for each table
    """To this state."""
    op.create_table(
        "beat",
        sa.Column("worker", sa.String(length=80), nullable=False),
        sa.Column("started", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("worker", name=op.f("pk_beat")),
    )
    op.create_table(
        "deleted",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=True),
        sa.Column("changed", sa.BigInteger(), nullable=True),
        sa.Column("resource", sa.String(length=30), nullable=False),
        sa.Column("resource_id", sa.String(length=40), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_deleted")),
    )
    with op.batch_alter_table("deleted", schema=None) as batch_op:
        batch_op.create_index("ix_deleted_changed", ["gym_id", "changed"], unique=False)
        batch_op.create_index(batch_op.f("ix_deleted_resource_id"), ["resource_id"], unique=False)

    op.create_table(
        "gym",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("keep_clips_days", sa.Integer(), nullable=True),
        sa.Column("time_zone", sa.String(length=40), nullable=False),
        sa.Column("changes", sa.BigInteger(), nullable=False),
        sa.Column("history", sa.String(length=22), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_gym")),
    )
    op.create_table(
        "tally",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("since", sa.DateTime(timezone=True), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_tally")),
    )
    with op.batch_alter_table("tally", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_tally_since"), ["since"], unique=False)

    op.create_table(
        "answered",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("actor_id", sa.String(length=22), nullable=False),
        sa.Column("key", sa.String(length=100), nullable=False),
        sa.Column("request_sha256", sa.String(length=64), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("location", sa.String(length=200), nullable=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_answered_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answered")),
        sa.UniqueConstraint("gym_id", "actor_id", "key", name=op.f("uq_answered_gym_id_actor_id_key")),
    )
    with op.batch_alter_table("answered", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_answered_gym_id"), ["gym_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_answered_made"), ["made"], unique=False)

    op.create_table(
        "audit",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=True),
        sa.Column("actor", sa.String(length=8), nullable=False),
        sa.Column("actor_id", sa.String(length=22), nullable=True),
        sa.Column("action", sa.String(length=60), nullable=False),
        sa.Column("resource", sa.String(length=30), nullable=False),
        sa.Column("resource_id", sa.String(length=40), nullable=True),
        sa.Column("detail", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_audit_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit")),
    )
    with op.batch_alter_table("audit", schema=None) as batch_op:
        batch_op.create_index("ix_audit_gym_made", ["gym_id", "made"], unique=False)

    op.create_table(
        "key",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("prefix", sa.String(length=12), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("scopes", sa.JSON(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_used", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_key_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_key")),
        sa.UniqueConstraint("prefix", name=op.f("uq_key_prefix")),
    )
    with op.batch_alter_table("key", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_key_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "movement_in_use",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_movement_in_use_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_movement_in_use")),
        sa.UniqueConstraint("gym_id", "name", name=op.f("uq_movement_in_use_gym_id_name")),
    )
    with op.batch_alter_table("movement_in_use", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_movement_in_use_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "person",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("role", sa.String(length=8), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("login", sa.String(length=120), nullable=True),
        sa.Column("password_hash", sa.String(length=200), nullable=True),
        sa.Column("height_cm", sa.Double(), nullable=True),
        sa.Column("mass_kg", sa.Double(), nullable=True),
        sa.Column("sex", sa.String(length=6), nullable=True),
        sa.Column("born", sa.Date(), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_person_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("login", name=op.f("uq_person_login")),
    )
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_person_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "webhook",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("url", sa.String(length=500), nullable=False),
        sa.Column("secret", sa.String(length=80), nullable=False),
        sa.Column("events", sa.JSON(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_webhook_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_webhook")),
    )
    with op.batch_alter_table("webhook", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_webhook_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "consent",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("given_by", sa.String(length=8), nullable=False),
        sa.Column("guardian", sa.String(length=120), nullable=True),
        sa.Column("given", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_consent_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_consent_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_consent")),
    )
    with op.batch_alter_table("consent", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_consent_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_consent_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "delivery",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("webhook_id", sa.String(length=22), nullable=False),
        sa.Column("event", sa.String(length=40), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("due", sa.DateTime(timezone=True), nullable=False),
        sa.Column("answer", sa.Integer(), nullable=True),
        sa.Column("error", sa.String(length=200), nullable=True),
        sa.Column("log", sa.JSON(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_delivery_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["webhook_id"], ["webhook.id"], name=op.f("fk_delivery_webhook_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_delivery")),
    )
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.create_index("ix_delivery_due", ["state", "due"], unique=False)
        batch_op.create_index(batch_op.f("ix_delivery_gym_id"), ["gym_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_delivery_webhook_id"), ["webhook_id"], unique=False)

    op.create_table(
        "factor",
        sa.Column("person_id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("secret", sa.String(length=64), nullable=False),
        sa.Column("confirmed", sa.DateTime(timezone=True), nullable=True),
        sa.Column("used", sa.BigInteger(), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_factor_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_factor_person_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_factor")),
    )
    with op.batch_alter_table("factor", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_factor_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "link",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked", sa.DateTime(timezone=True), nullable=True),
        sa.Column("clips_a_day", sa.Integer(), nullable=False),
        sa.Column("created_by", sa.String(length=22), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_link_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["created_by"], ["person.id"], name=op.f("fk_link_created_by"), ondelete="SET NULL"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_link_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link")),
        sa.UniqueConstraint("digest", name=op.f("uq_link_digest")),
    )
    with op.batch_alter_table("link", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_link_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_link_created_by"), ["created_by"], unique=False)
        batch_op.create_index(batch_op.f("ix_link_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "prescription",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("movement", sa.String(length=60), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["athlete_id"], ["person.id"], name=op.f("fk_prescription_athlete_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_prescription_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_prescription")),
    )
    with op.batch_alter_table("prescription", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_prescription_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_prescription_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "prescription_version",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("prescription_id", sa.String(length=22), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("variant", sa.String(length=200), nullable=False),
        sa.Column("created_by", sa.String(length=22), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["created_by"], ["person.id"], name=op.f("fk_prescription_version_created_by"), ondelete="SET NULL"
        ),
        sa.ForeignKeyConstraint(
            ["gym_id"], ["gym.id"], name=op.f("fk_prescription_version_gym_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["prescription_id"],
            ["prescription.id"],
            name=op.f("fk_prescription_version_prescription_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_prescription_version")),
        sa.UniqueConstraint("prescription_id", "n", name=op.f("uq_prescription_version_prescription_id_n")),
    )
    with op.batch_alter_table("prescription_version", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_prescription_version_created_by"), ["created_by"], unique=False)
        batch_op.create_index(batch_op.f("ix_prescription_version_gym_id"), ["gym_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_prescription_version_prescription_id"), ["prescription_id"], unique=False)

    op.create_table(
        "session",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("person_id", sa.String(length=22), nullable=False),
        sa.Column("link_id", sa.String(length=22), nullable=True),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_seen", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_session_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_session_link_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_session_person_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_session")),
        sa.UniqueConstraint("digest", name=op.f("uq_session_digest")),
    )
    with op.batch_alter_table("session", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_session_gym_id"), ["gym_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_session_link_id"), ["link_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_session_person_id"), ["person_id"], unique=False)

    op.create_table(
        "clip",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("prescription_version_id", sa.String(length=22), nullable=True),
        sa.Column("movement", sa.String(length=60), nullable=True),
        sa.Column("hold", sa.Boolean(), nullable=True),
        sa.Column("source_sha256", sa.String(length=64), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("bytes", sa.BigInteger(), nullable=False),
        sa.Column("container", sa.String(length=8), nullable=False),
        sa.Column("seconds", sa.Double(), nullable=False),
        sa.Column("filmed", sa.DateTime(timezone=True), nullable=True),
        sa.Column("arrived", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=True),
        sa.Column("files_gone", sa.DateTime(timezone=True), nullable=True),
        sa.Column("sensor", sa.Boolean(), nullable=False),
        sa.Column("state", sa.String(length=9), nullable=False),
        sa.Column("stage", sa.String(length=60), nullable=True),
        sa.Column("progress", sa.Double(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=True),
        sa.Column("stage_seconds", sa.JSON(none_as_null=True), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_clip_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_clip_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["prescription_version_id"],
            ["prescription_version.id"],
            name=op.f("fk_clip_prescription_version_id"),
            ondelete="SET NULL",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clip")),
    )
    with op.batch_alter_table("clip", schema=None) as batch_op:
        batch_op.create_index("ix_clip_athlete_arrived", ["athlete_id", "arrived", "id"], unique=False)
        batch_op.create_index(batch_op.f("ix_clip_expires"), ["expires"], unique=False)
        batch_op.create_index("ix_clip_gym_arrived", ["gym_id", "arrived", "id"], unique=False)
        batch_op.create_index(batch_op.f("ix_clip_prescription_version_id"), ["prescription_version_id"], unique=False)
        batch_op.create_index("uq_clip_athlete_source", ["athlete_id", "source_sha256"], unique=True)

    op.create_table(
        "measurement",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("prescription_version_id", sa.String(length=22), nullable=True),
        sa.Column("made_by", sa.JSON(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("current", sa.Boolean(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_measurement_clip_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_measurement_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["prescription_version_id"],
            ["prescription_version.id"],
            name=op.f("fk_measurement_prescription_version_id"),
            ondelete="SET NULL",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
        sa.UniqueConstraint("clip_id", "key", name=op.f("uq_measurement_clip_id_key")),
    )
    with op.batch_alter_table("measurement", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_measurement_gym_id"), ["gym_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_measurement_prescription_version_id"), ["prescription_version_id"], unique=False
        )

    op.create_table(
        "pain_report",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("cleared", sa.DateTime(timezone=True), nullable=True),
        sa.Column("cleared_by", sa.String(length=22), nullable=True),
        sa.ForeignKeyConstraint(
            ["athlete_id"], ["person.id"], name=op.f("fk_pain_report_athlete_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["cleared_by"], ["person.id"], name=op.f("fk_pain_report_cleared_by"), ondelete="SET NULL"
        ),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_pain_report_clip_id"), ondelete="SET NULL"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_pain_report_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pain_report")),
    )
    with op.batch_alter_table("pain_report", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_pain_report_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_pain_report_cleared_by"), ["cleared_by"], unique=False)
        batch_op.create_index(batch_op.f("ix_pain_report_clip_id"), ["clip_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_pain_report_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "upload",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("meta", sa.JSON(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_upload_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_upload_clip_id"), ondelete="SET NULL"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_upload_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_upload")),
    )
    with op.batch_alter_table("upload", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_upload_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_upload_clip_id"), ["clip_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_upload_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "set",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("measurement_id", sa.String(length=22), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("start", sa.Double(), nullable=False),
        sa.Column("end", sa.Double(), nullable=False),
        sa.Column("verdict", sa.String(length=6), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_set_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_set_clip_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_set_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(
            ["measurement_id"], ["measurement.id"], name=op.f("fk_set_measurement_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_set")),
        sa.UniqueConstraint("measurement_id", "n", name=op.f("uq_set_measurement_id_n")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("set", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_set_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_set_clip_id"), ["clip_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_set_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "effort",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=False),
        sa.Column("set_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kind", sa.String(length=4), nullable=False),
        sa.Column("current", sa.Boolean(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("done", sa.DateTime(timezone=True), nullable=False),
        sa.Column("week", sa.Date(), nullable=False),
        sa.Column("changed", sa.BigInteger(), nullable=False),
        sa.Column("movement", sa.String(length=60), nullable=False),
        sa.Column("variant", sa.String(length=200), nullable=True),
        sa.Column("status", sa.String(length=7), nullable=True),
        sa.Column("start", sa.Double(), nullable=False),
        sa.Column("end", sa.Double(), nullable=False),
        sa.Column("lowering_s", sa.Double(), nullable=True),
        sa.Column("lowering_u95", sa.Double(), nullable=True),
        sa.Column("bottom_pause_s", sa.Double(), nullable=True),
        sa.Column("bottom_pause_u95", sa.Double(), nullable=True),
        sa.Column("raising_s", sa.Double(), nullable=True),
        sa.Column("raising_u95", sa.Double(), nullable=True),
        sa.Column("top_pause_s", sa.Double(), nullable=True),
        sa.Column("top_pause_u95", sa.Double(), nullable=True),
        sa.Column("body_angle_deg", sa.Double(), nullable=True),
        sa.Column("body_angle_u95", sa.Double(), nullable=True),
        sa.Column("still_s", sa.Double(), nullable=True),
        sa.Column("still_u95", sa.Double(), nullable=True),
        sa.Column("sway_mm", sa.Double(), nullable=True),
        sa.Column("sway_u95", sa.Double(), nullable=True),
        sa.Column("verdict", sa.String(length=6), nullable=True),
        sa.Column("ruling", sa.String(length=12), nullable=True),
        sa.Column("corrected", sa.JSON(none_as_null=True), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_effort_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_effort_clip_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_effort_gym_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["set_id"], ["set.id"], name=op.f("fk_effort_set_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_effort")),
        sa.UniqueConstraint("set_id", "kind", "n", name=op.f("uq_effort_set_id_kind_n")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("effort", schema=None) as batch_op:
        batch_op.create_index("ix_effort_athlete", ["athlete_id", "current", "done", "id"], unique=False)
        batch_op.create_index("ix_effort_changed", ["gym_id", "changed"], unique=False)
        batch_op.create_index(batch_op.f("ix_effort_clip_id"), ["clip_id"], unique=False)
        batch_op.create_index("ix_effort_done", ["gym_id", "current", "done", "id"], unique=False)
        batch_op.create_index("ix_effort_movement", ["gym_id", "current", "movement", "done", "id"], unique=False)
        batch_op.create_index("ix_effort_review", ["gym_id", "current", "ruling", "verdict", "done"], unique=False)

    op.create_table(
        "check",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("set_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("effort_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("value", sa.Double(), nullable=True),
        sa.Column("u95", sa.Double(), nullable=True),
        sa.Column("unit", sa.String(length=16), nullable=True),
        sa.Column("low", sa.Double(), nullable=True),
        sa.Column("high", sa.Double(), nullable=True),
        sa.Column("p", sa.Double(), nullable=True),
        sa.Column("verdict", sa.String(length=6), nullable=True),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("advice", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["effort_id"], ["effort.id"], name=op.f("fk_check_effort_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["set_id"], ["set.id"], name=op.f("fk_check_set_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_check")),
    )
    with op.batch_alter_table("check", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_check_effort_id"), ["effort_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_check_set_id"), ["set_id"], unique=False)

    op.create_table(
        "correction",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("effort_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("boundaries", sa.JSON(), nullable=False),
        sa.Column("measured", sa.JSON(), nullable=False),
        sa.Column("coach_id", sa.String(length=22), nullable=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["coach_id"], ["person.id"], name=op.f("fk_correction_coach_id"), ondelete="SET NULL"),
        sa.ForeignKeyConstraint(["effort_id"], ["effort.id"], name=op.f("fk_correction_effort_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_correction_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_correction")),
    )
    with op.batch_alter_table("correction", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_correction_coach_id"), ["coach_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_correction_effort_id"), ["effort_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_correction_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "note",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("athlete_id", sa.String(length=22), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=True),
        sa.Column("effort_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("author_id", sa.String(length=22), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.id"], name=op.f("fk_note_athlete_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["author_id"], ["person.id"], name=op.f("fk_note_author_id"), ondelete="SET NULL"),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_note_clip_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["effort_id"], ["effort.id"], name=op.f("fk_note_effort_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_note_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_note")),
    )
    with op.batch_alter_table("note", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_note_athlete_id"), ["athlete_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_note_author_id"), ["author_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_note_clip_id"), ["clip_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_note_effort_id"), ["effort_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_note_gym_id"), ["gym_id"], unique=False)

    op.create_table(
        "ruling",
        sa.Column("id", sa.String(length=22), nullable=False),
        sa.Column("gym_id", sa.String(length=22), nullable=False),
        sa.Column("clip_id", sa.String(length=22), nullable=False),
        sa.Column("effort_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("start", sa.Double(), nullable=True),
        sa.Column("end", sa.Double(), nullable=True),
        sa.Column("ruling", sa.String(length=12), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("blind", sa.Boolean(), nullable=False),
        sa.Column("changed", sa.BigInteger(), nullable=False),
        sa.Column("chance", sa.Double(), nullable=False),
        sa.Column("coach_id", sa.String(length=22), nullable=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"], name=op.f("fk_ruling_clip_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["coach_id"], ["person.id"], name=op.f("fk_ruling_coach_id"), ondelete="SET NULL"),
        sa.ForeignKeyConstraint(["effort_id"], ["effort.id"], name=op.f("fk_ruling_effort_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["gym_id"], ["gym.id"], name=op.f("fk_ruling_gym_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ruling")),
    )
    with op.batch_alter_table("ruling", schema=None) as batch_op:
        batch_op.create_index("ix_ruling_changed", ["gym_id", "changed"], unique=False)
        batch_op.create_index(batch_op.f("ix_ruling_clip_id"), ["clip_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ruling_coach_id"), ["coach_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ruling_effort_id"), ["effort_id"], unique=False)


def downgrade() -> None:  # noqa: PLR0915 -- likewise
    """And back."""
    with op.batch_alter_table("ruling", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_ruling_effort_id"))
        batch_op.drop_index(batch_op.f("ix_ruling_coach_id"))
        batch_op.drop_index(batch_op.f("ix_ruling_clip_id"))
        batch_op.drop_index("ix_ruling_changed")

    op.drop_table("ruling")
    with op.batch_alter_table("note", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_note_gym_id"))
        batch_op.drop_index(batch_op.f("ix_note_effort_id"))
        batch_op.drop_index(batch_op.f("ix_note_clip_id"))
        batch_op.drop_index(batch_op.f("ix_note_author_id"))
        batch_op.drop_index(batch_op.f("ix_note_athlete_id"))

    op.drop_table("note")
    with op.batch_alter_table("correction", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_correction_gym_id"))
        batch_op.drop_index(batch_op.f("ix_correction_effort_id"))
        batch_op.drop_index(batch_op.f("ix_correction_coach_id"))

    op.drop_table("correction")
    with op.batch_alter_table("check", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_check_set_id"))
        batch_op.drop_index(batch_op.f("ix_check_effort_id"))

    op.drop_table("check")
    with op.batch_alter_table("effort", schema=None) as batch_op:
        batch_op.drop_index("ix_effort_review")
        batch_op.drop_index("ix_effort_movement")
        batch_op.drop_index("ix_effort_done")
        batch_op.drop_index(batch_op.f("ix_effort_clip_id"))
        batch_op.drop_index("ix_effort_changed")
        batch_op.drop_index("ix_effort_athlete")

    op.drop_table("effort")
    with op.batch_alter_table("set", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_set_gym_id"))
        batch_op.drop_index(batch_op.f("ix_set_clip_id"))
        batch_op.drop_index(batch_op.f("ix_set_athlete_id"))

    op.drop_table("set")
    with op.batch_alter_table("upload", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_upload_gym_id"))
        batch_op.drop_index(batch_op.f("ix_upload_clip_id"))
        batch_op.drop_index(batch_op.f("ix_upload_athlete_id"))

    op.drop_table("upload")
    with op.batch_alter_table("pain_report", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_pain_report_gym_id"))
        batch_op.drop_index(batch_op.f("ix_pain_report_clip_id"))
        batch_op.drop_index(batch_op.f("ix_pain_report_cleared_by"))
        batch_op.drop_index(batch_op.f("ix_pain_report_athlete_id"))

    op.drop_table("pain_report")
    with op.batch_alter_table("measurement", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_measurement_prescription_version_id"))
        batch_op.drop_index(batch_op.f("ix_measurement_gym_id"))

    op.drop_table("measurement")
    with op.batch_alter_table("clip", schema=None) as batch_op:
        batch_op.drop_index("uq_clip_athlete_source")
        batch_op.drop_index(batch_op.f("ix_clip_prescription_version_id"))
        batch_op.drop_index("ix_clip_gym_arrived")
        batch_op.drop_index(batch_op.f("ix_clip_expires"))
        batch_op.drop_index("ix_clip_athlete_arrived")

    op.drop_table("clip")
    with op.batch_alter_table("session", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_session_person_id"))
        batch_op.drop_index(batch_op.f("ix_session_link_id"))
        batch_op.drop_index(batch_op.f("ix_session_gym_id"))

    op.drop_table("session")
    with op.batch_alter_table("prescription_version", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_prescription_version_prescription_id"))
        batch_op.drop_index(batch_op.f("ix_prescription_version_gym_id"))
        batch_op.drop_index(batch_op.f("ix_prescription_version_created_by"))

    op.drop_table("prescription_version")
    with op.batch_alter_table("prescription", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_prescription_gym_id"))
        batch_op.drop_index(batch_op.f("ix_prescription_athlete_id"))

    op.drop_table("prescription")
    with op.batch_alter_table("link", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_link_gym_id"))
        batch_op.drop_index(batch_op.f("ix_link_created_by"))
        batch_op.drop_index(batch_op.f("ix_link_athlete_id"))

    op.drop_table("link")
    with op.batch_alter_table("factor", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_factor_gym_id"))

    op.drop_table("factor")
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_delivery_webhook_id"))
        batch_op.drop_index(batch_op.f("ix_delivery_gym_id"))
        batch_op.drop_index("ix_delivery_due")

    op.drop_table("delivery")
    with op.batch_alter_table("consent", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_consent_gym_id"))
        batch_op.drop_index(batch_op.f("ix_consent_athlete_id"))

    op.drop_table("consent")
    with op.batch_alter_table("webhook", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_webhook_gym_id"))

    op.drop_table("webhook")
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_person_gym_id"))

    op.drop_table("person")
    with op.batch_alter_table("movement_in_use", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_movement_in_use_gym_id"))

    op.drop_table("movement_in_use")
    with op.batch_alter_table("key", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_key_gym_id"))

    op.drop_table("key")
    with op.batch_alter_table("audit", schema=None) as batch_op:
        batch_op.drop_index("ix_audit_gym_made")

    op.drop_table("audit")
    with op.batch_alter_table("answered", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_answered_made"))
        batch_op.drop_index(batch_op.f("ix_answered_gym_id"))

    op.drop_table("answered")
    with op.batch_alter_table("tally", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_tally_since"))

    op.drop_table("tally")
    op.drop_table("gym")
    with op.batch_alter_table("deleted", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_deleted_resource_id"))
        batch_op.drop_index("ix_deleted_changed")

    op.drop_table("deleted")
    op.drop_table("beat")
