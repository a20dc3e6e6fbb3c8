"""What is on which tier? Its flavour, filling, finish and decorations, and its units of work and price."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from consult.core import shapes
from consult.core.covering import surface
from consult.core.design import ChosenDecoration, KitchenCake, Tier
from shop.core.book import ShopBook
from shop.core.catalogue import Decoration, Driver, Filling, Finish, Flavour, Rate, Shape
from shop.core.measures import Units, from_mm, number

MM2_A_UNIT = 10_000  # PER_AREA counts 100 cm2
MM_A_UNIT = 100  # PER_EDGE counts 10 cm

# What grows with a tier; chosen for the whole cake, such a decoration goes on every tier.
BY_TIER = frozenset({Driver.PER_TIER, Driver.PER_AREA, Driver.PER_EDGE, Driver.PER_SERVING})


def flavour_of(tier: Tier | KitchenCake, book: ShopBook) -> Flavour:
    """The tier's flavour; the book's first while none is chosen."""
    return book.flavour(tier.flavour) if tier.flavour else book.flavours[0]


def filling_of(tier: Tier | KitchenCake, book: ShopBook) -> Filling:
    """The tier's filling; the book's first while none is chosen."""
    return book.filling(tier.filling) if tier.filling else book.fillings[0]


def finish_of(tier: Tier | KitchenCake, book: ShopBook) -> Finish:
    """The tier's finish; the book's first while none is chosen."""
    return book.finish(tier.finish) if tier.finish else book.finishes[0]


def texture_of(tier: Tier | KitchenCake, book: ShopBook) -> str:
    """How the drawing hatches the tier's coat; smooth fondant has its own soft edge."""
    finish = finish_of(tier, book)
    return "soft" if (finish.kind, finish.texture) == ("fondant", "smooth") else finish.texture


def as_tier(cake: KitchenCake) -> Tier:
    """A kitchen cake as the tier it would be: that is how it is made and priced."""
    return Tier(
        cake.shape,
        cake.size_mm,
        cake.height_mm,
        cake.width_mm,
        flavour=cake.flavour,
        filling=cake.filling,
        finish=cake.finish,
    )


def tier_of(decoration: ChosenDecoration, tiers: Sequence[Tier]) -> int | None:
    """The tier a decoration goes on, 0 for the base; None for the whole cake or while there is no tier.

    A place above the stack's top, left over from a taller stack, is the top tier.
    """
    if decoration.tier is None or not tiers:
        return None
    return min(decoration.tier, len(tiers) - 1)


def goes_on_every_tier(chosen: ChosenDecoration, thing: Decoration) -> bool:
    """Whether it is done on each tier: chosen for the whole cake, and of a kind that grows with tiers."""
    return chosen.tier is None and thing.rate.driver in BY_TIER


@dataclass(frozen=True, slots=True)
class Place:
    """Where a tier stands: `level` counts from the base, 0."""

    level: int
    is_top: bool


def is_on(chosen: ChosenDecoration, thing: Decoration, place: Place) -> bool:
    """Whether a decoration falls on the tier of that place: `tier_of`, asked one tier at a time."""
    if chosen.tier is None:
        return goes_on_every_tier(chosen, thing)
    return chosen.tier == place.level or (place.is_top and chosen.tier > place.level)


def is_first_of(chosen: ChosenDecoration, place: Place) -> bool:
    """Whether that tier carries what is done once for the decoration: mixing, setting up."""
    return chosen.tier is not None or place.level == 0


def edge_of(tier: Tier) -> float:
    """Millimetres once round the tier."""
    return shapes.edge_mm(tier.shape, tier.size_mm, tier.width_mm)


def coated_area_of(tier: Tier) -> float:
    """Square millimetres of the tier's top and sides."""
    return surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm).total_mm2


def units_of(driver: Driver, tier: Tier, servings: int) -> Decimal:
    """How many units of the driver one tier has. `servings`: those the tier gives, 0 for a display tier."""
    if driver is Driver.PER_AREA:
        return _area_units(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    if driver is Driver.PER_EDGE:
        return _edge_units(tier.shape, tier.size_mm, tier.width_mm)
    return Decimal(servings if driver is Driver.PER_SERVING else 1)


# A search for stacks asks for the same few hundred tiers thousands of times.
@lru_cache(maxsize=4096)
def _area_units(shape: Shape, size_mm: float, width_mm: float | None, height_mm: float) -> Decimal:
    return _exact(surface(shape, size_mm, width_mm, height_mm).total_mm2 / MM2_A_UNIT)


@lru_cache(maxsize=1024)
def _edge_units(shape: Shape, size_mm: float, width_mm: float | None) -> Decimal:
    return _exact(shapes.edge_mm(shape, size_mm, width_mm) / MM_A_UNIT)


def _exact(value: float) -> Decimal:
    """A measure to four places, so that the same tier always gives the same minutes and cents."""
    return Decimal(f"{value:.4f}")


def units_in_words(driver: Driver, units: Decimal, shop_units: Units) -> str:
    """So many units as a person measures them: "37.7 in (95.8 cm) edge", "55 servings", "3 pieces"."""
    inches = shop_units is Units.INCHES
    if driver is Driver.PER_AREA:
        metric = f"{number(float(units) * 100, 0)} cm²"
        area = from_mm(from_mm(float(units) * MM2_A_UNIT, shop_units), shop_units)
        return (
            f"{number(area, 0)} sq in ({metric}) of top and sides"
            if inches
            else (f"{metric} of top and sides")
        )
    if driver is Driver.PER_EDGE:
        metric = f"{number(float(units) * 10, 1)} cm"
        edge = from_mm(float(units) * MM_A_UNIT, shop_units)
        return f"{number(edge, 1)} in ({metric}) edge" if inches else f"{metric} edge"
    noun = {Driver.PER_PIECE: "piece", Driver.PER_SERVING: "serving", Driver.PER_TIER: "tier"}
    word = noun.get(driver, "time")
    return f"{number(float(units))} {word}" + ("" if units == 1 else "s")


EACH = {
    Driver.PER_TIER: "a tier",
    Driver.PER_AREA: "each 100 cm²",
    Driver.PER_EDGE: "each 10 cm",
    Driver.PER_PIECE: "a piece",
    Driver.PER_SERVING: "a serving",
    Driver.PER_CAKE: "an order",
}


def _measured(driver: Driver, units: Decimal, shop_units: Units, each: str) -> str:
    """So many units at so much each; a single tier or order need not be counted."""
    rate = f"{each} {EACH[driver]}"
    if units == 1 and driver in (Driver.PER_TIER, Driver.PER_CAKE):
        return rate
    return f"{units_in_words(driver, units, shop_units)}, {rate}"


@lru_cache(maxsize=8192)
def minutes_in_words(
    once: Decimal, each: Decimal, driver: Driver, units: Decimal, shop_units: Units
) -> str:
    """How minutes come about: "10 min once; 37.7 in (95.8 cm) edge, 0.8 min each 10 cm"."""
    said = [f"{number(float(once))} min once"] if once else []
    if each and units:
        said.append(_measured(driver, units, shop_units, f"{number(float(each))} min"))
    return "; ".join(said) or "no time of its own"


def price_in_words(rate: Rate, units: Decimal, shop_units: Units, locale: str) -> str:
    """How a rate's price comes about: "$6.00 once; 12 pieces, $8.00 a piece"; "" where it is free."""
    said = [f"{rate.price_once.written(locale)} once"] if rate.price_once else []
    if rate.price_each and units:
        said.append(_measured(rate.driver, units, shop_units, rate.price_each.written(locale)))
    return "; ".join(said)
