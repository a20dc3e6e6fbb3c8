"""How many supports does a carried tier take, and where do they stand?"""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point

from consult.core.design import Tier
from consult.core.support_places import (
    count_for,
    customary,
    fewest,
    firm_mm,
    inset_mm,
    places,
    ring,
    stands_within,
)
from shop.core.catalogue import Shape
from shop.core.measures import Units
from shop.core.policies import Rod, SupportHabits

INCH = 25.4
HABITS = SupportHabits()
STRAWS = SupportHabits(rod=Rod.STRAW, rod_mm=12.0, wall_mm=0.5)


def a_tier(inches, shape=Shape.ROUND, high=4.0):
    return Tier(shape, inches * INCH, high * INCH)


SHAPES = (
    Tier(Shape.ROUND, 203.2, 101.6), Tier(Shape.SQUARE, 203.2, 101.6),
    Tier(Shape.RECTANGLE, 330.2, 101.6, 228.6), Tier(Shape.HEXAGON, 254, 101.6),
    Tier(Shape.PETAL, 254, 101.6), Tier(Shape.HEART, 203.2, 101.6), Tier(Shape.OVAL, 254, 101.6, 180),
)  # fmt: skip
tier_shapes = st.sampled_from(SHAPES).flatmap(
    lambda tier: st.floats(0.5, 1.8).map(
        lambda scale: replace(
            tier, size_mm=tier.size_mm * scale,
            width_mm=tier.width_mm and tier.width_mm * scale,
        )
    )
)  # fmt: skip


# --- how many ---


@pytest.mark.parametrize(
    ("inches", "count"), [(5, 6), (8, 6), (10, 6), (10.5, 8), (16, 8), (18, 8), (20, 10)]
)
def test_wooden_rods_by_the_tier_they_carry(inches, count):
    """Decorators' tutorials: six quarter-inch rods to 10 in, eight to 16 or 18 in; above, our own."""
    assert customary(inches * INCH, Rod.WOOD) == count


@pytest.mark.parametrize(("inches", "count"), [(3, 3), (4, 4), (6, 6), (8, 8), (9.5, 10), (12, 12)])
def test_one_straw_for_each_inch_of_the_tier_carried(inches, count):
    """Common practice, no source."""
    assert customary(inches * INCH, Rod.STRAW) == count


@pytest.mark.parametrize(("inches", "least"), [(4, 3), (5.5, 3), (6, 4), (14, 4)])
def test_no_tier_stands_on_fewer(inches, least):
    assert fewest(inches * INCH) == least


def test_a_heavy_tier_gets_more_supports_than_usual():
    asked = count_for(a_tier(8), 95.0, 10.0, HABITS, Units.INCHES)
    assert asked.count == 10
    assert asked.why == "6 are usual; the load asks for 10"


def test_a_small_tier_gets_only_as_many_as_find_room():
    found = count_for(a_tier(4), 1.0, 10.0, replace(HABITS, rod_mm=14.0), Units.INCHES)
    assert found.count == 3
    assert "find room" in found.why


@settings(deadline=None)
@given(tier_shapes, st.floats(0.1, 400), st.floats(1, 4), st.sampled_from([HABITS, STRAWS]))
def test_a_heavier_tier_never_needs_fewer(tier, load, heavier, habits):
    light = count_for(tier, load, 10.0, habits, Units.INCHES).count
    heavy = count_for(tier, load * heavier, 10.0, habits, Units.INCHES).count
    assert heavy >= light >= fewest(max(tier.size_mm, tier.width_mm or 0))


# --- where ---


def test_six_rods_under_a_round_stand_at_the_corners_of_a_hexagon():
    """8 in round, 1.5 in inside: radius 2.5 in; a hexagon's side is its radius (Euclid IV.15)."""
    at = places(a_tier(8), 6, HABITS)
    assert [math.hypot(x, y) for x, y in at] == pytest.approx([2.5 * INCH] * 6, abs=0.1)
    neighbours = [math.dist(at[i], at[(i + 1) % 6]) for i in range(6)]
    assert neighbours == pytest.approx([2.5 * INCH] * 6, abs=0.2)
    assert firm_mm(at) == pytest.approx(2.5 * INCH * math.sqrt(3) / 2, abs=0.1)


@pytest.mark.parametrize("count", range(3, 13))
def test_supports_hold_as_far_out_as_the_circle_inside_their_polygon(count):
    """A regular polygon's apothem is R cos(pi / n) (Coxeter, Introduction to Geometry, from memory)."""
    held = firm_mm(places(a_tier(8), count, HABITS))
    assert held == pytest.approx(2.5 * INCH * math.cos(math.pi / count), abs=0.15)


def test_four_rods_under_a_square_stand_in_its_corners():
    at = places(a_tier(8, Shape.SQUARE), 4, HABITS)
    assert sorted((abs(x), abs(y)) for x, y in at) == [(63.5, 63.5)] * 4


def test_supports_are_numbered_clockwise_from_the_front():
    at = places(a_tier(8), 6, HABITS)
    assert at[0][1] == min(y for _, y in at)
    turned = [
        a[0] * b[1] - a[1] * b[0] for a, b in itertools.pairwise([*at, at[0]])
    ]  # fmt: skip
    assert all(cross < 0 for cross in turned)


def test_a_small_tier_keeps_its_supports_half_way_to_the_middle():
    assert inset_mm(a_tier(8), HABITS) == pytest.approx(38.1)
    assert inset_mm(a_tier(6), HABITS) == pytest.approx(38.1, abs=0.1)
    assert inset_mm(a_tier(4), HABITS) == pytest.approx(25.4, abs=0.1)


@settings(deadline=None)
@given(tier_shapes, st.integers(3, 14), st.sampled_from([HABITS, STRAWS]))
def test_supports_stand_inside_the_tier_they_carry(tier, count, habits):
    at = places(tier, count, habits)
    assert len(at) == count
    assert stands_within(at, habits.rod_mm, tier)
    assert firm_mm(at) > 0
    assert len(set(at)) == count


@settings(deadline=None)
@given(tier_shapes, st.integers(3, 12))
def test_supports_stand_at_equal_distances_along_their_line(tier, count):
    line = ring(tier, HABITS)
    from_start = sorted(line.project(Point(at)) for at in places(tier, count, HABITS))
    gaps = [b - a for a, b in itertools.pairwise([*from_start, from_start[0] + line.length])]
    assert gaps == pytest.approx([line.length / count] * count, abs=0.8)


def test_two_supports_hold_nothing_upright():
    assert firm_mm(((-10, 0), (10, 0))) == 0
    assert firm_mm(((5, 5), (9, 5), (5, 9))) == 0  # the centre is not between them
