"""How is a tier cut in rings that follow its edge, and where are the pieces?"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely import LineString, Polygon

from consult.core.shapes import TURN_POINTS, area_mm2, outline
from shop.core.catalogue import Shape, SliceSize

# Shapes cut like a round. The trade's cutting pages say so of petals; that hexagons and ovals are
# cut so too is common practice, no source.
RING_SHAPES = frozenset((Shape.ROUND, Shape.OVAL, Shape.HEXAGON, Shape.PETAL))

Points = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring along the edge, sliced across into pieces of one area; the core is what is inside.

    It lies `inset_mm` in from the tier's edge and is `depth_mm` deep; the core has no depth.
    """

    shape: Shape
    size_mm: float
    width_mm: float | None
    inset_mm: float
    depth_mm: float | None
    area_mm2: float
    count: int

    @property
    def is_core(self) -> bool:
        return self.depth_mm is None

    @property
    def served_mm2(self) -> float:
        """A ring is shared out whole; one too small for a piece is left over whole."""
        return self.area_mm2 if self.count else 0.0

    def polygons(self) -> Iterator[Polygon]:
        """The pieces, anticlockwise from the right."""
        if not self.count:
            return
        outer, inner = self._edges()
        if self.count == 1:
            yield Polygon(outer.points, [] if inner is None else [inner.points])
            return
        turns = self._turns(outer, inner)
        for start, end in pairwise(turns):
            inside = np.zeros((1, 2)) if inner is None else inner.between(start, end)[::-1]
            yield Polygon(np.vstack((outer.between(start, end), inside)))

    def cuts(self) -> Iterator[LineString]:
        """The line that frees the ring, then each slice across it."""
        if not self.count:
            return
        outer, inner = self._edges()
        if inner is not None:
            yield LineString(inner.points)
        if self.count == 1:
            return
        for turn in self._turns(outer, inner)[:-1]:
            middle = np.zeros(2) if inner is None else inner.at(turn)
            yield LineString([middle, outer.at(turn)])

    def _edges(self) -> tuple["_Edge", "_Edge | None"]:
        tier = (self.shape, self.size_mm, self.width_mm)
        outer = _edge(*tier, self.inset_mm)
        inner = None if self.depth_mm is None else _edge(*tier, self.inset_mm + self.depth_mm)
        return outer, inner

    def _turns(self, outer: "_Edge", inner: "_Edge | None") -> Points:
        """The angles to slice at, so that each piece has the same area."""
        fine = np.linspace(0, 2 * math.pi, 8 * TURN_POINTS + 1)
        swept = outer.swept(fine) - (0.0 if inner is None else inner.swept(fine))
        shares = np.linspace(0, swept[-1], self.count + 1)
        return np.interp(shares, swept, fine)


@lru_cache(maxsize=1024)
def rings_of(
    shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize
) -> tuple[Ring, ...]:
    """Rings one slice deep, each following the edge, while any cake is left inside; then the core.

    A ring or core gives as many pieces as slice footprints go into its area. For a round that is
    the slice's width into the ring's middle line, pi (D - depth), and the core is two depths
    across or less; the two old trade charts are cut so: 25 + 12 + 1 from a 10-in round at
    1 x 2 in.
    """
    tier = (shape, size_mm, width_mm)
    depth, footprint = slice_size.depth_mm, slice_size.footprint_mm2
    found: list[Ring] = []
    inset, area = 0.0, area_mm2(*tier)
    while (inner := _area_inside(*tier, inset + depth)) > 0:
        found.append(Ring(*tier, inset, depth, area - inner, whole((area - inner) / footprint)))
        inset, area = inset + depth, inner
    return (*found, Ring(*tier, inset, None, area, whole(area / footprint)))


def whole(times: float) -> int:
    """How often something goes in whole, forgiving the last bits of a float (1 in 10^9)."""
    return math.floor(times * (1 + 1e-9))


def _smaller(shape: Shape, size_mm: float, inset_mm: float) -> float:
    """Size of the round or hexagon left inside a cut `inset_mm` in from the edge."""
    if shape is Shape.ROUND:
        return size_mm - 2 * inset_mm
    return size_mm - 4 * inset_mm / math.sqrt(3)


def _area_inside(shape: Shape, size_mm: float, width_mm: float | None, inset_mm: float) -> float:
    if shape in (Shape.ROUND, Shape.HEXAGON):
        left = _smaller(shape, size_mm, inset_mm)
        return area_mm2(shape, left) if left > size_mm * 1e-9 else 0.0
    return float(_inside(shape, size_mm, width_mm, inset_mm).area)


@lru_cache(maxsize=1024)
def _inside(shape: Shape, size_mm: float, width_mm: float | None, inset_mm: float) -> Polygon:
    """What is left inside a cut along the edge; empty where it is nothing or falls apart."""
    if inset_mm == 0:
        return outline(shape, size_mm, width_mm)
    if shape in (Shape.ROUND, Shape.HEXAGON):
        return outline(shape, _smaller(shape, size_mm, inset_mm))
    left = outline(shape, size_mm, width_mm).buffer(-inset_mm)
    return left if isinstance(left, Polygon) else Polygon()


@lru_cache(maxsize=256)
def _edge(shape: Shape, size_mm: float, width_mm: float | None, inset_mm: float) -> "_Edge":
    return _Edge.of(_inside(shape, size_mm, width_mm, inset_mm))


@dataclass(frozen=True, slots=True, eq=False)
class _Edge:
    """A closed edge seen once round from the centre: angles from 0 to a whole turn, and points."""

    turns: Points
    points: Points

    @classmethod
    def of(cls, polygon: Polygon) -> "_Edge":
        # Every edge is seen from its centre without hiding behind itself; a cut that follows a
        # straight side needs points along it, since areas are read off between points; curves
        # have them already.
        line = shapely.segmentize(polygon.exterior, 2 * polygon.length / TURN_POINTS)
        points = shapely.get_coordinates(line)[:-1]
        if not polygon.exterior.is_ccw:
            points = points[::-1]
        turns = np.arctan2(points[:, 1], points[:, 0]) % (2 * math.pi)
        first = int(np.argmin(turns))
        turns, points = np.roll(turns, -first), np.roll(points, -first, axis=0)
        p, q = points[-1], points[0]
        right = np.array([p[0] - p[1] * (q[0] - p[0]) / (q[1] - p[1]), 0.0])
        if turns[0] > 0:
            turns, points = np.append(0.0, turns), np.vstack((right, points))
        return cls(np.append(turns, 2 * math.pi), np.vstack((points, points[:1])))

    def at(self, turn: npt.ArrayLike) -> Points:
        """The point, or points, of the edge in that direction from the centre."""
        turn = np.asarray(turn, dtype=float)
        before = np.clip(np.searchsorted(self.turns, turn, "right") - 1, 0, len(self.turns) - 2)
        p = self.points[before]
        side = self.points[before + 1] - p
        x, y = np.cos(turn), np.sin(turn)
        along = (p[..., 1] * x - p[..., 0] * y) / (side[..., 0] * y - side[..., 1] * x)
        found: Points = p + along[..., None] * side
        return found

    def swept(self, turns: Points) -> Points:
        """The area between the centre and the edge, from the right round to each angle."""
        p, q = self.points[:-1], self.points[1:]
        whole_sides = np.append(0.0, np.cumsum(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]))
        before = np.clip(np.searchsorted(self.turns, turns, "right") - 1, 0, len(self.turns) - 2)
        start, end = self.points[before], self.at(turns)
        rest = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
        swept: Points = (whole_sides[before] + rest) / 2
        return swept

    def between(self, start: float, end: float) -> Points:
        """The edge from one angle to another, both ends included."""
        inside = (self.turns > start + 1e-9) & (self.turns < end - 1e-9)
        return np.vstack((self.at(start), self.points[inside], self.at(end)))
