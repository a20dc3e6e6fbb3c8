"""What does it all come to? One brief joined with one book: servings, work, price, safety, date, weight."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

from consult.core import choices
from consult.core.allergens import Allergens, allergens_of
from consult.core.carrying import to_carry
from consult.core.cautions import Caution, cautions_of, take_out
from consult.core.charts import chart_warning
from consult.core.choices import Place
from consult.core.covering import Surface, surface
from consult.core.design import Brief, Design, Kind, KitchenCake, Problem, Tier
from consult.core.quote import Quote, quote_of, tier_price
from consult.core.servings import (
    Needed,
    counted_servings,
    servings_needed,
    slice_of,
    tier_servings,
)
from consult.core.stack_costs import BriefCosts, Known
from consult.core.stack_rules import board_mm, stack_problems, tier_name
from consult.core.timeline import DateAnswer, date_answer
from consult.core.weights import weight_of, weights_to_lift
from consult.core.work import Work, servings_made, tier_tasks, work_of
from shop.core.book import ShopBook
from shop.core.catalogue import SliceSize
from shop.core.measures import weight_in_words
from shop.core.money import Money

NOT_BOOKED: Mapping[date, int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class TierFigures:
    """What one tier comes to. `number` 1 is the base; `counted` of its servings go towards the need.

    `price` is the tier's own line in the quote, without decorations; `minutes` are all hands-on
    work on it, decorations included; `why` says how it is cut, `gives` what it gives.
    """

    number: int
    tier: Tier
    name: str
    servings: int
    counted: int
    why: str
    surface: Surface
    weight_grams: float
    price: Money
    minutes: int
    gives: str


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Everything that follows from a brief on one day. `servings` count kitchen cakes too.

    `weight_grams` is the whole cake on its boards, kitchen cakes apart.
    `problems` are all that is worth saying; `in_the_way` are those of them that keep a sheet from
    being made. Their `where` begins with the step to go to.
    """

    needed: Needed
    tiers: tuple[TierFigures, ...]
    servings: int
    short_by: int
    surplus: int
    surplus_words: str
    work: Work
    quote: Quote
    allergens: Allergens
    cautions: tuple[Caution, ...]
    take_out: tuple[str, ...]
    date: DateAnswer
    height_mm: float
    board_mm: float
    weight_grams: float
    heaviest_words: str
    problems: tuple[Problem, ...]
    in_the_way: tuple[Problem, ...]


def stack_costs(
    brief: Brief, book: ShopBook, today: date | None = None, known: Known | None = None
) -> BriefCosts:
    """What stacks come to for this brief; short notice is priced where `today` is given.

    `known`: sums of earlier searches, of the same book, slice and way of hand-over.
    """
    return BriefCosts(brief, book, today, known)


def settled(brief: Brief) -> Brief:
    """The brief with every decoration on a tier that is there (`choices.tier_of`)."""
    design = brief.design
    if not design.tiers:
        return brief
    decorations = tuple(
        replace(chosen, tier=choices.tier_of(chosen, design.tiers)) for chosen in design.decorations
    )
    return replace(brief, design=replace(design, decorations=decorations))


def restacked(
    design: Design, tiers: Sequence[Tier], kitchen_cakes: Sequence[KitchenCake] = ()
) -> Design:
    """The design on another stack. What was chosen for a tier stays with its place from the base;
    a tier that was not there before, and the kitchen cakes, keep what they come with. A decoration of
    a tier that is gone moves to the top."""
    moved = [
        replace(
            tier,
            flavour=tier.flavour or old.flavour,
            filling=tier.filling or old.filling,
            finish=tier.finish or old.finish,
            colour=tier.colour or old.colour,
            colour_name=tier.colour_name or old.colour_name,
        )
        for tier, old in zip(tiers, design.tiers, strict=False)
    ]
    moved += tiers[len(moved) :]
    decorations = tuple(
        replace(chosen, tier=choices.tier_of(chosen, moved)) for chosen in design.decorations
    )
    return replace(
        design,
        tiers=tuple(moved),
        kitchen_cakes=tuple(kitchen_cakes),
        decorations=decorations,
    )


def _gives(tier: Tier, servings: int) -> str:
    if tier.kind is Kind.DISPLAY:
        return "display, not eaten"
    words = "1 serving" if servings == 1 else f"{servings} servings"
    return f"{words}, kept for the couple" if tier.kind is Kind.KEPT else words


def _why(tier: Tier, counted: str, slice_size: SliceSize) -> str:
    """How the servings came about, and where a printed chart promises more than the tier holds."""
    if not tier.is_cake:
        return "Display: it is not cut."
    warning = chart_warning(tier.shape, tier.size_mm, slice_size)
    return f"{counted} {warning}".strip()


def _figures(at: int, brief: Brief, book: ShopBook) -> TierFigures:
    tiers = brief.design.tiers
    tier, place = tiers[at], Place(at, at == len(tiers) - 1)
    slice_size = slice_of(brief.need, book)
    rounds = book.policies.rounds
    given = tier_servings(tier, slice_size, rounds)
    servings = servings_made(tier, brief, book)
    return TierFigures(
        number=at + 1,
        tier=tier,
        name=tier_name(tier, book.identity.units),
        servings=servings,
        counted=counted_servings(tier, slice_size, rounds),
        why=_why(tier, given.why, slice_size),
        surface=surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm),
        weight_grams=weight_of(tier, book),
        price=tier_price(tier, servings, book),
        minutes=sum(task.hands_on for task in tier_tasks(tier, place, brief, book)),
        gives=_gives(tier, servings),
    )


def _kitchen_servings(brief: Brief, book: ShopBook) -> int:
    return sum(
        servings_made(choices.as_tier(cake), brief, book) * cake.count
        for cake in brief.design.kitchen_cakes
    )


def surplus_in_words(surplus: int) -> str:
    """Servings above or below the need: "short by 6", "6 over", "just right"."""
    if surplus < 0:
        return f"short by {-surplus}"
    return f"{surplus} over" if surplus else "just right"


def heaviest_in_words(tiers: Sequence[TierFigures], book: ShopBook) -> str:
    """Whether one person may lift the cake, by the limits of `carrying`; "" without tiers."""
    if not tiers:
        return ""
    units = book.identity.units
    whole, parts = to_carry([figures.tier for figures in tiers], book)
    words = weight_in_words(whole.grams, units)
    if whole.is_for_one:
        return f"One person may lift it: {words}"
    heavy = [part for part in parts if not part.is_for_one]
    if heavy:
        heaviest = max(heavy, key=lambda part: part.grams)
        return (
            f"Two people lift it, even in parts: tier {parts.index(heaviest) + 1} alone,"
            f" {weight_in_words(heaviest.grams, units)}, is more than {heaviest.limit_in_words(units)}"
        )
    return (
        f"Carry it in parts and assemble it at the venue: {words} is more than"
        f" {whole.limit_in_words(units)}"
    )


def _step_of(where: str) -> str:
    """The step at which an allergen conflict, found at a path of the design, can be put right."""
    if where.endswith((".flavour", ".filling")):
        return "flavours"
    if where.endswith(".finish"):
        return "finishes"
    return "decorations" if "decorations" in where else "event"


def _conflicts(allergens: Allergens) -> tuple[list[Problem], list[Problem]]:
    """What the cake contains although the client avoids it; and what it may hold traces of."""
    contained: list[Problem] = []
    traces: list[Problem] = []
    for conflict in allergens.conflicts:
        step = _step_of(conflict.where)
        placed = Problem(f"{step}.{conflict.where}", conflict.says)
        (traces if conflict.where == "avoid" else contained).append(placed)
    return contained, traces


def _short(short_by: int, needed: Needed) -> list[Problem]:
    if not short_by:
        return []
    servings = "1 serving" if short_by == 1 else f"{short_by} servings"
    says = (
        f"{servings} short of the {needed.count} needed: choose a larger stack, add a tier or a"
        " kitchen cake."
    )
    return [Problem("tiers", says)]


def reckon(
    brief: Brief, book: ShopBook, today: date, booked: Mapping[date, int] = NOT_BOOKED
) -> Reckoning:
    """All that follows from the brief as of `today`; a half-filled brief gives what can be said yet.

    `booked` is the bench minutes that other orders take, by day.
    """
    brief = settled(brief)
    design, limits = brief.design, book.policies.stacks
    figures = tuple(_figures(at, brief, book) for at in range(len(design.tiers)))
    needed = servings_needed(brief.need, book)
    servings = sum(tier.counted for tier in figures) + _kitchen_servings(brief, book)
    work, quote = work_of(brief, book), quote_of(brief, book, today)
    allergens = allergens_of(brief, book)
    short_by = max(needed.count - servings, 0)
    contained, traces = _conflicts(allergens)
    in_the_way: tuple[Problem, ...] = ()
    if design.tiers:
        in_the_way = (*stack_problems(design.tiers, book), *_short(short_by, needed), *contained)
    in_the_way += tuple(one for one in quote.problems if one.where == "event.distance_km")
    base = design.tiers[0] if design.tiers else None
    return Reckoning(
        needed=needed,
        tiers=figures,
        servings=servings,
        short_by=short_by,
        surplus=max(servings - needed.count, 0),
        surplus_words=surplus_in_words(servings - needed.count),
        work=work,
        quote=quote,
        allergens=allergens,
        cautions=cautions_of(brief, book),
        take_out=take_out(brief, book),
        date=date_answer(brief, book, work, today, booked),
        height_mm=round(design.height_mm, 3),
        board_mm=board_mm((base.shape, base.size_mm, base.width_mm), limits) if base else 0.0,
        weight_grams=sum(weights_to_lift(design.tiers, book)),
        heaviest_words=heaviest_in_words(figures, book),
        problems=(
            *in_the_way,
            *traces,
            *(one for one in quote.problems if one not in in_the_way),
        ),
        in_the_way=in_the_way,
    )
