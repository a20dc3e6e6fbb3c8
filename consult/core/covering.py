"""How much surface has a tier, how much goes on and in it, and what does it weigh?"""

from dataclasses import dataclass
from enum import StrEnum

import shapely

from consult.core.shapes import area_mm2, edge_mm, outline
from shop.core.catalogue import Shape, SliceSize
from shop.core.measures import MM_PER_INCH

MM3_PER_ML = 1000.0
MM3_PER_CUBIC_INCH = MM_PER_INCH**3
ML_PER_US_CUP = 236.588  # US customary cup

# Grams in a millilitre of finished cake. USDA FoodData Central, FNDDS food portions 2019-2020:
# white or chocolate cake with icing 6.8 g a cubic inch, without 5.0 g; carrot, red velvet and
# fruit cake 120 g a cup, cheesecake 180 g.
ICED_CAKE_G_PER_CUBIC_INCH = 6.8
PLAIN_CAKE_G_PER_CUBIC_INCH = 5.0
ICED_CAKE_G_PER_ML = ICED_CAKE_G_PER_CUBIC_INCH / MM3_PER_CUBIC_INCH * MM3_PER_ML
PLAIN_CAKE_G_PER_ML = PLAIN_CAKE_G_PER_CUBIC_INCH / MM3_PER_CUBIC_INCH * MM3_PER_ML
DENSE_CAKE_G_PER_ML = 120 / ML_PER_US_CUP
CHEESECAKE_G_PER_ML = 180 / ML_PER_US_CUP

# Grams in a millilitre of icing. USDA SR 19230, ready-made vanilla frosting: 33 g in 2 tbsp.
ICING_G_PER_ML = 33 * 8 / ML_PER_US_CUP
# Rolled fondant: 1.35 to 1.45, from memory; no published value was found.
FONDANT_G_PER_ML = 1.4

# Grams in a millilitre of pressed cake board, solid grey card or hardboard; from memory.
BOARD_G_PER_ML = 0.7

# Common practice, no source: crumb coat 1 to 1.5 mm, final coat 3 to 4 mm, filling 5 to 8 mm.
CRUMB_COAT_MM = 1.25
FINAL_COAT_MM = 4.0
FILLING_MM = 6.0
# Sugarpaste is rolled 3 to 4 mm; the roll-out is the diameter, twice the height and half an inch
# to trim. Common practice, no source.
FONDANT_MM = 4.0
FONDANT_TRIM_MM = MM_PER_INCH / 2


@dataclass(frozen=True, slots=True)
class Surface:
    """What of a tier is covered: `top_mm2` is what shows of its top, `edge_mm` once round it."""

    top_mm2: float
    side_mm2: float
    edge_mm: float

    @property
    def total_mm2(self) -> float:
        return self.top_mm2 + self.side_mm2


def surface(
    shape: Shape,
    size_mm: float,
    width_mm: float | None,
    height_mm: float,
    *,
    carried_mm2: float = 0.0,
) -> Surface:
    """Top and side of a tier; `carried_mm2` is the outline of the tier on it, hidden by its board."""
    top, edge = area_mm2(shape, size_mm, width_mm), edge_mm(shape, size_mm, width_mm)
    return Surface(max(top - carried_mm2, 0.0), edge * height_mm, edge)


def volume_mm3(shape: Shape, size_mm: float, width_mm: float | None, height_mm: float) -> float:
    """Volume of a tier in cubic millimetres."""
    return area_mm2(shape, size_mm, width_mm) * height_mm


def coat_ml(top_mm2: float, side_mm2: float, thickness_mm: float) -> float:
    """Millilitres in one coat of that thickness over top and side."""
    return (top_mm2 + side_mm2) * thickness_mm / MM3_PER_ML


def crumb_coat_ml(covered: Surface, thickness_mm: float = CRUMB_COAT_MM) -> float:
    """Millilitres in the thin first coat that holds the crumbs."""
    return coat_ml(covered.top_mm2, covered.side_mm2, thickness_mm)


def final_coat_ml(covered: Surface, thickness_mm: float = FINAL_COAT_MM) -> float:
    """Millilitres in the coat that is seen."""
    return coat_ml(covered.top_mm2, covered.side_mm2, thickness_mm)


def filling_ml(top_mm2: float, layers: int, thickness_mm: float = FILLING_MM) -> float:
    """Millilitres between `layers` layers of cake: one filling fewer than there are layers."""
    return top_mm2 * max(layers - 1, 0) * thickness_mm / MM3_PER_ML


@dataclass(frozen=True, slots=True)
class FondantSheet:
    """The sheet to roll out: its outline and measures, and what it weighs before it is trimmed.

    `shape` is round, oval, square or rectangle; a round and a square have no `width_mm`.
    """

    shape: Shape
    size_mm: float
    width_mm: float | None
    thickness_mm: float
    grams: float


def fondant_sheet(
    shape: Shape,
    size_mm: float,
    width_mm: float | None,
    height_mm: float,
    *,
    thickness_mm: float = FONDANT_MM,
    trim_mm: float = FONDANT_TRIM_MM,
) -> FondantSheet:
    """The sheet that covers a tier in one: across, twice the height, and the trim.

    A disc for a round, and for a hexagon, petal or heart the disc round its outline; an oval or
    straight-sided sheet for those. Trimmings can be used again.
    """
    more = 2 * height_mm + trim_mm
    is_like_the_tier = shape in (Shape.SQUARE, Shape.RECTANGLE, Shape.OVAL)
    sheet = shape if is_like_the_tier else Shape.ROUND
    length = (size_mm if is_like_the_tier else _round_about_mm(shape, size_mm)) + more
    width = width_mm + more if sheet.has_width and width_mm is not None else None
    grams = area_mm2(sheet, length, width) * thickness_mm / MM3_PER_ML * FONDANT_G_PER_ML
    return FondantSheet(sheet, length, width, thickness_mm, grams)


def _round_about_mm(shape: Shape, size_mm: float) -> float:
    """Diameter of the smallest circle round the outline."""
    if shape is not Shape.HEART:
        return size_mm
    return 2 * float(shapely.minimum_bounding_radius(outline(shape, size_mm)))


def iced_g_per_ml(kind: str) -> float:
    """Grams in a millilitre of iced cake, by how it bakes: high-fat, foam or dense.

    No figure for an iced foam was found, so it counts as heavy as any iced cake: the weight is
    used to choose supports and to warn of lifting.
    """
    return DENSE_CAKE_G_PER_ML if kind == "dense" else ICED_CAKE_G_PER_ML


def iced_mass_g(volume: float, grams_per_ml: float = ICED_CAKE_G_PER_ML) -> float:
    """Grams of finished cake in a volume in cubic millimetres, icing and filling included."""
    return volume / MM3_PER_ML * grams_per_ml


def slice_mass_g(
    slice_size: SliceSize, height_mm: float, grams_per_ml: float = ICED_CAKE_G_PER_ML
) -> float:
    """Grams of one serving of a tier of that height."""
    return iced_mass_g(slice_size.footprint_mm2 * height_mm, grams_per_ml)


class BakeryClass(StrEnum):
    """How 21 CFR 101.12(b) tells cakes apart."""

    LEAVENED = "chemically leavened"
    FOAM = "angel food, chiffon or sponge"
    FRUIT = "at least 35 % fruit, nuts or vegetables"
    CHEESECAKE = "cheesecake"


def reference_amount_g(kind: BakeryClass, *, iced: bool) -> int:
    """Grams customarily eaten at one time: 21 CFR 101.12(b), table 2, bakery products.

    Heavy weight 125, medium 80, light 55; a light-weight cake is medium as soon as it is iced.
    A label's amount, not a trade slice, and no advice on how much to eat.
    """
    if kind in (BakeryClass.CHEESECAKE, BakeryClass.FRUIT):
        return 125
    return 55 if kind is BakeryClass.FOAM and not iced else 80
