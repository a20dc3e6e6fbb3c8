"""Tiers a shop can make, and what is wrong with a stack changed by hand."""

from dataclasses import replace

from consult.core.design import Kind
from consult.core.stacks import (
    board_mm,
    kitchen_options,
    options_of,
    stack_problems,
    tier_name,
)
from shop.core.catalogue import Shape
from shop.core.measures import Units
from tests.core.stack_makers import BIG_SHOP, INCH, a_brief, a_pan, a_tier, pans, stack_shop

# What can be used


def test_only_pans_on_the_shelf_are_considered():
    book = stack_shop([a_pan(Shape.ROUND, 6), a_pan(Shape.ROUND, 8, owned=0)])
    assert [option.pan_name for option in options_of(a_brief(), book)] == ["6 in round"]


def test_same_pan_in_two_depths_is_one_tier():
    shallow = replace(a_pan(Shape.ROUND, 6), depth=2)
    book = stack_shop([a_pan(Shape.ROUND, 6), shallow])
    assert len(options_of(a_brief(), book)) == 1


def test_shapes_sizes_and_heights_asked_for_are_kept_to():
    brief = a_brief(shapes=(Shape.SQUARE,), sizes_mm=(8 * INCH, 10 * INCH), heights_mm=(127.0,))
    options = options_of(brief, BIG_SHOP)
    assert [(o.pan_name, o.height_mm) for o in options] == [
        ("8 in square", 127.0),
        ("10 in square", 127.0),
    ]


def test_kitchen_cakes_come_from_rectangles_and_the_largest_square_and_round():
    assert kitchen_options(a_brief(), BIG_SHOP) == ()
    names = [o.pan_name for o in kitchen_options(a_brief(kitchen_cake=True), BIG_SHOP)]
    assert names == ["13 x 9 in rectangle", "16 in square", "14 in round"]


# A stack changed by hand


def says(*tiers, **limits):
    return [(p.where, p.says) for p in stack_problems(tiers, stack_shop(**limits))]


def test_stack_that_stands_has_no_problems():
    assert says(a_tier(10), a_tier(8), a_tier(6)) == []


def test_ledge_too_narrow_is_told_in_the_shops_units():
    assert says(a_tier(10), a_tier(9)) == [
        ("tiers[1]", "Tier 2 (9 in round) leaves a ledge of ½ in; 1 in is the least.")
    ]
    metric = stack_shop([replace(pan, units=Units.CENTIMETRES) for pan in pans(Shape.ROUND, 22, 25)],
                        ledge_mm=25.0)  # fmt: skip
    metric = replace(metric, identity=replace(metric.identity, units=Units.CENTIMETRES))
    tiers = (a_tier(250 / INCH), a_tier(220 / INCH))
    assert [p.says for p in stack_problems(tiers, metric)] == [
        "Tier 2 (22 cm round) leaves a ledge of 1.5 cm; 2.5 cm is the least."
    ]


def test_tier_that_hangs_over_or_leaves_no_ledge_is_told():
    assert says(a_tier(8), a_tier(10)) == [
        ("tiers[1]", "Tier 2 (10 in round) hangs over tier 1 (8 in round) by 1 in.")
    ]
    assert says(a_tier(8), a_tier(8)) == [
        ("tiers[1]", "Tier 2 (8 in round) leaves no ledge; 1 in is the least.")
    ]


def test_step_too_wide_is_told():
    assert says(a_tier(14), a_tier(6)) == [
        ("tiers[1]", "Tier 2 (6 in round) leaves a step of 4 in; 3 in is the most.")
    ]


def test_pan_not_on_the_shelf_is_told_but_not_for_a_carved_tier():
    assert says(a_tier(15)) == [("tiers[0]", "Tier 1 (15 in round) has no pan on the shelf.")]
    assert says(a_tier(15, kind=Kind.DISPLAY)) == []


def test_too_many_too_tall_and_too_wide_are_told():
    tiers = (a_tier(10, height=5), a_tier(8, height=5), a_tier(6, height=5))
    assert says(*tiers, most_tiers=2) == [
        ("tiers", "3 tiers are more than the 2 this shop builds.")
    ]
    assert says(*tiers, tallest_mm=14 * INCH) == [
        ("tiers", "The stack is 15 in tall; 14 in is the most.")
    ]
    assert says(*tiers, widest_board_mm=13 * INCH) == [
        ("tiers[0]", "Tier 1 (10 in round) needs a base board of 14 in; 13 in is the widest.")
    ]
    assert says() == [("tiers", "There is no tier yet.")]


def test_base_board_leaves_its_margin_on_every_side():
    limits = stack_shop().policies.stacks  # 2 in on each side (common practice, no source)
    assert round(board_mm((Shape.ROUND, 10 * INCH, None), limits) / INCH, 3) == 14
    assert round(board_mm((Shape.SQUARE, 10 * INCH, None), limits) / INCH, 3) == 14
    assert round(board_mm((Shape.RECTANGLE, 13 * INCH, 9 * INCH), limits) / INCH, 3) == 17


def test_tier_is_named_by_its_pan():
    assert tier_name(a_tier(9), Units.INCHES) == "9 in round"
    rectangle = a_tier(13, Shape.RECTANGLE, width=9)
    assert tier_name(rectangle, Units.INCHES) == a_pan(Shape.RECTANGLE, 13, 9).name
