"""What an order leaves the shop, and the warning below the owner's floor."""

from decimal import Decimal

import pytest

from consult.core.quote import quote_of
from consult.core.work import work_of
from consult.core.worth import worth_of
from tests.makers import TODAY, make_book, make_brief, make_design


def worth(**changes):
    book, brief = make_book(**changes), make_brief()
    return worth_of(brief, book, work_of(brief, book), quote_of(brief, book, TODAY))


def test_price_is_cost_and_what_is_left():
    found = worth()
    assert found.price == found.figures.cost + found.figures.profit
    assert found.margin == Decimal(found.figures.profit.minor) / found.price.minor


@pytest.mark.parametrize(("over", "is_below"), [("-0.01", False), ("0", False), ("0.01", True)])
def test_the_owner_is_warned_below_her_floor_and_not_at_it(over, is_below):
    floor = worth().margin + Decimal(over)
    assert worth(least_margin=floor).is_below is is_below


def test_a_quarter_on_top_is_a_fifth_of_the_price():
    # Plain arithmetic: markup 25 % = margin 20 %.
    assert Decimal(25) / Decimal(125) == Decimal("0.2")
    found = worth()
    markup = Decimal(found.figures.profit.minor) / found.figures.cost.minor
    assert found.margin == pytest.approx(markup / (1 + markup))


def test_nothing_to_price_is_worth_nothing():
    brief, book = make_brief(design=make_design(())), make_book()
    assert worth_of(brief, book, work_of(brief, book), quote_of(brief, book, TODAY)) is None
