"""Which place does a piece take up? What the drawing needs of a decoration, and the shares of a count."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from consult.documents.scene import Shape
from consult.documents.textures import Box

# Pieces of one decoration that are drawn; the rest are said in figures beside it.
MOST_DRAWN = 24
MOST_FLECKS = 60
MOST_TOPPERS = 1
FLECKS_A_TIER = 9  # gold leaf is counted by the tier it is put on: so many flecks show one

CLUSTERED = ("rose", "fruit", "blossom", "berry", "leaf")
SCATTERED = ("leaf_metal", "pearls")
PANELS = ("lettering", "print")
STANDING = ("topper", "figure")
ROUND_THE_FOOT = ("ribbon", "border")
GOLDEN_ANGLE = 137.50776405  # degrees: neighbours on a sunflower's head, never in line


class DecorationShown(Protocol):
    """What the drawing needs of a decoration; `tier` counts from the base, 0 first, None is all."""

    @property
    def symbol(self) -> str: ...
    @property
    def count(self) -> int: ...
    @property
    def tier(self) -> int | None: ...
    @property
    def colour(self) -> str: ...
    @property
    def note(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that a piece takes up: a circle."""

    x: float
    y: float
    radius: float


@dataclass(slots=True)
class Placement:
    """Everything put on, in the order it is drawn; `spots` by decoration, for its call-out."""

    low: list[Shape] = field(default_factory=list)  # on the coat, under all else
    pieces: list[Shape] = field(default_factory=list)
    spots: dict[int, list[Spot]] = field(default_factory=dict)
    words: list[Box] = field(default_factory=list)  # writing and prints, which no leader crosses

    def put(self, index: int, spot: Spot) -> None:
        self.spots.setdefault(index, []).append(spot)

    @property
    def highest(self) -> float:
        """The smallest y that a piece reaches; 0 when there is none."""
        tops = [spot.y - spot.radius for spots in self.spots.values() for spot in spots]
        return min(tops, default=0.0)

    @property
    def widest(self) -> float:
        """How far from the middle a piece reaches."""
        reach = [abs(spot.x) + spot.radius for spots in self.spots.values() for spot in spots]
        return max(reach, default=0.0)


def most_drawn(symbol: str) -> int:
    """How many pieces of one decoration the drawing has room for."""
    if symbol in SCATTERED:
        return MOST_FLECKS
    return MOST_TOPPERS if symbol == "topper" else MOST_DRAWN


def drawn_count(decoration: DecorationShown, tiers: int = 1) -> int:
    """How many pieces of it the drawing shows on so many tiers; of metal leaf several flecks on each."""
    count = max(0, decoration.count)
    if decoration.symbol == "leaf_metal" and count:
        count = max(count, FLECKS_A_TIER * tiers)
    return min(count, most_drawn(decoration.symbol))


def tiers_of(decoration: DecorationShown, tiers: int) -> tuple[int, ...]:
    """The tiers it goes on; a tier that is not there means the top one."""
    if decoration.tier is None:
        return tuple(range(tiers))
    return (min(max(decoration.tier, 0), tiers - 1),)


def has_panel(decorations: Sequence[DecorationShown], tier: int, tiers: int) -> bool:
    """Whether writing or a print takes the middle of this tier's front."""
    return any(one.symbol in PANELS and tier == panel_tier(one, tiers) for one in decorations)


def panel_tier(decoration: DecorationShown, tiers: int) -> int:
    """Writing for the whole cake goes on the middle tier, the lower of two."""
    return (tiers - 1) // 2 if decoration.tier is None else tiers_of(decoration, tiers)[0]


Numbered = Sequence[tuple[int, DecorationShown]]


def shared_out(count: int, shares: Sequence[float]) -> list[int]:
    """A count split by shares, whole pieces, the largest rests first."""
    whole = sum(shares) or 1.0
    exact = [count * share / whole for share in shares]
    given = [int(one) for one in exact]
    order = sorted(range(len(shares)), key=lambda one: (given[one] - exact[one], one))
    for one in order[: count - sum(given)]:
        given[one] += 1
    return given


def is_on(label: Box, x: float, y: float, radius: float) -> bool:
    across = max(label.left - x, 0.0, x - label.right)
    down = max(label.top - y, 0.0, y - label.foot)
    return math.hypot(across, down) < radius


def side_of(tier: int, tiers: int) -> int:
    """Clusters step from side to side: the top one left of the middle, the next right."""
    return -1 if (tiers - 1 - tier) % 2 == 0 else 1


def ledge(boxes: Sequence[Box], tier: int) -> float:
    """How far from the middle the ledge's own middle is; 0 on the top tier."""
    if tier + 1 >= len(boxes):
        return 0.0
    return (boxes[tier].width + boxes[tier + 1].width) / 4
