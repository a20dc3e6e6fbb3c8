"""By how much does a recipe grow for another pan?"""

from decimal import Decimal

from consult.core.shapes import area_mm2
from shop.core.catalogue import Recipe, RecipeLine, Shape


def scale_factor(
    from_shape: Shape,
    from_size_mm: float,
    to_shape: Shape,
    to_size_mm: float,
    *,
    from_width_mm: float | None = None,
    to_width_mm: float | None = None,
    from_depth_mm: float = 1.0,
    to_depth_mm: float = 1.0,
) -> float:
    """Volume of the second pan over the first's: (area x depth) over (area x depth).

    Lengths in millimetres; leave the depths out where they are equal. ValueError for a size that is not above zero.
    """
    if min(from_size_mm, to_size_mm, from_depth_mm, to_depth_mm) <= 0:
        raise ValueError("Pans have sizes and depths above zero.")
    there = area_mm2(to_shape, to_size_mm, to_width_mm) * to_depth_mm
    here = area_mm2(from_shape, from_size_mm, from_width_mm) * from_depth_mm
    return there / here


def scaled(recipe: Recipe, factor: float | Decimal) -> Recipe:
    """The recipe times a factor, each line rounded to a tenth of a gram."""
    times = Decimal(factor)
    return Recipe(
        tuple(
            RecipeLine(line.ingredient, (line.grams * times).quantize(Decimal("0.1")))
            for line in recipe.lines
        )
    )
