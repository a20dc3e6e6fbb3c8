"""What may stand on what? The tiers a shop can bake, which may carry which, and what is wrong with a stack."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from consult.core import cutting, shapes
from consult.core.design import Brief, Problem, Tier
from consult.core.servings import slice_of
from shop.core.book import ShopBook
from shop.core.catalogue import Pan, Shape
from shop.core.measures import Units, length, number
from shop.core.policies import StackLimits

# A tenth of a millimetre: no rule of the bench is finer, and inches kept in millimetres round.
TOLERANCE_MM = 0.1

# A pan from above: shape, size and width in millimetres.
Outline = tuple[Shape, float, float | None]


@dataclass(frozen=True, slots=True)
class TierOption:
    """A tier the shop could make: a pan it owns at one height. `servings` is the full count."""

    shape: Shape
    size_mm: float
    width_mm: float | None
    height_mm: float
    servings: int
    pan_name: str

    @property
    def outline(self) -> Outline:
        """The pan without the height: what decides on what it may stand."""
        return (self.shape, self.size_mm, self.width_mm)


def tier_name(tier: Tier, units: Units) -> str:
    """A tier by its pan, as the shop measures: "9 in round", "9 x 13 in rectangle"."""
    across = length(tier.size_mm, units)
    if tier.width_mm is not None:
        across = f"{across.removesuffix(f' {units.value}')} x {length(tier.width_mm, units)}"
    return f"{across} {tier.shape.value}"


def heights_of(brief: Brief, book: ShopBook) -> tuple[float, ...]:
    """Tier heights in millimetres, lowest first: the client's, else the shop's."""
    return tuple(sorted(set(brief.limits.heights_mm or book.policies.stacks.heights_mm)))


def most_tiers(brief: Brief, book: ShopBook) -> int:
    """The most tiers allowed: the shop's limit, or the client's where that is lower."""
    shop = book.policies.stacks.most_tiers
    asked = brief.limits.most_tiers
    return shop if asked is None else min(shop, asked)


def _near(value: float, asked: Iterable[float]) -> bool:
    return any(abs(value - one) <= TOLERANCE_MM for one in asked)


def _owned(book: ShopBook) -> list[Pan]:
    """One pan of each outline that is on the shelf, in the shelf's order."""
    seen: dict[Outline, Pan] = {}
    for pan in book.pans:
        if pan.owned >= 1:
            seen.setdefault((pan.shape, pan.size_mm, pan.width_mm), pan)
    return list(seen.values())


def _options(pans: Iterable[Pan], heights: Iterable[float], brief: Brief, book: ShopBook,
             ) -> tuple[TierOption, ...]:  # fmt: skip
    slice_size = slice_of(brief.need, book)
    return tuple(
        TierOption(
            shape=pan.shape,
            size_mm=pan.size_mm,
            width_mm=pan.width_mm,
            height_mm=height,
            servings=cutting.servings(
                pan.shape,
                pan.size_mm,
                pan.width_mm,
                height,
                slice_size,
                cutting.way_for(pan.shape, book.policies.rounds),
            ).count,
            pan_name=pan.name,
        )
        for pan in pans
        for height in heights
    )


def options_of(brief: Brief, book: ShopBook) -> tuple[TierOption, ...]:
    """Each tier that could be in the stack: pans owned, within the shapes, sizes and heights asked."""
    limits = brief.limits
    pans = [
        pan
        for pan in _owned(book)
        if (not limits.shapes or pan.shape in limits.shapes)
        and (not limits.sizes_mm or _near(pan.size_mm, limits.sizes_mm))
    ]
    return _options(pans, heights_of(brief, book), brief, book)


def kitchen_options(brief: Brief, book: ShopBook) -> tuple[TierOption, ...]:
    """Pans a kitchen cake may be baked in; none unless the client allows kitchen cakes.

    Every rectangle owned, the largest square and the largest round, each at the lowest of the
    shop's heights: the cake is cut out of sight, so the client's shapes and sizes do not bind it.
    """
    if not brief.limits.kitchen_cake:
        return ()
    owned = _owned(book)
    pans = [pan for pan in owned if pan.shape is Shape.RECTANGLE]
    for shape in (Shape.SQUARE, Shape.ROUND):
        alike = [pan for pan in owned if pan.shape is shape]
        pans += [max(alike, key=lambda pan: pan.size_mm)] if alike else []
    lowest = min(book.policies.stacks.heights_mm)
    return tuple(option for option in _options(pans, (lowest,), brief, book) if option.servings > 0)


def may_carry(below: Outline, above: Outline, limits: StackLimits) -> bool:
    """Whether the lower outline leaves ledge enough, and no step too wide, round the upper one."""
    # Grown by the ledge all round, the upper one must lie inside the lower; grown by the widest
    # step it must cover it. Their greatest widths rule most pairs out before any geometry.
    across = shapes.widest_mm(*below) - shapes.widest_mm(*above)
    if not 2 * limits.ledge_mm - TOLERANCE_MM <= across <= 2 * limits.widest_step_mm + TOLERANCE_MM:
        return False
    step = shapes.steps(*below, *above)
    return (
        step.narrowest_mm >= limits.ledge_mm - TOLERANCE_MM
        and step.widest_mm <= limits.widest_step_mm + TOLERANCE_MM
    )


def board_mm(base: Outline, limits: StackLimits) -> float:
    """How wide a base board of the base's own shape must be: the base and the margin each side."""
    return max(shapes.extent_mm(*base)) + 2 * limits.board_margin_mm


def board_fits(base: Outline, limits: StackLimits) -> bool:
    """Whether that outline's base board is within the shop's widest."""
    return board_mm(base, limits) <= limits.widest_board_mm + TOLERANCE_MM


def stack_problems(tiers: Sequence[Tier], book: ShopBook) -> tuple[Problem, ...]:
    """What is wrong with a stack as it is, base first: each broken rule as a sentence.

    `where` is "tiers" or "tiers[0]" and so on. A display tier is carved, so it needs no pan.
    """
    limits, units = book.policies.stacks, book.identity.units
    if not tiers:
        return (Problem("tiers", "There is no tier yet."),)
    found = []
    if len(tiers) > limits.most_tiers:
        says = f"{len(tiers)} tiers are more than the {limits.most_tiers} this shop builds."
        found.append(Problem("tiers", says))
    height = sum(tier.height_mm for tier in tiers)
    if height > limits.tallest_mm + TOLERANCE_MM:
        says = (
            f"The stack is {length(height, units)} tall;"
            f" {length(limits.tallest_mm, units)} is the most."
        )
        found.append(Problem("tiers", says))
    names = [f"Tier {at} ({tier_name(tier, units)})" for at, tier in enumerate(tiers, start=1)]
    outlines = [(tier.shape, tier.size_mm, tier.width_mm) for tier in tiers]
    if not board_fits(outlines[0], limits):
        says = (
            f"{names[0]} needs a base board of {length(board_mm(outlines[0], limits), units)};"
            f" {length(limits.widest_board_mm, units)} is the widest."
        )
        found.append(Problem("tiers[0]", says))
    for at, tier in enumerate(tiers):
        if tier.is_cake and not _is_owned(tier, book):
            found.append(Problem(f"tiers[{at}]", f"{names[at]} has no pan on the shelf."))
        if at:
            says = _ledge_trouble(names[at], names[at - 1], outlines[at - 1], outlines[at], book)
            found += [Problem(f"tiers[{at}]", says)] if says else []
    return tuple(found)


def _is_owned(tier: Tier, book: ShopBook) -> bool:
    return any(
        pan.shape is tier.shape
        and _near(pan.size_mm, (tier.size_mm,))
        and (pan.width_mm is None) == (tier.width_mm is None)
        and _near(pan.width_mm or 0.0, (tier.width_mm or 0.0,))
        for pan in _owned(book)
    )


def _ledge_trouble(
    name: str,
    name_below: str,
    below: Outline,
    above: Outline,
    book: ShopBook,
) -> str:
    """A sentence where the ledge round a carried tier is too narrow or too wide, else ""."""
    limits, units = book.policies.stacks, book.identity.units
    if may_carry(below, above, limits):
        return ""
    step = shapes.steps(*below, *above)
    narrowest, widest = step.narrowest_mm, step.widest_mm
    if narrowest < -TOLERANCE_MM:
        under = name_below[0].lower() + name_below[1:]
        return f"{name} hangs over {under} by {_measured(-narrowest, units)}."
    if narrowest < limits.ledge_mm - TOLERANCE_MM:
        least = length(limits.ledge_mm, units)
        if narrowest <= TOLERANCE_MM:
            return f"{name} leaves no ledge; {least} is the least."
        return f"{name} leaves a ledge of {_measured(narrowest, units)}; {least} is the least."
    most = length(limits.widest_step_mm, units)
    return f"{name} leaves a step of {_measured(widest, units)}; {most} is the most."


def _measured(mm: float, units: Units) -> str:
    """A measured length: to an eighth of an inch where that is as good, else to a tenth."""
    if units is Units.INCHES:
        eighth = round(mm / units.mm * 8) / 8 * units.mm
        if abs(eighth - mm) <= TOLERANCE_MM * 5:
            return length(eighth, units)
        return f"{number(mm / units.mm, 1)} in"
    return length(mm, units)
