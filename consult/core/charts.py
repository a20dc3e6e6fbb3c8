"""Does a widely printed chart promise more than the cake holds? And what does each way of cutting give?"""

from collections.abc import Mapping
from types import MappingProxyType

from consult.core.cutting import CuttingPlan, area_rule, cut, ways_of
from shop.core.catalogue import Shape, SliceSize
from shop.core.measures import MM_PER_INCH

# Counts of two US charts that circulate under many names, where they are more than the tier's area
# holds at the slice they name; sizes in inches.
_Counts = Mapping[float, int]
_PRINTED: Mapping[tuple[Shape, float, float], _Counts] = MappingProxyType(
    {
        # 1½ x 2 in "party" slices: a widely reprinted US consumer serving guide. At 14 in its 63
        # pieces need 189 sq in; the tier has 154.
        (Shape.ROUND, 1.5, 2.0): MappingProxyType(
            {6: 12, 8: 20, 9: 24, 10: 28, 12: 40, 14: 63, 16: 77}
        ),
        (Shape.HEART, 1.5, 2.0): MappingProxyType({6: 8, 8: 18, 9: 20, 10: 24}),
        # 1 x 2 in slices: 146 from an 18-in round, in the older chart and its copies, would need
        # 292 sq in; the tier has 254.
        (Shape.ROUND, 1.0, 2.0): MappingProxyType({18: 146}),
        # The older chart's hearts. What "size" means on a heart pan differs by maker; ours is the
        # overall width of a square with two half circles.
        (Shape.HEART, 1.0, 2.0): MappingProxyType(
            {6: 14, 8: 22, 9: 28, 10: 38, 12: 56, 14: 72, 15: 74, 16: 94}
        ),
    }
)
# A pan or slice stamped in centimetres is looked up as the inches nearest to it: a 30 cm pan is a
# 12-in one to 1.6 %, a 4 x 5 cm slice a party slice to 5 %.
_SIZE_TOLERANCE, _SLICE_TOLERANCE = 0.02, 0.06


def printed_count(shape: Shape, size_mm: float, slice_size: SliceSize) -> int:
    """What the charts print for that tier and slice where it is more than the tier holds, else 0."""
    for (printed_shape, wide, deep), counts in _PRINTED.items():
        if printed_shape is not shape or not (
            _is_near(slice_size.width_mm, wide, _SLICE_TOLERANCE)
            and _is_near(slice_size.depth_mm, deep, _SLICE_TOLERANCE)
        ):
            continue
        for size, count in counts.items():
            if _is_near(size_mm, size, _SIZE_TOLERANCE):
                # Never called too much where the area would hold it.
                return count if count > area_rule(shape, size_mm, None, slice_size) else 0
    return 0


def chart_warning(shape: Shape, size_mm: float, slice_size: SliceSize) -> str:
    """A sentence where a widely printed chart promises more than one level of the tier holds, else ""."""
    printed = printed_count(shape, size_mm, slice_size)
    if not printed:
        return ""
    holds = cut(shape, size_mm, None, slice_size).count
    return f"Some charts say {printed}; at this slice the tier holds {holds}."


def both_ways(
    shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize
) -> tuple[CuttingPlan, ...]:
    """A plan for each way the shape can be cut, the one that gives more first, the usual one on a tie."""
    plans = [cut(shape, size_mm, width_mm, slice_size, way) for way in ways_of(shape)]
    return tuple(sorted(plans, key=lambda plan: -plan.count))


def ways_in_words(
    shape: Shape, size_mm: float, width_mm: float | None, slice_size: SliceSize
) -> str:
    """ "38 in rings, 30 in rows"; "" for a shape that is cut one way only."""
    plans = both_ways(shape, size_mm, width_mm, slice_size)
    return ", ".join(f"{plan.count} in {plan.way.value}" for plan in plans if len(plans) > 1)


def _is_near(mm: float, inches: float, tolerance: float) -> bool:
    return abs(mm - inches * MM_PER_INCH) <= tolerance * inches * MM_PER_INCH
