"""Which colours are on the cake? One swatch each: the design's own, then the tiers', then the decorations'."""

from collections.abc import Iterator

from consult.core.design import Design, Swatch
from consult.core.palette import name_of


def colours_used(design: Design) -> tuple[Swatch, ...]:
    """Every colour once, in the order it is met; a colour without a name gets the plain word nearest to it."""
    met: dict[str, Swatch] = {}
    for swatch in (*design.swatches, *_chosen(design)):
        met.setdefault(swatch.hex.upper(), swatch)
    return tuple(met.values())


def _chosen(design: Design) -> Iterator[Swatch]:
    pieces = (one for one in design.decorations if one.count > 0)
    for one in (*design.tiers, *pieces):
        if one.colour:
            yield Swatch(one.colour_name or name_of(one.colour), one.colour)
