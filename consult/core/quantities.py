"""What goes into the bowl? Batter by pan, recipes scaled, syrup, filling, coats, decorations, oven loads, shopping."""

from collections.abc import Iterator
from dataclasses import dataclass

from consult.core import choices, covering
from consult.core.allergens import tier_words
from consult.core.batter import (
    LIGHT_SOAK_ML_PER_CM2,
    TierBaking,
    baking_of,
    cake_of,
    soak_ml,
    syrup_g_per_ml,
)
from consult.core.covering import FondantSheet
from consult.core.decoration_amounts import DecorationAmount, decoration_amounts
from consult.core.design import Brief, Kind, Tier
from consult.core.mixes import Mix, Use, mixes_of
from consult.core.oven import OvenLoads, ToBake, oven_loads
from consult.core.shapes import area_mm2, edge_mm
from consult.core.shopping import ShoppingList, shopping_list
from consult.core.stack_rules import tier_name
from shop.core.book import ShopBook
from shop.core.catalogue import Finish

# A wall of firm icing keeps a soft filling in: common practice, no source.
DAM_MM = 10.0
# Syrup of equal weights of sugar and water.
SYRUP_PER_CENT = 50.0
SYRUP_RULE = (
    "Foam cakes get a light soak of syrup on both sides of each layer; other cakes are moist enough"
    " without (our choice)."
)


@dataclass(frozen=True, slots=True)
class TierAmounts:
    """What one tier, or one of `count` kitchen cakes alike, takes. Grams are net: what is in and on it.

    `why` says how each figure came about, by its name.
    """

    where: str  # "base tier", "kitchen cake"
    name: str  # "10 in round"
    tier: Tier
    count: int
    baking: TierBaking | None  # None for a display tier
    syrup_ml: float
    filling_ml: float
    filling_g: float
    dam_ml: float
    dam_g: float
    crumb_ml: float
    crumb_g: float
    coat_ml: float
    coat_g: float
    fondant: FondantSheet | None  # then `coat_g` is the sheet before it is trimmed
    why: tuple[tuple[str, str], ...]

    @property
    def batter_g(self) -> float:
        return self.baking.batter_g if self.baking else 0.0

    @property
    def icing_g(self) -> float:
        """Crumb coat, dam and final coat; the filling is its own figure."""
        return self.crumb_g + self.dam_g + self.coat_g


@dataclass(frozen=True, slots=True)
class Quantities:
    """Everything an order is made of. `tiers` base first, then `kitchen_cakes`.

    `mixes` are what is made in one bowl, in the order of work: batters, syrup, fillings and coats.
    """

    tiers: tuple[TierAmounts, ...]
    kitchen_cakes: tuple[TierAmounts, ...]
    mixes: tuple[Mix, ...]
    decorations: tuple[DecorationAmount, ...]
    oven: OvenLoads
    shopping: ShoppingList

    @property
    def batter_g(self) -> float:
        """Batter in all pans together, without what stays in the bowl."""
        return sum(one.batter_g * one.count for one in (*self.tiers, *self.kitchen_cakes))


def undercoat(finish: Finish, book: ShopBook) -> Finish:
    """What the crumb coat and the dam are made of: the coat itself, under fondant the shop's first
    buttercream, or ganache, or the coat if it has neither."""
    if finish.kind != "fondant":
        return finish
    for kind in ("buttercream", "ganache"):
        for one in book.finishes:
            if one.kind == kind:
                return one
    return finish


def tier_amounts(tier: Tier, where: str, book: ShopBook, count: int = 1) -> TierAmounts:
    """What one tier takes. The whole top is coated, also under the tier it carries."""
    finish = choices.finish_of(tier, book)
    covered = covering.surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    why = []
    baking = None
    syrup = filling = filling_g = dam = 0.0
    under = undercoat(finish, book)
    if tier.is_cake:
        flavour = choices.flavour_of(tier, book)
        kind, area = cake_of(flavour), area_mm2(tier.shape, tier.size_mm, tier.width_mm)
        baking = baking_of(tier, kind, book)
        why.append(("batter", baking.why))
        if kind.is_foam:
            syrup = soak_ml(area, baking.layers.layers)
            why.append((
                "syrup",
                f"{baking.layers.layers} layers of {area / 100:.0f} cm² at"
                f" {LIGHT_SOAK_ML_PER_CM2:.3f} ml a cm², a light soak",
            ))  # fmt: skip
        fill = choices.filling_of(tier, book)
        tall = covering.FILLING_MM * baking.layers.fillings / covering.MM3_PER_ML
        edge = edge_mm(tier.shape, tier.size_mm, tier.width_mm)
        if fill.recipe != under.recipe:
            dam = min(edge * DAM_MM, area / 2) * tall
        filling = area * tall - dam
        filling_g = filling * float(fill.grams_per_ml)
        said = "1 filling" if baking.layers.fillings == 1 else f"{baking.layers.fillings} fillings"
        walled = f" inside a dam {DAM_MM:.0f} mm wide" if dam else ""
        why.append(("filling", f"{said} {covering.FILLING_MM:.0f} mm thick{walled}"))
    crumb = 0.0 if finish.kind == "naked" else covering.crumb_coat_ml(covered)
    if crumb:
        said = f"{covering.CRUMB_COAT_MM} mm of {under.name} on {covered.total_mm2 / 100:.0f} cm²"
        why.append(("crumb coat", said))
    coat = covering.final_coat_ml(covered, float(finish.coat_mm))
    coat_g, sheet = coat * float(finish.grams_per_ml), None
    if finish.kind == "fondant":
        sheet = covering.fondant_sheet(
            tier.shape, tier.size_mm, tier.width_mm, tier.height_mm,
            thickness_mm=float(finish.coat_mm),
        )  # fmt: skip
        # The sheet's own density is that of any fondant; the shop's says what its own weighs.
        coat_g = sheet.grams / covering.FONDANT_G_PER_ML * float(finish.grams_per_ml)
        why.append((
            "final coat",
            f"rolled out {sheet.thickness_mm:g} mm thick: across, twice the height, and the trim,"
            " which can be used again",
        ))  # fmt: skip
    else:
        said = f"{finish.coat_mm} mm on {covered.total_mm2 / 100:.0f} cm² of top and sides"
        why.append(("final coat", said))
    weighs = float(under.grams_per_ml)
    return TierAmounts(
        where=where,
        name=tier_name(tier, book.identity.units),
        tier=tier,
        count=count,
        baking=baking,
        syrup_ml=syrup,
        filling_ml=filling,
        filling_g=filling_g,
        dam_ml=dam,
        dam_g=dam * weighs,
        crumb_ml=crumb,
        crumb_g=crumb * weighs,
        coat_ml=coat,
        coat_g=coat_g,
        fondant=sheet,
        why=tuple(why),
    )


def _amounts(
    brief: Brief, book: ShopBook
) -> tuple[tuple[TierAmounts, ...], tuple[TierAmounts, ...]]:
    """What the tiers take, base first, and what the kitchen cakes take."""
    design = brief.design
    tiers = tuple(
        tier_amounts(tier, tier_words(at, len(design.tiers)), book)
        for at, tier in enumerate(design.tiers)
    )
    cakes = tuple(
        tier_amounts(choices.as_tier(cake), "kitchen cake", book, cake.count)
        for cake in design.kitchen_cakes
        if cake.count > 0
    )
    return tiers, cakes


def mixes_in(brief: Brief, book: ShopBook) -> tuple[Mix, ...]:
    """The bowls of an order alone, the same as in `quantities_of`: what the shop's costs are made of."""
    tiers, cakes = _amounts(brief, book)
    return mixes_of(_uses((*tiers, *cakes), book), book)


def quantities_of(brief: Brief, book: ShopBook) -> Quantities:
    """Everything the order is made of; empty while there is no tier and no kitchen cake.

    What is not chosen yet is the book's first, as in the price.
    """
    tiers, cakes = _amounts(brief, book)
    made = (*tiers, *cakes)
    mixes = mixes_of(_uses(made, book), book)
    decorations = decoration_amounts(brief, book) if made else ()
    parts = [(mix.name, mix.lines) for mix in mixes]
    parts += [(one.name, one.lines) for one in decorations]
    things = [
        (one.name, one.made, book.decoration(one.code).rate.cost_each)
        for one in decorations
        if not one.lines and one.by_the_piece and book.decoration(one.code).rate.cost_each
    ]
    return Quantities(
        tiers=tiers,
        kitchen_cakes=cakes,
        mixes=mixes,
        decorations=decorations,
        oven=oven_loads(list(_to_bake(made, book)), book.policies.kitchen),
        shopping=shopping_list(parts, things, book),
    )


def _to_bake(made: tuple[TierAmounts, ...], book: ShopBook) -> Iterator[ToBake]:
    for one in made:
        if one.baking is None:
            continue
        owned = one.baking.pan.owned if one.baking.pan else 1
        flavour = choices.flavour_of(one.tier, book)
        for _ in range(one.baking.layers.baked * one.count):
            yield ToBake(
                one.baking.pan_name, f"{one.where}, {flavour.name}", one.tier.shape,
                one.tier.size_mm, one.tier.width_mm, one.baking.bake.celsius, owned,
            )  # fmt: skip


def _uses(made: tuple[TierAmounts, ...], book: ShopBook) -> Iterator[Use]:
    """What each tier takes of each recipe."""
    for one in made:
        tier, times = one.tier, one.count
        what = one.where if times == 1 else f"{times} kitchen cakes"
        finish = choices.finish_of(tier, book)
        under = undercoat(finish, book)
        colour = (tier.colour_name, tier.colour) if finish.takes_colour else ("", "")
        if one.baking is not None:
            flavour, fill = choices.flavour_of(tier, book), choices.filling_of(tier, book)
            pans = f"{one.baking.layers.baked * times} × {one.baking.each_g:,.0f} g"
            yield Use(
                "batter", flavour.name, flavour.recipe, one.batter_g * times, f"{what}: {pans}"
            )
            if one.syrup_ml:
                grams = one.syrup_ml * times * syrup_g_per_ml(SYRUP_PER_CENT)
                yield Use("syrup", "Syrup, 1 to 1 by weight", None, grams, what)
            yield Use("icing", fill.name, fill.recipe, one.filling_g * times, f"{what}, filling")
        base = what if tier.kind is not Kind.DISPLAY else f"{what} (foam)"
        if one.dam_g:
            yield Use("icing", under.name, under.recipe, one.dam_g * times, f"{base}, dam")
        if one.crumb_g:
            yield Use("icing", under.name, under.recipe, one.crumb_g * times, f"{base}, crumb coat")
        kind = "rolled" if one.fondant else "icing"
        yield Use(
            kind, finish.name, finish.recipe, one.coat_g * times, f"{base}, final coat", *colour
        )
