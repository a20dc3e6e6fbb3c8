"""What is written once: does the database itself refuse to change it, by every way round the rows?"""

import pytest
from django.core.management import call_command
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from consult.models import (
    BalanceAsked,
    Cancellation,
    Contract,
    DesignsSent,
    Inquiry,
    Receipt,
    Refund,
    Voided,
)
from shop.models.sealed import lifting_sql, put_up_guards, sealed_tables
from tests.trust.stage import signed_with_deposit

pytestmark = pytest.mark.django_db

SEALED = [
    "consult_balanceasked", "consult_cancellation", "consult_contract", "consult_depositasked",
    "consult_designssent", "consult_entry", "consult_inquiry", "consult_payment",
    "consult_receipt", "consult_refund", "consult_sheet", "consult_signature", "consult_voided",
    "shop_bookedition", "shop_termsversion",
]  # fmt: skip


def guards():
    """The guards that stand in the database, by table."""
    asked = "SELECT tbl_name, name FROM sqlite_master WHERE type = 'trigger'"
    if connection.vendor == "postgresql":
        asked = (
            "SELECT tgrelid::regclass::text, tgname FROM pg_trigger "
            "WHERE NOT tgisinternal AND tgenabled = 'O'"
        )
    with connection.cursor() as cursor:
        cursor.execute(asked)
        return sorted(cursor.fetchall())


def declared():
    ends = ("no_delete", "no_update")
    if connection.vendor == "postgresql":
        ends = ("not_emptied", "written_once")
    return [(table, f"{table}_{end}") for table in SEALED for end in ends]


def test_every_table_that_is_written_once_has_its_guards_and_no_other_has():
    assert sealed_tables() == SEALED
    assert guards() == declared()


def test_guards_that_fell_are_put_up_again_by_a_migration_and_at_the_start():
    for again in (lambda: call_command("migrate", verbosity=0), put_up_guards):
        with connection.cursor() as cursor:
            for table in SEALED:
                for words in lifting_sql(connection.vendor, table):
                    cursor.execute(words)
        assert guards() == []
        again()
        assert guards() == declared()


def filled(table):
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT * FROM "{table}" ORDER BY id')
        return [column[0] for column in cursor.description], cursor.fetchall()


def write_the_rest(row, person):
    """A row in each table that signing and a payment leave empty."""
    now, sheet, payment = timezone.now(), row.sheets.get(), row.payments.get()
    paper = {"body": {}, "pdf_sha256": "0" * 64}
    noted = {"noted_by": person, "noted_at": now}
    amount = {"amount_minor": 5, "currency": "USD"}
    due = {"reference": "RF18", "due_on": now.date(), "asked_at": now}
    sent = {"of_revision": 1, "body": {}, "sent_by": person, "sent_at": now}
    refund = Refund.objects.create(
        consultation=row, **amount, paid_on=now.date(), means="cash", why="a slip", **noted
    )
    Voided.objects.create(refund=refund, why="a slip", **noted)
    BalanceAsked.objects.create(sheet=sheet, place=1, **due, **amount, **paper)
    DesignsSent.objects.create(consultation=row, **sent)
    Inquiry.objects.create(consultation=row, said={}, currency="USD", sent_at=now)
    Cancellation.objects.create(
        consultation=row, sheet=sheet, cancelled_on=now.date(), by_client=True, kept_minor=1,
        back_minor=0, currency="USD", **paper, **noted,
    )  # fmt: skip
    if not Receipt.objects.exists():
        Receipt.objects.create(number="R-1", payment=payment, made_at=now, **paper)
    if not Contract.objects.exists():
        seal = {"fingerprint": "0" * 64, "certificate_sha256": "0" * 64}
        Contract.objects.create(sheet=sheet, made_at=now, **seal, **paper)


def test_no_sql_changes_a_row_that_is_written_once(shop, rosa, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    as_rosa.post(
        reverse("consult:deposit", args=[row.pk]),
        {"amount": "10", "means": "cash", "received_on": "2026-01-01", "revision": row.revision},
    )
    write_the_rest(row, rosa)
    for table in SEALED:
        columns, before = filled(table)
        assert before, table
        text = next(name for name in columns if name not in ("id",) and not name.endswith("_id"))
        first = before[0][columns.index("id")]
        tries = [
            f'UPDATE "{table}" SET "{text}" = "{text}"', f'DELETE FROM "{table}"',
            f'DELETE FROM "{table}" WHERE id = {first}', f'UPDATE "{table}" SET id = id + 1000',
        ]  # fmt: skip
        if connection.vendor == "sqlite":
            names = ", ".join(f'"{name}"' for name in columns)
            tries += [
                f'INSERT OR REPLACE INTO "{table}" ({names}) SELECT {names} FROM "{table}" WHERE id = {first}',
                f'REPLACE INTO "{table}" ({names}) SELECT {names} FROM "{table}"',
                f'UPDATE OR REPLACE "{table}" SET id = {first}',
                f'INSERT INTO "{table}" ({names}) SELECT {names} FROM "{table}" WHERE true '
                f'ON CONFLICT(id) DO UPDATE SET "{text}" = excluded."{text}"',
            ]  # fmt: skip
        else:
            connection.check_constraints()  # checks that are put off would stand in the way first
            tries.append(f'TRUNCATE "{table}" CASCADE')
        for words in tries:
            with (
                pytest.raises(IntegrityError),
                transaction.atomic(),
                connection.cursor() as cursor,
            ):
                cursor.execute(words)
        assert filled(table) == (columns, before)


def test_without_recursive_triggers_a_replacement_would_slip_past():
    """The control, on SQLite: what the setting of the connection is for."""
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        assert cursor.execute("PRAGMA recursive_triggers").fetchone() == (1,)
        cursor.execute("CREATE TABLE sealed_trial (id INTEGER PRIMARY KEY, words TEXT)")
        cursor.execute(
            "CREATE TRIGGER sealed_trial_no_delete BEFORE DELETE ON sealed_trial "
            "BEGIN SELECT RAISE(ABORT, 'written once'); END"
        )
        cursor.execute("INSERT INTO sealed_trial VALUES (1, 'signed')")
        with pytest.raises(DatabaseError, match="written once"):
            cursor.execute("REPLACE INTO sealed_trial VALUES (1, 'forged')")
        cursor.execute("PRAGMA recursive_triggers = OFF")
        try:
            cursor.execute("REPLACE INTO sealed_trial VALUES (1, 'forged')")
            assert cursor.execute("SELECT words FROM sealed_trial").fetchone() == ("forged",)
        finally:
            cursor.execute("PRAGMA recursive_triggers = ON")
