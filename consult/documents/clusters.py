"""How do loose pieces gather? Flowers, fruit and leaves in clusters that step down the ledges."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from consult.documents import symbols
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
    off = box.width * (0.34 if is_crowned else 0.16) if is_top else ledge(boxes, tier)
    site_x, site_y = box.middle + towards * off, box.top - (6 if is_top else 4)
    area = sum(math.pi * symbols.RADII[one.symbol] ** 2 for one in pieces if one.symbol != "leaf")
    room = box.width * box.height * 0.3
    scale = max(0.5, min(1.0, math.sqrt(room / area))) if area else 1.0
    site = _Site(site_x, site_y, labels, box.foot, {})
    taken: list[Spot] = []
    drawn: list[Shape] = []
    for one in (piece for piece in pieces if piece.symbol != "leaf"):
        radius = symbols.RADII[one.symbol] * scale
        spot = site.free_spot(radius, taken)
        taken.append(spot)
        turn = (
            len(taken) * 47 % 360
            if one.symbol in ("rose", "blossom")
            else (len(taken) * 23 % 50) - 25
        )
        drawn.append(
            moved(symbols.PIECES[one.symbol](radius, one.colour, width), spot.x, spot.y, turn)
        )
        placement.put(one.index, spot)
    behind: list[Shape] = []
    leaves = [piece for piece in pieces if piece.symbol == "leaf"]
    for number, one in enumerate(leaves):
        radius = symbols.RADII["leaf"] * max(scale, 0.75)
        spot, degrees = _leaf_spot(
            site_x, site_y, radius, number, len(leaves), taken, labels, box.foot
        )
        behind.append(moved(symbols.leaf(radius, one.colour, width), spot.x, spot.y, degrees))
        placement.put(one.index, spot)
    placement.pieces.extend([*behind, *reversed(drawn)])


@dataclass(frozen=True, slots=True)
class _Site:
    """Where a cluster gathers: round (x, y), off the labels and above the tier's foot."""

    x: float
    y: float
    labels: Sequence[Box]
    foot: float
    # By radius and closeness, the step of the spiral to go on from: pieces are only ever added, so
    # a place that was too near to one of them stays so.
    reached: dict[tuple[float, float], int]

    def places(self, radius: float) -> tuple[tuple[float, float], ...]:
        """Those that keep off the labels and the foot, nearest first, on a flattened sunflower spiral."""
        near = tuple(label for label in self.labels if abs(label.top - self.y) < 250)
        return _places(self.x, self.y, radius, near, self.foot)

    def free_spot(self, radius: float, taken: Sequence[Spot]) -> Spot:
        """The nearest place that is not taken; closer to the others where there is none."""
        places = self.places(radius)
        for closeness in (0.86, 0.7, 0.5, 0.3):
            start = self.reached.get((radius, closeness), 0)
            others = [(one.x, one.y, (closeness * (radius + one.radius)) ** 2) for one in taken]
            for step in range(start, len(places)):
                x, y = places[step]
                if _is_clear(x, y, others):
                    self.reached[radius, closeness] = step
                    return Spot(x, y, radius)
            self.reached[radius, closeness] = len(places)
        return Spot(self.x, self.y, radius)


def _is_clear(x: float, y: float, others: Sequence[tuple[float, float, float]]) -> bool:
    """Whether a place keeps its distance, squared, from each of the others."""
    for other_x, other_y, least in others:  # noqa: SIM110  all() takes twice as long, thousands of times
        if (x - other_x) ** 2 + (y - other_y) ** 2 < least:
            return False
    return True


@lru_cache(maxsize=256)
def _places(
    site_x: float, site_y: float, radius: float, labels: tuple[Box, ...], foot: float
) -> tuple[tuple[float, float], ...]:
    return tuple(
        (site_x + x, site_y + y)
        for x, y in _SPIRAL
        if site_y + y + radius <= foot
        and not any(is_on(label, site_x + x, site_y + y, radius * 0.9) for label in labels)
    )


def _leaf_spot(
    site_x: float, site_y: float, radius: float, number: int, count: int,
    taken: Sequence[Spot], labels: Sequence[Box], foot: float,
) -> tuple[Spot, float]:  # fmt: skip
    """A leaf looks out from behind the cluster's edge; without flowers leaves lie as a sprig."""
    if not taken:
        place = number - (count - 1) / 2
        x, y = site_x + place * radius * 1.05, site_y - 2 + abs(place) * 0.6
        return Spot(x, y, radius), (-28 if number % 2 else 28) + (180 if place < 0 else 0)
    for turn in range(24):
        degrees = (200 + number * 360 / count + turn * 15 * (-1) ** turn) % 360
        cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        edge = max(
            (one.x - site_x) * cosine + (one.y - site_y) * sine + one.radius * 0.8 for one in taken
        )
        near = [
            one for one in taken
            if abs((one.y - site_y) * cosine - (one.x - site_x) * sine) < one.radius + radius * 0.3
        ]  # fmt: skip
        if near:
            edge = max(
                (one.x - site_x) * cosine + (one.y - site_y) * sine + one.radius for one in near
            )
        reach = max(edge, 0.0) + radius * 0.35
        x, y = site_x + cosine * reach, site_y + sine * reach
        if y + radius * 0.6 < foot and not any(is_on(label, x, y, radius) for label in labels):
            return Spot(x, y, radius), degrees
    return Spot(site_x, site_y - radius, radius), -90.0
