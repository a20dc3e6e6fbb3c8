"""Servings needed, and what a tier gives towards them."""

from dataclasses import replace
from decimal import Decimal

import pytest

from consult.core.design import Kind, Need
from consult.core.reckoning import reckon
from consult.core.servings import (
    counted_servings,
    plan_of,
    servings_needed,
    slice_of,
    tier_servings,
)
from consult.core.sheet_making import sheet_of
from consult.core.stack_rules import options_of
from consult.core.venue_values import cutting_guide_of
from shop.core.catalogue import Shape
from shop.core.policies import Rounds
from tests.core.stack_makers import a_tier, stack_shop
from tests.makers import TODAY, make_book, make_brief

DESSERT = stack_shop().slice("dessert")


@pytest.mark.parametrize(
    ("guests", "share", "spare", "count", "why"),
    [
        (80, "0.9", 4, 76, "80 guests, 90 % of them eat, and 4 spare: 76 servings"),
        (80, "1", 0, 80, "80 guests: 80 servings"),
        (80, "1", 4, 84, "80 guests and 4 spare: 84 servings"),
        # One baker plans cake for 80 % of a wedding's guests (a trade page; common practice).
        (150, "0.8", 0, 120, "150 guests, 80 % of them eat: 120 servings"),
        (1, "1", 0, 1, "1 guest: 1 serving"),
        (0, "1", 0, 0, "0 guests: 0 servings"),
    ],
)
def test_need_is_guests_who_eat_and_spare_servings(guests, share, spare, count, why):
    needed = servings_needed(Need(guests, "dessert", Decimal(share), spare), stack_shop())
    assert (needed.count, needed.why) == (count, why)


def test_part_of_a_guest_is_served_a_whole_slice():
    counts = [
        servings_needed(Need(guests, "dessert", Decimal("0.85")), stack_shop()).count
        for guests in (100, 101, 102)
    ]
    assert counts == [85, 86, 87]  # 85, 85.85, 86.7


def test_first_slice_size_serves_until_one_is_chosen():
    book = stack_shop()
    assert slice_of(Need(10, ""), book).code == "dessert"
    assert slice_of(Need(10, "gone"), book).code == "dessert"
    assert slice_of(Need(10, "finger"), book).code == "finger"


# Square charts equal n2/2 exactly at even sizes, 1 x 2 in slices (two charts agree).
@pytest.mark.parametrize(("size", "count"), [(6, 18), (8, 32), (10, 50), (12, 72), (14, 98)])
def test_square_tier_gives_half_its_square_inches(size, count):
    from_tier = tier_servings(a_tier(size, shape=Shape.SQUARE), DESSERT)
    assert from_tier.count == count


def test_kept_and_display_tiers_give_nothing_towards_the_need():
    tier = a_tier(8)
    assert counted_servings(tier, DESSERT) == tier_servings(tier, DESSERT).count > 20
    assert counted_servings(replace(tier, kind=Kind.KEPT), DESSERT) == 0
    assert counted_servings(replace(tier, kind=Kind.DISPLAY), DESSERT) == 0
    assert tier_servings(replace(tier, kind=Kind.KEPT), DESSERT).count > 20


# The two old US trade charts count a 10-in round as 38 in rings; laid in rows it is 30, and the widest
# difference the other way is at small rounds (`test_charts`).
@pytest.mark.parametrize(
    ("rounds", "count"), [(Rounds.WHICHEVER, 38), (Rounds.RINGS, 38), (Rounds.ROWS, 30)]
)
def test_a_shop_cuts_its_rounds_as_it_likes(rounds, count):
    tier = a_tier(10)
    assert tier_servings(tier, DESSERT, rounds).count == count
    assert counted_servings(tier, DESSERT, rounds) == count
    assert plan_of(tier, DESSERT, rounds).count == count


def test_the_better_count_is_offered_with_its_cut_where_the_shops_way_gives_less():
    said = tier_servings(a_tier(10), DESSERT, Rounds.ROWS).why
    assert said.startswith("Cut in rows of ")
    assert said.endswith(
        "30 pieces. This shop cuts rounds in rows; cut in rings of 25 and 12 and a core of 1 a level"
        " would give 38 pieces."
    )
    assert "This shop" not in tier_servings(a_tier(10), DESSERT, Rounds.RINGS).why
    assert "This shop" not in tier_servings(a_tier(10), DESSERT).why


@pytest.mark.parametrize("shape", [shape for shape in Shape if not shape.has_width])
def test_only_rounds_are_cut_by_the_shops_own_way(shape):
    tier = a_tier(10, shape=shape)
    counts = {tier_servings(tier, DESSERT, rounds).count for rounds in Rounds}
    assert (len(counts) > 1) is (shape is Shape.ROUND)


def test_count_stacks_guide_and_sheet_all_go_by_the_shops_way():
    brief = make_brief(tiers=(12, 10, 8))
    for rounds in Rounds:
        book = make_book(rounds=rounds)
        reckoned = reckon(brief, book, TODAY)
        counts = [figures.servings for figures in reckoned.tiers]
        guide = cutting_guide_of(brief, book, "", 0)
        assert [one.servings for one in reversed(guide.tiers)] == counts
        assert [one.plan.count for one in reversed(guide.tiers)] == counts
        offered = {
            (option.size_mm, option.height_mm): option.servings
            for option in options_of(brief, book)
            if option.shape is Shape.ROUND
        }
        tiers = brief.design.tiers
        assert [offered[tier.size_mm, tier.height_mm] for tier in tiers] == counts
        assert sheet_of(brief, book, reckoned, "1", 1, TODAY).servings == sum(counts)
