"""Are outlines, areas, edges and steps what geometry says?"""

import math

import pytest
from shapely import affinity

from consult.core import shapes
from consult.core.shapes import Step, outline, steps
from shop.core.catalogue import Shape
from shop.core.measures import MM_PER_INCH

ANY = [(shape, 254.0, 180.0 if shape.has_width else None) for shape in Shape]


def inches(value: float) -> float:
    return value * MM_PER_INCH


@pytest.mark.parametrize(("shape", "size", "width"), ANY)
def test_outline_has_the_area_and_edge_of_its_formula(
    shape: Shape, size: float, width: float | None
) -> None:
    polygon = outline(shape, size, width)
    assert polygon.is_valid
    assert polygon.area == pytest.approx(shapes.area_mm2(shape, size, width), rel=1e-9)
    assert polygon.length == pytest.approx(shapes.edge_mm(shape, size, width), rel=1e-4)


@pytest.mark.parametrize(("shape", "size", "width"), ANY)
def test_outline_lies_round_the_origin_at_its_stated_measures(
    shape: Shape, size: float, width: float | None
) -> None:
    polygon = outline(shape, size, width)
    assert (polygon.centroid.x, polygon.centroid.y) == pytest.approx((0, 0), abs=0.01)
    left, low, right, high = polygon.bounds
    along, across = shapes.extent_mm(shape, size, width)
    assert (right - left, high - low) == pytest.approx((along, across), abs=0.01)
    assert along == size


@pytest.mark.parametrize(("shape", "size", "width"), ANY)
def test_widest_is_the_greatest_distance_between_two_points(
    shape: Shape, size: float, width: float | None
) -> None:
    points = list(outline(shape, size, width).exterior.coords)
    furthest = max(math.dist(p, q) for p in points[::2] for q in points)
    assert shapes.widest_mm(shape, size, width) == pytest.approx(furthest, abs=0.02)


# Plain geometry, in squares of the overall measure: pi/4; 3 sqrt(3)/8 corner to corner; a square
# with two half circles 0.6126; our own petal 17/24 of the round.
@pytest.mark.parametrize(
    ("shape", "share"),
    [
        (Shape.ROUND, 0.785398),
        (Shape.SQUARE, 1.0),
        (Shape.HEXAGON, 0.649519),
        (Shape.HEART, 0.612652),
        (Shape.PETAL, 0.556324),
    ],
)
def test_area_in_squares_of_the_overall_measure(shape: Shape, share: float) -> None:
    assert shapes.area_mm2(shape, 300) / 300**2 == pytest.approx(share, abs=1e-6)


def test_petal_is_about_seven_tenths_of_the_round() -> None:
    # Trade charts give 0.57 to 0.72 and agree on no outline: 0.70 is the editable default.
    share = shapes.area_mm2(Shape.PETAL, 200) / shapes.area_mm2(Shape.ROUND, 200)
    assert 0.70 <= share <= 0.72


def test_edge_of_an_oval_agrees_with_the_integral_of_its_curve() -> None:
    # The complete elliptic integral, summed here; a circle is the oval as wide as long.
    a, b, parts = 210.0, 100.0, 200_000
    turns = ((at + 0.5) * 2 * math.pi / parts for at in range(parts))
    summed = sum(math.hypot(a * math.sin(t), b * math.cos(t)) for t in turns) * 2 * math.pi / parts
    assert shapes.edge_mm(Shape.OVAL, 2 * a, 2 * b) == pytest.approx(summed, rel=1e-6)
    assert shapes.edge_mm(Shape.OVAL, 200, 200) == pytest.approx(math.pi * 200)


def test_edge_of_an_oval_gives_the_way_round_the_earth_over_the_poles() -> None:
    # WGS 84: half axes 6 378.137 and 6 356.7523142 km; a meridian, both ways, is 40 007.863 km.
    found = shapes.edge_mm(Shape.OVAL, 2 * 6378.137, 2 * 6356.7523142)
    assert found == pytest.approx(40_007.863, abs=0.001)


def test_width_is_asked_for_where_a_shape_has_one() -> None:
    with pytest.raises(ValueError, match="needs its width"):
        outline(Shape.OVAL, 200)


@pytest.mark.parametrize("size", [0.0, -10.0, math.nan, math.inf])
def test_measure_without_an_area_is_refused(size: float) -> None:
    with pytest.raises(ValueError, match="has no area"):
        shapes.area_mm2(Shape.ROUND, size)


@pytest.mark.parametrize(("ledge", "sits"), [(0.99, True), (1.0, True), (1.01, False)])
@pytest.mark.parametrize("shape", [Shape.ROUND, Shape.SQUARE])
def test_two_inch_step_leaves_a_ledge_of_one_inch(shape: Shape, ledge: float, sits: bool) -> None:
    upper, lower = outline(shape, inches(8)), outline(shape, inches(10))
    assert shapes.sits_inside(upper, lower, inches(ledge)) is sits


def test_tier_off_its_middle_loses_its_ledge_on_one_side() -> None:
    upper, lower = outline(Shape.ROUND, 150), outline(Shape.ROUND, 200)
    assert shapes.sits_inside(upper, lower, 25)
    assert not shapes.sits_inside(affinity.translate(upper, 1, 0), lower, 25)
    assert not shapes.sits_inside(affinity.translate(upper, 100, 0), lower, 0)


# Pythagoras on paper.
@pytest.mark.parametrize(
    ("lower", "upper", "step"),
    [
        ((Shape.ROUND, 300, None), (Shape.ROUND, 200, None), Step(50, 50)),
        ((Shape.SQUARE, 300, None), (Shape.SQUARE, 200, None), Step(50, 50 * math.sqrt(2))),
        (
            (Shape.RECTANGLE, 400, 300),
            (Shape.RECTANGLE, 240, 200),
            Step(50, math.hypot(80, 50)),
        ),
        (
            (Shape.ROUND, 300, None),
            (Shape.SQUARE, 160, None),
            Step(150 - 80 * math.sqrt(2), 70),
        ),
        (
            (Shape.SQUARE, 300, None),
            (Shape.ROUND, 200, None),
            Step(50, 150 * math.sqrt(2) - 100),
        ),
        ((Shape.HEXAGON, 300, None), (Shape.HEXAGON, 200, None), Step(25 * math.sqrt(3), 50)),
        ((Shape.OVAL, 300, 200), (Shape.ROUND, 120, None), Step(40, 90)),
    ],
)
def test_step_between_two_tiers(
    lower: tuple[Shape, float, float | None], upper: tuple[Shape, float, float | None], step: Step
) -> None:
    found = steps(*lower, *upper)
    assert found.narrowest_mm == pytest.approx(step.narrowest_mm, abs=0.02)
    assert found.widest_mm == pytest.approx(step.widest_mm, abs=0.02)


@pytest.mark.parametrize(
    ("lower", "upper", "over"),
    [
        ((Shape.ROUND, 200, None), (Shape.ROUND, 260, None), 30),
        ((Shape.SQUARE, 200, None), (Shape.SQUARE, 260, None), 30 * math.sqrt(2)),
        ((Shape.RECTANGLE, 300, 200), (Shape.RECTANGLE, 240, 240), 20),
        ((Shape.ROUND, 200, None), (Shape.SQUARE, 200, None), 100 * (math.sqrt(2) - 1)),
        ((Shape.SQUARE, 200, None), (Shape.ROUND, 210, None), 5),
        ((Shape.HEXAGON, 200, None), (Shape.HEXAGON, 240, None), 20),
    ],
)
def test_tier_that_hangs_over_has_a_step_below_zero(
    lower: tuple[Shape, float, float | None], upper: tuple[Shape, float, float | None], over: float
) -> None:
    assert steps(*lower, *upper).narrowest_mm == pytest.approx(-over, abs=0.02)


@pytest.mark.parametrize("lower", [Shape.ROUND, Shape.SQUARE])
@pytest.mark.parametrize("upper", [Shape.ROUND, Shape.SQUARE])
def test_step_by_formula_is_the_step_measured_on_the_outlines(lower: Shape, upper: Shape) -> None:
    below, above = outline(lower, 300), outline(upper, 170)
    found = steps(lower, 300, None, upper, 170, None)
    assert below.exterior.distance(above) == pytest.approx(found.narrowest_mm, abs=0.01)
    assert shapes.widest_step_mm(above, below) == pytest.approx(found.widest_mm, abs=0.01)


def test_heart_on_a_heart_needs_more_than_a_two_inch_step() -> None:
    # A heart's sides run aslant, so 2 in less across leaves less than 1 in beside them.
    ledge = steps(Shape.HEART, inches(12), None, Shape.HEART, inches(10), None).narrowest_mm
    assert 0 < ledge < inches(0.75)
    assert steps(Shape.HEART, inches(12), None, Shape.HEART, inches(8), None).narrowest_mm > ledge
