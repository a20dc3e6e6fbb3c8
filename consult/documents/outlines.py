"""Which lines make a figure? Outlines as drawing commands: M, L, C with points, and Z; y goes down."""

import math
from collections.abc import Sequence

Command = tuple[str, tuple[float, ...]]
Outline = tuple[Command, ...]
Point = tuple[float, float]

_QUARTER = 0.5522847498  # handle length for a quarter circle as one cubic curve: 4/3 (sqrt 2 - 1)


def line(*points: Point) -> Outline:
    """An open polyline."""
    return tuple(("L" if index else "M", point) for index, point in enumerate(points))


def polygon(*points: Point) -> Outline:
    return (*line(*points), ("Z", ()))


def rectangle(x: float, y: float, width: float, height: float) -> Outline:
    """(x, y) is the top left corner."""
    return polygon((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def rounded(
    x: float, y: float, width: float, height: float, top: float, bottom: float = 0.0
) -> Outline:
    """A rectangle with its top corners rounded by `top` and its lower ones by `bottom`."""
    right, foot = x + width, y + height
    give = 1 - _QUARTER
    return (
        ("M", (x, foot - bottom)),
        ("L", (x, y + top)),
        ("C", (x, y + top * give, x + top * give, y, x + top, y)),
        ("L", (right - top, y)),
        ("C", (right - top * give, y, right, y + top * give, right, y + top)),
        ("L", (right, foot - bottom)),
        ("C", (right, foot - bottom * give, right - bottom * give, foot, right - bottom, foot)),
        ("L", (x + bottom, foot)),
        ("C", (x + bottom * give, foot, x, foot - bottom * give, x, foot - bottom)),
        ("Z", ()),
    )


def ellipse(x: float, y: float, across: float, down: float | None = None) -> Outline:
    """About (x, y) with half axes `across` and `down`; a circle when only one is given."""
    down = across if down is None else down
    a, b = across * _QUARTER, down * _QUARTER
    return (
        ("M", (x + across, y)),
        ("C", (x + across, y + b, x + a, y + down, x, y + down)),
        ("C", (x - a, y + down, x - across, y + b, x - across, y)),
        ("C", (x - across, y - b, x - a, y - down, x, y - down)),
        ("C", (x + a, y - down, x + across, y - b, x + across, y)),
        ("Z", ()),
    )


def arc(x: float, y: float, radius: float, start: float, sweep: float) -> Outline:
    """An open arc; degrees clockwise from three o'clock, as y goes down."""
    pieces = max(1, math.ceil(abs(sweep) / 90))
    step = math.radians(sweep / pieces)
    handle = 4 / 3 * math.tan(step / 4) * radius
    commands: list[Command] = []
    angle = math.radians(start)
    for index in range(pieces):
        ahead = angle + step
        from_x, from_y = x + radius * math.cos(angle), y + radius * math.sin(angle)
        to_x, to_y = x + radius * math.cos(ahead), y + radius * math.sin(ahead)
        if index == 0:
            commands.append(("M", (from_x, from_y)))
        commands.append((
            "C",
            (
                from_x - handle * math.sin(angle), from_y + handle * math.cos(angle),
                to_x + handle * math.sin(ahead), to_y - handle * math.cos(ahead), to_x, to_y,
            ),
        ))  # fmt: skip
        angle = ahead
    return tuple(commands)


def smooth(points: Sequence[Point], closed: bool = False) -> Outline:
    """A curve through the points (Catmull-Rom spline as cubic curves)."""
    count = len(points)
    if count < 3:
        return line(*points)

    def at(index: int) -> Point:
        return points[index % count] if closed else points[min(max(index, 0), count - 1)]

    commands: list[Command] = [("M", points[0])]
    for index in range(count if closed else count - 1):
        before, here, there, after = (at(index + step) for step in (-1, 0, 1, 2))
        commands.append((
            "C",
            (
                here[0] + (there[0] - before[0]) / 6, here[1] + (there[1] - before[1]) / 6,
                there[0] - (after[0] - here[0]) / 6, there[1] - (after[1] - here[1]) / 6,
                there[0], there[1],
            ),
        ))  # fmt: skip
    return (*commands, ("Z", ())) if closed else tuple(commands)


def wave(x: float, y: float, width: float, step: float, height: float) -> Outline:
    """Hanging scallops from (x, y) to the right, each `step` wide and `height` deep."""
    count = max(1, round(width / step))
    step = width / count
    commands: list[Command] = [("M", (x, y))]
    for index in range(count):
        left = x + index * step
        commands.append((
            "C",
            (left + step * 0.25, y + height * 4 / 3, left + step * 0.75, y + height * 4 / 3,
             left + step, y),
        ))  # fmt: skip
    return tuple(commands)


def joined(outlines: Sequence[Outline]) -> Outline:
    """Many lines as one outline, so that they are one element."""
    return tuple(command for outline in outlines for command in outline)


def bounds(outline: Outline) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of all points, handles included."""
    across = [value for _, at in outline for value in at[0::2]]
    down = [value for _, at in outline for value in at[1::2]]
    return min(across), min(down), max(across), max(down)
