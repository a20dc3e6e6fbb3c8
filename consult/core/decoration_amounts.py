"""How many pieces are made, spares included, and what are they made of?"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from consult.core import choices
from consult.core.allergens import tier_words
from consult.core.design import Brief, ChosenDecoration
from consult.core.shopping import Weighed, grams_written, recipe_cost, weighed
from consult.core.work import pieces_made, servings_made
from shop.core.book import ShopBook
from shop.core.catalogue import Decoration, Driver


@dataclass(frozen=True, slots=True)
class DecorationAmount:
    """One decoration as the kitchen makes it. `made` of them, `spare` of those kept back.

    `grams` is what it is made of, 0 where it has no recipe; `lead_days` before hand-over it is ready.
    """

    code: str
    name: str
    where: str  # "base tier", "every tier", "whole cake"
    tier: int | None  # 0 for the base, None for the whole cake or every tier
    note: str
    count: int
    made: int
    spare: int
    by_the_piece: bool
    how_much: str  # "12 pieces", "95.8 cm edge"
    lead_days: int
    is_eaten: bool
    colour_name: str
    colour: str
    grams: float
    lines: tuple[Weighed, ...]
    why: str


def decoration_amounts(brief: Brief, book: ShopBook) -> tuple[DecorationAmount, ...]:
    """Every chosen decoration, those that must be made earliest first."""
    found = [
        _amount(chosen, book.decoration(chosen.what), brief, book)
        for chosen in brief.design.decorations
        if chosen.count > 0
    ]
    return tuple(sorted(found, key=lambda one: -one.lead_days))


def _amount(
    chosen: ChosenDecoration, thing: Decoration, brief: Brief, book: ShopBook
) -> DecorationAmount:
    by_the_piece = thing.rate.driver is Driver.PER_PIECE
    made = pieces_made(chosen.count, thing.spare_share) if by_the_piece else chosen.count
    units = sum(_units(chosen, thing, brief, book), Decimal(0)) * made
    each, why = grams_a_unit(thing, book)
    grams = each * float(units)
    if thing.recipe.grams and not each:
        grams = float(thing.recipe.grams)
    how_much = choices.units_in_words(thing.rate.driver, units, book.identity.units)
    if thing.rate.driver is Driver.PER_CAKE:
        how_much = "once" if made == 1 else f"{made} times"
    return DecorationAmount(
        code=thing.code,
        name=thing.name,
        where=_where(chosen, thing, brief),
        tier=choices.tier_of(chosen, brief.design.tiers),
        note=chosen.note,
        count=chosen.count,
        made=made,
        spare=made - chosen.count,
        by_the_piece=by_the_piece,
        how_much=how_much,
        lead_days=thing.lead_days,
        is_eaten=thing.is_eaten,
        colour_name=chosen.colour_name,
        colour=chosen.colour,
        grams=grams,
        lines=weighed(thing.recipe, grams, book),
        why=f"{how_much}, {why}" if why else how_much,
    )


def grams_a_unit(thing: Decoration, book: ShopBook) -> tuple[float, str]:
    """Grams of its recipe that one unit of the decoration takes, and how that is known.

    The catalogue's own figure; where it has none, the grams that the recipe gives for what a unit's
    material costs, at most a batch. Wires and waste are in the cost, so that is on the generous side.
    0 where there is no recipe or no cost to tell it by; then one batch is made for all.
    """
    if not thing.recipe.grams:
        return 0.0, ""
    unit = choices.EACH[thing.rate.driver]
    if thing.grams_each:
        return float(thing.grams_each), f"{grams_written(thing.grams_each)} {unit}"
    batch = float(thing.recipe.grams)
    batch_cost = float(recipe_cost(thing.recipe, batch, book))
    cost = thing.rate.cost_each.minor
    if not cost or not batch_cost:
        return 0.0, f"one batch of {grams_written(batch)}: its catalogue gives no amount"
    each = min(cost / batch_cost * batch, batch)
    return each, f"at most {grams_written(each)} {unit}, by what its material costs"


def _units(
    chosen: ChosenDecoration, thing: Decoration, brief: Brief, book: ShopBook
) -> Iterator[Decimal]:
    """Units of doing it once, on each tier it falls on."""
    driver, stack = thing.rate.driver, brief.design.tiers
    at = choices.tier_of(chosen, stack)
    on = [stack[at]] if at is not None else []
    if choices.goes_on_every_tier(chosen, thing):
        on = list(stack)
    for tier in on:
        yield choices.units_of(driver, tier, servings_made(tier, brief, book))
    if not on and driver not in choices.BY_TIER:
        yield Decimal(1)


def _where(chosen: ChosenDecoration, thing: Decoration, brief: Brief) -> str:
    tiers = brief.design.tiers
    at = choices.tier_of(chosen, tiers)
    if at is not None:
        return tier_words(at, len(tiers))
    every = choices.goes_on_every_tier(chosen, thing) and len(tiers) > 1
    return "every tier" if every else "whole cake"
