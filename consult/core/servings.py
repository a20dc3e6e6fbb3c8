"""How many servings are needed, and how many does a tier give towards them?"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from consult.core import cutting
from consult.core.design import Kind, Need, Tier
from shop.core.book import ShopBook
from shop.core.catalogue import SliceSize
from shop.core.measures import number
from shop.core.policies import Rounds


@dataclass(frozen=True, slots=True)
class Needed:
    """The servings to reach, and in words how that came about."""

    count: int
    why: str


def slice_of(need: Need, book: ShopBook) -> SliceSize:
    """The slice size asked for; the shop's first while none is chosen or none has that code."""
    codes = [slice_size.code for slice_size in book.slices]
    return book.slice(need.slice) if need.slice in codes else book.slices[0]


def servings_needed(need: Need, book: ShopBook) -> Needed:
    """Guests who eat, rounded up to whole people, and the spare servings on top.

    That a share of the guests eats no cake is common practice: one baker plans for 80 % of a
    wedding's guests. The share is the client's to say; 1 is everybody.
    """
    eating = (Decimal(need.guests) * need.eating_share).to_integral_value(rounding=ROUND_CEILING)
    count = int(eating) + need.spare
    guests = "1 guest" if need.guests == 1 else f"{need.guests} guests"
    parts = [guests]
    if need.eating_share != 1:
        parts.append(f"{number(float(need.eating_share * 100), 1)} % of them eat")
    if need.spare:
        parts.append(f"{need.spare} spare")
    listed = " and ".join(parts) if len(parts) < 3 else f"{parts[0]}, {parts[1]}, and {parts[2]}"
    if len(parts) == 2 and not need.spare:
        listed = ", ".join(parts)
    return Needed(count, f"{listed}: {count} {'serving' if count == 1 else 'servings'}")


def tier_servings(
    tier: Tier, slice_size: SliceSize, rounds: Rounds = Rounds.WHICHEVER
) -> cutting.Servings:
    """Servings the tier would give if it were cut: its full count, whatever it is for.

    `rounds` is how the shop cuts round tiers (`Policies.rounds`).
    """
    way = cutting.way_for(tier.shape, rounds)
    return cutting.servings(
        tier.shape, tier.size_mm, tier.width_mm, tier.height_mm, slice_size, way
    )


def counted_servings(tier: Tier, slice_size: SliceSize, rounds: Rounds = Rounds.WHICHEVER) -> int:
    """Servings of the tier that count towards the need: none of a kept or a display tier."""
    return tier_servings(tier, slice_size, rounds).count if tier.kind is Kind.EATEN else 0


def plan_of(tier: Tier, slice_size: SliceSize, rounds: Rounds) -> cutting.CuttingPlan:
    """The cutting plan of one level of the tier: that which `tier_servings` counts."""
    way = cutting.way_for(tier.shape, rounds)
    return cutting.cut(tier.shape, tier.size_mm, tier.width_mm, slice_size, way)
