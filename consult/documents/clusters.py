"""How do loose pieces gather? Flowers, fruit and leaves in clusters that step down the ledges."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from consult.documents import symbols
from consult.documents.leaves import leaf_spots
from consult.documents.scene import Shape, moved
from consult.documents.spots import (
    CLUSTERED,
    GOLDEN_ANGLE,
    STANDING,
    Numbered,
    Placement,
    Spot,
    drawn_count,
    is_on,
    ledge,
    shared_out,
    side_of,
    tiers_of,
)
from consult.documents.textures import Box

MOST_IN_CLUSTER = 40
_SMALLEST = 0.3  # of its size, that a piece is drawn at where a cluster is crowded

# Offsets from a site in millimetres, nearest first.
_SPIRAL = tuple(
    (
        1.35 * 2.6 * math.sqrt(step) * math.cos(math.radians(step * GOLDEN_ANGLE)),
        0.85 * 2.6 * math.sqrt(step) * math.sin(math.radians(step * GOLDEN_ANGLE)),
    )
    for step in range(500)
)


@dataclass(frozen=True, slots=True)
class _Piece:
    index: int
    symbol: str
    colour: str


def put_clusters(
    placement: Placement,
    boxes: Sequence[Box],
    numbered: Numbered,
    labels: Sequence[Box],
    width: float,
) -> None:
    """Flowers, fruit and leaves, gathered tier by tier, the large pieces first."""
    tiers = len(boxes)
    sites: list[list[_Piece]] = [[] for _ in boxes]
    is_crowned = any(one.symbol in STANDING for _, one in numbered)
    for symbol in CLUSTERED:
        for index, one in numbered:
            if one.symbol != symbol:
                continue
            piece = _Piece(index, symbol, symbols.colour_of(symbol, one.colour))
            wanted = tiers_of(one, tiers)
            # The whole cake: a cascade that thins out towards the foot.
            counts = shared_out(drawn_count(one), [1.0 + 0.5 * tier for tier in wanted])
            for tier, count in zip(wanted, counts, strict=True):
                sites[tier].extend([piece] * count)
    for tier, pieces in enumerate(sites):
        if pieces:
            _put_cluster(placement, boxes, tier, _thinned(pieces), labels, width, is_crowned)


def _thinned(pieces: list[_Piece]) -> list[_Piece]:
    """No more than a cluster holds, at least one of each decoration, the rest by their shares."""
    if len(pieces) <= MOST_IN_CLUSTER:
        return pieces
    kinds = list(dict.fromkeys(pieces))
    spare = max(0, MOST_IN_CLUSTER - len(kinds))
    more = shared_out(spare, [pieces.count(one) for one in kinds])
    return [one for one, count in zip(kinds, more, strict=True) for _ in range(count + 1)]


def _put_cluster(
    placement: Placement, boxes: Sequence[Box], tier: int, pieces: list[_Piece],
    labels: Sequence[Box], width: float, is_crowned: bool,
) -> None:  # fmt: skip
    box, tiers = boxes[tier], len(boxes)
    is_top = tier == tiers - 1
    towards = side_of(tier, tiers)
    off = box.width * (0.34 if is_crowned else 0.08) if is_top else ledge(boxes, tier)
    site_x, site_y = box.middle + towards * off, box.top - (6 if is_top else 4)
    area = sum(math.pi * symbols.RADII[one.symbol] ** 2 for one in pieces if one.symbol != "leaf")
    room = box.width * box.height * 0.3
    scale = max(0.5, min(1.0, math.sqrt(room / area))) if area else 1.0
    flowers = [piece for piece in pieces if piece.symbol != "leaf"]
    site = _Site(site_x, site_y, labels, box, {})
    taken = site.gathered([symbols.RADII[one.symbol] * scale for one in flowers])
    drawn: list[Shape] = []
    for place, (one, spot) in enumerate(zip(flowers, taken, strict=True), start=1):
        turn = place * 47 % 360 if one.symbol in ("rose", "blossom") else (place * 23 % 50) - 25
        piece = symbols.PIECES[one.symbol](spot.radius, one.colour, width)
        drawn.append(moved(piece, spot.x, spot.y, turn))
        placement.put(one.index, spot)
    behind: list[Shape] = []
    leaves = [piece for piece in pieces if piece.symbol == "leaf"]
    put = leaf_spots(site_x, site_y, box, len(leaves), taken, labels, max(scale, 0.75))
    for one, (spot, degrees) in zip(leaves, put, strict=True):
        leaf = symbols.leaf(spot.radius, one.colour, width)
        behind.append(moved(leaf, spot.x, spot.y, degrees))
        placement.put(one.index, spot)
    placement.pieces.extend([*behind, *reversed(drawn)])


@dataclass(frozen=True, slots=True)
class _Site:
    """Where a cluster gathers: round (x, y), off the labels, within the tier's width, above its foot."""

    x: float
    y: float
    labels: Sequence[Box]
    box: Box
    # By radius and closeness, the step of the spiral to go on from: pieces are only ever added, so
    # a place that was too near to one of them stays so.
    reached: dict[tuple[float, float], int]

    def places(self, radius: float) -> tuple[tuple[float, float], ...]:
        """Those that keep off the labels and the foot, nearest first, on a flattened sunflower spiral."""
        near = tuple(label for label in self.labels if abs(label.top - self.y) < 250)
        return _places(self.x, self.y, radius, near, self.box)

    def gathered(self, radii: Sequence[float]) -> list[Spot]:
        """A place for each piece; all of them smaller where there is no room for them."""
        size = 1.0
        while True:
            spots: list[Spot] = []
            for radius in radii:
                spot = self.free_spot(radius * size, spots)
                if spot is None and size > _SMALLEST:
                    break
                spots.append(spot or Spot(self.x, self.y, radius * size))
            else:
                return spots
            size *= 0.85

    def free_spot(self, radius: float, taken: Sequence[Spot]) -> Spot | None:
        """The nearest place that is not taken; closer to the others where there is none."""
        places = self.places(radius)
        for closeness in (0.86, 0.7, 0.5):
            start = self.reached.get((radius, closeness), 0)
            others = [(one.x, one.y, (closeness * (radius + one.radius)) ** 2) for one in taken]
            for step in range(start, len(places)):
                x, y = places[step]
                if _is_clear(x, y, others):
                    self.reached[radius, closeness] = step
                    return Spot(x, y, radius)
            self.reached[radius, closeness] = len(places)
        return None


def _is_clear(x: float, y: float, others: Sequence[tuple[float, float, float]]) -> bool:
    """Whether a place keeps its distance, squared, from each of the others."""
    for other_x, other_y, least in others:  # noqa: SIM110  all() takes twice as long, thousands of times
        if (x - other_x) ** 2 + (y - other_y) ** 2 < least:
            return False
    return True


@lru_cache(maxsize=256)
def _places(
    site_x: float, site_y: float, radius: float, labels: tuple[Box, ...], box: Box
) -> tuple[tuple[float, float], ...]:
    return tuple(
        (site_x + x, site_y + y)
        for x, y in _SPIRAL
        if site_y + y + radius <= box.foot
        and box.left + radius <= site_x + x <= box.right - radius
        and not any(is_on(label, site_x + x, site_y + y, radius * 0.9) for label in labels)
    )
