"""What would it cost and how long would it take to put this on the cake, or inside it?"""

from dataclasses import dataclass, replace

from consult.core import choices
from consult.core.design import Brief, ChosenDecoration
from consult.core.job_steps import DAY
from consult.core.quote import decoration_lines
from consult.core.work import decoration_tasks, finish_task, servings_made
from shop.core.book import ShopBook
from shop.core.catalogue import Filling, Flavour
from shop.core.money import Money, half_up, total


@dataclass(frozen=True, slots=True)
class Adding:
    """What one choice comes to on the cake as it stands, before minimum order, rush and tax."""

    price: Money
    minutes: int
    waiting: int = 0  # minutes it sets or dries, of finishes alone


def adding(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> Adding:
    """The price and the bench minutes of one decoration, on top of the cake without it. KeyError if unknown."""
    price = total((line.amount for line in decoration_lines(chosen, brief, book)), book.currency)
    return Adding(price, sum(task.hands_on for task in decoration_tasks(chosen, brief, book)))


def coating(finish: str, level: int, brief: Brief, book: ShopBook) -> Adding:
    """What the finish of that code comes to on the tier of that level, 0 for the base. KeyError if unknown.

    It is the finish's share of the tier's own line in the quote, to the cent: the servings are whole
    minor units, so the tier's one rounding is the finish's.
    """
    tier = replace(brief.design.tiers[level], finish=finish)
    servings = servings_made(tier, brief, book)
    rate = book.finish(finish).rate
    units = choices.units_of(rate.driver, tier, servings)
    minor = half_up(rate.price_once.minor + rate.price_each.minor * units)
    task = finish_task(tier, servings, level, book)
    waiting = max(task.waiting, book.finish(finish).lead_days * DAY)
    return Adding(Money(minor, book.currency), task.hands_on, waiting)


def more_inside(thing: Flavour | Filling, level: int, brief: Brief, book: ShopBook) -> Money:
    """What a flavour or filling adds to the price of the tier of that level, over a plain one."""
    return thing.price_per_serving.times(servings_made(brief.design.tiers[level], brief, book))
