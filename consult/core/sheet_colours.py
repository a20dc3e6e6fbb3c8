"""Which colours are on the cake? One swatch each: the design's own, then the tiers', then the decorations'."""

from collections.abc import Sequence

from consult.core.design import ChosenDecoration, Design, Swatch, Tier
from consult.core.palette import name_of


def colours_used(design: Design) -> tuple[Swatch, ...]:
    """Every colour once, in the order it is met; a colour without a name gets the plain word nearest to it."""
    pieces = [one for one in design.decorations if one.count > 0]
    chosen: Sequence[Tier | ChosenDecoration] = (*design.tiers, *pieces)
    met: dict[str, Swatch] = {}
    for swatch in design.swatches:
        met.setdefault(swatch.hex.upper(), swatch)
    for one in chosen:
        if one.colour:
            name = one.colour_name or name_of(one.colour)
            met.setdefault(one.colour.upper(), Swatch(name, one.colour))
    return tuple(met.values())
