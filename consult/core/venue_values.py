"""What does the cutting guide say? For whoever keeps and cuts the cake."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from consult.core import choices
from consult.core.allergens import allergens_of, the_tier_words, tier_words
from consult.core.cautions import cautions_of
from consult.core.charts import chart_warning, ways_in_words
from consult.core.cutting import CuttingPlan, levels, way_for
from consult.core.design import Brief, Kind, Tier
from consult.core.reckoning import settled
from consult.core.serving_words import (
    before_cutting_words,
    eat_by_words,
    keep_words,
    keeping_of,
    keeping_of_all,
)
from consult.core.servings import plan_of, slice_of, tier_servings
from consult.core.sheet_making import hand_over_words, slice_words
from consult.core.stack_rules import tier_name
from consult.core.support_joins import levels_in
from shop.core.book import ShopBook
from shop.core.measures import Units, length
from shop.core.policies import Paper


@dataclass(frozen=True, slots=True)
class GuideTier:
    """One tier as it is cut. `plan` None for a tier that is not cut at the venue."""

    where: str
    size: str
    servings: int
    height_mm: float
    plan: CuttingPlan | None
    steps: tuple[str, ...]
    notes: tuple[str, ...]  # levels, the other way, what some charts say
    not_cut: str  # "" or why it is not cut and what is done with it


@dataclass(frozen=True, slots=True)
class CuttingGuide:
    """The whole guide. Tiers are top down, as the cake is taken apart."""

    number: str
    revision: int
    shop_name: str
    phone: str
    client_name: str
    occasion: str
    hand_over: str
    slice_words: str
    servings: int
    take_out: tuple[str, ...]  # in order, top down
    tiers: tuple[GuideTier, ...]
    kitchen_cakes: tuple[GuideTier, ...]
    keep: tuple[str, ...]
    leave_out: tuple[str, ...]  # what is not eaten
    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    cautions: tuple[str, ...]
    units: Units
    paper: Paper
    locale: str


# Cautions that whoever cuts and serves must know; the rest is the client's and the shop's.
_AT_THE_TABLE = frozenset({"raw-egg", "small-parts", "wires", "fresh-flowers", "choking", "metals",
                           "gold", "candles", "alcohol", "azo-colours"})  # fmt: skip


def cutting_guide_of(
    brief: Brief,
    book: ShopBook,
    number: str,
    revision: int,
    *,
    dowels: Sequence[int] = (),
    centre_dowel: bool = False,
) -> CuttingGuide:
    """The cutting guide of a brief. `dowels` is how many stand in each tier that carries one, base
    first, and `centre_dowel` whether one runs through all, where the support plan has said so."""
    brief = settled(brief)
    identity = book.identity
    tiers = [_guide_tier(at, brief, book) for at in range(len(brief.design.tiers))]
    cakes = []
    for cake in brief.design.kitchen_cakes:
        if cake.count > 0:
            many = "kitchen cake" if cake.count == 1 else f"each of {cake.count} kitchen cakes"
            one = _cut_tier(choices.as_tier(cake), many, brief, book)
            cakes.append(replace(one, servings=one.servings * cake.count))
    allergens = allergens_of(brief, book)
    counted = sum(one.servings for one in (*tiers, *cakes) if not one.not_cut)
    keeping = keeping_of_all(brief, book)
    return CuttingGuide(
        number=number,
        revision=revision,
        shop_name=identity.name,
        phone=identity.phone,
        client_name=brief.client.name.strip(),
        occasion=brief.event.occasion,
        hand_over=hand_over_words(brief, book) if brief.event.on else "",
        slice_words=slice_words(brief, book),
        servings=counted,
        take_out=take_apart(brief, book, dowels, centre_dowel=centre_dowel),
        tiers=tuple(reversed(tiers)),
        kitchen_cakes=tuple(cakes),
        keep=(*keep_words(identity.regime, keeping), before_cutting_words(keeping)),
        leave_out=_not_eaten(brief, book),
        contains=allergens.contains,
        may_contain=allergens.may_contain,
        cautions=tuple(one.says for one in cautions_of(brief, book) if one.code in _AT_THE_TABLE),
        units=identity.units,
        paper=identity.paper,
        locale=identity.locale,
    )


def take_apart(
    brief: Brief, book: ShopBook, dowels: Sequence[int] = (), *, centre_dowel: bool = False
) -> tuple[str, ...]:
    """What comes off and out before cutting, in order: decorations, then from the top down each tier
    with its board and the dowels that stood under it."""
    tiers = brief.design.tiers
    steps = []
    for chosen in brief.design.decorations:
        thing = book.decoration(chosen.what)
        if chosen.count < 1 or (thing.is_eaten and not thing.comes_off):
            continue
        at = choices.tier_of(chosen, tiers)
        where = "whole cake" if at is None else tier_words(at, len(tiers))
        counted = f"{chosen.count} × " if chosen.count > 1 else ""
        how = thing.comes_off.rstrip(".") or "take off before cutting"
        steps.append(f"{counted}{thing.name}, {where}: {how[0].lower()}{how[1:]}.")
    if centre_dowel and len(tiers) > 1:
        steps.append("Pull the centre dowel straight up and out.")
    for at in range(len(tiers) - 1, 0, -1):
        above, below = (the_tier_words(place, len(tiers)) for place in (at, at - 1))
        count = dowels[at - 1] if at - 1 < len(dowels) else 0
        every = "every dowel"
        if count:
            every = "the dowel" if count == 1 else f"all {count} dowels"
        steps.append(
            f"Slide a palette knife under its board and lift off {above}, board and all. Pull {every}"
            f" out of {below} and count them."
        )
    return tuple(steps)


def _guide_tier(at: int, brief: Brief, book: ShopBook) -> GuideTier:
    tiers = brief.design.tiers
    return _cut_tier(tiers[at], tier_words(at, len(tiers)), brief, book)


def _cut_tier(tier: Tier, where: str, brief: Brief, book: ShopBook) -> GuideTier:
    units, slice_size = book.identity.units, slice_of(brief.need, book)
    size = f"{tier_name(tier, units)}, {length(tier.height_mm, units)} high"
    if tier.kind is Kind.DISPLAY:
        return GuideTier(
            where, size, 0, tier.height_mm, None, (), (),
            "Carved foam under real icing: set it aside. It is never cut and never eaten.",
        )  # fmt: skip
    rounds = book.policies.rounds
    given = tier_servings(tier, slice_size, rounds)
    if tier.kind is Kind.KEPT:
        return GuideTier(
            where, size, given.count, tier.height_mm, None, (), (),
            "Kept for the couple: do not cut it. Box it on its board and put it in the cold. "
            + eat_by_words(keeping_of(tier, book), kept=True),
        )  # fmt: skip
    plan = plan_of(tier, slice_size, rounds)
    notes = []
    count = levels(tier.height_mm)
    if count > 1:
        notes.append(
            f"It is {count} levels with a board between: cut the upper one as the plan shows, take out"
            " the board and every dowel under it, then cut the lower one the same."
        )
    elif count < 1:
        notes.append(
            f"It is low: the plan's {given.pieces_per_level} pieces count as {given.count} servings, two"
            " pieces to a plate."
        )
    ways = ways_in_words(tier.shape, tier.size_mm, tier.width_mm, slice_size)
    if ways:
        shown = "the better one"
        if way_for(tier.shape, rounds) is not None:
            shown = f"this shop's: in {plan.way.value}"
        notes.append(f"Either way is right: {ways}. The plan shows {shown}.")
    warning = chart_warning(tier.shape, tier.size_mm, slice_size)
    if warning:
        notes.append(warning)
    steps = plan.steps_in_words(units)
    return GuideTier(where, size, given.count, tier.height_mm, plan, steps, tuple(notes), "")


def _not_eaten(brief: Brief, book: ShopBook) -> tuple[str, ...]:
    """Everything on and in the cake that is not food."""
    found = [
        book.decoration(chosen.what).name
        for chosen in brief.design.decorations
        if chosen.count > 0 and not book.decoration(chosen.what).is_eaten
    ]
    if len(brief.design.tiers) > 1:
        found += ["dowels", "the boards under the tiers"]
    if any(levels_in(tier) > 1 for tier in brief.design.tiers):
        found += ["dowels", "the boards inside tall tiers"]
    if any(tier.kind is Kind.DISPLAY for tier in brief.design.tiers):
        found.append("the foam of a display tier")
    return tuple(dict.fromkeys([*found, "the cake board"]))
