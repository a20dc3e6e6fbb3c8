"""Recipes for another pan."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consult.core.scaling import scale_factor, scaled
from shop.core.catalogue import Recipe, RecipeLine, Shape
from tests.makers import INCH

POUND_CAKE = Recipe(
    tuple(RecipeLine(name, Decimal(454)) for name in ("flour", "butter", "sugar", "egg"))
)


def test_a_recipe_for_8_in_grows_by_1_5625_for_10_in():
    # Plain geometry, (10/8) squared; a decorators' forum prints 1.56.
    factor = scale_factor(Shape.ROUND, 8 * INCH, Shape.ROUND, 10 * INCH)
    assert factor == pytest.approx(1.5625, abs=1e-4)


def test_a_square_pan_holds_27_per_cent_more_than_the_round_of_its_size():
    factor = scale_factor(Shape.ROUND, 8 * INCH, Shape.SQUARE, 8 * INCH)
    assert factor == pytest.approx(1.2732, abs=1e-4)  # 4 / pi


def test_depth_counts_too():
    factor = scale_factor(
        Shape.ROUND, 8 * INCH, Shape.ROUND, 8 * INCH, from_depth_mm=2 * INCH, to_depth_mm=3 * INCH
    )
    assert factor == pytest.approx(1.5)


def test_each_line_is_scaled():
    assert [line.grams for line in scaled(POUND_CAKE, 1.5625).lines] == [Decimal("709.4")] * 4


def test_a_pan_without_a_size_is_refused():
    with pytest.raises(ValueError, match="above zero"):
        scale_factor(Shape.ROUND, 0, Shape.ROUND, 10)


@given(st.floats(50, 500), st.floats(50, 500))
def test_there_and_back_is_one(here, there):
    forth = scale_factor(Shape.ROUND, here, Shape.ROUND, there)
    back = scale_factor(Shape.ROUND, there, Shape.ROUND, here)
    assert forth * back == pytest.approx(1)
