"""How does the record say what was chosen? By name and in the shop's units, and only what changed."""

from collections import Counter
from collections.abc import Callable, Sequence

from consult.core import choices
from consult.core.design import (
    Brief,
    ChosenDecoration,
    Design,
    How,
    Kind,
    KitchenCake,
    Limits,
    Need,
    Tier,
)
from consult.core.stack_rules import tier_name
from shop.core.book import ShopBook
from shop.core.measures import length, number

KINDS = {Kind.EATEN: "", Kind.KEPT: ", kept", Kind.DISPLAY: ", display"}


def stack_said(design: Design, book: ShopBook) -> str:
    """Tiers base first: "10 in round + 8 in round, kept, 4 in tall; 1 kitchen cake, 9 x 13 in rectangle"."""
    units = book.identity.units
    heights = {tier.height_mm for tier in design.tiers}
    same = len(heights) == 1
    named = []
    for tier in design.tiers:
        tall = "" if same else f", {length(tier.height_mm, units)} tall"
        named.append(f"{tier_name(tier, units)}{tall}{KINDS[tier.kind]}")
    says = " + ".join(named) or "no tiers"
    if same:
        says += f", each {length(heights.pop(), units)} tall"
    cakes = [_kitchen(cake, book) for cake in design.kitchen_cakes if cake.count > 0]
    return "; ".join((says, *cakes))


def _kitchen(cake: KitchenCake, book: ShopBook) -> str:
    count = "1 kitchen cake" if cake.count == 1 else f"{cake.count} kitchen cakes"
    return f"{count}, {tier_name(choices.as_tier(cake), book.identity.units)}"


def _changed(
    before: Sequence[Tier], after: Sequence[Tier], said: Callable[[Tier], str], nothing: str
) -> str:
    """What is said of each tier that is said otherwise than before; the same on every tier once."""
    words = [said(tier) for tier in after]
    old = [said(tier) for tier in before]
    if not words or words == old:
        return nothing
    if len(set(words)) == 1 and len(words) > 1:
        return f"{words[0]} on every tier"
    told = [
        f"tier {at + 1} {new}" for at, new in enumerate(words) if at >= len(old) or old[at] != new
    ]
    return "; ".join(told)


def insides_said(before: Sequence[Tier], after: Sequence[Tier], book: ShopBook) -> str:
    """Flavour and filling of each tier whose inside changed: "tier 2 Carrot and walnut with Fig jam"."""

    def said(tier: Tier) -> str:
        parts = [
            book.flavour(tier.flavour).name if tier.flavour else "",
            book.filling(tier.filling).name if tier.filling else "",
        ]
        return " with ".join(part for part in parts if part) or "not chosen yet"

    return _changed(before, after, said, "as they were")


def coats_said(before: Sequence[Tier], after: Sequence[Tier], book: ShopBook) -> str:
    """Finish and colour of each tier whose coat changed: "tier 1 Semi-naked"."""

    def said(tier: Tier) -> str:
        finish = book.finish(tier.finish).name if tier.finish else "not chosen yet"
        colour = tier.colour_name or tier.colour
        return f"{finish} in {colour}" if colour else finish

    return _changed(before, after, said, "as they were")


def _decoration(chosen: ChosenDecoration, book: ShopBook) -> str:
    name = book.decoration(chosen.what).name
    colour = chosen.colour_name or chosen.colour
    where = "on the whole cake" if chosen.tier is None else f"on tier {chosen.tier + 1}"
    coloured = f"{name} in {colour}" if colour else name
    noted = f" ({chosen.note})" if chosen.note else ""
    return f"{chosen.count} × {coloured} {where}{noted}"


def decorations_said(
    before: Sequence[ChosenDecoration], after: Sequence[ChosenDecoration], book: ShopBook
) -> str:
    """What came on and what came off: "9 × Sugar leaf, wired on tier 2; no longer 1 × ..."."""
    old = Counter(_decoration(chosen, book) for chosen in before if chosen.count > 0)
    new = Counter(_decoration(chosen, book) for chosen in after if chosen.count > 0)
    told = [*(new - old).elements()]
    told += [f"no longer {one}" for one in (old - new).elements()]
    if not new:
        return "none"
    return "; ".join(told) or "as they were"


def _told(parts: Sequence[tuple[object, object, str]]) -> str:
    """The words of each part whose value is another than before."""
    return ", ".join(words for old, new, words in parts if old != new) or "as it was"


def need_said(before: Need, after: Need, book: ShopBook) -> str:
    """What changed of the need: "96 guests, party slices, 90 % eat, 4 spare, top tier kept"."""
    slices = {one.code: one.name for one in book.slices}
    eat = f"{number(float(after.eating_share * 100))} % eat"
    kept = "top tier kept" if after.keep_top else "top tier not kept"
    return _told(
        (
            (before.guests, after.guests, f"{after.guests} guests"),
            (before.slice, after.slice, f"{slices.get(after.slice, after.slice).lower()}s"),
            (before.eating_share, after.eating_share, eat),
            (before.spare, after.spare, f"{after.spare} spare"),
            (before.keep_top, after.keep_top, kept),
        )
    )


def limits_said(before: Limits, after: Limits, book: ShopBook) -> str:
    """What changed of what the client wants of the stack, in words."""
    units, locale = book.identity.units, book.identity.locale
    shapes = " or ".join(shape.value for shape in after.shapes) or "any shape"
    heights = " or ".join(length(height, units) for height in after.heights_mm) or "any height"
    most = after.most_tiers
    tiers = (
        f"{after.fewest_tiers} to {most} tiers" if most else f"{after.fewest_tiers} tiers or more"
    )
    cakes = "kitchen cake allowed" if after.kitchen_cake else "no kitchen cake"
    budget = f"budget {after.budget.written(locale)}" if after.budget else "no budget"
    return _told(
        (
            (before.shapes, after.shapes, shapes),
            ((before.fewest_tiers, before.most_tiers), (after.fewest_tiers, most), tiers),
            (before.heights_mm, after.heights_mm, heights),
            (before.kitchen_cake, after.kitchen_cake, cakes),
            (before.display_tiers, after.display_tiers, f"{after.display_tiers} display tiers"),
            (before.budget, after.budget, budget),
        )
    )


def event_said(before: Brief, after: Brief) -> str:
    """What changed of the client, the event, the hand-over and what is avoided, by its name.

    The record is never emptied, so of the client herself, her place and what she avoids it tells
    only that it changed.
    """
    old, new, there, where = before.event, after.event, before.hand_over, after.hand_over
    on = f"on {new.on.isoformat()}" if new.on else "no date yet"
    at = f"at {where.at:%H:%M}" if where.at else "no hour yet"
    is_delivery = where.how is How.DELIVERY
    way = f"{number(float(where.distance_km))} km"
    return _told(
        (
            (before.client.name, after.client.name, "the client's name"),
            (before.client.email, after.client.email, "email"),
            (before.client.phone, after.client.phone, "phone"),
            (old.occasion, new.occasion, new.occasion or "no occasion yet"),
            (old.on, new.on, on),
            (there.how, where.how, where.how.value),
            (there.at, where.at, at),
            (is_delivery and there.distance_km, is_delivery and where.distance_km, way),
            (there.place, where.place, "place"),
            (before.avoid, after.avoid, "what to avoid"),
            (before.notes, after.notes, "notes"),
        )
    )
