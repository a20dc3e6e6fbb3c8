"""What would it cost and how long would it take to put this on the cake?"""

from dataclasses import dataclass, replace

from consult.core.design import Brief, ChosenDecoration
from consult.core.quote import cake_lines
from consult.core.work import work_of
from shop.core.book import ShopBook
from shop.core.money import Money, total


@dataclass(frozen=True, slots=True)
class Adding:
    """What one decoration comes to on the cake as it stands, before minimum order, rush and tax."""

    price: Money
    minutes: int


def adding(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> Adding:
    """The price and the bench minutes of one decoration, on top of the cake without it. KeyError if unknown."""
    bare = replace(brief, design=replace(brief.design, decorations=()))
    dressed = replace(brief, design=replace(brief.design, decorations=(chosen,)))
    price = total((line.amount for line in cake_lines(dressed, book)), book.currency)
    before = total((line.amount for line in cake_lines(bare, book)), book.currency)
    minutes = work_of(dressed, book).hands_on - work_of(bare, book).hands_on
    return Adding(price - before, minutes)
