"""What outline has this tier, seen from above, and does one outline sit inside another?"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import shapely
from shapely import Polygon, affinity

from shop.core.catalogue import Shape

# Half inches of an inch-made pan fall on whole hundredths, so exact 1-in ledges count as reached.
TOLERANCE_MM = 0.01

# Points on a whole turn. The outline is scaled to its exact area afterwards, so the edge of a
# 30-in tier is nowhere more than 0.01 mm from the true curve.
TURN_POINTS = 720

# Depth of a petal's dips as a share of its radius, and its lobes. Trade charts for petal pans run
# at 0.57 to 0.72 of the round of that size and no maker's outline is agreed, so this is our own:
# r = R (5/6 + cos(8 t) / 6), whose area is exactly 17/24 (0.708) of the round's.
PETAL_LOBES = 8
PETAL_DIP = 1 / 3
PETAL_SHARE = (1 - PETAL_DIP / 2) ** 2 + PETAL_DIP**2 / 8

# A heart is a square standing on a corner with a half circle on each of its two upper sides, so
# its overall width is the square's side times this.
HEART_WIDTH_IN_SIDES = 1 + 1 / math.sqrt(2)
# Height of its centre of area above the square's centre, in sides: two half discs (each pi/8 of a
# square side squared, centred 4r/3pi outside its side) weighed against the square.
HEART_RISE_IN_SIDES = (
    (math.pi / 4) * (1 / (2 * math.sqrt(2)) + (2 / (3 * math.pi)) / math.sqrt(2))
) / (1 + math.pi / 4)


@dataclass(frozen=True, slots=True)
class Step:
    """The shelf between a tier and the one it carries, all round.

    `narrowest_mm` is the least distance between the two edges, below zero by how far the upper
    one hangs over; `widest_mm` the greatest distance from the lower edge to the upper tier.
    """

    narrowest_mm: float
    widest_mm: float


def _checked(shape: Shape, size_mm: float, width_mm: float | None) -> tuple[float, float]:
    """Length and width; the width is the size where the shape has no second measure."""
    if not shape.has_width:
        width_mm = size_mm
    elif width_mm is None:
        raise ValueError(f"A {shape.value} needs its width too.")
    if not (math.isfinite(size_mm) and size_mm > 0 and math.isfinite(width_mm) and width_mm > 0):
        raise ValueError(f"A {shape.value} of {size_mm} x {width_mm} mm has no area.")
    return float(size_mm), float(width_mm)


@lru_cache(maxsize=4096)
def outline(shape: Shape, size_mm: float, width_mm: float | None = None) -> Polygon:
    """The tier seen from above, its centre of area on the origin, in millimetres.

    `size_mm` is the diameter of a round, the side of a square, the long way of a rectangle or an
    oval (`width_mm` is the short way, along y), a hexagon corner to corner, a petal or a heart
    across its overall width. A heart is a square on its corner with two half circles, point
    downwards: area (1 + pi/4) (W / (1 + 1/sqrt 2))^2 = 0.6126 W^2. A petal is our own outline
    (no agreed one exists): eight lobes, dips a third of the radius deep, 17/24 of the round.
    Curves are drawn with 720 points a turn and scaled to their exact area.
    Raises ValueError for a measure that is missing or not above zero.
    """
    length, width = _checked(shape, size_mm, width_mm)
    area = area_mm2(shape, size_mm, width_mm)
    drawn = Polygon(_points(shape, length, width))
    scale = math.sqrt(area / drawn.area)
    polygon = affinity.scale(drawn, scale, scale, origin=(0, 0))
    shapely.prepare(polygon)
    return polygon


def _points(shape: Shape, length: float, width: float) -> npt.NDArray[np.float64]:
    x, y = length / 2, width / 2
    if shape in (Shape.SQUARE, Shape.RECTANGLE):
        return np.array([(-x, -y), (x, -y), (x, y), (-x, y)])
    if shape is Shape.HEXAGON:
        turn = np.arange(6) * math.pi / 3
        return np.column_stack((x * np.cos(turn), x * np.sin(turn)))
    if shape is Shape.HEART:
        return _heart_points(length / HEART_WIDTH_IN_SIDES)
    turn = np.arange(TURN_POINTS) * 2 * math.pi / TURN_POINTS
    if shape is Shape.PETAL:
        radius = x * (1 - PETAL_DIP / 2 * (1 - np.cos(PETAL_LOBES * turn)))
        return np.column_stack((radius * np.cos(turn), radius * np.sin(turn)))
    return np.column_stack((x * np.cos(turn), y * np.sin(turn)))


def _heart_points(side: float) -> npt.NDArray[np.float64]:
    middle, half = side / (2 * math.sqrt(2)), side / 2
    steps = TURN_POINTS // 2
    bend = -math.pi / 4 + np.arange(steps + 1) * math.pi / steps
    right = np.column_stack((middle + half * np.cos(bend), middle + half * np.sin(bend)))
    left = right[-2::-1] * (-1, 1)  # without the notch, which both halves share
    points = np.vstack(([(0.0, -side / math.sqrt(2))], right, left))
    return points - (0, HEART_RISE_IN_SIDES * side)


def area_mm2(shape: Shape, size_mm: float, width_mm: float | None = None) -> float:
    """Area of the top in square millimetres, by the exact formula of the outline."""
    length, width = _checked(shape, size_mm, width_mm)
    if shape in (Shape.SQUARE, Shape.RECTANGLE):
        return length * width
    if shape is Shape.HEXAGON:
        return 3 * math.sqrt(3) / 8 * length**2
    if shape is Shape.HEART:
        return (1 + math.pi / 4) * (length / HEART_WIDTH_IN_SIDES) ** 2
    disc = math.pi / 4 * length * width
    return disc * PETAL_SHARE if shape is Shape.PETAL else disc


def edge_mm(shape: Shape, size_mm: float, width_mm: float | None = None) -> float:
    """Once round the outline, in millimetres.

    Exact for all but two: the oval by Ramanujan's second formula of 1914 (from memory; error below
    a hundred-thousandth unless four times as long as wide), the petal by summing its curve.
    """
    length, width = _checked(shape, size_mm, width_mm)
    if shape in (Shape.SQUARE, Shape.RECTANGLE):
        return 2 * (length + width)
    if shape is Shape.HEXAGON:
        return 3 * length
    if shape is Shape.HEART:
        return (2 + math.pi) * length / HEART_WIDTH_IN_SIDES
    if shape is Shape.PETAL:
        return length * _petal_edge_in_sizes()
    a, b = length / 2, width / 2
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


@lru_cache(maxsize=1)
def _petal_edge_in_sizes() -> float:
    turn = np.arange(TURN_POINTS) * 2 * math.pi / TURN_POINTS
    radius = 1 - PETAL_DIP / 2 * (1 - np.cos(PETAL_LOBES * turn))
    slope = -PETAL_DIP / 2 * PETAL_LOBES * np.sin(PETAL_LOBES * turn)
    # A smooth closed curve: the plain mean over a turn is exact to many figures.
    return float(math.pi * np.mean(np.hypot(radius, slope)))


def widest_mm(shape: Shape, size_mm: float, width_mm: float | None = None) -> float:
    """The greatest distance between two points of the outline: a square's is corner to corner."""
    length, width = _checked(shape, size_mm, width_mm)
    if shape in (Shape.SQUARE, Shape.RECTANGLE):
        return math.hypot(length, width)
    return max(length, width)


def extent_mm(shape: Shape, size_mm: float, width_mm: float | None = None) -> tuple[float, float]:
    """Overall measures along x and along y, as the outline lies."""
    length, width = _checked(shape, size_mm, width_mm)
    if shape is Shape.HEXAGON:
        return length, length * math.sqrt(3) / 2
    if shape is Shape.HEART:
        side = length / HEART_WIDTH_IN_SIDES
        return length, side * (1 / math.sqrt(2) + 1 / (2 * math.sqrt(2)) + 1 / 2)
    return length, width


def sits_inside(upper: Polygon, lower: Polygon, ledge_mm: float) -> bool:
    """Whether `upper` lies inside `lower` with at least the ledge all round, to 0.01 mm."""
    return _narrowest(upper, lower) >= ledge_mm - TOLERANCE_MM


def widest_step_mm(upper: Polygon, lower: Polygon) -> float:
    """The greatest distance from the edge of `lower` to `upper`: at a square's corner, say."""
    # Along one straight piece of edge the distance can peak between its ends where the upper
    # outline is hollow, so long edges are walked in short steps: every eighth first, then all
    # those beside the furthest three.
    edge = shapely.points(
        shapely.get_coordinates(shapely.segmentize(lower.exterior, lower.length / 400))
    )
    coarse = shapely.distance(edge[::8], upper)
    furthest = np.argsort(coarse)[-3:] * 8
    beside = np.unique((furthest[:, None] + np.arange(-8, 9)) % len(edge))
    return float(max(coarse.max(), shapely.distance(edge[beside], upper).max()))


def _narrowest(upper: Polygon, lower: Polygon) -> float:
    if lower.covers(upper):
        return float(lower.exterior.distance(upper.exterior))
    over = shapely.points(shapely.get_coordinates(upper.exterior))
    return -float(shapely.distance(over, lower).max())


@lru_cache(maxsize=1024)
def _plain(shape: Shape, size_mm: float, width_mm: float | None) -> Polygon:
    """The outline with a third of its points, nowhere more than half the tolerance away."""
    polygon = outline(shape, size_mm, width_mm).simplify(TOLERANCE_MM / 2)
    shapely.prepare(polygon)
    return polygon


@lru_cache(maxsize=16384)
def steps(
    lower_shape: Shape,
    lower_size_mm: float,
    lower_width_mm: float | None,
    upper_shape: Shape,
    upper_size_mm: float,
    upper_width_mm: float | None = None,
) -> Step:
    """The step from the lower tier to the upper one, both centred and neither turned.

    A square on a round, a petal on a heart and so on lie as `outline` draws them (no angle is
    tried). Rounds and straight-sided tiers are exact; other pairs are measured on the outlines,
    to 0.02 mm.
    """
    lower = _checked(lower_shape, lower_size_mm, lower_width_mm)
    upper = _checked(upper_shape, upper_size_mm, upper_width_mm)
    exact = _EXACT.get((_family(lower_shape), _family(upper_shape)))
    if exact is not None:
        return exact(lower, upper)
    below = _plain(lower_shape, lower_size_mm, lower_width_mm)
    above = _plain(upper_shape, upper_size_mm, upper_width_mm)
    return Step(_narrowest(above, below), widest_step_mm(above, below))


def _family(shape: Shape) -> Shape:
    return Shape.RECTANGLE if shape is Shape.SQUARE else shape


_Measures = tuple[float, float]


def _round_on_round(lower: _Measures, upper: _Measures) -> Step:
    ledge = (lower[0] - upper[0]) / 2
    return Step(ledge, max(ledge, 0.0))


def _straight_on_straight(lower: _Measures, upper: _Measures) -> Step:
    along, across = (lower[0] - upper[0]) / 2, (lower[1] - upper[1]) / 2
    if min(along, across) >= 0:
        return Step(min(along, across), math.hypot(along, across))
    hangs = math.hypot(min(along, 0.0), min(across, 0.0))
    return Step(-hangs, math.hypot(max(along, 0.0), max(across, 0.0)))


def _straight_on_round(lower: _Measures, upper: _Measures) -> Step:
    radius, corner = lower[0] / 2, math.hypot(*upper) / 2
    return Step(radius - corner, max(radius - min(upper) / 2, 0.0))


def _round_on_straight(lower: _Measures, upper: _Measures) -> Step:
    radius, corner = upper[0] / 2, math.hypot(*lower) / 2
    return Step(min(lower) / 2 - radius, max(corner - radius, 0.0))


_EXACT: dict[tuple[Shape, Shape], Callable[[_Measures, _Measures], Step]] = {
    (Shape.ROUND, Shape.ROUND): _round_on_round,
    (Shape.RECTANGLE, Shape.RECTANGLE): _straight_on_straight,
    (Shape.ROUND, Shape.RECTANGLE): _straight_on_round,
    (Shape.RECTANGLE, Shape.ROUND): _round_on_straight,
}
