"""How is a heart cut, and where are the pieces?"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, Polygon

from consult.core.rings import whole
from consult.core.shapes import outline
from shop.core.catalogue import Shape, SliceSize


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip from the top of a heart to its lower side, sliced across into pieces of one area."""

    size_mm: float
    left_mm: float
    right_mm: float
    area_mm2: float
    count: int

    @property
    def served_mm2(self) -> float:
        """A strip is shared out whole; one too small for a piece is left over whole."""
        return self.area_mm2 if self.count else 0.0

    @property
    def cake(self) -> Polygon:
        return _between(self.size_mm, self.left_mm, self.right_mm)

    def polygons(self) -> Iterator[Polygon]:
        """The pieces from the top downwards, the rounded and pointed ends among them."""
        cake, heights = self.cake, self._heights()
        for high, low in pairwise(heights):
            yield shapely.clip_by_rect(cake, self.left_mm, low, self.right_mm, high)

    def cuts(self) -> Iterator[LineString]:
        """Both long sides of the strip where they are cut, then each slice across it."""
        heart = outline(Shape.HEART, self.size_mm)
        _, low, _, high = heart.bounds
        lines = [LineString([(x, low), (x, high)]) for x in (self.left_mm, self.right_mm)]
        lines += [
            LineString([(self.left_mm, y), (self.right_mm, y)]) for y in self._heights()[1:-1]
        ]
        for line in lines:
            inside = heart.intersection(line)
            if isinstance(inside, LineString) and inside.length > 0:
                yield inside

    def _heights(self) -> list[float]:
        """Where to slice, top first: found by halving until each piece has its share."""
        cake = self.cake
        _, bottom, _, top = cake.bounds
        heights = [top]
        for at in range(1, self.count):
            share, low, high = cake.area * at / self.count, bottom, heights[-1]
            for _ in range(40):  # halving a metre so often leaves less than a millionth of a mm
                middle = (low + high) / 2
                above = shapely.clip_by_rect(cake, self.left_mm, middle, self.right_mm, top)
                low, high = (middle, high) if above.area > share else (low, middle)
            heights.append((low + high) / 2)
        return [*heights, bottom] if self.count else []


def strips_of(size_mm: float, slice_size: SliceSize) -> tuple[Strip, ...]:
    """Strips one slice deep out from the line down the middle, left to right.

    The trade's cutting pages split a heart down the middle, then into strips, then across. Each
    strip gives as many pieces as slice footprints go into its area. The two outermost are
    narrower than a slice is deep and give longer pieces; too small for one, they stay with the
    strip beside them.
    """
    reach = float(outline(Shape.HEART, size_mm).bounds[2])
    depth = slice_size.depth_mm
    edges = [at * depth for at in range(math.ceil(reach / depth - 1e-6))] + [reach]
    if _between(size_mm, edges[-2], reach).area < slice_size.footprint_mm2 and len(edges) > 2:
        del edges[-2]
    right = []
    for near, far in pairwise(edges):
        area = float(_between(size_mm, near, far).area)
        right.append((near, far, area, whole(area / slice_size.footprint_mm2)))
    left = [(-far, -near, area, count) for near, far, area, count in reversed(right)]
    return tuple(Strip(size_mm, *strip) for strip in (*left, *right))


def _between(size_mm: float, left_mm: float, right_mm: float) -> Polygon:
    heart = outline(Shape.HEART, size_mm)
    return shapely.clip_by_rect(heart, left_mm, -size_mm, right_mm, size_mm)
