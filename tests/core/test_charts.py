"""Is it said where a printed chart promises more than the cake holds, and only there?"""

import pytest

from consult.core.charts import both_ways, chart_warning, printed_count, ways_in_words
from consult.core.cutting import Way, area_rule
from shop.core.catalogue import Shape, SliceSize
from tests.makers import INCH

DESSERT = SliceSize("dessert", "Dessert slice", 1 * INCH, 2 * INCH)
PARTY = SliceSize("party", "Party slice", 1.5 * INCH, 2 * INCH)


def test_a_14_in_round_holds_51_party_slices_by_its_area_and_never_63():
    # 154 sq in by 3: floor 51; a widely reprinted US serving guide says 63.
    assert int(area_rule(Shape.ROUND, 14 * INCH, None, PARTY)) == 51
    assert (
        chart_warning(Shape.ROUND, 14 * INCH, PARTY)
        == "Some charts say 63; at this slice the tier holds 50."
    )


# Every round party figure of that guide is more than the tier's area holds.
@pytest.mark.parametrize(
    ("size", "printed"), [(6, 12), (8, 20), (9, 24), (10, 28), (12, 40), (14, 63), (16, 77)]
)
def test_every_round_party_figure_of_the_guide_is_too_many(size, printed):
    assert printed > area_rule(Shape.ROUND, size * INCH, None, PARTY)
    assert f"say {printed};" in chart_warning(Shape.ROUND, size * INCH, PARTY)


def test_an_18_in_round_never_gives_146():
    # The older US chart and its copies; 292 sq in of 254.
    said = chart_warning(Shape.ROUND, 18 * INCH, DESSERT)
    assert said == "Some charts say 146; at this slice the tier holds 125."


# Squares are right in the charts: n squared by 2, and at or below n squared by 3 for party slices.
@pytest.mark.parametrize("size", [6, 8, 10, 12, 14, 16])
def test_nothing_is_said_where_the_charts_are_right(size):
    assert chart_warning(Shape.SQUARE, size * INCH, DESSERT) == ""
    assert chart_warning(Shape.SQUARE, size * INCH, PARTY) == ""
    assert chart_warning(Shape.ROUND, size * INCH, DESSERT) == ""


def test_a_pan_in_centimetres_is_the_inch_pan_nearest_to_it():
    slice_size = SliceSize("party", "Party slice", 40, 50)
    assert printed_count(Shape.ROUND, 350, slice_size) == 63  # 35 cm is sold as 14 in
    assert printed_count(Shape.ROUND, 330, slice_size) == 0


@pytest.mark.parametrize(("size", "printed"), [(6, 14), (8, 22), (10, 38), (12, 56), (16, 94)])
def test_hearts_of_the_older_chart_are_more_than_the_outline_holds(size, printed):
    assert printed_count(Shape.HEART, size * INCH, DESSERT) == printed


def test_both_ways_of_a_round_are_offered_the_better_first():
    # 10 in at 1 x 2 in: rings 25 + 12 + 1, rows 30.
    plans = both_ways(Shape.ROUND, 10 * INCH, None, DESSERT)
    assert [(plan.way, plan.count) for plan in plans] == [(Way.RINGS, 38), (Way.ROWS, 30)]
    assert ways_in_words(Shape.ROUND, 10 * INCH, None, DESSERT) == "38 in rings, 30 in rows"


# Whole pieces in 2-in strips laid from the middle or half a strip off it, by plain geometry.
@pytest.mark.parametrize(("size", "rows"), [(6, 8), (8, 17), (10, 30), (12, 43), (14, 62)])
def test_rows_of_a_round(size, rows):
    counts = {plan.way: plan.count for plan in both_ways(Shape.ROUND, size * INCH, None, DESSERT)}
    assert counts[Way.ROWS] >= rows


def test_a_square_is_cut_one_way():
    assert ways_in_words(Shape.SQUARE, 10 * INCH, None, DESSERT) == ""
