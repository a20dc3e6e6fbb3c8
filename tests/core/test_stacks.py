"""Stacks offered: by what rules, of equals which, how named, ranked and shown."""

from dataclasses import replace
from itertools import pairwise

import pytest

from consult.core import shapes
from consult.core.design import Kind, StackChoice
from consult.core.servings import counted_servings
from consult.core.stacks import (
    Stack,
    chosen,
    for_one_page,
    how_many_stand,
    named,
    options_of,
    stack_problems,
    stacks,
)
from shop.core.catalogue import Shape
from shop.core.money import Money
from tests.core.stack_makers import (
    BIG_SHOP,
    FREE,
    INCH,
    PlainCosts,
    a_brief,
    a_pan,
    a_tier,
    pans,
    stack_shop,
)

COSTS = PlainCosts()


def inches(stack):
    return [round(tier.size_mm / INCH, 1) for tier in stack.tiers]


# What is offered


@pytest.mark.parametrize("guests", [70, 150, 320])
def test_stacks_reach_the_need_by_their_own_tiers(guests):
    offered = stacks(a_brief(guests), BIG_SHOP, COSTS)
    assert len(offered) >= 2
    for stack in offered:
        counted = sum(counted_servings(t, BIG_SHOP.slice("dessert")) for t in stack.tiers)
        assert stack.servings == counted == guests + stack.surplus >= guests
        assert stack_problems(stack.tiers, BIG_SHOP) == ()


def test_each_tier_leaves_a_ledge_of_an_inch_all_round():
    for stack in stacks(a_brief(150), BIG_SHOP, COSTS):
        for below, above in pairwise(stack.tiers):
            step = shapes.steps(
                below.shape, below.size_mm, below.width_mm, above.shape, above.size_mm,
                above.width_mm,
            )  # fmt: skip
            # A 2-in step is a 1-in ledge all round (common practice, no source).
            assert step.narrowest_mm >= INCH - 0.1


def test_kept_top_is_cake_that_does_not_count():
    book = stack_shop(pans(Shape.ROUND, 6, 8))
    eaten = stacks(a_brief(30), book, COSTS)
    kept = stacks(a_brief(20, keep_top=True), book, COSTS)
    assert [inches(s) for s in eaten] == [[8, 6]]
    assert [inches(s) for s in kept] == [[8, 6]]
    assert [tier.kind for tier in kept[0].tiers] == [Kind.EATEN, Kind.KEPT]
    gives = counted_servings(a_tier(8), book.slice("dessert"))
    assert kept[0].servings == gives
    assert stacks(a_brief(30, keep_top=True), book, COSTS) == ()


def test_display_tiers_are_carved_and_do_not_count():
    offered = stacks(a_brief(40, display_tiers=1), stack_shop(), COSTS)
    kinds = [[tier.kind for tier in stack.tiers] for stack in offered]
    assert {row.count(Kind.DISPLAY) for row in kinds} == {1}
    assert any(row[0] is Kind.DISPLAY for row in kinds)  # a carved base is as good as a carved top


def test_kitchen_cakes_fill_up_what_the_tiers_do_not_feed():
    book = stack_shop((*pans(Shape.ROUND, 6, 8), a_pan(Shape.RECTANGLE, 13, 9)))
    offered = stacks(a_brief(150, kitchen_cake=True), book, COSTS)
    assert offered
    dessert = book.slice("dessert")
    for stack in offered:
        (cakes,) = stack.kitchen_cakes
        each = a_tier(cakes.size_mm / INCH, cakes.shape, width=cakes.width_mm and 9)
        one = counted_servings(each, dessert)
        alone = sum(counted_servings(tier, dessert) for tier in stack.tiers)
        assert stack.servings == alone + cakes.count * one
        assert alone + (cakes.count - 1) * one < 150 <= stack.servings


def test_kitchen_cakes_that_reach_the_need_just_are_enough():
    book = stack_shop(pans(Shape.ROUND, 6))
    one = counted_servings(a_tier(6), book.slice("dessert"))
    (stack,) = stacks(a_brief(3 * one, keep_top=True, kitchen_cake=True), book, COSTS)
    assert [cakes.count for cakes in stack.kitchen_cakes] == [3]
    assert stack.surplus == 0


def test_stack_that_feeds_alone_takes_no_kitchen_cake():
    book = stack_shop((*pans(Shape.ROUND, 6, 8), a_pan(Shape.RECTANGLE, 13, 9)))
    offered = stacks(a_brief(36, kitchen_cake=True), book, COSTS)
    alone = [stack for stack in offered if inches(stack) == [8, 6]]
    assert alone
    assert all(stack.kitchen_cakes == () for stack in alone)


def test_price_is_the_quoted_total_and_minutes_add_up():
    book = stack_shop(pans(Shape.ROUND, 6, 8))
    (stack,) = stacks(a_brief(30), book, replace(COSTS, least=0))
    options = {option.size_mm: option for option in options_of(a_brief(30), book)}
    base, top = options[round(8 * INCH, 3)], options[round(6 * INCH, 3)]
    # 600 a serving, 10 a millimetre of height, 1500 for what goes on top.
    assert stack.price.minor == (base.servings + top.servings) * 600 + 2 * 1016 + 1500
    # 25 and a share of the size a tier (21, 15), one join at 12, 40 once.
    assert stack.minutes == (25 + 21) + (25 + 15) + 12 + 40
    (dear,) = stacks(a_brief(30), book, replace(COSTS, least=99_000))
    assert dear.price == Money(99_000, "USD")


def test_no_guests_yet_offers_nothing():
    assert stacks(a_brief(0), stack_shop(), COSTS) == ()
    assert how_many_stand(a_brief(0), stack_shop()) == 0


# Of equals, one


def test_of_equal_stacks_the_wider_base_is_kept():
    book = stack_shop(pans(Shape.ROUND, 6, 8, 9, 10))
    offered = stacks(a_brief(10, display_tiers=1, most_tiers=2), book, FREE)
    with_small_top = [stack for stack in offered if inches(stack)[-1] == 6]
    assert [inches(stack) for stack in with_small_top] == [[10, 6]]


def test_of_equal_stacks_the_one_of_one_shape_is_kept():
    shelf = (a_pan(Shape.SQUARE, 12), a_pan(Shape.ROUND, 12), a_pan(Shape.ROUND, 6))
    brief = a_brief(10, display_tiers=1, fewest_tiers=2)
    for shelf_order in (shelf, shelf[::-1]):
        book = stack_shop(shelf_order, widest_step_mm=200.0, most_tiers=2)
        (stack,) = stacks(brief, book, FREE)
        assert [tier.shape for tier in stack.tiers] == [Shape.ROUND, Shape.ROUND]


class FreeBut10OnTop(PlainCosts):
    """Nothing costs anything but a 10-in tier that is carried."""

    def tier(self, option, level, is_top, kind):
        return (100 if level and option.pan_name == "10 in square" else 0), 0


def test_of_equal_stacks_the_one_with_fewest_tiers_is_kept():
    limits = {"heights_mm": (76.2, 152.4), "tallest_mm": 310.0}
    book = stack_shop(pans(Shape.SQUARE, 6, 8, 10, 12), **limits)
    counts = {option.pan_name: option.servings for option in options_of(a_brief(), book)}
    # Square inches halved: 8 and 6 in give together what 10 in gives (32 + 18 = 50).
    assert counts["8 in square"] + counts["6 in square"] == counts["10 in square"] == 50
    # 8 and 6 in on a carved 12 in, or 10 in with a carved top: as tall, and neither costs anything.
    costs = FreeBut10OnTop(least=0, join_minutes=0)
    (closest,) = (s for s in stacks(a_brief(50, display_tiers=1), book, costs) if not s.surplus)
    assert closest.height_mm == round(2 * 152.4, 3)
    assert [tier.kind for tier in closest.tiers] == [Kind.EATEN, Kind.DISPLAY]
    assert inches(closest)[0] == 10


# Names, ranks and reasons


def a_stack(surplus, price, minutes, height, size=8):
    return Stack(
        (a_tier(size),), (), 50 + surplus, surplus, Money(price, "USD"), minutes, float(height)
    )


def test_names_go_to_the_best_of_each_and_ties_to_the_better_elsewhere():
    close, cheap = a_stack(0, 300, 90, 200), a_stack(4, 200, 80, 150)
    quick, tall = a_stack(4, 210, 60, 150), a_stack(9, 500, 99, 500)
    close_and_tall = a_stack(0, 310, 95, 260)
    offered = (close, cheap, quick, tall, close_and_tall)
    assert named(offered) == {
        StackChoice.CLOSEST_FIT: close,
        StackChoice.LOWEST_PRICE: cheap,
        StackChoice.LEAST_BENCH_TIME: quick,
        StackChoice.TALLEST: tall,
    }
    assert chosen(offered, StackChoice.TALLEST) is tall


def test_nothing_offered_has_no_names():
    assert named(()) == {}
    with pytest.raises(ValueError, match="No stack is offered"):
        chosen((), StackChoice.TALLEST)


def test_named_stacks_come_first_and_say_why():
    offered = stacks(a_brief(70), stack_shop(heights_mm=(101.6, 127.0)), COSTS)
    first = list(dict.fromkeys(named(offered).values()))
    assert list(offered[: len(first)]) == first
    for choice, stack in named(offered).items():
        assert choice in stack.why
    assert all(stack.named == () for stack in offered[len(first) :])
    closest = named(offered)[StackChoice.CLOSEST_FIT]
    over = f"{closest.surplus} over" if closest.surplus else "just"
    assert f"{over} the 70 servings needed" in closest.why


def test_reasons_are_measured_against_the_closest_fit():
    offered = stacks(a_brief(70), stack_shop(heights_mm=(101.6, 127.0)), COSTS)
    names = named(offered)
    closest, tallest = names[StackChoice.CLOSEST_FIT], names[StackChoice.TALLEST]
    taller = round((tallest.height_mm - closest.height_mm) / INCH)
    assert taller > 0
    assert f"{taller} in taller than the closest fit" in tallest.why
    quickest = names[StackChoice.LEAST_BENCH_TIME]
    saved = closest.minutes - quickest.minutes
    assert 0 < saved < 60
    assert f"{saved} min less bench time than the closest fit" in quickest.why


def test_stacks_over_the_budget_come_after_those_within_it():
    prices = sorted(stack.price for stack in stacks(a_brief(90), BIG_SHOP, COSTS))
    budget = prices[len(prices) // 2]
    offered = stacks(a_brief(90, budget=budget), BIG_SHOP, COSTS)
    unnamed = [stack.price.minor > budget.minor for stack in offered if not stack.named]
    assert unnamed == sorted(unnamed)
    assert set(unnamed) == {False, True}


def test_one_page_shows_the_named_ones_and_a_spread_of_the_rest():
    offered = stacks(a_brief(150), BIG_SHOP, COSTS)
    assert len(offered) > 9
    shown = for_one_page(offered)
    assert len(shown) == len(set(shown)) == 9
    assert set(named(offered).values()) <= set(shown)
    assert list(shown) == [stack for stack in offered if stack in shown]
    assert for_one_page(offered, most=200) == offered
    assert for_one_page(()) == ()


def test_one_page_prefers_stacks_unlike_those_shown():
    corners = [a_stack(0, 100, 100, 100), a_stack(100, 0, 0, 100), a_stack(100, 100, 100, 500)]
    near, far = a_stack(1, 99, 99, 101), a_stack(40, 60, 60, 300)
    rest = [a_stack(90 + more, 100, 100, 100) for more in range(4)]  # the worse half
    shown = for_one_page((*corners, near, far, *rest), most=4)
    assert far in shown
    assert near not in shown
