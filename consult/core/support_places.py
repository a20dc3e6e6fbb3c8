"""How many supports does a carried tier take, and where do they stand in the tier below?

Positions are millimetres from the tier's centre: x to the right, y to the back, the front of the
cake at the bottom as one looks down on it.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely import LineString, MultiPoint, Point, Polygon

from consult.core import shapes
from consult.core.design import Tier
from shop.core.measures import MM_PER_INCH, Units, length
from shop.core.policies import Rod, SupportHabits

# Decorators' tutorials: six wooden rods under a tier of 10 in or less, eight up to 18 in; one straw
# for each inch of the tier carried. Beyond 18 in, two more for each 2 in: our own.
SIX_UP_TO_MM = 10 * MM_PER_INCH
EIGHT_UP_TO_MM = 18 * MM_PER_INCH
# Common practice, no source.
FEWEST, FEWEST_UNDER_SMALL = 4, 3
SMALL_MM = 6 * MM_PER_INCH
# Clear room between neighbours, in diameters, so that the cake between them holds: our own.
APART_IN_DIAMETERS = 2.0
# A small tier's supports stand no nearer to its middle than half way: our own.
MOST_OF_THE_WAY_IN = 0.5
_TURNS = 48  # ways of turning the ring that are tried
_SLACK_MM = 0.05  # positions are kept to a tenth of a millimetre

Places = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Count:
    """How many supports, and why so many."""

    count: int
    why: str


def outline_of(tier: Tier, margin_mm: float = 0.0) -> Polygon:
    """A tier from above, or the board of its shape that is `margin_mm` larger all round."""
    wide = None if tier.width_mm is None else tier.width_mm + 2 * margin_mm
    return shapes.outline(tier.shape, tier.size_mm + 2 * margin_mm, wide)


def across_mm(tier: Tier) -> float:
    """The tier's greatest overall measure."""
    return max(shapes.extent_mm(tier.shape, tier.size_mm, tier.width_mm))


def fewest(carried_mm: float) -> int:
    """The fewest supports under a tier so large, however light it is."""
    return FEWEST_UNDER_SMALL if carried_mm < SMALL_MM - _SLACK_MM else FEWEST


def customary(carried_mm: float, rod: Rod) -> int:
    """How many supports decorators give a tier that measures so much across."""
    if rod is Rod.STRAW:
        return max(math.ceil((carried_mm - _SLACK_MM) / MM_PER_INCH), fewest(carried_mm))
    if carried_mm <= SIX_UP_TO_MM + _SLACK_MM:
        return 6
    more = max(carried_mm - EIGHT_UP_TO_MM - _SLACK_MM, 0.0)
    return 8 + 2 * math.ceil(more / (2 * MM_PER_INCH))


@lru_cache(maxsize=1024)
def inset_mm(carried: Tier, habits: SupportHabits) -> float:
    """How far inside the carried tier's outline the supports stand: the shop's habit, less in a small tier."""
    inner = float(shapely.maximum_inscribed_circle(outline_of(carried), tolerance=0.1).length)
    return min(habits.in_from_edge_mm, inner * MOST_OF_THE_WAY_IN)


@lru_cache(maxsize=1024)
def ring(carried: Tier, habits: SupportHabits) -> LineString:
    """The closed line that the supports stand on: the carried tier's outline, moved inwards."""
    inner = outline_of(carried).buffer(-inset_mm(carried, habits), quad_segs=64)
    if inner.geom_type != "Polygon":
        inner = max(inner.geoms, key=lambda part: part.area)
    return LineString(inner.exterior.coords)


@lru_cache(maxsize=256)
def drawn(closed: LineString) -> Places:
    """A closed line as points for a drawing, each once, true to 0.02 mm."""
    points = closed.simplify(0.02).coords[:-1]
    return tuple((float(x), float(y)) for x, y in points)


def most_that_fit(carried: Tier, habits: SupportHabits) -> int:
    """How many supports find room on the ring with clear cake between them."""
    pitch = (1 + APART_IN_DIAMETERS) * habits.rod_mm
    return max(int(float(ring(carried, habits).length) / pitch), 1)


def count_for(
    carried: Tier, load_n: float, allowed_n: float, habits: SupportHabits, units: Units
) -> Count:
    """The customary number, more where the load asks for it, as many as find room.

    `load_n` is the weight above with its uneven sharing, `allowed_n` what one support may carry.
    """
    size = across_mm(carried)
    usual, least, room = (
        customary(size, habits.rod), fewest(size), most_that_fit(carried, habits),
    )  # fmt: skip
    asked = math.ceil(load_n / allowed_n - 1e-9)
    wanted = max(usual, asked)
    count = max(min(wanted, room), least)
    said = length(size, units)
    if count < wanted:
        return Count(count, f"{wanted} would be usual; {count} find room under a small tier")
    if asked > usual:
        return Count(count, f"{usual} are usual; the load asks for {asked}")
    if habits.rod is Rod.STRAW:
        return Count(count, f"one for each inch of a tier {said} across")
    return Count(count, f"the usual number under a tier {said} across")


@lru_cache(maxsize=1024)
def places(carried: Tier, count: int, habits: SupportHabits) -> Places:
    """Where so many supports stand: along the ring at equal distances, turned so that it stands firmest.

    The first is the one nearest to the front, then clockwise as seen from above.
    """
    line = ring(carried, habits)
    pitch = float(line.length) / count
    best: Places = ()
    firmest = -math.inf
    for turn in range(_TURNS):
        along = (np.arange(count) + turn / _TURNS) * pitch
        found = shapely.get_coordinates(shapely.line_interpolate_point(line, along))
        stands = firm_mm(tuple((float(x), float(y)) for x, y in found))
        if stands > firmest + _SLACK_MM:
            firmest = stands
            best = tuple((round(float(x), 1), round(float(y), 1)) for x, y in found)
    return _from_the_front(best)


def _from_the_front(found: Places) -> Places:
    """Clockwise from above, the one nearest to the front first."""
    clockwise = sorted(found, key=lambda at: -math.atan2(at[1], at[0]))
    first = min(range(len(clockwise)), key=lambda at: (round(clockwise[at][1]), clockwise[at][0]))
    ordered = clockwise[first:] + clockwise[:first]
    return tuple((x + 0.0, y + 0.0) for x, y in ordered)  # no -0.0


# A page asks for the same stack's plan at each look: whether it travels stacked decides when it is joined.
@lru_cache(maxsize=1024)
def firm_mm(at: Places) -> float:
    """How far the centre is from the nearest edge that what stands on these supports can tip over.

    0 where the centre is not between them, or where fewer than three stand.
    """
    hull = MultiPoint(at).convex_hull
    centre = Point(0, 0)
    if hull.geom_type != "Polygon" or not hull.covers(centre):
        return 0.0
    return float(hull.exterior.distance(centre))


@lru_cache(maxsize=1024)
def stands_within(at: Places, rod_mm: float, tier: Tier) -> bool:
    """Whether every support, by its whole thickness, is inside the tier's outline."""
    inside = outline_of(tier).buffer(_SLACK_MM)
    return all(inside.covers(Point(x, y).buffer(rod_mm / 2)) for x, y in at)
