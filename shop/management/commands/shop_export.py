"""Writes everything the shop offers and has decided into one JSON file: the book of today."""

import json
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from shop.core.book import plain
from shop.models import NoShopYet, current_book


class Command(BaseCommand):
    help = (
        "Write the shop's catalogue, prices, policies and terms to FILE.json. People are not in it."
    )

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, metavar="FILE.json")

    def handle(self, *args, file, **options):
        try:
            book = current_book()
        except NoShopYet as error:
            raise CommandError(str(error)) from error
        text = json.dumps(plain(book), ensure_ascii=False, indent=2, sort_keys=True)
        try:
            file.write_text(text + "\n", encoding="utf-8")
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error.strerror}") from error
        self.stdout.write(f"{book.identity.name} is written to {file}.")
