"""What did the shop offer at one moment? The book of today, and the editions that were shown to clients."""

import json
from functools import lru_cache

from django.db import models

from shop.core.book import ShopBook, book_from_plain
from shop.models.catalogue import (
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    SliceSize,
)
from shop.models.recipes import BenchTask
from shop.models.sealed import Sealed
from shop.models.setup import Shop, TermsVersion


class NoShopYet(LookupError):
    """The shop has not been set up: it has no row, no terms, or nothing to choose from."""


@lru_cache(maxsize=32)
def _book(body: str) -> ShopBook:
    return book_from_plain(json.loads(body))


class BookEdition(Sealed):
    """A ShopBook as it stood: its canonical JSON and the SHA-256 of that. One row for one content."""

    digest = models.CharField(max_length=64, unique=True)
    body = models.TextField()  # the exact text the digest was taken of
    made_at = models.DateTimeField()

    class Meta:
        ordering = ("-made_at",)

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M} {self.digest[:8]}"

    def as_value(self) -> ShopBook:
        """The book, read from its JSON once and remembered. Always the same object for the same body."""
        return _book(self.body)


def current_shop() -> Shop:
    """The shop's row; NoShopYet where there is none (one query)."""
    shop = Shop.objects.first()
    if shop is None:
        raise NoShopYet("The shop has not been set up yet.")
    return shop


def current_book() -> ShopBook:
    """Everything the shop offers at this moment, in eighteen queries. NoShopYet where there is no shop."""
    shop = current_shop()
    terms = TermsVersion.objects.first()
    if terms is None:
        raise NoShopYet("The shop has no terms yet.")
    currency = shop.currency

    def offered(model, *, with_recipe=False):
        rows = model.objects.filter(is_offered=True)
        return rows.prefetch_related("recipe_lines") if with_recipe else rows

    def priced(model):
        return tuple(row.as_value(currency) for row in offered(model, with_recipe=True))

    return ShopBook(
        identity=shop.identity(),
        policies=shop.policies(),
        terms=terms.as_value(),
        pans=tuple(pan.as_value() for pan in sorted(offered(Pan), key=lambda pan: pan.place)),
        slices=tuple(size.as_value() for size in offered(SliceSize)),
        ingredients=tuple(thing.as_value(currency) for thing in offered(Ingredient)),
        flavours=priced(Flavour),
        fillings=priced(Filling),
        finishes=priced(Finish),
        decorations=priced(Decoration),
        tasks=tuple(task.as_value() for task in offered(BenchTask)),
    )
