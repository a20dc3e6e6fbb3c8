"""Puts the database's own guard on the tables that are written once."""

from django.db import migrations

from shop.models.sealed import guard_sql, lifting_sql

TABLES = ("shop_bookedition", "shop_termsversion")


def put_up(apps, schema_editor):
    for table in TABLES:
        for statement in guard_sql(schema_editor.connection.vendor, table):
            schema_editor.execute(statement, None)  # no parameters: a % in it stays one


def take_down(apps, schema_editor):
    for table in TABLES:
        for statement in lifting_sql(schema_editor.connection.vendor, table):
            schema_editor.execute(statement, None)


class Migration(migrations.Migration):
    dependencies = [("shop", "0002_the_shops_own_data")]

    operations = [migrations.RunPython(put_up, take_down)]
