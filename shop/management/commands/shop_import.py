"""Makes the shop what a JSON file says: the whole book, as shop_export wrote it."""

import json
from pathlib import Path

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from shop.actions import take_in_book
from shop.core.book import WrongBook, book_from_plain
from shop.models import Shop


class Command(BaseCommand):
    help = "Make the shop what FILE.json says. What the file leaves out is taken off the lists."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, metavar="FILE.json")
        parser.add_argument(
            "--over",
            action="store_true",
            help="also where there is a shop already; what was quoted stays as it was",
        )

    def handle(self, *args, file, over, **options):
        try:
            book = book_from_plain(json.loads(file.read_text(encoding="utf-8")))
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}") from error
        except (UnicodeDecodeError, json.JSONDecodeError) as error:
            raise CommandError(f"{file} is no JSON file: {error}") from error
        except WrongBook as error:
            raise CommandError(f"{file} does not fit: {error}") from error
        shop = Shop.objects.first()
        if shop is not None and not over:
            raise CommandError(
                f"{shop} is here already. Say --over to make it what the file says. "
                "Nothing was changed."
            )
        try:
            take_in_book(book)
        except (DatabaseError, ValidationError, ValueError) as error:
            raise CommandError(f"{file} does not fit: {error}. Nothing was changed.") from error
        self.stdout.write(f"{book.identity.name} is taken in.")
