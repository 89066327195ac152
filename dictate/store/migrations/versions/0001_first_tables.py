"""Make the first tables."""

import sqlalchemy as sa
from alembic import op

from dictate.store.columns import BIG_KEY, JSON_COLUMN, DecimalText, UtcTime

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "event",
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("at", UtcTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("act", sa.String(), nullable=False),
        sa.Column("before", JSON_COLUMN, nullable=True),
        sa.Column("after", JSON_COLUMN, nullable=True),
        sa.Column("undoes_id", BIG_KEY, nullable=True),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("undoes_id"),
    )
    with op.batch_alter_table("event", schema=None) as batch_op:
        batch_op.create_index("event_subject", ["subject", "subject_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_event_act"), ["act"], unique=False)

    op.create_table(
        "farm",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "trimmer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "alias",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("trimmer_id", sa.Integer(), nullable=False),
        sa.Column("heard", sa.String(), nullable=False),
        sa.Column("term", sa.String(), nullable=False),
        sa.Column("taught_at", UtcTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["trimmer_id"], ["trimmer.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("trimmer_id", "heard"),
    )
    with op.batch_alter_table("alias", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_alias_trimmer_id"), ["trimmer_id"], unique=False)

    op.create_table(
        "animal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("eid", sa.String(), nullable=True),
        sa.Column("ear_tag", sa.String(), nullable=True),
        sa.Column("name", sa.String(), nullable=True),
        sa.Column("lactation", sa.Integer(), nullable=True),
        sa.Column("calved_on", sa.Date(), nullable=True),
        sa.Column("dried_off_on", sa.Date(), nullable=True),
        sa.Column("status", sa.String(), nullable=False),
        sa.Column("on_roster", sa.Boolean(), nullable=False),
        sa.Column("merged_into_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["merged_into_id"], ["animal.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("animal", schema=None) as batch_op:
        batch_op.create_index("animal_eid", ["farm_id", "eid"], unique=False)
        batch_op.create_index(
            "animal_present_number",
            ["farm_id", "number"],
            unique=True,
            sqlite_where=sa.text("status = 'present' AND merged_into_id IS NULL"),
            postgresql_where=sa.text("status = 'present' AND merged_into_id IS NULL"),
        )
        batch_op.create_index(batch_op.f("ix_animal_farm_id"), ["farm_id"], unique=False)

    op.create_table(
        "visit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("trimmer_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("whole_herd", sa.Boolean(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["trimmer_id"], ["trimmer.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("farm_id", "trimmer_id", "date"),
    )
    with op.batch_alter_table("visit", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_visit_date"), ["date"], unique=False)
        batch_op.create_index(batch_op.f("ix_visit_farm_id"), ["farm_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_visit_trimmer_id"), ["trimmer_id"], unique=False)

    op.create_table(
        "clip",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("file_name", sa.String(), nullable=False),
        sa.Column("suffix", sa.String(), nullable=False),
        sa.Column("seconds", sa.Float(), nullable=False),
        sa.Column("source_rate", sa.Integer(), nullable=False),
        sa.Column("channels", sa.Integer(), nullable=False),
        sa.Column("recorded_at", UtcTime(timezone=True), nullable=True),
        sa.Column("recorded_from", sa.String(), nullable=False),
        sa.Column("taken_in_at", UtcTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("sha256"),
    )
    with op.batch_alter_table("clip", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_clip_visit_id"), ["visit_id"], unique=False)

    op.create_table(
        "note",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("clip_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("engine", sa.String(), nullable=False),
        sa.Column("model", sa.String(), nullable=False),
        sa.Column("words", JSON_COLUMN, nullable=False),
        sa.Column("alternatives", JSON_COLUMN, nullable=False),
        sa.Column("has_speech", sa.Boolean(), nullable=False),
        sa.Column("seconds_taken", sa.Float(), nullable=False),
        sa.Column("heard_at", UtcTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["clip_id"], ["clip.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("clip_id"),
    )
    with op.batch_alter_table("note", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_note_state"), ["state"], unique=False)
        batch_op.create_index(batch_op.f("ix_note_visit_id"), ["visit_id"], unique=False)

    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("note_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("touched", sa.Boolean(), nullable=False),
        sa.Column("content", JSON_COLUMN, nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=True),
        sa.Column("confirmed_how", sa.String(), nullable=True),
        sa.Column("confirmed_by", sa.String(), nullable=True),
        sa.Column("confirmed_at", UtcTime(timezone=True), nullable=True),
        sa.Column("reason", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["note_id"], ["note.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("note_id", "position"),
    )
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.create_index("entry_visit_state", ["visit_id", "state"], unique=False)
        batch_op.create_index(batch_op.f("ix_entry_animal_id"), ["animal_id"], unique=False)

    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("note_id", sa.Integer(), nullable=False),
        sa.Column("origin", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("lexicon", sa.String(), nullable=False),
        sa.Column("carried_in", sa.String(), nullable=True),
        sa.Column("carried_out", sa.String(), nullable=True),
        sa.Column("content", JSON_COLUMN, nullable=False),
        sa.Column("entries", JSON_COLUMN, nullable=False),
        sa.Column("read_at", UtcTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["note_id"], ["note.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("reading", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reading_note_id"), ["note_id"], unique=False)

    op.create_table(
        "action",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("foot", sa.String(), nullable=True),
        sa.Column("claw", sa.String(), nullable=True),
        sa.Column("material", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("action", schema=None) as batch_op:
        batch_op.create_index("action_animal_date", ["animal_id", "date"], unique=False)
        batch_op.create_index("action_farm_date", ["farm_id", "date"], unique=False)
        batch_op.create_index(batch_op.f("ix_action_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_action_visit_id"), ["visit_id"], unique=False)

    op.create_table(
        "finding",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("foot", sa.String(), nullable=True),
        sa.Column("claw", sa.String(), nullable=True),
        sa.Column("zone", sa.Integer(), nullable=True),
        sa.Column("lesion", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("severity", sa.String(), nullable=True),
        sa.Column("heard", sa.String(), nullable=False),
        sa.Column("object", sa.String(), nullable=True),
        sa.Column("course", sa.String(), nullable=True),
        sa.Column("tissue", JSON_COLUMN, nullable=False),
        sa.Column("region", sa.String(), nullable=True),
        sa.Column("lactation", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("finding", schema=None) as batch_op:
        batch_op.create_index("finding_animal_date", ["animal_id", "date"], unique=False)
        batch_op.create_index("finding_farm_date", ["farm_id", "date"], unique=False)
        batch_op.create_index(batch_op.f("ix_finding_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_finding_visit_id"), ["visit_id"], unique=False)

    op.create_table(
        "follow_up",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("in_days", sa.Integer(), nullable=True),
        sa.Column("said_when", sa.String(), nullable=False),
        sa.Column("snoozed_to", sa.Date(), nullable=True),
        sa.Column("done_on", sa.Date(), nullable=True),
        sa.Column("done_entry_id", sa.Integer(), nullable=True),
        sa.Column("done_by", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["done_entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("follow_up", schema=None) as batch_op:
        batch_op.create_index("follow_up_animal_date", ["animal_id", "date"], unique=False)
        batch_op.create_index("follow_up_farm_due", ["farm_id", "due_on"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_follow_up_done_entry_id"), ["done_entry_id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_follow_up_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_follow_up_visit_id"), ["visit_id"], unique=False)

    op.create_table(
        "locomotion",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("score", sa.Integer(), nullable=False),
        sa.Column("scale", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("locomotion", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_locomotion_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_locomotion_visit_id"), ["visit_id"], unique=False)
        batch_op.create_index("locomotion_animal_date", ["animal_id", "date"], unique=False)

    op.create_table(
        "measure",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("number", DecimalText(length=40), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("measure", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_measure_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_measure_visit_id"), ["visit_id"], unique=False)
        batch_op.create_index("measure_animal_date", ["animal_id", "date"], unique=False)

    op.create_table(
        "remark",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("remark", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_remark_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_remark_visit_id"), ["visit_id"], unique=False)
        batch_op.create_index("remark_animal_date", ["animal_id", "date"], unique=False)

    op.create_table(
        "status",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=False),
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", BIG_KEY, nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["animal_id"], ["animal.id"]),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"]),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"]),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("status", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_status_entry_id"), ["entry_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_status_visit_id"), ["visit_id"], unique=False)
        batch_op.create_index("status_animal_date", ["animal_id", "date"], unique=False)

    _protect()


# What may never change once written: table, and the column for SQLite's UPDATE OF (None: the row).
_KEPT = (
    ("event", None),
    ("reading", None),
    ("note", "words"),
    ("note", "alternatives"),
    ("clip", "sha256"),
)
_NEVER_DELETED = ("clip", "entry", "event", "note", "reading")


def _protect() -> None:
    """Let the database itself refuse to change or drop what was heard and what happened."""
    if op.get_context().dialect.name == "postgresql":
        op.execute(
            "CREATE FUNCTION dictate_refuse() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END $$"
        )
    for table, column in _KEPT:
        _refuse(
            f"{table}_{column or 'row'}_kept", f"UPDATE OF {column}" if column else "UPDATE", table
        )
    for table in _NEVER_DELETED:
        _refuse(f"{table}_not_deleted", "DELETE", table)


def _refuse(name: str, what: str, table: str) -> None:
    start = f"CREATE TRIGGER {name} BEFORE {what} ON {table} FOR EACH ROW "
    if op.get_context().dialect.name == "postgresql":
        op.execute(f"{start} EXECUTE FUNCTION dictate_refuse()")
    else:
        op.execute(f"{start} BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END")
