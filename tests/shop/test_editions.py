"""Does an edition stay what it was, whatever the shop changes, and whoever tries to change it?"""

import json

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from shop.actions import (
    change_in_catalogue,
    change_shop,
    close_days,
    edition_of_today,
    issue_terms,
    take_off_list,
)
from shop.core.book import book_from_plain, digest
from shop.core.money import Money
from shop.models import (
    BookEdition,
    Decoration,
    Flavour,
    NoShopYet,
    SealedRow,
    TermsVersion,
    current_book,
)
from shop.models.sealed import guard_sql, lifting_sql, put_up_guards, sealed_tables
from shop.sample_setup import sample_book


def test_the_book_of_today_says_what_the_rows_say(shop):
    assert current_book() == sample_book()


# The shop, its terms; rush fees, heights, closed days; pans, slices, ingredients, tasks; and four
# kinds with their recipes' lines.
def test_the_book_takes_eighteen_queries_however_long_the_lists(shop, django_assert_num_queries):
    with django_assert_num_queries(18):
        current_book()
    Decoration.objects.exclude(code="gold-leaf").delete()
    with django_assert_num_queries(18):
        current_book()


def test_a_shop_that_is_not_set_up_has_no_book(db):
    with pytest.raises(NoShopYet, match="has not been set up yet"):
        current_book()


def test_an_edition_holds_the_whole_book(shop):
    edition = edition_of_today()
    assert edition.as_value() == current_book()
    assert edition.digest == digest(current_book())
    assert book_from_plain(json.loads(edition.body)) == current_book()


def test_the_same_book_is_one_edition(shop):
    first = edition_of_today()
    assert edition_of_today() == first
    assert BookEdition.objects.count() == 1


def test_an_edition_is_read_once(shop, django_assert_num_queries):
    edition = edition_of_today()
    with django_assert_num_queries(0):
        assert edition.as_value() is edition.as_value()


def test_a_change_of_price_makes_a_new_edition_and_leaves_the_old(shop):
    before = edition_of_today()
    change_shop(shop, price_per_serving=Money.of("6.25", "USD"))
    after = edition_of_today()
    kept = BookEdition.objects.get(pk=before.pk).as_value()
    assert str(kept.policies.price_per_serving) == "5.50"
    assert str(after.as_value().policies.price_per_serving) == "6.25"


def change_a_name(shop):
    change_in_catalogue(Flavour.objects.first(), name="Vanilla sponge")


def take_one_off(shop):
    take_off_list(Flavour.objects.last())


def close_a_day(shop):
    today = timezone.localdate()
    close_days(today, last=today)


def change_the_terms(shop):
    issue_terms("Be kind.", consent="I agree.", by=None)


@pytest.mark.parametrize("change", [change_a_name, take_one_off, close_a_day, change_the_terms])
def test_whatever_changes_the_old_edition_says_the_same(shop, change):
    before = edition_of_today()
    body = before.body
    change(shop)
    assert edition_of_today() != before
    assert BookEdition.objects.get(pk=before.pk).body == body


def issued(shop):
    return TermsVersion.objects.first()


@pytest.mark.parametrize(
    "made", [lambda shop: edition_of_today(), issued], ids=["edition", "terms"]
)
class TestWrittenOnce:
    def test_its_row_refuses_to_be_saved_again(self, shop, made):
        row = made(shop)
        with pytest.raises(SealedRow, match="it can be neither changed nor deleted"):
            row.save()

    def test_its_row_refuses_to_be_deleted(self, shop, made):
        row = made(shop)
        with pytest.raises(SealedRow):
            row.delete()
        assert type(row).objects.filter(pk=row.pk).exists()

    def test_several_at_once_are_refused_too(self, shop, made):
        rows = type(made(shop)).objects.all()
        with pytest.raises(SealedRow):
            rows.update(made_at=timezone.now())
        with pytest.raises(SealedRow):
            rows.delete()
        with pytest.raises(SealedRow):
            rows.bulk_update(list(rows), ["made_at"])

    def test_a_made_up_row_cannot_take_its_place(self, shop, made):
        row = made(shop)
        row._state.adding = True
        with pytest.raises(IntegrityError), transaction.atomic():
            row.save()

    @pytest.mark.parametrize(
        "statement",
        [
            "UPDATE {table} SET made_at = made_at",
            "DELETE FROM {table}",
            "DELETE FROM {table} WHERE id = {pk}",
        ],
    )
    def test_the_database_refuses_plain_sql(self, shop, made, statement):
        row = made(shop)
        table = row._meta.db_table
        with (
            pytest.raises(IntegrityError, match="neither changed nor deleted"),
            transaction.atomic(),
        ):
            connection.cursor().execute(statement.format(table=table, pk=row.pk))
        assert type(row).objects.get(pk=row.pk).made_at == row.made_at


def test_every_sealed_table_is_guarded_again_after_a_migration(shop):
    """SQLite rebuilds a table to change it, and its triggers are lost with the old one."""
    assert {"shop_bookedition", "shop_termsversion"} <= set(sealed_tables())
    edition = edition_of_today()
    with connection.cursor() as cursor:
        for statement in lifting_sql(connection.vendor, "shop_bookedition"):
            cursor.execute(statement)
        cursor.execute("UPDATE shop_bookedition SET made_at = made_at")
    call_command("migrate", verbosity=0)
    with pytest.raises(IntegrityError), transaction.atomic():
        connection.cursor().execute("UPDATE shop_bookedition SET made_at = made_at")
    assert BookEdition.objects.get() == edition


def test_putting_up_a_guard_twice_changes_nothing(shop):
    edition_of_today()
    put_up_guards()
    put_up_guards()
    with pytest.raises(IntegrityError), transaction.atomic():
        connection.cursor().execute("DELETE FROM shop_bookedition WHERE 1 = 1")


def test_on_postgresql_a_table_cannot_be_emptied_either():
    """Read here as words; the tests above run on whichever database is configured."""
    statements = guard_sql("postgresql", "shop_bookedition")
    assert [" ".join(words.split()[:4]) for words in statements] == [
        "CREATE OR REPLACE FUNCTION",
        "CREATE OR REPLACE TRIGGER",
        "CREATE OR REPLACE TRIGGER",
    ]
    assert "BEFORE UPDATE OR DELETE" in statements[1]
    assert "BEFORE TRUNCATE" in statements[2]
