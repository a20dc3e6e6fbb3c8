"""What does a finished tier weigh, and what is lifted? By volume and published densities, quick on every page."""

from collections.abc import Sequence

from consult.core import choices, covering
from consult.core.batter import cake_of, kind_of
from consult.core.design import Tier
from shop.core.book import ShopBook

# Carved foam (expanded polystyrene): about 20 g a litre, from memory.
FOAM_G_PER_ML = 0.02


def weight_of(tier: Tier, book: ShopBook) -> float:
    """Grams of a finished tier, icing and filling included, without its board; of a display tier
    its foam and coats.

    The survey's iced cake is one in buttercream, so fondant and ganache add what they weigh beyond
    such a coat: dense cake in fondant comes to about 1.3 times plain cake in buttercream, within
    the 1.25 to 1.35 that decorators reckon with (common practice, no source).
    """
    volume = covering.volume_mm3(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    if not tier.is_cake:
        return _coats(tier, book) + volume / covering.MM3_PER_ML * FOAM_G_PER_ML
    flavour = choices.flavour_of(tier, book)
    iced = covering.iced_mass_g(volume, covering.iced_g_per_ml(flavour.kind))
    # A batter heavier than its kind's makes the whole tier so much heavier; a lighter one is not
    # counted on, since supports and lifts hang on this.
    heavier = cake_of(flavour).baked_g_per_ml - kind_of(flavour.kind).baked_g_per_ml
    iced += max(heavier, 0.0) * volume / covering.MM3_PER_ML
    return iced + _beyond_buttercream(tier, book)


def _coats(tier: Tier, book: ShopBook) -> float:
    """Grams of crumb coat and final coat, both at the weight of the final one."""
    finish = choices.finish_of(tier, book)
    covered = covering.surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    coat_ml = covering.final_coat_ml(covered, float(finish.coat_mm))
    return (coat_ml + covering.crumb_coat_ml(covered)) * float(finish.grams_per_ml)


def _beyond_buttercream(tier: Tier, book: ShopBook) -> float:
    """Grams that a coat of fondant or ganache weighs more than one of buttercream, 4 mm thick."""
    finish = choices.finish_of(tier, book)
    if finish.kind not in ("fondant", "ganache"):
        return 0.0
    covered = covering.surface(tier.shape, tier.size_mm, tier.width_mm, tier.height_mm)
    dense = float(finish.grams_per_ml)
    if finish.kind == "fondant":
        dense = max(dense, covering.FONDANT_G_PER_ML)
    coat = covering.final_coat_ml(covered, float(finish.coat_mm)) * dense
    return max(coat - covering.final_coat_ml(covered) * covering.ICING_G_PER_ML, 0.0)


def board_of(at: int, tier: Tier, book: ShopBook) -> float:
    """Grams of the board under a tier: the base board with its margin, or one as large as the tier
    it carries. `at` counts from the base, 0."""
    habits, margin = book.policies.supports, book.policies.stacks.board_margin_mm
    thick, beyond = (habits.board_mm, 0.0) if at else (habits.drum_mm, margin)
    wide = None if tier.width_mm is None else tier.width_mm + 2 * beyond
    board = covering.volume_mm3(tier.shape, tier.size_mm + 2 * beyond, wide, thick)
    return board / covering.MM3_PER_ML * covering.BOARD_G_PER_ML


def weights_to_lift(tiers: Sequence[Tier], book: ShopBook) -> tuple[float, ...]:
    """Grams of each tier with the board it is lifted on, base first; together the whole cake.

    Kitchen cakes travel apart and are not in it.
    """
    return tuple(weight_of(tier, book) + board_of(at, tier, book) for at, tier in enumerate(tiers))
