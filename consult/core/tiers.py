"""What follows for the tiers when the brief changes?"""

from dataclasses import replace

from consult.core.design import Design, Kind


def with_top_kept(design: Design, keep: bool) -> Design:
    """The design with its top tier kept for the couple, or served. A display tier on top stays as it is."""
    if not design.tiers or design.tiers[-1].kind is Kind.DISPLAY:
        return design
    top = replace(design.tiers[-1], kind=Kind.KEPT if keep else Kind.EATEN)
    return replace(design, tiers=(*design.tiers[:-1], top))
