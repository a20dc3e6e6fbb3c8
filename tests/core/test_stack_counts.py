"""How many stacks stand and, where none does, what to loosen."""

from consult.core.servings import counted_servings
from consult.core.stacks import how_many_stand, stacks, why_none
from shop.core.catalogue import Shape
from tests.core.stack_makers import INCH, PlainCosts, a_brief, a_tier, pans, stack_shop

COSTS = PlainCosts()


# How many stand


def test_stacks_that_stand_are_counted_without_listing_them():
    # 6, 8, 8 under 6, and nothing else, each tier at two heights: 2 + 2 + 4.
    book = stack_shop(pans(Shape.ROUND, 6, 8), heights_mm=(101.6, 127.0))
    assert how_many_stand(a_brief(1), book) == 8
    assert how_many_stand(a_brief(20), book) == 6  # the 6 in alone feeds fewer
    assert how_many_stand(a_brief(500), book) == 0


# When none stands


def test_nothing_is_said_while_some_stack_stands():
    assert why_none(a_brief(70), stack_shop()) == ""


def test_without_guests_it_asks_for_them():
    assert why_none(a_brief(0), stack_shop()).startswith("Say how many guests")


def test_largest_stack_is_told_with_what_would_help():
    book = stack_shop(pans(Shape.ROUND, 6, 8, 10))
    dessert = book.slice("dessert")
    largest = sum(counted_servings(a_tier(size), dessert) for size in (10, 8))
    assert why_none(a_brief(largest + 1, most_tiers=2), book) == (
        f"The largest stack of your pans feeds {largest} of the {largest + 1} to be fed;"
        " allow a kitchen cake or more tiers."
    )
    assert stacks(a_brief(largest + 1), book, COSTS)
    just = a_brief(largest, most_tiers=2)
    assert why_none(just, book) == ""
    assert [stack.surplus for stack in stacks(just, book, COSTS)] == [0]


def test_only_what_would_help_is_named():
    book = stack_shop(pans(Shape.ROUND, 6, 8, 10), most_tiers=5)
    sentence = why_none(a_brief(2000, most_tiers=2), book)
    assert sentence.endswith("; allow a kitchen cake.")


def test_keeping_the_top_and_asking_for_shapes_can_be_given_up():
    book = stack_shop((*pans(Shape.ROUND, 6), *pans(Shape.SQUARE, 8)), most_tiers=1)
    sentence = why_none(a_brief(10, keep_top=True), book)
    assert sentence == (
        "The largest stack of your pans feeds 0 of the 10 to be fed;"
        " allow a kitchen cake or the top tier to be cut too."
    )
    assert "other shapes" in why_none(a_brief(30, shapes=(Shape.ROUND,)), book)


def test_ways_that_help_only_together_are_told_so():
    book = stack_shop(pans(Shape.SQUARE, 10))
    asked = {"shapes": (Shape.ROUND,), "sizes_mm": (8 * INCH,), "kitchen_cake": True}
    assert why_none(a_brief(20, most_tiers=1, **asked), book) == (
        "No pan on the shelf is of the shapes and sizes asked for;"
        " allow other shapes and other pan sizes together."
    )


def test_more_tiers_than_stand_is_told():
    book = stack_shop(pans(Shape.ROUND, 6, 8))
    assert why_none(a_brief(20, fewest_tiers=3), book) == (
        "No stack of 3 tiers or more stands in your pans; allow fewer tiers."
    )


def test_base_that_fits_no_board_is_told():
    book = stack_shop(pans(Shape.ROUND, 14), widest_board_mm=15 * INCH)
    assert why_none(a_brief(20), book) == (
        "No tier asked for fits the shop's widest board and tallest stack;"
        " nothing the client could loosen is enough: it takes larger pans or wider limits."
    )


def test_no_pan_of_that_shape_is_told():
    book = stack_shop(pans(Shape.ROUND, 6, 8))
    assert why_none(a_brief(20, shapes=(Shape.HEART,)), book) == (
        "No pan on the shelf is of the shapes and sizes asked for; allow other shapes."
    )
