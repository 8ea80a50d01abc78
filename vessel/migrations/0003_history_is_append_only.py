"""Triggers that refuse to change or delete a history entry, in SQLite's and PostgreSQL's words."""

from django.db import migrations

TABLE = "vessel_historyentry"
SENTENCE = "History is append-only: an entry is never changed or deleted."

SQLITE_MAKE = [
    f"""CREATE TRIGGER history_refuses_{deed.lower()} BEFORE {deed} ON {TABLE}
    BEGIN SELECT RAISE(ABORT, '{SENTENCE}'); END"""
    for deed in ("UPDATE", "DELETE")
] + [
    # INSERT OR REPLACE deletes the old row without firing the DELETE trigger
    f"""CREATE TRIGGER history_refuses_replace BEFORE INSERT ON {TABLE}
    WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE id = NEW.id OR (vessel_id = NEW.vessel_id AND number = NEW.number))
    BEGIN SELECT RAISE(ABORT, '{SENTENCE}'); END"""
]
SQLITE_DROP = [f"DROP TRIGGER IF EXISTS history_refuses_{deed}" for deed in ("update", "delete", "replace")]
POSTGRES_MAKE = [
    f"""CREATE FUNCTION history_refuses() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION '{SENTENCE}'; END $$""",
    f"""CREATE TRIGGER history_refuses_change BEFORE UPDATE OR DELETE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION history_refuses()""",
    f"""CREATE TRIGGER history_refuses_truncate BEFORE TRUNCATE ON {TABLE}
    FOR EACH STATEMENT EXECUTE FUNCTION history_refuses()""",
]
POSTGRES_DROP = [
    f"DROP TRIGGER IF EXISTS history_refuses_change ON {TABLE}",
    f"DROP TRIGGER IF EXISTS history_refuses_truncate ON {TABLE}",
    "DROP FUNCTION IF EXISTS history_refuses()",
]


def guard(apps, schema_editor):
    statements = {"sqlite": SQLITE_MAKE, "postgresql": POSTGRES_MAKE}[schema_editor.connection.vendor]
    for statement in statements:
        schema_editor.execute(statement)


def unguard(apps, schema_editor):
    statements = {"sqlite": SQLITE_DROP, "postgresql": POSTGRES_DROP}[schema_editor.connection.vendor]
    for statement in statements:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("vessel", "0002_boat")]

    operations = [migrations.RunPython(guard, unguard)]
