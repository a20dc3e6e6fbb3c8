"""What follows for the tiers when the brief changes?"""

from collections import Counter
from dataclasses import replace

from consult.core.design import Design, Kind, Limits
from shop.core.book import ShopBook

# Two layers of 2 in, the usual tier of US charts; also near the middle of what others bake.
USUAL_HEIGHT_MM = 101.6


def usual_limits(book: ShopBook) -> Limits:
    """What a shop makes most of: the shape it owns most pans of, at the height nearest to 4 in."""
    owned = Counter(pan.shape for pan in book.pans if pan.owned)
    heights = book.policies.stacks.heights_mm
    usual = min(heights, key=lambda height: abs(height - USUAL_HEIGHT_MM))
    return Limits(shapes=tuple(shape for shape, _ in owned.most_common(1)), heights_mm=(usual,))


def with_top_kept(design: Design, keep: bool) -> Design:
    """The design with its top tier kept for the couple, or served. A display tier on top stays as it is."""
    if not design.tiers or design.tiers[-1].kind is Kind.DISPLAY:
        return design
    top = replace(design.tiers[-1], kind=Kind.KEPT if keep else Kind.EATEN)
    return replace(design, tiers=(*design.tiers[:-1], top))
