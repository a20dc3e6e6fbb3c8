"""What does a cake cost the shop, and what does it earn? For the owner's eyes, never on a client's page or paper."""

from dataclasses import dataclass
from decimal import Decimal

from consult.core import choices
from consult.core.design import Brief, Tier
from consult.core.quantities import mixes_in
from consult.core.quote import Quote
from consult.core.shopping import shopping_list
from consult.core.work import Work, pieces_made, servings_made
from shop.core.book import ShopBook
from shop.core.catalogue import Driver
from shop.core.money import Money, half_up, total


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
    """Cost and profit of an order: ingredients, materials, bench hours, overhead.

    Ingredients are what is weighed into the bowls, as on the kitchen sheet and the shopping list.
    """
    currency, policies = book.currency, book.policies
    bowls = ((mix.name, mix.lines) for mix in mixes_in(brief, book))
    ingredients = shopping_list(bowls, (), book).total
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
