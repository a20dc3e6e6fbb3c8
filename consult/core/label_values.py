"""What does the label on each box say? For whoever carries and keeps it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from consult.core import choices
from consult.core.allergens import Allergens, allergens_of, tier_words
from consult.core.carrying import carried
from consult.core.design import Brief, Kind, Tier
from consult.core.reckoning import settled
from consult.core.serving_words import eat_by_words, keep_until_words, keeping_of
from consult.core.sheet_making import day_in_words
from consult.core.stack_rules import tier_name
from consult.core.support_values import Part
from consult.core.supports import part_of
from shop.core.book import ShopBook
from shop.core.measures import weight_in_words
from shop.core.policies import Paper


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


def _label(
    name: str, inside: Sequence[tuple[Tier, str]], boxed: Sequence[Part], part: Allergens,
    book: ShopBook,
) -> BoxLabel:  # fmt: skip
    units = book.identity.units
    grams = sum(one.grams for one in boxed)  # on their boards, as they are lifted
    keeping = max(keeping_of(tier, book) for tier, _ in inside)
    is_kept = any(tier.kind is Kind.KEPT for tier, _ in inside)
    people = "One person carries it" if carried(boxed, book).is_for_one else "Two people carry it"
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
        weight=weight_in_words(grams, units),
        carry=f"{people}, level, with both hands under the board.",
        keep=keep_until_words(book.identity.regime, keeping),
        eat_by=eat_by_words(keeping, kept=is_kept and len(inside) == 1) if is_eaten else "",
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
