"""Is an inquiry told the truth? The range against quotes made one by one, the days against the order of work."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from consult.core.design import Design, HandOver, How
from consult.core.inquiring import (
    DayStands,
    Within,
    brief_asked,
    budget_within,
    days_standing,
    price_range,
)
from consult.core.quote import delivery_of, quote_of
from consult.core.reckoning import stack_costs
from consult.core.stacks import stacks
from consult.core.timeline import free_days
from consult.core.work import work_of
from shop.core.money import total
from tests.makers import TODAY, WEDDING_DAY, make_book, usd

BOOK = make_book()


def asked(guests=70, *, hand_over=None, on=WEDDING_DAY, book=BOOK):
    return brief_asked(guests, "dessert", hand_over or HandOver(), on, book)


def every_plain_total(brief, book):
    """Each stack that is offered in any one coat, in the cheapest flavour and filling, quoted by itself."""
    flavour = min(book.flavours, key=lambda thing: thing.price_per_serving.minor).code
    filling = min(book.fillings, key=lambda thing: thing.price_per_serving.minor).code
    for stack in stacks(brief, book, stack_costs(brief, book, TODAY)):
        for finish in book.finishes:
            tiers = tuple(
                replace(tier, flavour=flavour, filling=filling, finish=finish.code)
                for tier in stack.tiers
            )
            design = Design(tiers, kitchen_cakes=stack.kitchen_cakes)
            yield quote_of(replace(brief, design=design), book, TODAY).total


@pytest.mark.parametrize("guests", [12, 70, 150])
def test_no_offered_stack_in_any_coat_is_cheaper_than_the_lower_end(guests):
    brief = asked(guests)
    prices = price_range(brief, BOOK, TODAY)
    assert prices.least == min(every_plain_total(brief, BOOK))


@pytest.mark.parametrize("guests", [1, 12, 70, 150])
@pytest.mark.parametrize("how", list(How))
def test_both_ends_are_quotes_that_add_up(guests, how):
    brief = asked(guests, hand_over=HandOver(how, None, Decimal(20)))
    prices = price_range(brief, BOOK, TODAY)
    for guide in (prices.plainest, prices.decorated):
        whole = replace(prices.brief, design=guide.design)
        quote = quote_of(whole, BOOK, TODAY)
        assert (guide.total, guide.lines) == (quote.total, quote.lines)
        assert total((line.amount for line in guide.lines), BOOK.currency) == guide.total
        assert guide.servings >= guests
    assert prices.least <= prices.most


def test_a_cake_for_two_costs_the_smallest_order():
    book = make_book(minimum_order=usd(400))
    prices = price_range(asked(2, book=book), book, TODAY)
    assert prices.least >= usd(400)
    assert any(line.kind == "minimum" for line in prices.plainest.lines)


def test_delivery_is_in_the_range():
    away = HandOver(How.DELIVERY, None, Decimal(20))
    collected, delivered = (
        price_range(asked(hand_over=how), BOOK, TODAY) for how in (HandOver(), away)
    )
    least = delivery_of(asked(hand_over=away), BOOK)  # and the tax on it, where there is one
    assert delivered.least - collected.least >= least > usd(0)


def test_more_guests_than_a_stack_feeds_are_fed_with_kitchen_cakes():
    prices = price_range(asked(600), BOOK, TODAY)
    assert prices.plainest.design.kitchen_cakes
    assert prices.plainest.servings >= 600
    assert "cut out of sight" in prices.plainest.tiers


def test_no_guests_have_no_price():
    assert price_range(asked(0), BOOK, TODAY) is None


def test_a_shop_without_decorations_has_a_range_all_the_same():
    book = make_book(decorations=())
    prices = price_range(asked(book=book), book, TODAY)
    assert prices.decorated.design.decorations == ()
    assert prices.least <= prices.most


@pytest.mark.parametrize(
    ("budget", "stands"),
    [
        (99, Within.BELOW),
        (100, Within.WITHIN),
        (200, Within.WITHIN),
        (201, Within.ABOVE),
    ],
)
def test_both_ends_belong_to_the_range(budget, stands):
    assert budget_within(usd(budget), usd(100), usd(200)) is stands


def decorated(book=BOOK, guests=70):
    prices = price_range(asked(guests, on=None, book=book), book, TODAY)
    return replace(prices.brief, design=prices.decorated.design)


def test_a_day_is_free_just_when_the_order_of_work_holds():
    brief, first, last = decorated(), TODAY - timedelta(days=3), TODAY + timedelta(days=24)
    booked = {TODAY + timedelta(days=ahead): 400 for ahead in (8, 9, 10, 11)}
    stands = days_standing(first, last, brief, BOOK, TODAY, booked)
    free = free_days(first, last, brief, BOOK, work_of(brief, BOOK), TODAY, booked)
    assert {day: one is DayStands.FREE for day, one in stands.items()} == free
    assert set(stands.values()) == set(DayStands)


def test_each_day_that_is_not_free_says_why():
    least = BOOK.policies.least_notice_days
    closed = date(2027, 4, 1)  # a Thursday, on which this shop works
    hours = replace(BOOK.policies.hours, closed_days=frozenset({closed.isoformat()}))
    book = make_book(hours=hours)
    brief = decorated(book)

    def one(day, booked=None):
        return days_standing(day, day, brief, book, TODAY, booked or {})[day]

    assert one(TODAY - timedelta(days=1)) is DayStands.PAST
    assert one(closed) is DayStands.CLOSED
    near = next(
        TODAY + timedelta(days=ahead)
        for ahead in range(least)
        if book.policies.hours.bench_minutes[(TODAY + timedelta(days=ahead)).weekday()]
    )
    assert one(near) is DayStands.TOO_SOON
    friday = date(2027, 4, 23)
    assert one(friday) is DayStands.FREE
    taken = {friday - timedelta(days=back): 24 * 60 for back in range(10)}
    assert one(friday, taken) is DayStands.FULL
