"""How many servings does a tier give, and where does the knife go?

Rings follow the edge (`rings`), rows are straight (`rows`; a heart's, `hearts`). Pieces are counted
from the geometry of the outline, never from a table; polygons and lines are made when asked for.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property, lru_cache

from shapely import LineString, Polygon

from consult.core.hearts import Strip, strips_of
from consult.core.rings import RING_SHAPES, Ring, rings_of
from consult.core.rows import ROW_SHAPES, Row, rows_of
from consult.core.shapes import area_mm2, extent_mm
from shop.core.catalogue import Shape, SliceSize
from shop.core.measures import MM_PER_INCH, Units, length, number
from shop.core.policies import Rounds

# Tiers from 3 to 6 in tall give the same count and those under 3 in half of it: a widely
# reprinted US consumer serving guide.
FULL_HEIGHT_MM = 3 * MM_PER_INCH
# From 8 in on a tier is cut as levels of 4 in (the standard US tier of two 2-in layers) with a
# board between. Common practice, no source; no more than 6 in of cake on one board, likewise.
TWO_LEVELS_MM = 8 * MM_PER_INCH
LEVEL_MM = 4 * MM_PER_INCH
# Inches are kept in millimetres to a thousandth.
HEIGHT_TOLERANCE_MM = 0.01


class Way(StrEnum):
    """How the knife goes."""

    RINGS = "rings"
    ROWS = "rows"


@dataclass(frozen=True, slots=True)
class Piece:
    """One serving seen from above. Rings count from the edge inwards, rows from one side."""

    number: int
    ring_or_row: int
    polygon: Polygon


@dataclass(frozen=True)
class CuttingPlan:
    """How one level of a tier is cut; millimetres round the tier's centre."""

    way: Way
    shape: Shape
    size_mm: float
    width_mm: float | None
    slice_size: SliceSize
    parts: tuple[Ring | Row | Strip, ...]
    area_mm2: float

    @cached_property
    def count(self) -> int:
        return sum(part.count for part in self.parts)

    @cached_property
    def offcut_area_mm2(self) -> float:
        """What is left over: ends, slivers, a core too small for a piece."""
        return max(self.area_mm2 - sum(part.served_mm2 for part in self.parts), 0.0)

    @property
    def offcut_share(self) -> float:
        """Offcuts as a share, 0 to 1, of the tier's top."""
        return self.offcut_area_mm2 / self.area_mm2

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Every serving, numbered from 1 in the order it is cut."""
        drawn = (
            (at, polygon) for at, part in enumerate(self.parts, 1) for polygon in part.polygons()
        )
        return tuple(Piece(at, part, polygon) for at, (part, polygon) in enumerate(drawn, 1))

    @cached_property
    def cuts(self) -> tuple[LineString, ...]:
        """Every line the knife follows, once, in the order it is cut."""
        once: dict[tuple[object, ...], LineString] = {}
        for part in self.parts:
            for line in part.cuts():
                ends = [(round(x, 3), round(y, 3)) for x, y in line.coords]
                once.setdefault((min(ends[0], ends[-1]), max(ends[0], ends[-1]), len(ends)), line)
        return tuple(once.values())

    def steps_in_words(self, units: Units) -> tuple[str, ...]:
        """How to cut it, one sentence a step, for whoever holds the knife."""
        if self.way is Way.RINGS:
            return tuple(_ring_words(self, units))
        if self.shape is Shape.HEART:
            return tuple(_strip_words(self, units))
        return tuple(_row_words(self, units))


def ways_of(shape: Shape) -> tuple[Way, ...]:
    """The ways this shape can be cut, the usual one first."""
    ways = (Way.RINGS,) if shape in RING_SHAPES else ()
    return (*ways, Way.ROWS) if shape in ROW_SHAPES or shape is Shape.HEART else ways


def way_for(shape: Shape, rounds: Rounds) -> Way | None:
    """The way a shop that cuts its rounds so cuts the shape; None: whichever way gives more."""
    if shape is not Shape.ROUND or rounds is Rounds.WHICHEVER:
        return None
    return Way(rounds.value)


@lru_cache(maxsize=4096)
def cut(
    shape: Shape,
    size_mm: float,
    width_mm: float | None,
    slice_size: SliceSize,
    way: Way | None = None,
) -> CuttingPlan:
    """The cutting plan of one level; with `way` None the one that gives more, rings on a tie.

    Raises ValueError for a shape that cannot be cut that way, or measures that are not above zero.
    """
    if way is not None and way not in ways_of(shape):
        raise ValueError(f"A {shape.value} is not cut in {way.value}.")
    if slice_size.width_mm <= 0 or slice_size.depth_mm <= 0:
        raise ValueError("A slice needs a width and a depth.")
    area = area_mm2(shape, size_mm, width_mm)
    plans = (
        CuttingPlan(
            each,
            shape,
            size_mm,
            width_mm,
            slice_size,
            _parts(shape, size_mm, width_mm, slice_size, each),
            area,
        )
        for each in (ways_of(shape) if way is None else (way,))
    )
    return max(plans, key=lambda plan: plan.count)


def _parts(
    shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize, way: Way
) -> tuple[Ring | Row | Strip, ...]:
    if way is Way.RINGS:
        return rings_of(shape, size_mm, width_mm, slice_size)
    if shape is Shape.HEART:
        return strips_of(size_mm, slice_size)
    return rows_of(shape, size_mm, width_mm, slice_size)


def area_rule(shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize) -> float:
    """Servings if nothing were lost: top area by slice footprint. No plan can give more."""
    return area_mm2(shape, size_mm, width_mm) / slice_size.footprint_mm2


def levels(height_mm: float) -> Fraction:
    """How often the pieces of one level count: a half, once, or each level of a tall tier."""
    if height_mm <= 0:
        raise ValueError("A tier needs a height.")
    height = height_mm + HEIGHT_TOLERANCE_MM
    if height < FULL_HEIGHT_MM:
        return Fraction(1, 2)
    if height < TWO_LEVELS_MM:
        return Fraction(1)
    return Fraction(int(height // LEVEL_MM))


@dataclass(frozen=True, slots=True)
class Servings:
    """The servings of a tier, and how they come about."""

    count: int
    pieces_per_level: int
    levels: Fraction
    why: str


@lru_cache(maxsize=16384)
def servings(
    shape: Shape,
    size_mm: float,
    width_mm: float | None,
    height_mm: float,
    slice_size: SliceSize,
    way: Way | None = None,
) -> Servings:
    """Servings of a tier: the pieces of its cutting plan, counted for each level of its height."""
    plan, times = cut(shape, size_mm, width_mm, slice_size, way), levels(height_mm)
    count = int(plan.count * times)
    why = f"Cut in {_parts_in_words(plan)}: {_counted(plan.count, 'piece')}"
    if times < 1:
        why += f"; under 3 in (7.6 cm) tall they count half: {count}"
    elif times > 1:
        why += f"; {times} levels with a board between: {times} × {plan.count} = {count}"
    return Servings(count, plan.count, times, f"{why}.{_other_way(plan, way)}")


def _other_way(plan: CuttingPlan, way: Way | None) -> str:
    """The better count with its cut, where the shop's way gives less; "" where nothing gives more."""
    if way is None:
        return ""
    better = cut(plan.shape, plan.size_mm, plan.width_mm, plan.slice_size)
    if better.count <= plan.count:
        return ""
    more = _counted(better.count, "piece")
    return (
        f" This shop cuts {plan.shape.value}s in {plan.way.value}; cut in {_parts_in_words(better)} a"
        f" level would give {more}."
    )


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _listed(counts: list[int]) -> str:
    if len(counts) < 2:
        return "".join(map(str, counts))
    return f"{', '.join(map(str, counts[:-1]))} and {counts[-1]}"


def _parts_in_words(plan: CuttingPlan) -> str:
    """Rings of 25 and 12 and a core of 1; 5 rows of 10; rows of 4, 8 and 4."""
    counts = [part.count for part in plan.parts]
    if plan.way is Way.RINGS:
        *rings, core = counts
        if not rings:
            return "wedges"
        kind = "rings" if len(rings) > 1 else "a ring"
        return f"{kind} of {_listed(rings)}" + (f" and a core of {core}" if core else "")
    if len(counts) > 1 and len(set(counts)) == 1:
        return f"{len(counts)} rows of {counts[0]}"
    return f"{'rows' if len(counts) > 1 else 'a row'} of {_listed(counts)}" if counts else "rows"


def _ring_words(plan: CuttingPlan, units: Units) -> Iterator[str]:
    depth, width = (
        length(mm, units) for mm in (plan.slice_size.depth_mm, plan.slice_size.width_mm)
    )
    *rings, core = (part for part in plan.parts if isinstance(part, Ring))
    first, again = "a circle", "another circle"
    if plan.shape is not Shape.ROUND:
        first, again = "all round", "all round again"
    for at, ring in enumerate(rings):
        line = f"{again}, {depth} further in" if at else f"{first}, {depth} in from the edge"
        yield f"Cut {line}; slice the ring about every {width} into {ring.count} equal pieces."
    what = "what is left in the middle" if rings else f"the {plan.shape.value}"
    if core.count > 1:
        yield f"Cut {what} into {core.count} equal wedges."
    elif core.count:
        yield f"Serve {what} as 1 piece."
    elif core.area_mm2 > _WORTH_SAYING_MM**2:
        yield f"Leave {what} out: it is too small for a serving."


def _row_words(plan: CuttingPlan, units: Units) -> Iterator[str]:
    rows = [part for part in plan.parts if isinstance(part, Row)]
    if not rows:
        yield f"The {plan.shape.value} is too small for a serving of this size."
        return
    crosswise = rows[0].crosswise
    way = _DIRECTIONS.get((plan.shape, crosswise), "straight across")
    across = extent_mm(plan.shape, plan.size_mm, plan.width_mm)[0 if crosswise else 1]
    trimmed = rows[0].near_mm + across / 2
    if trimmed > _WORTH_SAYING_MM:
        yield f"Make the first cut {way}, {length(trimmed, units)} in from the edge."
    kinds = dict.fromkeys((row.depth_mm, row.width_mm) for row in rows)
    for at, (deep, wide) in enumerate(kinds):
        counts = [row.count for row in rows if (row.depth_mm, row.width_mm) == (deep, wide)]
        strips = f"{_counted(len(counts), 'strip')} {length(deep, units)} wide"
        strips = f"{strips} from the side left over" if at else f"{strips}, {way}"
        each = "each" if len(counts) > 1 else "it"
        if len(counts) > 1 and len(set(counts)) == 1:
            pieces = f"{len(counts)} x {counts[0]} = {sum(counts)}"
        else:
            pieces = _listed(counts)
        turned = ", the pieces turned the other way" if at else ""
        yield f"Cut {strips}; slice {each} every {length(wide, units)}{turned}: {pieces}."
    if plan.offcut_share >= _OFFCUTS_WORTH_SAYING:
        yield f"Offcuts at the ends: {number(plan.offcut_share * 100, 0)} % of the tier."


def _strip_words(plan: CuttingPlan, units: Units) -> Iterator[str]:
    strips = [part for part in plan.parts if isinstance(part, Strip)]
    right = strips[len(strips) // 2 :]
    depth = length(plan.slice_size.depth_mm, units)
    yield "Cut the heart in half, from the notch to the point."
    if len(right) > 1:
        yield f"Cut each half into strips {depth} wide, starting from the middle."
    counts = [strip.count for strip in right]
    yield (
        f"Slice the strips across into equal pieces, from the middle outwards: {_listed(counts)}"
        " in each half."
    )


_WORTH_SAYING_MM = 1.0  # a knife does not cut closer
_OFFCUTS_WORTH_SAYING = 0.005  # half a per cent

_DIRECTIONS = {
    (Shape.RECTANGLE, False): "the long way",
    (Shape.RECTANGLE, True): "the short way",
    (Shape.OVAL, False): "the long way",
    (Shape.OVAL, True): "the short way",
    (Shape.HEXAGON, False): "from corner to corner",
    (Shape.HEXAGON, True): "from side to side",
}
