"""Which pans and heights does a brief's tier mean? Its lengths, in its own units, matched to what the shop has."""

from collections.abc import Iterable
from dataclasses import dataclass

from consult.core.brief_parts import Part, decimal_of, part_of
from consult.core.design import Kind, Tier
from shop.core.book import ShopBook
from shop.core.catalogue import Pan, Shape
from shop.core.measures import Units, from_mm, length, number, to_mm

# A 10 in pan is sold as 25 cm and a 12 in one as 30 cm, up to 4.8 mm apart, while no two sizes of a
# shape are nearer than 10 mm: within 5 mm a pan is the one that was meant.
SAME_PAN_MM = 5.0

MOST_ITEMS = 40
# Display tiers are carved to any size and height within these: our bounds, no source.
FOAM_MM = (50.0, 800.0)


@dataclass(frozen=True, slots=True)
class BriefSizes:
    """The brief's units and the shop's pans and heights beside each other."""

    units: Units
    book: ShopBook

    def owned(self, shape: Shape | None = None) -> list[Pan]:
        """Pans on the shelf, of one shape or of all."""
        return [pan for pan in self.book.pans if pan.owned > 0 and shape in (None, pan.shape)]

    def shapes_owned(self) -> tuple[Shape, ...]:
        return tuple(dict.fromkeys(pan.shape for pan in self.owned()))

    def listed(self, lengths_mm: Iterable[float]) -> str:
        """Lengths in the brief's units, each once, smallest first: "6, 8, 10 in"."""
        figures = [number(from_mm(mm, self.units), 1) for mm in sorted(set(lengths_mm))]
        return f"{', '.join(figures)} {self.units.value}" if figures else "none"

    def read(self, part: Part, key: str) -> float | None:
        """A length above 0 in millimetres; None, and a problem, when it is no such thing."""
        value = decimal_of(part.values.get(key))
        if value is None or not 0 < value <= 1000:
            part.refuse(key, f"must be a length in {self.units.word}")
            return None
        return to_mm(value, self.units)

    def pan_sizes(self, part: Part, key: str) -> tuple[float, ...]:
        """A list of pan sizes, each as its pan has it."""
        have = [pan.size_mm for pan in self.owned()]
        return self._matched(part, key, have, "no pan of {} is owned; sizes owned: {}")

    def heights(self, part: Part, key: str) -> tuple[float, ...]:
        """A list of tier heights, each as the shop has it."""
        have = list(self.book.policies.stacks.heights_mm)
        return self._matched(part, key, have, "the shop makes no tier {} tall; its heights: {}")

    def _matched(self, part: Part, key: str, have: list[float], says: str) -> tuple[float, ...]:
        found: list[float] = []
        for at, raw in enumerate(part.items(key, MOST_ITEMS)):
            where, value = f"{key}[{at}]", decimal_of(raw)
            if value is None or not 0 < value <= 1000:
                part.refuse(where, f"must be a length in {self.units.word}")
                continue
            asked = to_mm(value, self.units)
            near = [mm for mm in have if abs(mm - asked) <= SAME_PAN_MM]
            if near:
                found.extend(near)
            else:
                part.refuse(where, says.format(length(asked, self.units), self.listed(have)))
        return tuple(dict.fromkeys(found))

    def height(self, part: Part, kind: Kind) -> float | None:
        """A tier's height as the shop has it; a display tier's as it is said."""
        asked = self.read(part, "height")
        if asked is None:
            return None
        have = self.book.policies.stacks.heights_mm
        near = [mm for mm in have if abs(mm - asked) <= SAME_PAN_MM]
        if near:
            return min(near, key=lambda mm: abs(mm - asked))
        if kind is Kind.DISPLAY:
            return self._foam(part, "height", asked)
        part.refuse(
            "height",
            f"the shop makes no tier {length(asked, self.units)} tall; its heights: "
            f"{self.listed(have)}",
        )
        return None

    def _foam(self, part: Part, key: str, asked: float) -> float | None:
        low, high = FOAM_MM
        if low <= asked <= high:
            return asked
        ends = f"{length(low, self.units)} to {length(high, self.units)}"
        part.refuse(key, f"a display tier is carved from {ends}")
        return None

    def across(self, part: Part, shape: Shape, kind: Kind) -> tuple[float, float | None] | None:
        """A tier's size and short side, as its pan has them; None, and a problem, without a pan."""
        size = self.read(part, "size") if part.has("size") else None
        width = None
        if shape.has_width:
            if not part.has("width"):
                part.refuse("width", f"is missing: {shape.value} tiers have a short side too")
                return None
            width = self.read(part, "width")
        elif part.has("width"):
            part.refuse("width", f"{shape.value} tiers have no width, only a size")
            return None
        if size is None or (shape.has_width and width is None):
            return None
        near = [pan for pan in self.owned(shape) if _is_near(pan, size, width)]
        if near:
            pan = min(near, key=lambda pan: abs(pan.size_mm - size))
            return pan.size_mm, pan.width_mm
        if kind is Kind.DISPLAY:
            foam = self._foam(part, "size", size)
            return None if foam is None else (foam, width)
        asked = length(size, self.units)
        if width is not None:
            asked = f"{asked.removesuffix(f' {self.units.value}')} x {length(width, self.units)}"
        part.refuse(
            "size",
            f"no {asked} {shape.value} pan is owned; {shape.value} pans owned: "
            f"{self._pans_listed(shape)}",
        )
        return None

    def _pans_listed(self, shape: Shape) -> str:
        if not shape.has_width:
            return self.listed(pan.size_mm for pan in self.owned(shape))
        both = [
            f"{length(pan.size_mm, self.units)} x {length(pan.width_mm or 0, self.units)}"
            for pan in self.owned(shape)
        ]
        return ", ".join(both) or "none"


def _is_near(pan: Pan, size: float, width: float | None) -> bool:
    if abs(pan.size_mm - size) > SAME_PAN_MM:
        return False
    if width is None or pan.width_mm is None:
        return width is None and pan.width_mm is None
    return abs(pan.width_mm - width) <= SAME_PAN_MM


def tiers_in(design: Part, sizes: BriefSizes, *, keep_top: bool) -> tuple[Tier, ...]:
    """The tiers under `design.tiers`, base first, each with only what it says itself.

    With `keep_top` the top one is kept for the couple unless it says that it is a display tier.
    """
    raw_tiers = design.items("tiers", MOST_ITEMS)
    if not raw_tiers and isinstance(design.values.get("tiers"), list):
        design.refuse("tiers", "must have at least one tier")
    found = []
    for at, raw in enumerate(raw_tiers):
        path = design.where(f"tiers[{at}]")
        part = part_of(
            raw,
            path,
            design.problems,
            ("shape", "size", "height"),
            ("width", "kind", "flavour", "filling", "finish", "colour"),
        )
        kept = keep_top and at == len(raw_tiers) - 1
        tier = _tier(part, sizes, Kind.KEPT if kept else Kind.EATEN)
        if kept and tier.kind is Kind.EATEN:
            part.refuse("kind", 'need.keep_top is true, so the top tier must be "kept"')
        found.append(tier)
    return tuple(found)


def _tier(part: Part, sizes: BriefSizes, kind: Kind) -> Tier:
    """One tier; where something is wrong a problem is noted and any size stands in for it."""
    book = sizes.book
    shape = part.one_of("shape", {shape.value: shape for shape in Shape}, Shape.ROUND)
    kind = part.one_of("kind", {kind.value: kind for kind in Kind}, kind)
    across = sizes.across(part, shape, kind) if part.has("shape") else None
    height = sizes.height(part, kind) if part.has("height") else None
    finish = part.chosen("finish", book.finishes, "finish")
    colour, colour_name = part.colour("colour")
    if colour and finish and not book.finish(finish).takes_colour:
        part.refuse("colour", f"{book.finish(finish).name} takes no colour")
    size_mm, width_mm = across or (100.0, None)
    return Tier(
        shape=shape,
        size_mm=size_mm,
        height_mm=height or 100.0,
        width_mm=width_mm,
        kind=kind,
        flavour=part.chosen("flavour", book.flavours, "flavour"),
        filling=part.chosen("filling", book.fillings, "filling"),
        finish=finish,
        colour=colour,
        colour_name=colour_name,
    )
