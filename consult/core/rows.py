"""How is an outline cut in straight rows, and where are the pieces?"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from shapely import LineString, Polygon, affinity, box

from consult.core.rings import whole
from consult.core.shapes import extent_mm
from shop.core.catalogue import Shape, SliceSize

# Where the first line may lie, in strip depths from the tier's centre: through the middle, a
# strip on the middle, then the eighths between. A fixed grid, so that a larger tier of the same
# shape always has room for every piece of a smaller one.
OFFSETS = (0, 4 / 8, 2 / 8, 6 / 8, 1 / 8, 7 / 8, 3 / 8, 5 / 8)

# Shapes cut so. Hearts have hollows and are cut in strips of their own, petals like a round.
ROW_SHAPES = frozenset((Shape.ROUND, Shape.SQUARE, Shape.RECTANGLE, Shape.HEXAGON, Shape.OVAL))
# Of those, the ones that a quarter turn changes.
TURNABLE = frozenset((Shape.RECTANGLE, Shape.OVAL, Shape.HEXAGON))


@dataclass(frozen=True, slots=True)
class Row:
    """A straight strip cut across into pieces.

    In the cutter's frame: along the strip, then across the cake; the frame is the cake as it lies
    or, for `crosswise` rows, turned a quarter.
    """

    start_mm: float  # where the pieces start, along the strip
    near_mm: float  # where the strip starts, across the cake
    width_mm: float  # of a piece, along the strip
    depth_mm: float  # of the strip
    count: int
    crosswise: bool = False

    @property
    def served_mm2(self) -> float:
        return self.count * self.width_mm * self.depth_mm

    @property
    def far_mm(self) -> float:
        return self.near_mm + self.depth_mm

    def polygons(self) -> Iterator[Polygon]:
        """The pieces, from one end of the strip to the other."""
        for at in range(self.count):
            left = self.start_mm + at * self.width_mm
            piece = box(left, self.near_mm, left + self.width_mm, self.far_mm)
            yield affinity.rotate(piece, 90, origin=(0, 0)) if self.crosswise else piece

    def cuts(self) -> Iterator[LineString]:
        """Both long sides of the strip, then each cut across it."""
        end = self.start_mm + self.count * self.width_mm
        for across in (self.near_mm, self.far_mm):
            yield self._line((self.start_mm, across), (end, across))
        for at in range(self.count + 1):
            along = self.start_mm + at * self.width_mm
            yield self._line((along, self.near_mm), (along, self.far_mm))

    def _line(self, *ends: tuple[float, float]) -> LineString:
        return LineString([(-v, u) for u, v in ends] if self.crosswise else ends)


def rows_of(
    shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize
) -> tuple[Row, ...]:
    """The rows that give the most whole pieces, out of a small stated set of ways to lay them.

    Straight-sided tiers: strips a slice deep from one side, the strip left over used with the
    pieces turned the other way if they fit whole; along and across. Other shapes: strips at eight
    offsets from the centre (a hexagon also from its side), along and across; pieces lie side by
    side from the end of the strip's clear length, which is where the whole strip is cake.
    """
    ways = (False, True) if shape in TURNABLE else (False,)
    return max(
        (
            rows
            for crosswise in ways
            for rows in _layouts(shape, size_mm, width_mm, slice_size, crosswise)
        ),
        key=lambda rows: sum(row.count for row in rows),
    )


def _layouts(
    shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize, crosswise: bool
) -> Iterator[tuple[Row, ...]]:
    """Each way to lay rows; the first of the best is kept, so the plainest come first."""
    along, across = extent_mm(shape, size_mm, width_mm)
    if crosswise:
        along, across = across, along
    if shape in (Shape.SQUARE, Shape.RECTANGLE):
        yield _straight_rows(along, across, slice_size, crosswise)
        return
    depth, width = slice_size.depth_mm, slice_size.width_mm
    half_chord = _half_chord_of(shape, along / 2, across / 2, crosswise)
    starts = [offset * depth for offset in OFFSETS]
    if shape is Shape.HEXAGON:
        starts.append(-across / 2)
    strips = math.ceil(across / 2 / depth) + 1
    for start in starts:
        rows = []
        for at in range(-strips, strips):
            near = start + at * depth
            # These outlines bulge everywhere, so a strip is narrowest at one of its sides.
            half = min(half_chord(near), half_chord(near + depth))
            count = whole(2 * half / width)
            if count:
                rows.append(Row(-half, near, width, depth, count, crosswise))
        yield tuple(rows)


def _straight_rows(
    along: float, across: float, slice_size: SliceSize, crosswise: bool
) -> tuple[Row, ...]:
    depth, width = slice_size.depth_mm, slice_size.width_mm
    strips = whole(across / depth)
    laid = [(-across / 2 + at * depth, depth, width) for at in range(strips)]
    left_over = across - strips * depth
    turned = whole(left_over / width)
    laid += [(-across / 2 + strips * depth + at * width, width, depth) for at in range(turned)]
    rows = (
        Row(-along / 2, near, wide, deep, whole(along / wide), crosswise)
        for near, deep, wide in laid
    )
    return tuple(row for row in rows if row.count)


def _half_chord_of(
    shape: Shape, half_along: float, half_across: float, crosswise: bool
) -> Callable[[float], float]:
    """Half the outline's reach along, at a place across it."""
    if shape is Shape.HEXAGON:
        # Its slanting sides run at 60 degrees; along it either ends in corners or in flat sides.
        slope = math.sqrt(3)
        if crosswise:
            return lambda across: min(half_along, (half_across - abs(across)) * slope)
        touching = half_across * (1 + 1e-9)
        return lambda v: half_along - abs(v) / slope if abs(v) <= touching else 0.0

    def half_chord(across: float) -> float:
        if abs(across) >= half_across:
            return 0.0
        return half_along * math.sqrt(1 - (across / half_across) ** 2)

    return half_chord
