"""Fills in a shop to play with: an invented maker, her catalogue and two people. Never over a shop's own data."""

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shop import data_folder
from shop.actions import take_in_book, take_on
from shop.management.commands.start import set_up_database
from shop.models import Person, Shop
from shop.sample import SAMPLE_PEOPLE
from shop.sample_setup import sample_book


class Command(BaseCommand):
    help = "Fill in the sample shop. Does nothing where it is there; refuses to touch a shop's own data."

    def add_arguments(self, parser):
        parser.add_argument(
            "--euro",
            action="store_true",
            help="in euros and centimetres, on A4, with the EU's allergens, and an IBAN",
        )

    def handle(self, *args, euro, **options):
        data_folder.made(settings.DATA)
        set_up_database(lambda words: self._say(words, options))
        shop = Shop.objects.first()
        if shop is not None and not shop.is_sample:
            raise CommandError(
                f"{shop} has its own data, which the sample shop would cover. Nothing was changed."
            )
        if shop is not None and shop.currency == ("EUR" if euro else "USD"):
            self._take_people_on()
            self._say("The sample shop is there already.", options)
            return
        if shop is not None:
            raise CommandError(
                f"The sample shop is there already, in {shop.currency}. Start with an empty data "
                "folder for the other one. Nothing was changed."
            )
        take_in_book(sample_book(euro=euro), is_sample=True)
        self._take_people_on()
        self._say("The sample shop is filled in.", options)

    def _take_people_on(self):
        """Only while nobody works here: their passwords are public, so a real shop must not get them."""
        if Person.objects.exists():
            return
        for person in SAMPLE_PEOPLE:
            take_on(person.email, name=person.name, role=person.role, password=person.password)

    def _say(self, words, options):
        if options["verbosity"]:
            self.stdout.write(words)
