"""Do the lines that draw a plan hold the whole tier, once?"""

import pytest

from consult.core.cutting import Way, cut
from consult.core.cutting_outlines import drawn
from consult.core.shapes import outline
from shop.core.catalogue import Shape, SliceSize
from tests.makers import INCH

DESSERT = SliceSize("dessert", "Dessert slice", INCH, 2 * INCH)


def area_of(area):
    """By the shoelace formula; holes run the other way round."""

    def swept(points):
        pairs = zip(points, points[1:] + points[:1], strict=True)
        return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2

    return swept(area.edge) + sum(map(swept, area.holes))


@pytest.mark.parametrize(
    ("shape", "size", "width", "way"),
    [
        (Shape.ROUND, 10, None, Way.RINGS), (Shape.ROUND, 12, None, Way.ROWS), (Shape.ROUND, 9, None, None),
        (Shape.SQUARE, 9, None, None), (Shape.RECTANGLE, 13, 9, None), (Shape.HEXAGON, 12, None, None),
        (Shape.PETAL, 12, None, None), (Shape.HEART, 10, None, None), (Shape.OVAL, 13, 10, None),
    ],
)  # fmt: skip
def test_fields_and_offcuts_are_the_tier(shape, size, width, way):
    short = None if width is None else width * INCH
    plan = cut(shape, size * INCH, short, DESSERT, way)
    shown = drawn(plan)
    whole = area_of(shown.edge)
    assert whole == pytest.approx(outline(shape, size * INCH, short).area, rel=1e-3)
    fields = sum(area_of(area) for _, area in shown.fields)
    offcuts = sum(area_of(area) for area in shown.offcuts)
    assert fields + offcuts == pytest.approx(whole, rel=2e-3)
    assert offcuts / whole == pytest.approx(plan.offcut_share, abs=2e-3)
    assert len(shown.cuts) == len(plan.cuts)


def test_each_piece_has_the_place_of_its_number_inside_it():
    plan = cut(Shape.HEART, 10 * INCH, None, DESSERT)
    shown = drawn(plan)
    assert len(shown.middles) == plan.count
    for piece, (x, y) in zip(plan.pieces, shown.middles, strict=True):
        left, low, right, high = piece.polygon.bounds
        assert left < x < right
        assert low < y < high


def test_a_ring_has_a_hole_and_its_core_has_none():
    shown = drawn(cut(Shape.ROUND, 10 * INCH, None, DESSERT, Way.RINGS))
    assert [(place, len(area.holes)) for place, area in shown.fields] == [(1, 1), (2, 1), (3, 0)]
