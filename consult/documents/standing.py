"""Where do toppers and figures stand? On a tier's top or ledge, all of them, within its width and off its words."""

from collections.abc import Sequence

from consult.documents import symbols
from consult.documents.scene import moved
from consult.documents.spots import (
    STANDING,
    Numbered,
    Placement,
    Spot,
    drawn_count,
    side_of,
    tiers_of,
)
from consult.documents.textures import Box

_APART = 1.8  # radii between two pieces: their robes touch
_SMALLER, _TRIES = 0.92, 24  # down to a seventh of its size, where there is hardly any room


def put_standing(
    placement: Placement,
    boxes: Sequence[Box],
    numbered: Numbered,
    keep_off: Sequence[Box],
    width: float,
) -> list[Box]:
    """Every piece in a row along the tier's width, smaller where they are many; the room they take."""
    rooms: list[Box] = []
    for symbol in STANDING:
        for index, one in numbered:
            if one.symbol != symbol:
                continue
            tier = len(boxes) - 1 if one.tier is None else tiers_of(one, len(boxes))[0]
            box = boxes[tier]
            # Flowers gather on one side of a ledge: what stands goes to the other side first.
            away = 0 if tier == len(boxes) - 1 else -side_of(tier, len(boxes))
            radius, places = _row(symbol, box, drawn_count(one), away, [*keep_off, *rooms])
            tall = _tall(symbol, radius)
            colour = symbols.colour_of(symbol, one.colour)
            for x in places:
                drawn = symbols.PIECES[symbol](radius, colour, width)
                placement.pieces.append(moved(drawn, x, box.top))
                placement.put(index, Spot(x, box.top - tall / 2, radius))
            rooms += [Box(x - radius, box.top - tall, radius * 2, tall - 6) for x in places]
    return rooms


def _tall(symbol: str, radius: float) -> float:
    return radius * 0.92 + 16 if symbol == "topper" else radius * 3.6


def _row(
    symbol: str, box: Box, count: int, away: int, keep_off: Sequence[Box]
) -> tuple[float, list[float]]:
    """The largest size at which so many stand beside each other, and where the middle of each is."""
    radius = symbols.RADII[symbol]
    for _ in range(_TRIES):
        tall = _tall(symbol, radius)
        free = [(box.left + radius, box.right - radius)]
        for other in keep_off:
            if other.foot > box.top - tall and other.top < box.top:
                free = _without(free, other.left - radius, other.right + radius)
        places = _filled([one for one in free if one[0] <= one[1]], count, radius * _APART, away)
        if len(places) == count:
            return radius, places
        radius *= _SMALLER
    step = (box.width - 2 * radius) / max(1, count - 1)
    return radius, [box.left + radius + place * step for place in range(count)]


def _without(
    free: Sequence[tuple[float, float]], start: float, end: float
) -> list[tuple[float, float]]:
    left = [(low, min(high, start)) for low, high in free if low < start]
    right = [(max(low, end), high) for low, high in free if high > end]
    return [*left, *right]


def _filled(
    free: Sequence[tuple[float, float]], count: int, pitch: float, away: int
) -> list[float]:
    """Places `pitch` apart in the free stretches: one side after the other, else the middle first."""
    places: list[float] = []
    order = sorted(
        free, key=lambda one: -away * (one[0] + one[1]) if away else abs(one[0] + one[1])
    )
    for low, high in order:
        here = min(count - len(places), int((high - low) / pitch) + 1)
        middle = (low + high) / 2
        places += [middle + (place - (here - 1) / 2) * pitch for place in range(here)]
    return places
