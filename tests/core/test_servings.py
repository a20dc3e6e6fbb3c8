"""Servings needed, and what a tier gives towards them."""

from dataclasses import replace
from decimal import Decimal

import pytest

from consult.core.design import Kind, Need
from consult.core.servings import counted_servings, servings_needed, slice_of, tier_servings
from shop.core.catalogue import Shape
from tests.core.stack_makers import a_tier, stack_shop

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
