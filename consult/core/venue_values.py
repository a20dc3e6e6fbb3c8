"""What do the cutting guide and the box labels say? For whoever carries, keeps and cuts the cake."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from consult.core import choices
from consult.core.allergens import Allergens, allergens_of, tier_words
from consult.core.cautions import cautions_of
from consult.core.charts import chart_warning, ways_in_words
from consult.core.cutting import CuttingPlan, cut, levels
from consult.core.design import Brief, Kind, Tier
from consult.core.lifting import bench_to_table
from consult.core.reckoning import settled
from consult.core.serving_words import (
    any_cold,
    before_cutting_words,
    eat_by_words,
    keep_until_words,
    keep_words,
    keeps_cool,
)
from consult.core.servings import slice_of, tier_servings
from consult.core.sheet_making import day_in_words, hand_over_words, slice_words
from consult.core.stack_rules import tier_name
from consult.core.support_values import Part
from consult.core.supports import part_of
from shop.core.book import ShopBook
from shop.core.measures import Units, length, weight
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
    cold = any_cold(brief, book)
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
        keep=(*keep_words(identity.regime, cold=cold), before_cutting_words(cold=cold)),
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
        above, below = (_the(tier_words(place, len(tiers))) for place in (at, at - 1))
        count = dowels[at - 1] if at - 1 < len(dowels) else 0
        every = "every dowel"
        if count:
            every = "the dowel" if count == 1 else f"all {count} dowels"
        steps.append(
            f"Slide a palette knife under its board and lift off {above}, board and all. Pull {every}"
            f" out of {below} and count them."
        )
    return tuple(steps)


def _the(where: str) -> str:
    """ "the base tier", "tier 2"."""
    return where if where[-1].isdigit() else f"the {where}"


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
    given = tier_servings(tier, slice_size)
    if tier.kind is Kind.KEPT:
        cold = keeps_cool(tier, book)
        return GuideTier(
            where, size, given.count, tier.height_mm, None, (), (),
            "Kept for the couple: do not cut it. Box it on its board and put it in the cold. "
            + eat_by_words(cold=cold, kept=True),
        )  # fmt: skip
    plan = cut(tier.shape, tier.size_mm, tier.width_mm, slice_size)
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
        notes.append(f"Either way is right: {ways}. The plan shows the better one.")
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
    if any(tier.kind is Kind.DISPLAY for tier in brief.design.tiers):
        found.append("the foam of a display tier")
    return tuple(dict.fromkeys([*found, "the cake board"]))


@dataclass(frozen=True, slots=True)
class BoxLabel:
    """One label. `what` is the part in large letters, `holds` what is in the box."""

    what: str
    holds: tuple[str, ...]
    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    weight: str
    carry: str
    keep: str
    eat_by: str
    note: str  # "" or what more there is to mind


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """All labels of an order, in the order they are carried in."""

    number: str
    shop_name: str
    phone: str
    client_name: str
    date_words: str
    labels: tuple[BoxLabel, ...]
    note: str
    paper: Paper
    locale: str


LABEL_NOTE = (
    "A label to find and to warn. Where the law asks for a list of ingredients on a box, that list goes"
    " beside it."
)


def labels_of(
    brief: Brief, book: ShopBook, number: str, *, together: Sequence[Sequence[int]] | None = None
) -> LabelSheet:
    """A label for each box: tiers, kitchen cakes, and what travels apart.

    `together` says which tiers (0 for the base) share a box, where the support plan has said so; else
    all of them do, or each has its own if there are more than the shop drives stacked.
    """
    brief = settled(brief)
    tiers = brief.design.tiers
    if together is None:
        stacked = len(tiers) <= book.policies.supports.tiers_stacked_to_travel
        together = [range(len(tiers))] if stacked else [[at] for at in range(len(tiers))]
    labels = [_tier_label(group, brief, book) for group in together if len(group)]
    for cake in brief.design.kitchen_cakes:
        tier = choices.as_tier(cake)
        alone = replace(brief.design, tiers=(), kitchen_cakes=(cake,), decorations=())
        for at in range(cake.count):
            name = "Kitchen cake" if cake.count == 1 else f"Kitchen cake {at + 1} of {cake.count}"
            part = allergens_of(replace(brief, design=alone), book)
            boxed = [part_of(1, tier, book)]  # on a board of its own size
            labels.append(_label(name, [(tier, "")], boxed, part, book))
    apart = _apart(brief, book)
    if apart is not None:
        labels.append(apart)
    identity = book.identity
    when = day_in_words(brief.event.on, identity.locale) if brief.event.on else "day not set"
    return LabelSheet(
        number=number,
        shop_name=identity.name,
        phone=identity.phone,
        client_name=brief.client.name.strip(),
        date_words=when,
        labels=tuple(labels),
        note=LABEL_NOTE,
        paper=identity.paper,
        locale=identity.locale,
    )


def _tier_label(group: Sequence[int], brief: Brief, book: ShopBook) -> BoxLabel:
    tiers = brief.design.tiers
    inside = [(tiers[at], tier_words(at, len(tiers))) for at in sorted(group)]
    on = tuple(
        chosen
        for chosen in brief.design.decorations
        if chosen.tier is None or chosen.tier in tuple(group)
    )
    places = {at: place for place, at in enumerate(sorted(group))}
    moved = tuple(
        replace(chosen, tier=None if chosen.tier is None else places[chosen.tier]) for chosen in on
    )
    part = replace(
        brief.design, tiers=tuple(tier for tier, _ in inside), decorations=moved, kitchen_cakes=()
    )
    if len(inside) == 1:
        name = inside[0][1]
    else:
        whole = len(inside) == len(tiers)
        name = f"{'whole cake, ' if whole else ''}{len(inside)} tiers"
    return _label(
        name[0].upper() + name[1:],
        inside,
        [part_of(at, tiers[at], book) for at in sorted(group)],
        allergens_of(replace(brief, design=part), book),
        book,
    )


def _is_for_one(boxed: Sequence[Part], grams: float, book: ShopBook) -> bool:
    """Whether one person may carry the box: by the shop's own limit, and by the lifting equation."""
    lowest, *others = boxed
    high = lowest.box.high_mm + sum(one.board_thick_mm + one.tier.height_mm for one in others)
    lift = bench_to_table(grams / 1000, lowest.box.deep_mm, high_mm=high)
    return lift.is_for_one and grams <= book.policies.stacks.one_person_lifts_grams


def _label(
    name: str, inside: Sequence[tuple[Tier, str]], boxed: Sequence[Part], part: Allergens,
    book: ShopBook,
) -> BoxLabel:  # fmt: skip
    units = book.identity.units
    grams = sum(one.grams for one in boxed)  # on their boards, as they are lifted
    cold = any(keeps_cool(tier, book) for tier, _ in inside)
    is_kept = any(tier.kind is Kind.KEPT for tier, _ in inside)
    for_one = _is_for_one(boxed, grams, book)
    people = "One person carries it" if for_one else "Two people carry it"
    is_eaten = any(tier.is_cake for tier, _ in inside)
    note = "" if is_eaten else "Foam under icing: it is never cut or eaten."
    if is_kept:
        which = "It" if len(inside) == 1 else "The top tier"
        note = f"{which} is kept for the couple: do not cut."
    return BoxLabel(
        what=name,
        holds=tuple(_holds(tier, where, book) for tier, where in reversed(inside)),
        contains=part.contains,
        may_contain=part.may_contain,
        weight=f"about {weight(grams, units)}",
        carry=f"{people}, level, with both hands under the board.",
        keep=keep_until_words(book.identity.regime, cold=cold),
        eat_by=eat_by_words(cold=cold, kept=is_kept and len(inside) == 1) if is_eaten else "",
        note=note,
    )


def _holds(tier: Tier, where: str, book: ShopBook) -> str:
    size = tier_name(tier, book.identity.units)
    cake = "display, foam"
    if tier.is_cake:
        cake = f"{choices.flavour_of(tier, book).name}, {choices.filling_of(tier, book).name}"
    said = f"{size}: {cake}, {choices.finish_of(tier, book).name}"
    return f"{where[0].upper()}{where[1:]}, {said}" if where else said


def _apart(brief: Brief, book: ShopBook) -> BoxLabel | None:
    """The box of decorations set on at the venue or kept in spare, and of the kit."""
    chosen = [one for one in brief.design.decorations if one.count > 0]
    loose = [
        one for one in chosen if book.decoration(one.what).comes_off or not book.decoration(one.what).is_eaten
        or book.decoration(one.what).spare_share
    ]  # fmt: skip
    if not loose:
        return None
    part = replace(brief.design, tiers=(), kitchen_cakes=(), decorations=tuple(
        replace(one, tier=None) for one in loose
    ))  # fmt: skip
    found = allergens_of(replace(brief, design=part), book)
    names = [
        f"{one.count} × {book.decoration(one.what).name}"
        + (f", {one.colour_name}" if one.colour_name else "")
        for one in loose
    ]
    return BoxLabel(
        what="Decorations and kit",
        holds=(f"{'; '.join(names)}; spare pieces, icing, tools",),
        contains=found.contains,
        may_contain=found.may_contain,
        weight="",
        carry="Fragile: nothing on top of it.",
        keep="Keep dry and out of the cold: sugar sweats in the fridge. Fresh flowers stay cool.",
        eat_by="",
        note="Not everything in it is food.",
    )
