"""What the shop keeps as rows. Each row can say itself as a plain value of shop.core; none holds a rule."""

from shop.models.agreement import CancellationStep
from shop.models.catalogue import (
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    SliceSize,
)
from shop.models.editions import BookEdition, NoShopYet, current_book, current_shop
from shop.models.person import Person
from shop.models.recipes import BenchTask, RecipeLine
from shop.models.sealed import Sealed, SealedRow
from shop.models.setup import ClosedDay, RushFee, Shop, TermsVersion, TierHeight

__all__ = [
    "BenchTask",
    "BookEdition",
    "CancellationStep",
    "ClosedDay",
    "Decoration",
    "Filling",
    "Finish",
    "Flavour",
    "Ingredient",
    "NoShopYet",
    "Pan",
    "Person",
    "RecipeLine",
    "RushFee",
    "Sealed",
    "SealedRow",
    "Shop",
    "SliceSize",
    "TermsVersion",
    "TierHeight",
    "current_book",
    "current_shop",
]
