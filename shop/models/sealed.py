"""What may never be changed once written? Rows that refuse it, and the database's own guard behind them.

A change through the rows raises SealedRow; one that goes round them, by SQL, is refused by a trigger. Django
drops a table's triggers where SQLite rebuilds the table for a migration, so they are put up after each one.
"""

from django.apps import apps
from django.db import connections, models

REFUSAL = "is written once: it can be neither changed nor deleted"


class SealedRow(TypeError):
    """Somebody tried to change or delete a row that is written once."""


class SealedRows(models.QuerySet):
    """No change and no deletion of several rows either."""

    def _refuse(self):
        raise SealedRow(f"A row of {self.model._meta.verbose_name_plural} {REFUSAL}.")

    def update(self, **values):
        self._refuse()

    def bulk_update(self, objs, fields, batch_size=None):
        self._refuse()

    def delete(self):
        self._refuse()


class Sealed(models.Model):
    """Written once. Its table gets the database's guard after each migration."""

    objects = SealedRows.as_manager()

    class Meta:
        abstract = True

    def save(self, *args, **kwargs):
        if not self._state.adding:
            raise SealedRow(f"A row of {self._meta.verbose_name_plural} {REFUSAL}.")
        kwargs["force_insert"] = True  # a made-up key of an old row must not overwrite that row
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        raise SealedRow(f"A row of {self._meta.verbose_name_plural} {REFUSAL}.")


def sealed_tables() -> list[str]:
    """The tables of all rows that are written once, in every app."""
    return sorted(model._meta.db_table for model in apps.get_models() if issubclass(model, Sealed))


def guard_sql(vendor: str, table: str) -> list[str]:
    """Statements that put up the guard of one table; harmless where it stands already."""
    if vendor == "sqlite":
        return [
            f'CREATE TRIGGER IF NOT EXISTS "{table}_no_{verb.lower()}" BEFORE {verb} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, '{table} {REFUSAL}'); END"
            for verb in ("UPDATE", "DELETE")
        ]
    return [
        "CREATE OR REPLACE FUNCTION refuse_to_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = '23000'; END $$",
        f'CREATE OR REPLACE TRIGGER "{table}_written_once" BEFORE UPDATE OR DELETE ON "{table}" '
        "FOR EACH ROW EXECUTE FUNCTION refuse_to_change()",
        f'CREATE OR REPLACE TRIGGER "{table}_not_emptied" BEFORE TRUNCATE ON "{table}" '
        "FOR EACH STATEMENT EXECUTE FUNCTION refuse_to_change()",
    ]


def lifting_sql(vendor: str, table: str) -> list[str]:
    """Take the guard of one table down: to empty a test database, or to erase what must be kept no longer."""
    if vendor == "sqlite":
        return [f'DROP TRIGGER IF EXISTS "{table}_no_{verb}"' for verb in ("update", "delete")]
    return [
        f'DROP TRIGGER IF EXISTS "{table}_{name}" ON "{table}"'
        for name in ("written_once", "not_emptied")
    ]


def put_up_guards(using: str = "default", **kwargs) -> None:
    """Guard every sealed table that exists. Called after each migration (post_migrate)."""
    connection = connections[using]
    with connection.cursor() as cursor:
        there = set(connection.introspection.table_names(cursor))
        for table in sealed_tables():
            if table in there:
                for statement in guard_sql(connection.vendor, table):
                    cursor.execute(statement)
