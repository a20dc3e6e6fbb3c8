"""How does each finish look in line? Shapes of a coat over a tier's front, told apart without colour."""

from collections.abc import Callable
from dataclasses import dataclass

from consult.documents import colours
from consult.documents.outlines import (
    Command,
    Outline,
    arc,
    ellipse,
    joined,
    line,
    polygon,
    rectangle,
    rounded,
    smooth,
    wave,
)
from consult.documents.scene import Group, Path, Shape
from shop.core.catalogue import Shape as TierShape

# Corner radii in millimetres: a spatula leaves a crisp edge, rolled fondant falls over it softly.
CRISP, SOFT = 2.5, 9.0
_GOLDEN = 0.6180339887  # steps by the golden ratio never line up: an even, lively scatter


@dataclass(frozen=True, slots=True)
class Box:
    """A tier's front as seen: millimetres, y down."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def foot(self) -> float:
        return self.top + self.height

    @property
    def middle(self) -> float:
        return self.left + self.width / 2


def scatter(count: int, start: int = 0) -> tuple[tuple[float, float], ...]:
    """So many points in the unit square, evenly and always the same (an additive recurrence)."""
    return tuple(
        ((0.5 + index * 0.7548776662) % 1, (0.5 + index * 0.5698402910) % 1)
        for index in range(start + 1, start + count + 1)
    )


def front(box: Box, shape: TierShape, texture: str) -> Outline:
    """The outline of the tier as seen from the front."""
    if shape in (TierShape.SQUARE, TierShape.RECTANGLE, TierShape.HEXAGON):
        radius = 4.0 if texture in ("soft", "fondant") else 0.0
    else:
        radius = SOFT if texture in ("soft", "fondant") else CRISP
    radius = min(radius, box.height / 3, box.width / 3)
    if not radius:
        return rectangle(box.left, box.top, box.width, box.height)
    return rounded(box.left, box.top, box.width, box.height, radius, min(radius, 1.5))


def side(box: Box, shape: TierShape, colour: str, width: float) -> tuple[Shape, ...]:
    """What tells the shape: the band of shade, edges that run down the front, or a notch."""
    dark = colours.shade(colour)
    edge = colours.detail(colour, 0.45)
    top, height = box.top, box.height

    def band(left: float, across: float) -> Path:
        return Path(rectangle(left, top, across, height), fill=dark)

    def edges(*across: float) -> Path:
        runs = [line((x, top), (x, box.foot)) for x in across]
        return Path(joined(runs), stroke=edge, width=width)

    if shape is TierShape.SQUARE:
        return ()
    if shape is TierShape.RECTANGLE:
        return (edges(box.left + 3, box.right - 3),)
    if shape is TierShape.HEXAGON:  # corner to corner across: faces of a quarter, a half, a quarter
        quarter = box.width / 4
        return band(box.right - quarter, quarter), edges(box.left + quarter, box.right - quarter)
    if (
        shape is TierShape.PETAL
    ):  # eight lobes round: the front shows four, the outer ones foreshortened
        at = [box.left + box.width * share for share in (0.146, 0.5, 0.854)]
        shades = [band(x - box.width * 0.045, box.width * 0.045) for x in at]
        return *shades, band(box.right - box.width * 0.07, box.width * 0.07), edges(*at)
    if shape is TierShape.HEART:
        notch = smooth((
            (box.middle - 5, top), (box.middle - 1, top + height * 0.12),
            (box.middle, top + height * 0.35), (box.middle, box.foot),
        ))  # fmt: skip
        return (
            band(box.middle - box.width * 0.07, box.width * 0.07),
            band(box.right - box.width * 0.13, box.width * 0.13),
            Path(notch, stroke=edge, width=width),
        )
    if shape is TierShape.OVAL:
        faint = colours.mixed(colour, dark, 0.5)
        return (
            Path(
                rectangle(box.right - box.width * 0.26, top, box.width * 0.26, height), fill=faint
            ),
            band(box.right - box.width * 0.13, box.width * 0.13),
        )
    return (band(box.right - box.width * 0.17, box.width * 0.17),)


def _combed(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    count = max(4, round(box.width / 7))
    step = box.width / count
    runs = [
        line((box.left + step * index, box.top), (box.left + step * index, box.foot))
        for index in range(1, count)
    ]
    return (Path(joined(runs), stroke=colours.detail(colour), width=width),)


def _ruffled(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    rows = max(3, round(box.height / 11))
    step = box.height / rows
    runs = [
        wave(
            box.left - (9 if row % 2 else 0), box.top + row * step, box.width + 18, 18, step * 0.42
        )
        for row in range(rows)
    ]
    return (Path(joined(runs), stroke=colours.detail(colour, 0.36), width=width),)


def _rustic(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    count = max(10, round(box.width * box.height / 420))
    runs = []
    for index, (across, down) in enumerate(scatter(count)):
        x, y = box.left + across * box.width, box.top + down * box.height
        long = 7 + 6 * ((index * _GOLDEN) % 1)
        lift = 1.6 if index % 3 else -1.6
        runs.append(smooth(((x - long, y + lift), (x, y - lift), (x + long, y + lift * 0.4))))
    return (Path(joined(runs), stroke=colours.detail(colour, 0.34), width=width),)


def _sheer(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    """Cake showing through: two lines of filling and crumbs."""
    crumb = colours.detail(colours.mixed(colour, colours.CRUMB, 0.8), 0.32)
    shapes: list[Shape] = []
    for share in (1 / 3, 2 / 3):
        y = box.top + box.height * share
        shapes.append(Path(
            rectangle(box.left, y - 2.2, box.width, 4.4), fill=colours.mixed(colour, colours.WHITE, 0.45)
        ))  # fmt: skip
    dots: list[Outline] = []
    for index, (across, down) in enumerate(scatter(max(12, round(box.width * box.height / 260)))):
        if abs(down - 1 / 3) > 0.04 and abs(down - 2 / 3) > 0.04:
            radius = 0.6 + 0.7 * ((index * _GOLDEN) % 1)
            dots.append(ellipse(box.left + across * box.width, box.top + down * box.height, radius))
    shapes.append(Path(joined(dots), fill=crumb))
    return tuple(shapes)


def drips(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    """A glaze that ran over the top edge: rounded runs of uneven length."""
    count = max(3, round(box.width / 17))
    step = box.width / count
    commands: list[Command] = [
        ("M", (box.left, box.top)), ("L", (box.right, box.top)), ("L", (box.right, box.top + 8)),
    ]  # fmt: skip
    for index in range(count):
        right = box.right - index * step
        left = right - step
        fall = box.height * (0.2 + 0.3 * (((index + 1) * _GOLDEN) % 1))
        neck = box.top + 8
        reach, inner = box.top + 8 + fall, step * 0.28
        a, b = right - inner, left + inner
        commands += [
            ("C", (a, neck, a, neck, a, neck + 4)), ("L", (a, reach - 4)),
            ("C", (a, reach + 2, b, reach + 2, b, reach - 4)), ("L", (b, neck + 4)),
            ("C", (b, neck, b, neck, left, neck)),
        ]  # fmt: skip
    commands.append(("Z", ()))
    return (Path(tuple(commands), fill=colour, stroke=colours.INK, width=width),)


def _dripped(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    return drips(box, colours.detail(colour, 0.42), width)


def _stencilled(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    step = 15.0
    columns, rows = max(3, round(box.width / step)), max(2, round(box.height / step))
    wide, tall = box.width / columns, box.height / rows
    diamonds, dots = [], []
    for row in range(rows):
        for column in range(columns):
            x, y = box.left + wide * (column + 0.5), box.top + tall * (row + 0.5)
            a, b = wide / 2, tall / 2
            diamonds.append(polygon((x - a, y), (x, y - b), (x + a, y), (x, y + b)))
            dots.append(ellipse(x, y, 1.5))
    lines = colours.detail(colour, 0.32)
    return (
        Path(joined(diamonds), stroke=lines, width=width),
        Path(joined(dots), fill=lines),
    )


def _painted(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    tones = (colours.detail(colour, 0.12), colours.detail(colour, 0.22))
    strokes: list[Shape] = []
    for index, (across, down) in enumerate(scatter(max(8, round(box.width * box.height / 900)))):
        x, y = box.left + across * box.width, box.top + down * box.height
        long, rise = 13 + 9 * ((index * _GOLDEN) % 1), 5.0
        outline = smooth(
            (
                (x - long, y + rise), (x - long * 0.3, y - 1), (x + long, y - rise),
                (x + long * 0.35, y + 3.6), (x - long * 0.4, y + rise + 2),
            ),
            closed=True,
        )  # fmt: skip
        strokes.append(Path(outline, fill=tones[index % 2]))
    return tuple(strokes)


def _soft(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    """Rolled fondant: one line of light inside the rounded shoulder."""
    light = colours.mixed(colour, colours.WHITE, 0.65)
    x, y, radius = box.left + 7, box.top + 7, 9.0
    shine = (*arc(x + radius, y + radius, radius, 180, 90), ("L", (box.left + box.width * 0.34, y)))
    return (Path(shine, stroke=light, width=width * 4),)


_TEXTURES: dict[str, Callable[[Box, str, float], tuple[Shape, ...]]] = {
    "combed": _combed,
    "ruffled": _ruffled,
    "rustic": _rustic,
    "sheer": _sheer,
    "naked": _sheer,
    "drip": _dripped,
    "stencil": _stencilled,
    "painted": _painted,
    "soft": _soft,
    "fondant": _soft,
}
TEXTURES = ("smooth", *_TEXTURES)


def is_plain(texture: str) -> bool:
    """Whether nothing of the texture runs under the words on a tier."""
    return texture in ("soft", "fondant") or texture not in _TEXTURES


def ground_colour(texture: str, colour: str) -> str:
    """What the front is filled with: the crumb shows through a thin coat."""
    return colours.mixed(colour, colours.CRUMB, 0.45) if texture in ("sheer", "naked") else colour


def coat(box: Box, shape: TierShape, texture: str, colour: str, width: float) -> tuple[Shape, ...]:
    """Fill, shade and texture of a tier, cut off at its outline. `width` of the fine lines.

    A texture that has no drawing of its own is drawn smooth.
    """
    outline = front(box, shape, texture)
    ground = ground_colour(texture, colour)
    texture_of = _TEXTURES.get(texture)
    lines = texture_of(box, ground, width) if texture_of else ()
    inside = (*side(box, shape, ground, width), *lines)
    if not inside:
        return (Path(outline, fill=ground),)
    return Path(outline, fill=ground), Group(inside, clip=outline)
