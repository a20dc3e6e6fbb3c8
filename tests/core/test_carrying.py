"""May one person lift it? The shop's limit and the lifting equation, the lower of the two."""

import pytest

from consult.core.carrying import carried, to_carry
from consult.core.label_values import labels_of
from consult.core.lifting import bench_to_table
from consult.core.reckoning import reckon
from consult.core.supports import part_of, supports_of
from shop.core.measures import Units
from tests.makers import TODAY, make_book, make_brief, make_tier

GENEROUS = make_book(one_person_lifts_grams=25_000.0)
SIZES = [(6,), (10, 8), (12, 10, 8, 6), (16, 12), (18,), (16, 14, 12, 10)]


@pytest.mark.parametrize("sizes", SIZES)
def test_the_whole_and_each_tier_are_held_against_the_limit_of_the_support_plan(sizes):
    brief = make_brief(tiers=sizes)
    whole, parts = to_carry(brief.design.tiers, GENEROUS)
    plan = supports_of(brief, GENEROUS)
    assert [part.niosh_grams for part in parts] == [
        pytest.approx(part.lift.rwl_kg * 1000) for part in plan.parts
    ]
    assert whole.niosh_grams == pytest.approx(plan.lift.rwl_kg * 1000)
    assert whole.grams == pytest.approx(plan.grams)
    assert whole.is_for_one is plan.lift.is_for_one


@pytest.mark.parametrize("book", [GENEROUS, make_book()])
@pytest.mark.parametrize("sizes", SIZES)
def test_the_page_the_sheet_and_the_box_never_disagree(sizes, book):
    brief = make_brief(tiers=sizes)
    whole, parts = to_carry(brief.design.tiers, book)
    found = reckon(brief, book, TODAY)
    is_heavy = any(caution.code == "heavy" for caution in found.cautions)
    assert is_heavy is not (whole.is_for_one and all(part.is_for_one for part in parts))
    assert found.heaviest_words.startswith("One person may lift it") is whole.is_for_one
    together = labels_of(brief, book, "1", together=[range(len(sizes))]).labels[0]
    assert together.carry.startswith("One person") is whole.is_for_one


def test_a_wide_box_is_for_two_although_the_shop_would_let_one_lift_it():
    tiers = (make_tier(22),)
    whole, _ = to_carry(tiers, GENEROUS)
    part = part_of(0, tiers[0], GENEROUS)
    limit = bench_to_table(1.0, part.box.deep_mm, high_mm=part.box.high_mm).rwl_kg
    assert limit * 1000 < whole.grams < 25_000
    assert not whole.is_for_one
    assert "NIOSH recommends" in whole.limit_in_words(Units.CENTIMETRES)
    words = reckon(make_brief(tiers=tiers), GENEROUS, TODAY).heaviest_words
    assert words.startswith("Two people lift it")
    assert "NIOSH recommends for one person and a box this large" in words


def test_the_shops_own_limit_is_named_where_it_is_the_lower():
    book = make_book(one_person_lifts_grams=3_000.0)
    one = carried([part_of(0, make_tier(10), book)], book)
    assert one.limit_grams == 3_000
    assert one.limit_in_words(Units.CENTIMETRES) == "the 3 kg that one person lifts in this shop"


def test_nothing_cannot_be_carried():
    with pytest.raises(ValueError, match="nothing to carry"):
        to_carry((), GENEROUS)
