"""What would it cost and how long would it take to put this on the cake?"""

from dataclasses import dataclass

from consult.core.design import Brief, ChosenDecoration
from consult.core.quote import decoration_lines
from consult.core.work import decoration_tasks
from shop.core.book import ShopBook
from shop.core.money import Money, total


@dataclass(frozen=True, slots=True)
class Adding:
    """What one decoration comes to on the cake as it stands, before minimum order, rush and tax."""

    price: Money
    minutes: int


def adding(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> Adding:
    """The price and the bench minutes of one decoration, on top of the cake without it. KeyError if unknown."""
    price = total((line.amount for line in decoration_lines(chosen, brief, book)), book.currency)
    return Adding(price, sum(task.hands_on for task in decoration_tasks(chosen, brief, book)))
