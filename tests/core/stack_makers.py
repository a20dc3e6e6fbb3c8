"""Shops, briefs and costs for the tests of stacks: pans and limits are all that matters here."""

from dataclasses import dataclass, replace
from decimal import Decimal

from consult.core.design import Brief, Kind, Limits, Need, Tier
from consult.core.stacks import TierOption
from shop.core.catalogue import Pan, Shape, SliceSize
from shop.core.measures import Units
from shop.core.policies import StackLimits
from tests.small_shop import a_book

INCH = 25.4
ROUNDS = (4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16)


def a_pan(shape, size, width=None, owned=1):
    """A pan in inches, 3 in deep."""
    short = None if width is None else Decimal(str(width))
    return Pan(shape, Decimal(str(size)), Decimal(3), Units.INCHES, owned, short)


def pans(shape, *sizes):
    return tuple(a_pan(shape, size) for size in sizes)


def stack_shop(shelf=None, **limits):
    """A shop on inches with those pans (4 to 16 in rounds by default) and those limits of stacks."""
    book = a_book()
    return replace(
        book,
        pans=pans(Shape.ROUND, *ROUNDS) if shelf is None else tuple(shelf),
        slices=(
            SliceSize("dessert", "Dessert slice", 1 * INCH, 2 * INCH),
            SliceSize("finger", "Finger slice", 1 * INCH, 1 * INCH),
        ),
        policies=replace(book.policies, stacks=replace(StackLimits(), **limits)),
    )


def a_brief(guests=70, keep_top=False, eating_share="1", spare=0, slice_size="dessert", **limits):
    need = Need(guests, slice_size, Decimal(eating_share), spare, keep_top)
    return Brief(need=need, limits=Limits(**limits))


def a_tier(size, shape=Shape.ROUND, height=4, kind=Kind.EATEN, width=None):
    """A tier in inches."""
    short = None if width is None else width * INCH
    return Tier(shape, size * INCH, height * INCH, short, kind)


@dataclass(frozen=True)
class PlainCosts:
    """Costs in round figures: each serving, each millimetre of height and each tier costs something."""

    serving: int = 600
    height: int = 10
    tier_minutes: int = 25
    join_minutes: int = 12
    top_price: int = 1500
    shown: int = 3000
    least: int = 20000

    def tier(self, option: TierOption, level: int, is_top: bool, kind: Kind) -> tuple[int, int]:
        cake = self.shown if kind is Kind.DISPLAY else option.servings * self.serving
        price = cake + round(option.height_mm * self.height) + self.top_price * is_top
        work = round(option.size_mm * option.height_mm / 1000) if self.tier_minutes else 0
        return price, self.tier_minutes + work

    def join(self, level: int) -> tuple[int, int]:
        return 0, self.join_minutes

    def once(self) -> tuple[int, int]:
        return 0, 40

    def kitchen(self, option: TierOption) -> tuple[int, int]:
        return option.servings * 350, 35

    def total(self, price_minor: int) -> int:
        return max(price_minor, self.least)


# Nothing costs anything, so that stacks differ in servings and height alone.
FREE = PlainCosts(
    serving=0, height=0, tier_minutes=0, join_minutes=0, top_price=0, shown=0, least=0
)


# A shop that can feed several hundred from its tiers alone.
_SQUARES = pans(Shape.SQUARE, 6, 8, 10, 12, 14, 16)
BIG_SHOP = stack_shop(
    (*pans(Shape.ROUND, 4, 6, 8, 10, 12, 14), *_SQUARES, a_pan(Shape.RECTANGLE, 13, 9)),
    widest_board_mm=20 * INCH,
    heights_mm=(101.6, 127.0),
)
