"""Does the owner see what an order costs and leaves: published example, ingredients as they are weighed, hours?"""

from dataclasses import replace
from decimal import Decimal

import pytest

from consult.core.design import ChosenDecoration, Kind, KitchenCake
from consult.core.earnings import (
    cost_plus,
    for_the_shop,
)
from consult.core.quantities import quantities_of
from consult.core.quote import quote_of
from consult.core.shopping import recipe_cost
from consult.core.work import work_of
from shop.core.catalogue import Shape
from shop.core.policies import Tax
from tests.makers import (
    INCH,
    TODAY,
    make_book,
    make_brief,
    make_design,
    make_recipe,
    make_tier,
    usd,
)


# Published example in a decorators' forum thread of 2011: ingredients and packaging 10, an hour at
# 15, overhead 5, a quarter on top. It prints the second as 94, rounded.
@pytest.mark.parametrize(("hours", "price"), [("1", "37.50"), ("4", "93.75")])
def test_cost_plus_gives_the_published_example(hours, price):
    made = cost_plus(usd("10"), Decimal(hours), usd("15"), usd("5"), Decimal("0.25"))
    assert made == usd(price)


def figures(brief, book):
    return for_the_shop(brief, book, work_of(brief, book), quote_of(brief, book, TODAY))


def test_cost_and_profit_make_up_the_price():
    made = figures(make_brief(), make_book())
    parts = made.ingredients_cost + made.materials_cost + made.hours_cost
    assert made.overhead == parts.times(Decimal("0.2"))
    assert made.cost == parts + made.overhead
    assert made.cost + made.profit == quote_of(make_brief(), make_book(), TODAY).total


@pytest.mark.parametrize("included", [True, False])
def test_tax_is_not_earned(included):
    book = make_book(tax=Tax("VAT", Decimal("0.2"), included))
    brief = make_brief()
    quote, made = quote_of(brief, book, TODAY), figures(brief, book)
    without = quote.total.decimal() / Decimal("1.2")
    assert (made.cost + made.profit).decimal() == pytest.approx(without, abs=Decimal("0.01"))


def test_hours_are_what_the_work_takes():
    book, brief = make_book(hour_costs=usd("30")), make_brief()
    hours = Decimal(work_of(brief, book).hands_on) / 60
    assert figures(brief, book).hours_cost == usd("30").times(hours)


def test_an_hour_earns_what_is_left_before_the_hours():
    book, brief = make_book(overhead_share=Decimal(0)), make_brief()
    made, minutes = figures(brief, book), work_of(brief, book).hands_on
    left = made.profit + made.hours_cost
    assert made.earned_an_hour == left.times(Decimal(60) / minutes)


def test_an_order_without_work_earns_nothing_an_hour():
    assert figures(make_brief(tiers=()), make_book()).earned_an_hour is None


def test_a_batch_costs_what_its_ingredients_do():
    # 500 g flour at 1.60 and 500 g butter at 9.50 a kilogram: 5.55 a kilogram of mixture.
    recipe = make_recipe(flour=500, butter=500)
    assert recipe_cost(recipe, 1000.0, make_book()) == 555
    assert recipe_cost(recipe, 200.0, make_book()) == 111
    assert recipe_cost(make_recipe(), 200.0, make_book()) == 0


def test_ingredients_cost_what_the_shopping_list_of_the_same_bowls_does():
    book, brief = make_book(), make_brief(tiers=(12, 9, 6))
    assert figures(brief, book).ingredients_cost == quantities_of(brief, book).shopping.total


def test_decorations_are_on_the_shopping_list_and_in_the_cost_of_materials_once():
    book = make_book()
    plain, roses = make_brief(), make_brief(decorations=[ChosenDecoration("sugar_rose", 5, 2)])
    assert figures(roses, book).ingredients_cost == figures(plain, book).ingredients_cost


def test_kitchen_cakes_and_display_tiers_take_ingredients_too():
    book = make_book()
    tiers = (make_tier(12), make_tier(8, kind=Kind.DISPLAY))
    cakes = (KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, 2),)
    costs = [
        figures(
            make_brief(design=make_design(design[0], kitchen_cakes=design[1])), book
        ).ingredients_cost
        for design in ((tiers[:1], ()), (tiers, ()), (tiers, cakes))
    ]
    assert costs[0] < costs[1] < costs[2]


def test_spare_pieces_cost_material_too():
    book = make_book()
    roses = make_brief(decorations=[ChosenDecoration("sugar_rose", 5, 2)])
    none = replace(roses, design=replace(roses.design, decorations=()))
    more = figures(roses, book).materials_cost - figures(none, book).materials_cost
    assert more == usd("0.80").times(6)
