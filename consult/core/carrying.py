"""May one person lift it, in its box? By the shop's own limit and the lifting equation, whichever is lower."""

from collections.abc import Sequence
from dataclasses import dataclass

from consult.core.design import Tier
from consult.core.lifting import bench_to_table
from consult.core.support_values import Part
from consult.core.supports import part_of
from shop.core.book import ShopBook
from shop.core.measures import Units, weight


@dataclass(frozen=True, slots=True)
class Carried:
    """One box with what is in it, and the most that one person may lift of it."""

    grams: float
    shop_grams: float  # the shop's own limit
    niosh_grams: float  # the recommended weight limit for a box so wide and high

    @property
    def limit_grams(self) -> float:
        return min(self.shop_grams, self.niosh_grams)

    @property
    def is_for_one(self) -> bool:
        return self.grams <= self.limit_grams

    def limit_in_words(self, units: Units) -> str:
        """Whose limit it is and how much: "the 8 kg that one person lifts in this shop"."""
        if self.niosh_grams <= 0:
            return "a box too wide for one person to hold close enough may weigh"
        most = weight(self.limit_grams, units)
        if self.shop_grams <= self.niosh_grams:
            return f"the {most} that one person lifts in this shop"
        return f"the {most} that NIOSH recommends for one person and a box this large"


def carried(boxed: Sequence[Part], book: ShopBook) -> Carried:
    """Parts in one box, the lowest first: their weight on their boards against both limits."""
    lowest, *others = boxed
    grams = sum(part.grams for part in boxed)
    high = lowest.box.high_mm + sum(one.board_thick_mm + one.tier.height_mm for one in others)
    lift = bench_to_table(grams / 1000, lowest.box.deep_mm, high_mm=high)
    shop = book.policies.stacks.one_person_lifts_grams
    return Carried(grams, shop, lift.rwl_kg * 1000)


def to_carry(tiers: Sequence[Tier], book: ShopBook) -> tuple[Carried, tuple[Carried, ...]]:
    """The whole cake in one box, and each tier in its own, base first. Raises ValueError without tiers."""
    if not tiers:
        raise ValueError("There is nothing to carry.")
    parts = [part_of(at, tier, book) for at, tier in enumerate(tiers)]
    return carried(parts, book), tuple(carried([part], book) for part in parts)
