"""Does a tier weigh what published densities say, and does the sheet say what the support plan does?"""

from dataclasses import replace
from decimal import Decimal

import pytest

from consult.core.design import Kind
from consult.core.supports import supports_of
from consult.core.weights import board_of, weight_of, weights_to_lift
from tests.makers import make_book, make_brief, make_tier


# USDA FNDDS, 6.8 g a cubic inch of iced cake: 8 in round, 4 in tall.
def test_a_tier_in_buttercream_weighs_what_the_survey_says():
    tier = make_tier(8, flavour="vanilla", finish="smooth")
    assert weight_of(tier, make_book()) == pytest.approx(1367, abs=1)


def test_fondant_adds_what_it_weighs_beyond_buttercream():
    # By hand: top and side of 8 in round are 324.3 + 648.6 cm2, 4 mm deep 389.2 ml; 1.4 g/ml of
    # fondant (from memory) less 1.116 of icing (USDA SR 19230: 33 g in 2 tbsp) is 110.6 g.
    tier = make_tier(8, flavour="vanilla", finish="fondant")
    assert weight_of(tier, make_book()) == pytest.approx(1367 + 110.6, abs=1)


def test_ganache_weighs_by_its_own_density_and_nothing_by_a_lighter_one():
    book = make_book()
    plain = weight_of(make_tier(8, finish="smooth"), book)
    ganache = replace(book.finish("smooth"), kind="ganache", grams_per_ml=Decimal("1.2"))
    dense = replace(book, finishes=(ganache,))
    assert weight_of(make_tier(8), dense) == pytest.approx(plain + 389.2 * (1.2 - 1.1159), abs=1)
    light = replace(book, finishes=(replace(ganache, grams_per_ml=Decimal("0.9")),))
    assert weight_of(make_tier(8), light) == pytest.approx(plain)


# Decorators multiply the weight of plain iced cake by 1.25 to 1.35 for dense cake with fondant when
# they check supports: common practice, no source.
@pytest.mark.parametrize("size", [6, 8, 9, 10, 12, 14, 16])
def test_dense_cake_in_fondant_is_as_much_heavier_as_decorators_reckon(size):
    book = make_book()
    plain = weight_of(make_tier(size, flavour="vanilla", finish="smooth"), book)
    dense = weight_of(make_tier(size, flavour="carrot", finish="fondant"), book)
    assert 1.25 <= dense / plain <= 1.35


def test_the_weight_on_the_sheet_is_that_of_the_support_plan():
    book, brief = make_book(), make_brief(tiers=(12, 9, 6))
    assert sum(weights_to_lift(brief.design.tiers, book)) == pytest.approx(
        supports_of(brief, book).grams, rel=1e-6
    )


def test_boards_are_a_drum_with_its_margin_and_one_as_large_as_each_tier_carried():
    # By hand, 0.7 g/ml from memory: 12 in round of 12 mm; 8 in round of 3 mm.
    book = make_book(board_margin_mm=50.8)
    base, carried = (board_of(at, make_tier(8), book) for at in (0, 1))
    assert (round(base, 1), round(carried, 1)) == (612.9, 68.1)


# By hand: 8 in round, 4 in high is 3,294.7 ml of foam at 20 g a litre; 972.9 cm2 in 4 mm of coat and
# 1.25 mm of crumb coat are 510.8 ml.
def test_a_display_tier_weighs_its_foam_and_its_coats():
    book = make_book()
    coat = float(book.finish("smooth").grams_per_ml) * (4 + 1.25) / 10 * 972.9
    display = make_tier(8, kind=Kind.DISPLAY, finish="smooth")
    assert weight_of(display, book) == pytest.approx(3294.7 * 0.02 + coat, abs=1)
