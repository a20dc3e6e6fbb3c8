"""How is each decoration drawn? Small line drawings about (0, 0), at life size in millimetres."""

import math
import re
from collections.abc import Callable
from functools import lru_cache

from consult.documents import colours, fonts
from consult.documents.outlines import (
    Outline,
    arc,
    ellipse,
    joined,
    line,
    polygon,
    rectangle,
    rounded,
    smooth,
)
from consult.documents.scene import Hatch, Path, Shape, Text, moved

Drawn = tuple[Shape, ...]

# A cluster repeats one piece many times over; each of a size and colour is drawn up once.
_once = lru_cache(maxsize=256)

# Half the width of one piece in millimetres: usual sizes of such pieces (common practice, no source).
RADII = {
    "rose": 17.0,
    "blossom": 11.0,
    "fruit": 14.0,
    "berry": 6.5,
    "leaf": 13.0,
    "figure": 17.0,
    "topper": 38.0,
    "print": 34.0,
    "leaf_metal": 6.5,
    "pearls": 2.6,
}
LARGEST_LETTERS = 38.0  # millimetres, 1½ in: piped by hand (common practice, no source)
OWN_COLOURS = {
    "rose": "#C98A86",
    "blossom": "#F3E3DA",
    "fruit": "#6B3A55",
    "berry": "#8E2F3C",
    "leaf": colours.LEAF,
    "leaf_metal": colours.METAL,
    "pearls": "#F7F3EA",
    "border": "#F7F3EA",
    "ribbon": "#B7A58C",
    "drip": "#5A3A2A",
    "lettering": colours.INK,
    "topper": "#FBF8F0",
    "print": "#FFFFFF",
    "figure": "#EFE6D8",
}


@_once
def rose(radius: float, colour: str, width: float) -> Drawn:
    """A full sugar rose from the side-top: outer petals, then a turned heart."""
    line_colour = line_on(colour)
    outer = []
    for index in range(5):
        angle = math.radians(index * 72 - 90)
        outer.append(ellipse(
            radius * 0.42 * math.cos(angle), radius * 0.42 * math.sin(angle), radius * 0.58
        ))  # fmt: skip
    shapes: list[Shape] = [
        Path(outline, fill=colour, stroke=colours.INK, width=width) for outline in outer
    ]
    shapes.append(
        Path(
            ellipse(0, 0, radius * 0.6),
            fill=colours.shade(colour),
            stroke=line_colour,
            width=width * 0.7,
        )
    )
    turns: list[Outline] = [
        arc(0, 0, radius * 0.42, 20, 200), arc(0, 0, radius * 0.42, 240, 110),
        arc(radius * 0.04, 0, radius * 0.25, 200, 210), arc(0, radius * 0.02, radius * 0.1, 0, 250),
    ]  # fmt: skip
    shapes.append(Path(joined(turns), stroke=line_colour, width=width * 0.7))
    return tuple(shapes)


@_once
def blossom(radius: float, colour: str, width: float) -> Drawn:
    """Five petals round an eye."""
    shapes: list[Shape] = []
    for index in range(5):
        petal = smooth(
            (
                (0, 0), (radius * 0.42, -radius * 0.45), (radius * 0.3, -radius * 0.95),
                (0, -radius * 0.86), (-radius * 0.3, -radius * 0.95), (-radius * 0.42, -radius * 0.45),
            ),
            closed=True,
        )  # fmt: skip
        shape = Path(petal, fill=colour, stroke=colours.INK, width=width * 0.85)
        shapes.append(moved((shape,), 0, 0, index * 72))
    eye = colours.mixed("#E2A72E", colour, 0.15)
    shapes.append(
        Path(ellipse(0, 0, radius * 0.2), fill=eye, stroke=colours.INK, width=width * 0.6)
    )
    return tuple(shapes)


@_once
def leaf(radius: float, colour: str, width: float) -> Drawn:
    """One leaf pointing right, its stalk at the left."""
    blade = smooth(
        ((-radius, 0), (-radius * 0.35, -radius * 0.4), (radius * 0.35, -radius * 0.34), (radius, 0),
         (radius * 0.3, radius * 0.3), (-radius * 0.35, radius * 0.38)),
        closed=True,
    )  # fmt: skip
    ribs = [line((-radius, 0), (radius * 0.75, 0))]
    for share in (-0.45, -0.05, 0.32):
        for turn in (-1, 1):
            ribs.append(line((radius * share, 0), (radius * (share + 0.24), turn * radius * 0.2)))
    return (
        Path(blade, fill=colour, stroke=colours.INK, width=width * 0.85),
        Path(joined(ribs), stroke=line_on(colour), width=width * 0.55),
    )


@_once
def berry(radius: float, colour: str, width: float) -> Drawn:
    shine = arc(0, 0, radius * 0.6, 195, 70)
    return (
        Path(ellipse(0, 0, radius), fill=colour, stroke=colours.INK, width=width * 0.85),
        Path(shine, stroke=colours.mixed(colour, colours.WHITE, 0.75), width=width * 1.2),
        Path(ellipse(radius * 0.2, radius * 0.25, radius * 0.14), fill=line_on(colour)),
    )


@_once
def fruit(radius: float, colour: str, width: float) -> Drawn:
    """A fig or a small pear: a round body drawn up to its stalk."""
    body = smooth(
        ((-radius * 0.14, -radius * 0.92), (-radius * 0.5, -radius * 0.3), (-radius * 0.88, radius * 0.35),
         (0, radius * 0.98), (radius * 0.88, radius * 0.35), (radius * 0.5, -radius * 0.3),
         (radius * 0.14, -radius * 0.92)),
        closed=True,
    )  # fmt: skip
    ribs = [
        smooth(((-radius * 0.08, -radius * 0.6), (-radius * 0.42, radius * 0.2), (-radius * 0.25, radius * 0.75))),
        smooth(((radius * 0.05, -radius * 0.6), (radius * 0.12, radius * 0.2), (radius * 0.05, radius * 0.8))),
        smooth(((radius * 0.16, -radius * 0.5), (radius * 0.55, radius * 0.2), (radius * 0.4, radius * 0.65))),
    ]  # fmt: skip
    return (
        Path(body, fill=colour, stroke=colours.INK, width=width),
        Path(joined(ribs), stroke=line_on(colour), width=width * 0.6),
        Path(line((0, -radius * 0.9), (radius * 0.12, -radius * 1.18)), stroke=colours.INK, width=width * 1.6),
    )  # fmt: skip


@_once
def metal_fleck(radius: float, colour: str, width: float) -> Drawn:
    """A torn piece of leaf: straight, uneven edges."""
    ragged = polygon(
        (-radius, -radius * 0.2), (-radius * 0.3, -radius * 0.8), (radius * 0.25, -radius * 0.45),
        (radius, -radius * 0.55), (radius * 0.65, radius * 0.3), (0, radius * 0.35),
        (-radius * 0.45, radius * 0.8),
    )  # fmt: skip
    return (Path(ragged, fill=colour, stroke=colours.INK, width=width * 0.55),)


@_once
def pearl(radius: float, colour: str, width: float) -> Drawn:
    return (Path(ellipse(0, 0, radius), fill=colour, stroke=colours.INK, width=width * 0.7),)


def topper(radius: float, colour: str, width: float) -> Drawn:
    """A plaque on two picks; (0, 0) is where the picks meet the cake."""
    plate, tall = radius * 2, radius * 0.92
    picks = [line((x, -16), (x, 0)) for x in (-radius * 0.45, radius * 0.45)]
    script = _script(radius * 1.35, tall * 0.34)
    return (
        Path(joined(picks), stroke=colours.INK, width=width * 1.6),
        Path(rounded(-radius, -16 - tall, plate, tall, tall * 0.4, tall * 0.4), fill=colour,
             stroke=colours.INK, width=width),
        moved((Path(script, stroke=line_on(colour), width=width * 1.1),), 0, -16 - tall * 0.46),
    )  # fmt: skip


def print_panel(radius: float, colour: str, width: float) -> Drawn:
    """An edible print: a framed, hatched panel."""
    wide, tall = radius * 2, radius * 1.36
    frame = rectangle(-radius, -tall / 2, wide, tall)
    inner = rectangle(-radius + 4, -tall / 2 + 4, wide - 8, tall - 8)
    hatch = Hatch(colours.detail(colour, 0.4), 4.0, width * 0.6, 45)
    return (
        Path(frame, fill=colour, stroke=colours.INK, width=width),
        Path(inner, fill=hatch, stroke=colours.INK, width=width * 0.6),
    )


@_once
def figure(radius: float, colour: str, width: float) -> Drawn:
    """A modelled figure standing at (0, 0): head, shoulders and a long robe."""
    tall = radius * 3.6
    robe = smooth(
        ((-radius * 0.75, 0), (-radius * 0.62, -tall * 0.34), (-radius * 0.42, -tall * 0.66),
         (0, -tall * 0.74), (radius * 0.42, -tall * 0.66), (radius * 0.62, -tall * 0.34),
         (radius * 0.75, 0)),
    )  # fmt: skip
    folds = [
        line((-radius * 0.2, -tall * 0.3), (-radius * 0.3, -2)),
        line((radius * 0.2, -tall * 0.3), (radius * 0.3, -2)),
    ]
    arms = smooth(((-radius * 0.46, -tall * 0.55), (0, -tall * 0.4), (radius * 0.46, -tall * 0.55)))
    return (
        Path((*robe, ("Z", ())), fill=colour, stroke=colours.INK, width=width),
        Path(joined([*folds, arms]), stroke=line_on(colour), width=width * 0.7),
        Path(ellipse(0, -tall * 0.86, radius * 0.44), fill=colours.mixed(colour, colours.WHITE, 0.4),
             stroke=colours.INK, width=width),
    )  # fmt: skip


_QUOTED = re.compile(r"[“„«\"]([^“”„«»\"]+)[”“»\"]")


def piped_words(note: str) -> str:
    """What is to be written: the words in quotation marks where there are any, else the whole note."""
    quoted = _QUOTED.search(note)
    return " ".join((quoted.group(1) if quoted else note).split())


def written(
    words: str, wide: float, high: float, least: float, colour: str
) -> tuple[Drawn, float, float]:
    """Piped words about (0, 0) on one line or two, at most `wide` by `high`; and half of what they take.

    Letters smaller than `least` could not be read: what does not fit at that size is left off.
    """
    lines, size = _set(words, wide, high)
    if size < least:
        lines, size = (_cut_short(words, least, wide),), least
    leading = size * 1.1
    shapes = tuple(
        Text(
            0, (place - (len(lines) - 1) / 2) * leading + size * 0.28, one, size, colour,
            anchor="middle", hand=True,
        )
        for place, one in enumerate(lines)
    )  # fmt: skip
    half = max(_long(one, size) for one in lines) / 2
    return shapes, half, leading * len(lines) / 2


def _long(words: str, size: float) -> float:
    return fonts.width(words, size, fonts.SERIF_ITALIC)


def _set(words: str, wide: float, high: float) -> tuple[tuple[str, ...], float]:
    """The words as one line or as two, whichever gives the larger letters."""
    parts = words.split(" ")
    ways = [(words,)] + [
        (" ".join(parts[:at]), " ".join(parts[at:])) for at in range(1, len(parts))
    ]

    def size(lines: tuple[str, ...]) -> float:
        longest = max(_long(one, 1.0) for one in lines)
        return min(wide / longest, high / (1.1 * len(lines)), LARGEST_LETTERS) if longest else high

    best = max(ways, key=size)  # the first of equals: one line rather than two
    return best, size(best)


def _cut_short(words: str, size: float, wide: float) -> str:
    while words and _long(words + "…", size) > wide:
        words = words[:-1]
    return words.rstrip(" ,") + "…"


def lettering(half: float, colour: str, width: float) -> Drawn:
    """A piped line of writing, as loops while nobody has said what it says."""
    return (Path(_script(half * 2, half * 0.34), stroke=colour, width=width * 1.7),)


def _script(long: float, tall: float) -> Outline:
    """Joined loops like handwriting, centred on (0, 0)."""
    count = 56
    turns = 8
    points = []
    for index in range(count + 1):
        share = index / count
        angle = share * turns * math.tau
        high = tall * (1.0 if int(share * turns) in (0, 4) else 0.62)
        points.append((
            (share - 0.5) * long + long / turns * 0.34 * math.sin(angle),
            -high * 0.5 * (1 - math.cos(angle)) + tall * 0.4,
        ))  # fmt: skip
    return smooth(points)


def line_on(colour: str) -> str:
    """Inner lines: ink, but lighter than the fill where the fill is dark."""
    return colours.mixed(colour, colours.WHITE, 0.55) if colours.is_dark(colour) else colours.INK


PIECES: dict[str, Callable[[float, str, float], Drawn]] = {
    "rose": rose,
    "blossom": blossom,
    "leaf": leaf,
    "berry": berry,
    "fruit": fruit,
    "leaf_metal": metal_fleck,
    "pearls": pearl,
    "topper": topper,
    "print": print_panel,
    "figure": figure,
    "lettering": lettering,
}


def colour_of(symbol: str, chosen: str) -> str:
    """The chosen colour, else the usual one of such a piece."""
    return colours.mixed(chosen or OWN_COLOURS.get(symbol, OWN_COLOURS["blossom"]), "#000000", 0)
