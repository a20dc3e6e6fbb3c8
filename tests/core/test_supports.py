"""Will it stand and travel? Supports, boards, loads, lean, lift and box of whole stacks."""

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point

from consult.core.bench import supports_in_words
from consult.core.covering import BOARD_G_PER_ML
from consult.core.design import Brief, Design, Kind, Tier
from consult.core.shapes import area_mm2, outline
from consult.core.support_sheet import CERTIFICATE, support_sheet_of
from consult.core.supports import carrying_said, rod_words, supports_of, supports_said
from consult.core.weights import weight_of
from shop.core.catalogue import Shape
from shop.core.measures import Units
from shop.core.policies import Rod, StackLimits, SupportHabits
from tests.small_shop import a_book

INCH = 25.4
BOOK = a_book()
HABITS = SupportHabits()
STRAWS = SupportHabits(rod=Rod.STRAW, rod_mm=12.0, wall_mm=0.5)


def a_tier(inches, shape=Shape.ROUND, high=4.0, **more):
    return Tier(shape, inches * INCH, high * INCH, **more)


def a_brief(*tiers):
    return Brief(design=Design(tiers=tuple(tiers)))


def a_plan(*inches, book=BOOK, high=4.0):
    return supports_of(a_brief(*(a_tier(one, high=high) for one in inches)), book)


def with_habits(habits, **limits):
    policies = replace(
        BOOK.policies, supports=habits, stacks=replace(BOOK.policies.stacks, **limits)
    )
    return replace(BOOK, policies=policies)


@st.composite
def stacks(draw):
    """Two to five rounds or squares, each an inch or more smaller all round than the one below."""
    shape = draw(st.sampled_from([Shape.ROUND, Shape.SQUARE, Shape.HEXAGON]))
    size, tiers = draw(st.floats(4, 6)), []
    for _ in range(draw(st.integers(2, 5))):
        kind = draw(st.sampled_from(list(Kind)))
        tiers.append(a_tier(size, shape, draw(st.floats(2, 7)), kind=kind))
        size += draw(st.floats(2.4, 4))
    return tuple(reversed(tiers))


# --- loads ---


def test_the_load_of_a_join_worked_by_hand():
    """10, 8 and 5 in rounds: what stands on the base is two tiers with their boards."""
    tiers = [a_tier(one) for one in (10, 8, 5)]
    join = supports_of(a_brief(*tiers), BOOK).joins[0]
    boards = sum(area_mm2(Shape.ROUND, one * INCH) * 3 / 1000 * BOARD_G_PER_ML for one in (8, 5))
    grams = weight_of(tiers[1], BOOK) + weight_of(tiers[2], BOOK) + boards
    assert join.above_grams == pytest.approx(grams, rel=1e-4)
    assert join.load_n == pytest.approx(grams / 1000 * 9.80665 * 1.5 / 6, rel=1e-4)
    assert join.length_mm == pytest.approx(4 * INCH)


def test_a_quarter_inch_birch_rod_four_inches_long_may_carry_a_quarter_of_its_limit():
    """Paper birch, Wood Handbook: pi2 x 10 963 x 79.8 / 101.62 = 836 N, divided by four."""
    join = a_plan(10, 8).joins[0]
    euler = math.pi**2 * 1.59e6 * 0.006894757 * math.pi * 6.35**4 / 64 / 101.6**2
    assert join.capacity.allowed_n == pytest.approx(euler / 4, rel=1e-6)
    assert join.capacity.allowed_n == pytest.approx(209, abs=0.5)
    assert join.capacity.gives_way_by == "buckling"


@settings(deadline=None, max_examples=40)
@given(stacks())
def test_loads_of_a_join_add_up_to_the_weight_and_its_uneven_sharing(tiers):
    plan = supports_of(a_brief(*tiers), BOOK)
    for join in plan.joins:
        above = sum(part.grams for part in plan.parts[join.stands_in :])
        assert join.above_grams == pytest.approx(above)
        assert join.load_n * join.count == pytest.approx(above / 1000 * 9.80665 * 1.5)
    assert plan.grams == pytest.approx(sum(part.grams for part in plan.parts))
    assert plan.problems == ()


@settings(deadline=None, max_examples=40)
@given(stacks())
def test_the_centre_of_mass_is_inside_the_cake_and_the_parts_lean_sooner_than_the_whole(tiers):
    plan = supports_of(a_brief(*tiers), BOOK)
    assert 0 < plan.centre_mm < plan.height_mm
    assert plan.height_mm == pytest.approx(
        12 + 3 * (len(tiers) - 1) + sum(tier.height_mm for tier in tiers)
    )
    assert all(0 < join.tip_deg < 90 for join in plan.joins)


@settings(deadline=None, max_examples=40)
@given(st.floats(2, 3.9), st.floats(1.05, 2))
def test_a_longer_support_may_carry_less(high, longer):
    short, long = (a_plan(10, 8, high=one).joins[0].capacity for one in (high, high * longer))
    assert long.allowed_n <= short.allowed_n


def test_more_than_it_may_carry_is_a_problem():
    thin = with_habits(SupportHabits(rod=Rod.STRAW, rod_mm=6.0, wall_mm=0.05, safety=40))
    plan = a_plan(14, 12, 9, book=thin)
    assert plan.joins[0].share > 1
    assert "Use thicker rods" in plan.problems[0].says
    assert plan.problems[0].where == "tiers[1]"
    assert not plan.travels_stacked


def test_a_support_outside_a_tier_is_a_problem():
    plan = a_plan(3, book=with_habits(HABITS))
    assert plan.problems == ()
    hangs = supports_of(a_brief(a_tier(5), a_tier(10)), BOOK)
    assert any("in which it stands" in problem.says for problem in hangs.problems)
    thick = with_habits(replace(HABITS, rod_mm=60.0))
    outside = supports_of(a_brief(a_tier(8), a_tier(4)), thick)
    assert any("which it carries" in problem.says for problem in outside.problems)


# --- levels of a tall tier ---


def test_the_board_inside_a_tall_tier_stands_on_supports_like_any_other():
    """A 10-in round of 8 in is two levels of 4 in; worked by hand: half the tier, its board, the tier above."""
    tall, top = a_tier(10, high=8), a_tier(6)
    plan = supports_of(a_brief(tall, top), BOOK)
    (inner,), (outer,) = plan.level_joins, plan.joins
    board = area_mm2(Shape.ROUND, 10 * INCH) * 3 / 1000 * BOARD_G_PER_ML
    carried = weight_of(tall, BOOK) / 2 + board + plan.parts[1].grams
    assert inner.above_grams == pytest.approx(carried, rel=1e-4)
    assert inner.load_n == pytest.approx(carried / 1000 * 9.80665 * 1.5 / 6, rel=1e-4)
    assert (inner.count, inner.length_mm, inner.foot_mm) == (6, pytest.approx(4 * INCH), 0)
    # Those of the tier above stand on that board, in the upper level only.
    assert (outer.length_mm, outer.foot_mm) == (pytest.approx(4 * INCH), pytest.approx(4 * INCH))
    assert [join.title for join in plan.every_join] == [
        "Tier 1, level 2, on level 1", "Tier 2, 6 in round, on tier 1",
    ]  # fmt: skip
    assert plan.supports == 12
    assert any("built as levels" in note for note in plan.notes)


@pytest.mark.parametrize(("high", "boards"), [(7.9, 0), (8, 1), (11.9, 1), (12, 2)])
def test_a_tall_tier_has_a_board_for_each_level_but_the_lowest(high, boards):
    """Levels of 4 in from 8 in on, as the cutting plan has them (common practice, no source)."""
    plan = supports_of(a_brief(a_tier(8, high=high)), BOOK)
    assert len(plan.level_joins) == boards
    assert sum(join.length_mm for join in plan.level_joins) == pytest.approx(
        high * INCH * boards / (boards + 1)
    )
    loads = [join.above_grams for join in plan.level_joins]
    assert loads == sorted(loads, reverse=True)


def test_carved_foam_needs_no_board_inside():
    assert supports_of(a_brief(a_tier(8, high=12, kind=Kind.DISPLAY)), BOOK).level_joins == ()


def test_supports_inside_a_tall_tier_are_on_the_paper_and_in_the_file():
    brief = a_brief(a_tier(10, high=8), a_tier(6))
    plan = supports_of(brief, BOOK)
    sheet = support_sheet_of(brief, BOOK, plan, "2027-0142", 1)
    assert [join.title for join in sheet.joins] == [join.title for join in plan.every_join]
    assert "on the board inside tier 1," in sheet.joins[1].why
    (inner,) = supports_said(plan)[0]["between_levels"]
    assert (inner["count"], inner["length_mm"]) == (6, 101.6)
    assert supports_in_words(plan)[0] == (
        "In tier 1, under the board of its level 2: 6 birch dowel, ¼ in (6.35 mm), each cut to 4 in"
        " (102 mm)."
    )


# --- boards, dowel, box ---


def test_boards_are_as_large_as_what_they_carry_and_the_drum_larger():
    plan = a_plan(10, 8)
    assert [part.board_wide_mm for part in plan.parts] == pytest.approx([14 * INCH, 8 * INCH])
    assert [part.board_thick_mm for part in plan.parts] == [12.0, 3.0]
    assert plan.parts[0].board_grams == pytest.approx(
        math.pi / 4 * 35.56**2 * 1.2 * BOARD_G_PER_ML, rel=1e-4
    )


def test_the_centre_dowel_reaches_from_the_drum_to_half_an_inch_under_the_top():
    """Three 4-in tiers with two 3 mm boards between: 304.8 + 6 - 12.7 mm."""
    plan = a_plan(10, 8, 5)
    assert plan.centre_dowel.length_mm == pytest.approx(298.1)
    assert not plan.centre_dowel.overlapping


def test_above_three_tiers_the_centre_dowel_may_be_several_rods():
    roomy = with_habits(replace(HABITS, tiers_stacked_to_travel=4), one_person_lifts_grams=20000.0)
    assert a_plan(12, 10, 8, 6, book=roomy).centre_dowel.overlapping


def test_a_single_tier_has_a_board_and_a_box_and_no_supports():
    plan = a_plan(8)
    assert plan.joins == ()
    assert plan.centre_dowel is None
    assert plan.travels_stacked
    assert (plan.box.wide_mm, plan.box.high_mm) == pytest.approx((13 * INCH, 12 + 4.5 * INCH))


def test_no_tiers_is_a_plan_of_nothing():
    plan = supports_of(Brief(), BOOK)
    assert (plan.grams, plan.parts, plan.problems, plan.travel_why) == (0, (), (), ())
    assert supports_said(plan) == ()


def test_a_box_has_room_on_each_side_of_the_board_and_over_the_cake():
    plan = a_plan(10, 8)
    assert plan.box.wide_mm == pytest.approx(15 * INCH)
    assert plan.box.high_mm == pytest.approx(12 + 3 + 8.5 * INCH)


def test_a_low_tier_is_supported_like_any_other():
    plan = supports_of(a_brief(a_tier(10, high=2), a_tier(8, high=2.5)), BOOK)
    assert plan.joins[0].length_mm == pytest.approx(2 * INCH)
    assert plan.problems == ()


def test_a_foam_tier_carries_and_is_carried():
    foam = a_tier(8, kind=Kind.DISPLAY)
    plan = supports_of(a_brief(a_tier(10), foam, a_tier(6)), BOOK)
    assert [join.count for join in plan.joins] == [6, 6]
    assert plan.joins[0].above_grams < a_plan(10, 8, 6).joins[0].above_grams
    assert any("bore foam" in note for note in plan.notes)


# --- travel ---


def test_three_light_tiers_travel_stacked_with_their_centre_dowel():
    plan = a_plan(10, 8, 5)
    assert plan.travels_stacked
    assert plan.centre_dowel is not None
    assert "centre dowel" in plan.travel_why[1]


@pytest.mark.parametrize(
    ("inches", "limits", "habits", "words"),
    [
        ((12, 10, 8, 6), {}, HABITS, "It has 4 tiers"),
        ((14, 12, 10), {"one_person_lifts_grams": 9000.0}, HABITS, "lets one person lift"),
        ((10, 8, 6), {"tallest_mm": 300.0}, HABITS, "with its boards"),
        ((10, 8), {}, replace(HABITS, door_mm=380.0), "narrowest door"),
    ],
)
def test_what_cannot_be_carried_in_one_piece_is_assembled_at_the_venue(
    inches, limits, habits, words
):
    plan = a_plan(*inches, book=with_habits(habits, **limits))
    assert not plan.travels_stacked
    assert plan.centre_dowel is None
    assert any(words in why for why in plan.travel_why)


def test_a_part_that_passes_no_door_is_a_problem_even_alone():
    """A 10-in tier on its 14-in drum in a box with half an inch of air: 15 in, 381 mm."""
    narrow = with_habits(replace(HABITS, door_mm=380.0))
    for inches in ((10,), (10, 8)):
        (problem,) = a_plan(*inches, book=narrow).problems
        assert problem.where == "tiers[0]"
        assert "15 in across; the narrowest door" in problem.says
    assert a_plan(10, 8, book=with_habits(replace(HABITS, door_mm=381.0))).problems == ()


def test_the_paper_says_who_lifts_each_part_by_the_lower_limit_and_through_which_door():
    # The shop's own limit is lower than the lifting equation's for a 14-in tier of about 5.6 kg.
    careful = with_habits(HABITS, one_person_lifts_grams=5000.0)
    brief = a_brief(a_tier(14), a_tier(12), a_tier(9))
    sheet = support_sheet_of(brief, careful, supports_of(brief, careful), "2027-0142", 1)
    assert [part.lifted_by for part in sheet.parts] == ["two people", "one person", "one person"]
    assert "The widest box, 19 in across, goes through a door of 29.9 in." in sheet.lifting


def test_a_tower_that_a_hard_stop_would_tip_is_assembled_at_the_venue():
    roomy = with_habits(HABITS, tallest_mm=2000.0)
    plan = supports_of(a_brief(a_tier(5, high=10), a_tier(4, high=12)), roomy)
    assert plan.tips_at_g < 0.8
    assert any("would tip" in why for why in plan.travel_why)


def test_the_whole_leans_about_the_edge_of_its_drum():
    plan = a_plan(8)
    assert plan.tip_deg == pytest.approx(
        math.degrees(math.atan(6 * INCH / plan.centre_mm)), abs=0.1
    )
    drum = outline(Shape.ROUND, 12 * INCH)
    assert plan.tips_at_g == pytest.approx(
        drum.exterior.distance(Point(0, 0)) / plan.centre_mm, rel=0.001
    )


def test_a_heavy_wide_cake_is_more_than_one_person_should_lift():
    roomy = with_habits(HABITS, one_person_lifts_grams=90000.0, widest_board_mm=900.0)
    plan = a_plan(18, 15, 12, book=roomy)
    assert plan.lift.index > 1
    assert plan.parts[-1].lift.is_for_one


# --- words and figures ---


def test_supports_are_told_for_each_tier_by_what_stands_in_it():
    said = supports_said(a_plan(10, 8, 5))
    assert [one["count"] for one in said] == [6, 6, 0]
    assert said[0]["length_mm"] == 101.6
    assert len(said[0]["at_mm"]) == 6
    assert all(len(at) == 2 for at in said[0]["at_mm"])
    assert 0 < said[0]["load_n"] < said[0]["capacity_n"] < 209.2
    assert set(said[2]) == {
        "count", "length_mm", "at_mm", "load_n", "capacity_n", "between_levels",
    }  # fmt: skip
    assert said[0]["between_levels"] == []


def test_how_it_is_carried_is_told_for_the_whole_and_each_part():
    plan = a_plan(10, 8, 5)
    said = carrying_said(plan)
    assert said["box_mm"] == [381.0, 381.0, round(plan.height_mm + 12.7, 1)]
    assert said["centre_dowel"] == {"length_mm": 298.1, "diameter_mm": 9.5}
    assert sum(part["weight_g"] for part in said["parts"]) == pytest.approx(said["weight_g"], abs=2)
    assert [part["board_mm"] for part in said["parts"]] == [
        [355.6, 355.6], [203.2, 203.2], [127.0, 127.0],
    ]  # fmt: skip
    assert said["problems"] == []


@pytest.mark.parametrize("inches", [(), (8,), (40, 30)])
def test_what_is_told_of_any_stack_is_plain_json(inches):
    # A 40-in tier is out of anybody's reach: its index has no number, which JSON cannot say.
    said = carrying_said(a_plan(*inches))
    assert json.loads(json.dumps(said, allow_nan=False)) == said
    assert (said["lifting_index"] is None) is (inches == (40, 30))


def test_a_support_is_named_by_what_it_is():
    assert rod_words(HABITS, Units.INCHES) == "birch dowel, ¼ in (6.35 mm)"
    assert rod_words(HABITS, Units.CENTIMETRES) == "birch dowel, 6.35 mm"
    assert rod_words(STRAWS, Units.INCHES) == "plastic straw, 12 mm, wall 0.5 mm"


def test_the_paper_says_every_join_and_that_it_is_no_certificate():
    brief = a_brief(a_tier(10), a_tier(8), a_tier(5))
    sheet = support_sheet_of(brief, BOOK, supports_of(brief, BOOK), "2027-0142", 2)
    assert [join.title for join in sheet.joins] == [
        "Tier 2, 8 in round, on tier 1", "Tier 3, 5 in round, on tier 2",
    ]  # fmt: skip
    assert (sheet.joins[0].count, sheet.joins[0].cut) == ("6", "4 in (102 mm)")
    assert sheet.certificate == CERTIFICATE
    assert "not an engineer's certificate" in sheet.certificate
    assert sheet.steps_title == "Setting it up at the venue"


def test_what_is_assembled_at_the_venue_has_two_steps_for_each_join():
    brief = a_brief(*(a_tier(one) for one in (14, 12, 9, 6)))
    sheet = support_sheet_of(brief, BOOK, supports_of(brief, BOOK), "2027-0142", 1)
    assert sheet.steps_title == "Assembling it at the venue"
    assert sum("supports in it" in step for step in sheet.steps) == 3
    assert sum(step.startswith("Put tier") for step in sheet.steps) == 3


def test_limits_of_an_older_edition_still_work():
    book = replace(BOOK, policies=replace(BOOK.policies, stacks=StackLimits()))
    assert supports_of(a_brief(a_tier(8), a_tier(6)), book).joins[0].count == 6
