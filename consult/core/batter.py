"""How is a tier baked? Layers, in which pan, how much batter in each, and for how long.

Batter goes by volume: the level layer's volume as plain baked cake, the loss of baking on top, and
the dome that is cut off. So it scales with every pan and every height.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import count
from math import pi, sqrt
from types import MappingProxyType

import numpy as np

from consult.core import covering
from consult.core.cutting import levels
from consult.core.design import Tier
from consult.core.shapes import TOLERANCE_MM, area_mm2
from shop.core.book import ShopBook
from shop.core.catalogue import Flavour, Pan
from shop.core.measures import MM_PER_INCH, Units, length

# Share of the batter's weight that bakes off: 10.3 % in a conventional oven, quoted from the
# infrared-microwave cake study of Sumnu, Sahin and Sevimli 2005 (study name from memory).
BAKING_LOSS = 0.103
# Sponge and angel food without icing: 50 g a US cup (USDA FoodData Central, FNDDS food portions).
PLAIN_FOAM_CAKE_G_PER_ML = 50 / covering.ML_PER_US_CUP
# Share of the batter that stands above the level as the dome and is cut off: common practice, no
# source.
DOME = 0.05
# One deep layer is split in two where it is taller than this; a 2-in pan gives layers of about
# 2 in, a 3-in pan up to 3 in. Common practice, no source.
SPLIT_OVER_MM = 2.25 * MM_PER_INCH
# A pan nobody owns yet is taken as 2 in deep, as most charts do.
USUAL_DEPTH_MM = 2 * MM_PER_INCH
# From 10 or 11 in up a heating core stands in the middle of the pan: two old US charts.
CORE_FROM_MM = 10 * MM_PER_INCH


@dataclass(frozen=True, slots=True)
class CakeKind:
    """How a cake bakes and weighs: grams in a millilitre of it baked without icing, of its batter
    (its specific gravity), and whether the textbook's time is that of foams."""

    name: str
    baked_g_per_ml: float
    batter_g_per_ml: float
    is_foam: bool = False

    @property
    def batter_per_baked_ml(self) -> float:
        """Grams of batter for each millilitre of baked cake."""
        return batter_for_baked(self.baked_g_per_ml)


# Specific gravity of batters, American Society of Baking: high-ratio and layer 0.70 to 0.80, sponge,
# genoise and chiffon 0.50, cream and pound 0.80 to 0.90 (the nearest it has to carrot and fruit).
# Baked densities: USDA FNDDS food portions, as in `covering` and above.
KINDS: Mapping[str, CakeKind] = MappingProxyType(
    {
        "high-fat": CakeKind("high-fat", covering.PLAIN_CAKE_G_PER_ML, 0.75),
        "foam": CakeKind("foam", PLAIN_FOAM_CAKE_G_PER_ML, 0.50, is_foam=True),
        "dense": CakeKind("dense", covering.DENSE_CAKE_G_PER_ML, 0.85),
    }
)


def cake_of(flavour: Flavour) -> CakeKind:
    """How a flavour bakes: as its kind, with the weight of its own batter where the shop has weighed it.

    A batter of its own weight is taken to rise as its kind does, so the baked cake is as much lighter or
    heavier as the batter is (our own reading, no source).
    """
    kind = kind_of(flavour.kind)
    if flavour.batter_g_per_ml is None:
        return kind
    own = float(flavour.batter_g_per_ml)
    return replace(
        kind, baked_g_per_ml=kind.baked_g_per_ml * own / kind.batter_g_per_ml, batter_g_per_ml=own
    )


def kind_of(name: str) -> CakeKind:
    """The kind of that name; one the shop names otherwise counts as high-fat."""
    return KINDS.get(name, KINDS["high-fat"])


def batter_for_baked(baked_grams: float) -> float:
    """Grams of batter that bake to so many grams: 10.3 % bakes off (`BAKING_LOSS`)."""
    return baked_grams / (1 - BAKING_LOSS)


def layer_batter_g(kind: CakeKind, area: float, layer_mm: float) -> float:
    """Grams of batter for one layer: its area in mm2 times its height as it comes out of the oven."""
    return area * layer_mm / covering.MM3_PER_ML * kind.batter_per_baked_ml


def textbook_layer_mm(kind: CakeKind, size_mm: float, *, sheet: bool = False) -> float:
    """How tall the layers of Gisslen's Table 32.1 come out at these densities.

    The table prints batter weights and no depth. High-fat rounds come to 42 mm at every size, sheets
    to 33; foam rounds to about 36 mm at 8 in and 40 at 12 in. For comparing with the table only.
    """
    if kind.is_foam:
        return 29.0 + size_mm / 30
    return 33.0 if sheet else 42.0


@dataclass(frozen=True, slots=True)
class Layers:
    """How a tier is built. `baked` come out of the oven, each `layer_mm` tall once level; `layers`
    are in the tier, twice as many where each is split; `fillings` lie between them."""

    baked: int
    split: bool
    layers: int
    fillings: int
    layer_mm: float


def layers_in(
    height_mm: float, pan_depth_mm: float, filling_mm: float = covering.FILLING_MM
) -> Layers:
    """The fewest layers that fit their pan and, with the fillings, make the height.

    A tier cut as levels is built as so many equal cakes with a board between, not a filling. A tier
    has two layers at least. Raises ValueError for a height or depth that is not above zero.
    """
    if height_mm <= 0 or pan_depth_mm <= 0:
        raise ValueError("A tier needs a height and its pan a depth.")
    cakes = max(1, int(levels(height_mm)))
    each = height_mm / cakes
    for baked in count(1):
        unsplit = (each - (baked - 1) * filling_mm) / baked
        split = baked == 1 or unsplit > SPLIT_OVER_MM
        layers = baked * 2 if split else baked
        cake = max(each - (layers - 1) * filling_mm, each / 2)  # thin cakes have thin fillings
        if cake / baked <= pan_depth_mm + TOLERANCE_MM:
            break
    return Layers(baked * cakes, split, layers * cakes, (layers - 1) * cakes, cake / baked)


@dataclass(frozen=True, slots=True)
class Bake:
    """Oven and time in words, after Gisslen's Table 32.1."""

    celsius: int
    says: str


# Gisslen, Professional Cooking, Table 32.1: up to which size, degrees Celsius, minutes.
_HIGH_FAT = ((6, 190, "18"), (8, 190, "25"), (12, 180, "35"))
_FOAM = ((6, 190, "20"), (8, 190, "20"), (12, 180, "25 to 30"))
_HALF_WAY = 1.0  # in inches: a 7-in pan bakes as an 8-in one, a 9-in one as a 10-in one


def heat_words(celsius: int, units: Units) -> str:
    """ "355 °F (180 °C)" for a shop on inches, else "180 °C"; Fahrenheit to the nearest five."""
    if units is Units.INCHES:
        return f"{round((celsius * 9 / 5 + 32) / 5) * 5} °F ({celsius} °C)"
    return f"{celsius} °C"


def bake(kind: CakeKind, area: float, layer_mm: float, units: Units) -> Bake:
    """How hot and how long, by the round pan of that area in mm2; a thicker layer takes longer."""
    across = 2 * sqrt(area / pi) / MM_PER_INCH
    rows = _FOAM if kind.is_foam else _HIGH_FAT
    row = next((row for row in rows if across < row[0] + _HALF_WAY), rows[-1])
    celsius, minutes = row[1], row[2]
    heat = heat_words(celsius, units)
    is_more = layer_mm > textbook_layer_mm(kind, across * MM_PER_INCH) + 1 or across > 13
    more = ", longer for a layer this deep" if is_more else ""
    return Bake(celsius, f"{heat}, look after {minutes} min{more}; a skewer comes out clean")


@dataclass(frozen=True, slots=True)
class TierBaking:
    """How one tier is baked: `pan` None where none is owned. Grams are those in the pans."""

    pan: Pan | None
    pan_name: str
    depth_mm: float
    layers: Layers
    each_g: float
    fill_share: float
    cores: int  # heating cores in each pan
    bake: Bake
    why: str

    @property
    def batter_g(self) -> float:
        return self.each_g * self.layers.baked


def pan_for(tier: Tier, book: ShopBook) -> Pan | None:
    """The pan a tier is baked in: of its outline, the deepest of those owned in numbers."""
    owned = [
        pan
        for pan in book.pans
        if pan.owned > 0
        and pan.shape is tier.shape
        and abs(pan.size_mm - tier.size_mm) <= TOLERANCE_MM
        and abs((pan.width_mm or 0) - (tier.width_mm or 0)) <= TOLERANCE_MM
    ]
    return max(owned, key=lambda pan: (min(pan.owned, 2), pan.depth_mm), default=None)


def baking_of(tier: Tier, kind: CakeKind, book: ShopBook) -> TierBaking:
    """Layers, pan, batter and oven of one tier that is cake."""
    units = book.identity.units
    pan = pan_for(tier, book)
    depth = pan.depth_mm if pan else USUAL_DEPTH_MM
    area = area_mm2(tier.shape, tier.size_mm, tier.width_mm)
    layers = layers_in(tier.height_mm, depth)
    each = layer_batter_g(kind, area, layers.layer_mm) / (1 - DOME)
    fill = each / kind.batter_g_per_ml / (area * depth / covering.MM3_PER_ML)
    narrow = tier.size_mm if tier.width_mm is None else tier.width_mm
    deep = length(depth, units)
    across = length(tier.size_mm, units).removesuffix(f" {units.value}")
    if tier.width_mm is not None and tier.shape.has_width:
        across += f" x {length(tier.width_mm, units).removesuffix(f' {units.value}')}"
    name = f"{across} {units.value} {tier.shape.value}, {deep} deep"
    tall = f"{layers.layer_mm / 10:.1f} cm"
    if units is Units.INCHES:
        tall = f"{layers.layer_mm / MM_PER_INCH:.1f} in ({tall})"
    why = (
        f"{layers.baked} baked, each {tall} tall once level, {area / 100:.0f} cm²;"
        f" {kind.baked_g_per_ml:.3f} g a ml baked ({kind.name}), {BAKING_LOSS:.1%} bakes off,"
        f" {DOME:.0%} is cut off as the dome: {each:.0f} g each"
    )
    if layers.split:
        why += f"; each is split in two, {layers.layers} layers"
    return TierBaking(
        pan=pan,
        pan_name=name if pan else f"{name} (not owned)",
        depth_mm=depth,
        layers=layers,
        each_g=each,
        fill_share=fill,
        cores=int(narrow >= CORE_FROM_MM - TOLERANCE_MM and not kind.is_foam),
        bake=bake(kind, area, layers.layer_mm, units),
        why=why,
    )


# Light soak: one tablespoon on the top and one on the bottom of a 9 x 2 in layer, 29.6 ml over its
# 410 cm2: Beranbaum, Rose's Heavenly Cakes (2009), "Sugar syrups".
LIGHT_SOAK_ML_PER_CM2 = 2 * covering.ML_PER_US_CUP / 16 / (pi * (9 * MM_PER_INCH / 20) ** 2)
# Grams in a millilitre of sugar solution at 20 °C, by its per cent of sugar: sucrose table of the
# CRC Handbook (NBS Circular 440 gives the same).
_SYRUP_PER_CENT = (0, 10, 20, 30, 40, 50)
_SYRUP_G_PER_ML = (0.9982, 1.0381, 1.0810, 1.1270, 1.1764, 1.2296)


def soak_ml(area: float, layers: int) -> float:
    """Millilitres of syrup for a light soak, both sides of each layer; area in mm2."""
    return area / 100 * LIGHT_SOAK_ML_PER_CM2 * layers


def brix(sugar_g: float, water_g: float) -> float:
    """Per cent of sugar by weight in a syrup."""
    return 100 * sugar_g / (sugar_g + water_g)


def syrup_g_per_ml(per_cent: float) -> float:
    """Grams in a millilitre of syrup at 20 °C, straight between the table's rows; 0 to 50 per cent."""
    if not 0 <= per_cent <= 50:
        raise ValueError("The table runs from 0 to 50 per cent of sugar.")
    return float(np.interp(per_cent, _SYRUP_PER_CENT, _SYRUP_G_PER_ML))
