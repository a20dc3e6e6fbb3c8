"""Where does each leaf lie? Looking out from behind flowers, or as a garland along the tier; all within its width."""

import math
from collections.abc import Sequence

from consult.documents import symbols
from consult.documents.spots import Spot, is_on
from consult.documents.textures import Box

_CLOSEST = 0.62  # radii between two leaves of a garland; closer, another row begins
_APART = 0.6  # radii between two leaves of a cluster
_STEPS = 24  # places along a ledge that are looked at


def leaf_spots(
    x: float, y: float, box: Box, count: int, flowers: Sequence[Spot], labels: Sequence[Box],
    scale: float,
) -> list[tuple[Spot, float]]:  # fmt: skip
    """A place for each of `count` leaves about (x, y) and the degrees that it is turned by."""
    radius = min(symbols.RADII["leaf"] * scale, box.width / 4)
    if not flowers:
        return _garland(x, y, box, count, radius)
    put: list[tuple[Spot, float]] = []
    for number in range(count):
        put.append(_behind(x, y, box, radius, number, count, flowers, labels, put))
    return put


def _garland(x: float, y: float, box: Box, count: int, radius: float) -> list[tuple[Spot, float]]:
    """Leaves along the ledge, in as many rows as they need."""
    room = box.width - 2 * radius
    a_row = max(1, min(count, int(room / (_CLOSEST * radius)) + 1))
    pitch = min(1.05 * radius, room / max(1, a_row - 1))
    put: list[tuple[Spot, float]] = []
    for number in range(count):
        row, place = divmod(number, a_row)
        here = min(a_row, count - row * a_row)
        half = (here - 1) / 2 * pitch
        middle = min(max(x, box.left + radius + half), box.right - radius - half)
        aside = place - (here - 1) / 2
        turn = (-28.0 if number % 2 else 28.0) + (180 if aside < 0 else 0)
        across = middle + aside * pitch
        put.append(
            (Spot(across, y - 2 + min(abs(aside), 4) * 0.6 - row * radius * 0.8, radius), turn)
        )
    return put


def _behind(
    x: float, y: float, box: Box, radius: float, number: int, count: int,
    flowers: Sequence[Spot], labels: Sequence[Box], put: Sequence[tuple[Spot, float]],
) -> tuple[Spot, float]:  # fmt: skip
    """A leaf looks out from behind the cluster's edge, further out where another lies already."""
    for ring in range(3):
        for turn in range(24):
            degrees = (200 + number * 360 / count + turn * 15 * (-1) ** turn) % 360
            cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
            reach = _edge(x, y, cosine, sine, radius, flowers) + radius * (0.35 + ring * 0.5)
            spot = Spot(x + cosine * reach, y + sine * reach, radius)
            if _is_free(spot, box, labels, put):
                return spot, degrees
    others = [*flowers, *(spot for spot, _ in put)]
    return _along(y, box, radius, labels, others), 28.0 if number % 2 else 152.0


def _along(
    y: float, box: Box, radius: float, labels: Sequence[Box], others: Sequence[Spot]
) -> Spot:
    """Where a tier has no room left round the flowers: along its ledge, wherever most of it is seen."""
    room = box.width - 2 * radius
    places = [
        Spot(box.left + radius + room * step / _STEPS, y - radius * rise, radius)
        for step in range(_STEPS + 1) for rise in (0.2, 0.8)
    ]  # fmt: skip
    free = [
        one for one in places if not any(is_on(label, one.x, one.y, radius * 0.8) for label in labels)
    ]  # fmt: skip

    def seen(one: Spot) -> float:
        return min(math.dist((one.x, one.y), (other.x, other.y)) - other.radius for other in others)

    return max(free or places, key=seen)


def _edge(
    x: float, y: float, cosine: float, sine: float, radius: float, flowers: Sequence[Spot]
) -> float:
    """How far the flowers reach from (x, y) in a direction."""
    near = [
        one for one in flowers
        if abs((one.y - y) * cosine - (one.x - x) * sine) < one.radius + radius * 0.3
    ]  # fmt: skip
    share = 1.0 if near else 0.8
    reach = [
        (one.x - x) * cosine + (one.y - y) * sine + one.radius * share for one in near or flowers
    ]
    return max(0.0, *reach)


def _is_free(
    spot: Spot, box: Box, labels: Sequence[Box], put: Sequence[tuple[Spot, float]]
) -> bool:
    return (
        box.left + spot.radius <= spot.x <= box.right - spot.radius
        and spot.y + spot.radius * 0.6 < box.foot
        and not any(is_on(label, spot.x, spot.y, spot.radius) for label in labels)
        and not any(
            math.dist((spot.x, spot.y), (one.x, one.y)) < _APART * spot.radius for one, _ in put
        )
    )
