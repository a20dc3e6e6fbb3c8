"""What does the kitchen sheet say? What, how much, when and in what order, in the kitchen's words; no prices."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from consult.core import choices
from consult.core.allergens import Allergens, allergens_of
from consult.core.batter import heat_words
from consult.core.cautions import cautions_of
from consult.core.decoration_amounts import DecorationAmount
from consult.core.design import Brief, Problem, Tier
from consult.core.mixes import Mix, bowl_name
from consult.core.oven import HOW, OvenLoad
from consult.core.quantities import Quantities, TierAmounts, undercoat
from consult.core.reckoning import settled
from consult.core.sheet_making import (
    KIND_WORDS,
    PLAIN_COLOUR,
    PLAIN_COLOURS,
    day_in_words,
    hand_over_words,
)
from consult.core.shopping import ROUNDING, Weighed, grams_written
from consult.core.stack_rules import board_mm
from shop.core.book import ShopBook
from shop.core.measures import Units, length
from shop.core.policies import Paper


@dataclass(frozen=True, slots=True)
class KitchenStep:
    """One line of the schedule, in words: what, on which day, from when, until when, whose hands."""

    what: str
    day: str  # "Thu 17 Jun"
    starts: str  # "12:20"
    ends: str  # "13:10", with its day if that is another
    hands: str


@dataclass(frozen=True, slots=True)
class KitchenTier:
    """One tier, or one of `count` kitchen cakes alike, as it is baked, filled and coated."""

    where: str  # "base tier"
    size: str  # "10 in round, 4 in high"
    kind: str  # "", "kept for the couple", "display, not cake"
    count: int
    cake: str
    bowl: str  # the name of the batter's bowl; "" for a display tier
    pan: str  # "2 pans 10 in round, 2 in deep"; "" for a display tier
    each: str  # "867 g" of batter in each pan
    baked: int  # layers that come out of the oven, for one cake
    batter: str  # "2,498 g" in all its pans together
    fill_words: str  # "a heating core in each; fills 45 % of the pan; split each in two"
    bake: str
    syrup: str  # "96 ml"
    filling: str
    filling_g: str
    undercoat: str  # what dam and crumb coat are made of
    dam: str
    crumb: str
    finish: str
    coat: str  # "681 g", or for fondant the sheet to roll out
    coat_g: str
    colour_name: str
    colour: str  # hex, for the drawing and the swatch
    texture: str
    tier: Tier


@dataclass(frozen=True, slots=True)
class KitchenUse:
    what: str
    grams: str
    colour_name: str
    colour: str


@dataclass(frozen=True, slots=True)
class KitchenMix:
    """One bowl: what is weighed into it and where it goes."""

    kind: str  # batter, syrup, icing, rolled
    name: str
    grams: str
    lines: tuple[Weighed, ...]
    uses: tuple[KitchenUse, ...]
    note: str


@dataclass(frozen=True, slots=True)
class KitchenDecoration:
    name: str
    where: str
    note: str
    make: str  # "14", "once", "3 times"
    how_much: str  # "84.8 in (215.5 cm) edge"; "" for what is counted
    spare: str  # "2 of them spare"
    ready: str  # "ready by Monday, May 10" or ""
    colour_name: str
    colour: str
    made_of: str  # "420 g flower paste ..."
    comes_off: str
    symbol: str
    tier: int | None
    count: int


@dataclass(frozen=True, slots=True)
class KitchenSheet:
    """The whole sheet, in the order the kitchen works. Amounts only: no price and no cost."""

    number: str
    revision: int
    shop_name: str
    client_name: str
    occasion: str
    event_on: date | None
    hand_over: str
    free_of: tuple[str, ...]  # what the client must avoid, in capitals' place on top
    free_of_says: str  # what to do about it; the conflicts found stand beside it
    conflicts: tuple[str, ...]
    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    cautions: tuple[str, ...]
    schedule: tuple[KitchenStep, ...]
    tiers: tuple[KitchenTier, ...]  # base first
    kitchen_cakes: tuple[KitchenTier, ...]
    mixes: tuple[KitchenMix, ...]
    loads: tuple[str, ...]
    too_large: tuple[str, ...]  # pans that the oven does not take, in a sentence each
    loads_note: str
    decorations: tuple[KitchenDecoration, ...]
    supports: tuple[str, ...]
    board_mm: float
    rounding: str
    notes: str
    units: Units
    paper: Paper
    locale: str


def kitchen_sheet_of(
    brief: Brief,
    book: ShopBook,
    quantities: Quantities,
    number: str,
    revision: int,
    *,
    schedule: Sequence[tuple[str, str, str, str]] = (),
    supports: Sequence[str] = (),
) -> KitchenSheet:
    """The kitchen sheet of a brief. `schedule` is (what, starts, ends, hands) in words, in order;
    `supports` says boards and dowels, join by join, where that is known."""
    brief = settled(brief)
    identity, tiers = book.identity, brief.design.tiers
    allergens = allergens_of(brief, book)
    base = tiers[0] if tiers else None
    limits = book.policies.stacks
    said = (brief.notes, brief.design.notes)
    return KitchenSheet(
        number=number,
        revision=revision,
        shop_name=identity.name,
        client_name=brief.client.name.strip(),
        occasion=brief.event.occasion,
        event_on=brief.event.on,
        hand_over=hand_over_words(brief, book) if brief.event.on else "The day is not set.",
        free_of=tuple(sorted(brief.avoid)),
        free_of_says=_free_of_says(brief, allergens),
        conflicts=_conflicts(allergens.conflicts),
        contains=allergens.contains,
        may_contain=allergens.may_contain,
        cautions=tuple(one.says for one in cautions_of(brief, book)),
        schedule=tuple(_step(*step) for step in schedule),
        tiers=tuple(_tier(one, quantities, book) for one in quantities.tiers),
        kitchen_cakes=tuple(_tier(one, quantities, book) for one in quantities.kitchen_cakes),
        mixes=_mixes(quantities),
        loads=_loads(quantities.oven.loads, identity.units),
        too_large=tuple(
            f"{pan}: no oven shelf takes it. Bake it somewhere else, or in two parts."
            for pan in quantities.oven.too_large
        ),
        loads_note=HOW if quantities.oven.loads else "",
        decorations=_decorations(brief, book, quantities),
        supports=tuple(supports),
        board_mm=board_mm((base.shape, base.size_mm, base.width_mm), limits) if base else 0.0,
        rounding=ROUNDING,
        notes="\n".join(text.strip() for text in said if text.strip()),
        units=identity.units,
        paper=identity.paper,
        locale=identity.locale,
    )


def _free_of_says(brief: Brief, allergens: Allergens) -> str:
    if not brief.avoid:
        return ""
    found = [one for one in allergens.conflicts if one.where != "avoid"]
    says = "STOP: it is in the recipes below." if found else "No recipe below names it."
    return (
        f"{says} Wash down bench, mixer and tools first, weigh from packs opened for this cake, read"
        " every label again, and keep the cake covered and apart."
    )


def _conflicts(problems: Sequence[Problem]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(problem.says for problem in problems))


def _step(what: str, starts: str, ends: str, hands: str) -> KitchenStep:
    day, _, clock = starts.rpartition(", ")
    return KitchenStep(what, day, clock, ends, hands)


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _bowl_of(flavour: str, quantities: Quantities) -> str:
    """The bowl that a flavour's batter is in: flavours of one recipe share one."""
    for mix in quantities.mixes:
        if mix.kind == "batter" and flavour in (use.name for use in mix.uses):
            return mix.name
    return ""


def _tier(one: TierAmounts, quantities: Quantities, book: ShopBook) -> KitchenTier:
    tier, baking, units = one.tier, one.baking, book.identity.units
    finish = choices.finish_of(tier, book)
    under = undercoat(finish, book)
    cake = choices.flavour_of(tier, book).name
    coat = ""
    if one.fondant is not None:
        coat = f"roll out {length(one.fondant.size_mm, units)}"
        if one.fondant.width_mm is not None:
            coat += f" x {length(one.fondant.width_mm, units)}"
        coat += f" {one.fondant.shape.value}, {one.fondant.thickness_mm:g} mm thick"
    elif (bowl := bowl_name(finish.recipe, finish.name, book)) != finish.name:
        coat = f"from the bowl of {bowl[0].lower()}{bowl[1:]}"
    details = []
    if baking is not None:
        if baking.cores:
            details.append("a heating core in each")
        details.append(f"fills {baking.fill_share:.0%} of the pan")
        tall = f"{length(baking.layers.layer_mm, units)} tall"
        halves = ", then split each in two" if baking.layers.split else ""
        details.append(f"level to {tall}{halves}")
    colour = tier.colour or PLAIN_COLOURS.get(finish.kind, PLAIN_COLOUR)
    return KitchenTier(
        where=one.where,
        size=f"{one.name}, {length(tier.height_mm, units)} high",
        kind=KIND_WORDS[tier.kind],
        count=one.count,
        cake=cake if tier.is_cake else "foam under real icing",
        bowl=_bowl_of(cake, quantities) if baking else "",
        pan=f"{_counted(baking.layers.baked, 'layer')} in {baking.pan_name}" if baking else "",
        each=grams_written(round(baking.each_g)) if baking else "",
        baked=baking.layers.baked if baking else 0,
        batter=grams_written(round(one.batter_g * one.count)) if baking else "",
        fill_words="; ".join(details),
        bake=baking.bake.says if baking else "",
        syrup=f"{one.syrup_ml:.0f} ml" if one.syrup_ml else "",
        filling=choices.filling_of(tier, book).name if tier.is_cake else "",
        filling_g=grams_written(round(one.filling_g)) if one.filling_g else "",
        undercoat=bowl_name(under.recipe, under.name, book),
        dam=grams_written(round(one.dam_g)) if one.dam_g else "",
        crumb=grams_written(round(one.crumb_g)) if one.crumb_g else "",
        finish=finish.name,
        coat=coat,
        coat_g=grams_written(round(one.coat_g)),
        colour_name=tier.colour_name or ("" if tier.colour else "its own colour"),
        colour=colour,
        texture=choices.texture_of(tier, book),
        tier=tier,
    )


def _note(mix: Mix) -> str:
    """Why so much is weighed out, short enough for a line under the bowl."""
    said = f"{grams_written(round(mix.used_g))} used"
    if mix.grams > mix.used_g:
        said += f", {1 - mix.used_g / mix.grams:.0%} stays in the bowl"
    return f"{said}; recipe × {mix.batches:.2f}" if mix.batches else said


_NOTES = {"rolled": "Knead, roll out as each tier says; trimmings can be used again."}


def _mixes(quantities: Quantities) -> tuple[KitchenMix, ...]:
    return tuple(
        KitchenMix(
            kind=mix.kind,
            name=mix.name,
            grams=grams_written(round(mix.grams)),
            lines=mix.lines,
            uses=tuple(
                KitchenUse(
                    use.for_what, grams_written(round(use.grams)), use.colour_name, use.colour
                )
                for use in mix.uses
            ),
            note=_NOTES.get(mix.kind, _note(mix)),
        )
        for mix in quantities.mixes
    )


def _loads(loads: Sequence[OvenLoad], units: Units) -> tuple[str, ...]:
    said = []
    for load in loads:
        pans = "; ".join(f"{count} × {pan} ({of})" for pan, of, count in load.pans)
        said.append(f"{heat_words(load.celsius, units)}: {pans}")
    return tuple(said)


def _decorations(
    brief: Brief, book: ShopBook, quantities: Quantities
) -> tuple[KitchenDecoration, ...]:
    found = []
    for one in quantities.decorations:
        thing = book.decoration(one.code)
        lines = [f"{grams_written(line.grams)} {line.name.lower()}" for line in one.lines]
        found.append(
            KitchenDecoration(
                name=one.name,
                where=one.where,
                note=one.note,
                make=_make(one),
                how_much="" if one.by_the_piece else one.how_much,
                spare=f"{one.spare} of them spare" if one.spare else "",
                ready=_ready(one.lead_days, brief.event.on, book.identity.locale),
                colour_name=one.colour_name,
                colour=one.colour,
                made_of=", ".join(lines),
                comes_off=thing.comes_off,
                symbol=thing.symbol,
                tier=one.tier,
                count=one.count,
            )
        )
    return tuple(found)


def _make(one: DecorationAmount) -> str:
    if one.by_the_piece:
        return str(one.made)
    return "once" if one.made == 1 else f"{one.made} times"


def _ready(lead_days: int, event_on: date | None, locale: str) -> str:
    """By when a piece must be made, so that it is dry or set in time."""
    if not lead_days:
        return ""
    before = _counted(lead_days, "day")
    if event_on is None:
        return f"made {before} ahead"
    return f"made by {day_in_words(event_on - timedelta(days=lead_days), locale)} ({before} ahead)"
