"""Does this order earn its keep? What is left of the price, and what the owner wanted left. For her eyes only."""

from dataclasses import dataclass
from decimal import Decimal

from consult.core.design import Brief
from consult.core.earnings import ShopFigures, for_the_shop
from consult.core.quote import Quote
from consult.core.work import Work
from shop.core.book import ShopBook
from shop.core.money import Money


@dataclass(frozen=True, slots=True)
class Worth:
    """`margin` is profit over price before tax, 0 to 1 (markup is not margin: 25 % on top is 20 % of the price)."""

    figures: ShopFigures
    price: Money  # without tax
    margin: Decimal
    wanted: Decimal
    is_below: bool
    says: str


def worth_of(brief: Brief, book: ShopBook, work: Work, quote: Quote) -> Worth | None:
    """What the order is worth to the shop; None while there is nothing to price."""
    if not quote.total:
        return None
    figures = for_the_shop(brief, book, work, quote)
    price = figures.cost + figures.profit
    margin = Decimal(figures.profit.minor) / Decimal(price.minor) if price else Decimal(0)
    wanted = book.policies.least_margin
    is_below = margin < wanted
    locale = book.identity.locale
    left = f"{_percent(margin)} of the price is left: {figures.profit.written(locale)}"
    if figures.earned_an_hour is not None:
        left += f", and each bench hour earns {figures.earned_an_hour.written(locale)}"
    says = f"{left}. You want {_percent(wanted)} or more." if wanted else f"{left}."
    return Worth(figures, price, margin, wanted, is_below, says)


def _percent(share: Decimal) -> str:
    return f"{share * 100:.1f} %".replace(".0 %", " %")
