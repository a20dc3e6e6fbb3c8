"""What does a cake cost the shop, and what does it earn? For the owner's eyes, never on a client's page or paper."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from consult.core import choices, covering
from consult.core.design import Brief, Tier
from consult.core.quote import Quote
from consult.core.work import Work, pieces_made, servings_made
from shop.core.book import ShopBook
from shop.core.catalogue import Driver, Recipe
from shop.core.measures import GRAMS_PER_POUND, MM_PER_INCH, Units, number
from shop.core.money import Money, half_up, total

# Share of the batter's weight that bakes off: 10.3 % in a conventional oven, quoted from the
# infrared-microwave cake study of Sumnu, Sahin and Sevimli 2005 (study name from memory).
BAKING_LOSS = 0.103
# A standard 4-in tier is two 2-in layers (a widely reprinted US consumer serving guide).
LAYER_MM = 2 * MM_PER_INCH
# Sponge and angel food without icing: 50 g a US cup (USDA FoodData Central, FNDDS food portions).
PLAIN_FOAM_CAKE_G_PER_ML = 50 / covering.ML_PER_US_CUP
# Carved foam (expanded polystyrene): about 20 g a litre, from memory.
FOAM_G_PER_ML = 0.02
# What is reckoned to a gram and weighs so by nobody's scales is said to 50 g, upwards: our own.
WORDS_UP_TO_G = 50


@dataclass(frozen=True, slots=True)
class TierGrams:
    """What goes into and onto one tier, in grams: batter before it is baked, filling, both coats."""

    batter: float
    filling: float
    coat: float


@dataclass(frozen=True, slots=True)
class ShopFigures:
    """What an order costs the shop and leaves it. Tax is neither cost nor earning.

    `overhead` is the shop's share on top of the other costs. `earned_an_hour` is what is left for
    each bench hour after everything but the hours themselves; None while there is no work.
    """

    ingredients_cost: Money
    materials_cost: Money
    hours_cost: Money
    overhead: Money
    cost: Money
    profit: Money
    earned_an_hour: Money | None


def layers_of(tier: Tier) -> int:
    """Layers of cake a tier is built of: one for each 2 in of height, at least two."""
    return max(2, round(tier.height_mm / LAYER_MM))


def grams_of(tier: Tier, book: ShopBook) -> TierGrams:
    """What one tier takes: its volume less the filling as plain baked cake, the loss of baking on top.

    Densities by kind of cake, filling and coat; offcuts and what stays in the bowl are not counted.
    """
    covered = covering.surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    finish = choices.finish_of(tier, book)
    coat_ml = covering.final_coat_ml(covered, float(finish.coat_mm))
    coat = (coat_ml + covering.crumb_coat_ml(covered)) * float(finish.grams_per_ml)
    if not tier.is_cake:
        return TierGrams(0.0, 0.0, coat)
    filling_ml = covering.filling_ml(covered.top_mm2, layers_of(tier))
    whole = covering.volume_mm3(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    cake_ml = max(whole / covering.MM3_PER_ML - filling_ml, 0.0)
    baked = cake_ml * _plain_g_per_ml(choices.flavour_of(tier, book).kind)
    filling = choices.filling_of(tier, book)
    return TierGrams(baked / (1 - BAKING_LOSS), filling_ml * float(filling.grams_per_ml), coat)


def _plain_g_per_ml(kind: str) -> float:
    """Grams in a millilitre of baked cake without icing, by how it bakes."""
    if kind == "dense":
        return covering.DENSE_CAKE_G_PER_ML
    return PLAIN_FOAM_CAKE_G_PER_ML if kind == "foam" else covering.PLAIN_CAKE_G_PER_ML


def weight_of(tier: Tier, book: ShopBook) -> float:
    """Grams of a finished tier, icing and filling included, without its board; of a display tier
    its foam and coats.

    The survey's iced cake is one in buttercream, so fondant and ganache add what they weigh beyond
    such a coat: dense cake in fondant comes to about 1.3 times plain cake in buttercream, within
    the 1.25 to 1.35 that decorators reckon with (common practice, no source).
    """
    volume = covering.volume_mm3(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    if not tier.is_cake:
        return grams_of(tier, book).coat + volume / covering.MM3_PER_ML * FOAM_G_PER_ML
    kind = choices.flavour_of(tier, book).kind
    iced = covering.iced_mass_g(volume, covering.iced_g_per_ml(kind))
    return iced + _beyond_buttercream(tier, book)


def _beyond_buttercream(tier: Tier, book: ShopBook) -> float:
    """Grams that a coat of fondant or ganache weighs more than one of buttercream, 4 mm thick."""
    finish = choices.finish_of(tier, book)
    if finish.kind not in ("fondant", "ganache"):
        return 0.0
    covered = covering.surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    dense = float(finish.grams_per_ml)
    if finish.kind == "fondant":
        dense = max(dense, covering.FONDANT_G_PER_ML)
    coat = covering.final_coat_ml(covered, float(finish.coat_mm)) * dense
    return max(coat - covering.final_coat_ml(covered) * covering.ICING_G_PER_ML, 0.0)


def board_of(at: int, tier: Tier, book: ShopBook) -> float:
    """Grams of the board under a tier: the base board with its margin, or one as large as the tier
    it carries. `at` counts from the base, 0."""
    habits, margin = book.policies.supports, book.policies.stacks.board_margin_mm
    thick, beyond = (habits.board_mm, 0.0) if at else (habits.drum_mm, margin)
    wide = None if tier.width_mm is None else tier.width_mm + 2 * beyond
    board = covering.volume_mm3(tier.shape, tier.size_mm + 2 * beyond, wide, thick)
    return board / covering.MM3_PER_ML * covering.BOARD_G_PER_ML


def weights_to_lift(tiers: Sequence[Tier], book: ShopBook) -> tuple[float, ...]:
    """Grams of each tier with the board it is lifted on, base first; together the whole cake.

    Kitchen cakes travel apart and are not in it.
    """
    return tuple(weight_of(tier, book) + board_of(at, tier, book) for at, tier in enumerate(tiers))


def weight_in_words(grams: float, units: Units) -> str:
    """A reckoned weight, rounded up to 50 g: "about 4.1 kg (9 lb)", "about 850 g"."""
    up = math.ceil(round(grams / WORDS_UP_TO_G, 6)) * WORDS_UP_TO_G
    if up < 1000:
        return f"about {up} g"
    pounds = f" ({number(up / GRAMS_PER_POUND, 1)} lb)" if units is Units.INCHES else ""
    return f"about {number(up / 1000, 2)} kg{pounds}"


def recipe_cost(recipe: Recipe, grams: float, book: ShopBook) -> Decimal:
    """What so many grams of a recipe cost, in minor units, not rounded; nothing without a recipe."""
    if not recipe.grams:
        return Decimal(0)
    batch = sum(
        (line.grams * book.ingredient(line.ingredient).cost_per_kg.minor for line in recipe.lines),
        Decimal(0),
    )
    return batch / 1000 * Decimal(f"{grams:.3f}") / recipe.grams


def _ingredients(tier: Tier, book: ShopBook) -> Decimal:
    grams = grams_of(tier, book)
    cost = recipe_cost(choices.finish_of(tier, book).recipe, grams.coat, book)
    if tier.is_cake:
        cost += recipe_cost(choices.flavour_of(tier, book).recipe, grams.batter, book)
        cost += recipe_cost(choices.filling_of(tier, book).recipe, grams.filling, book)
    return cost


def _materials(brief: Brief, book: ShopBook) -> Decimal:
    """What finishes and decorations cost in material by their rates, spare pieces too, minor units."""
    cost = Decimal(0)
    tiers = _with_counts(brief)
    for tier, count in tiers:
        rate = choices.finish_of(tier, book).rate
        units = choices.units_of(rate.driver, tier, servings_made(tier, brief, book))
        cost += rate.cost_each.minor * units * count
    for chosen in brief.design.decorations:
        thing = book.decoration(chosen.what)
        stack = brief.design.tiers
        at = choices.tier_of(chosen, stack)
        on = [stack[at]] if at is not None else []
        if choices.goes_on_every_tier(chosen, thing):
            on = list(stack)
        units = sum(
            (
                choices.units_of(thing.rate.driver, tier, servings_made(tier, brief, book))
                for tier in on
            ),
            Decimal(0),
        )
        if not on and chosen.tier is None and thing.rate.driver not in choices.BY_TIER:
            units = Decimal(1)
        made = max(chosen.count, 0)
        if thing.rate.driver is Driver.PER_PIECE:
            made = pieces_made(made, thing.spare_share)
        cost += thing.rate.cost_each.minor * units * made
    return cost


def _with_counts(brief: Brief) -> list[tuple[Tier, int]]:
    """Every tier once and every kitchen cake as a tier with its count."""
    cakes = [(choices.as_tier(cake), cake.count) for cake in brief.design.kitchen_cakes]
    return [(tier, 1) for tier in brief.design.tiers] + cakes


def for_the_shop(brief: Brief, book: ShopBook, work: Work, quote: Quote) -> ShopFigures:
    """Cost and profit of an order: ingredients by weight, materials, bench hours, overhead."""
    currency, policies = book.currency, book.policies
    bought = sum(
        (_ingredients(tier, book) * count for tier, count in _with_counts(brief)), Decimal(0)
    )
    ingredients = Money(half_up(bought), currency)
    materials = Money(half_up(_materials(brief, book)), currency)
    hours = policies.hour_costs.times(Decimal(work.hands_on) / 60)
    before = ingredients + materials + hours
    overhead = before.times(policies.overhead_share)
    cost = before + overhead
    income = quote.total - _tax_of(quote, book)
    earned = None
    if work.hands_on:
        left = income - ingredients - materials - overhead
        earned = left.times(Decimal(60) / work.hands_on)
    return ShopFigures(ingredients, materials, hours, overhead, cost, income - cost, earned)


def _tax_of(quote: Quote, book: ShopBook) -> Money:
    """The tax inside a quote's total."""
    tax = book.policies.tax
    if tax.included:
        return quote.total.times(tax.share / (1 + tax.share))
    return total((line.amount for line in quote.lines if line.kind == "tax"), quote.currency)


def cost_plus(
    ingredients: Money, hours: Decimal, hour_costs: Money, overhead: Money, markup: Decimal
) -> Money:
    """A price by cost and markup: (ingredients + hours x hour costs + overhead) x (1 + markup).

    Markup is a share of the cost, not of the price: 0.25 leaves a margin of 20 %.
    """
    return (ingredients + hour_costs.times(hours) + overhead).times(1 + markup)
