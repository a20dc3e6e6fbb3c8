"""What measures does the drawing carry? Dimension lines with ticks, call-outs and a bar that measures true."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from consult.documents import colours, fonts
from consult.documents.outlines import ellipse, line, rectangle
from consult.documents.scene import Path, Shape, Text
from consult.documents.textures import Box
from shop.core.measures import Units, length, number

_HAIR, _LINE = 0.15, 0.25  # line widths in millimetres on the sheet


@dataclass(frozen=True, slots=True)
class Pen:
    """Sizes of lines and letters as they are seen, brought to the scene by its scale."""

    scale: float  # millimetres of cake for one millimetre seen
    text_mm: float  # letter size as seen

    def seen(self, mm: float) -> float:
        """Millimetres as seen, in the scene's own."""
        return mm * self.scale

    @property
    def text(self) -> float:
        return self.text_mm * self.scale

    def words(self, text: str, bold: bool = False) -> float:
        """How wide the words are, in the scene."""
        return fonts.width(text, self.text, fonts.SANS_BOLD if bold else fonts.SANS)


def _tick(pen: Pen, x: float, y: float) -> Path:
    """The short slanted stroke that ends a dimension, as on a joiner's drawing."""
    half = pen.seen(1.0)
    return Path(
        line((x - half, y + half), (x + half, y - half)), stroke=colours.INK, width=pen.seen(_LINE)
    )


def _hair(pen: Pen, *points: tuple[float, float], colour: str = colours.SOFT_INK) -> Path:
    return Path(line(*points), stroke=colour, width=pen.seen(_HAIR))


def _upright(
    pen: Pen, x: float, top: float, foot: float, words: str, bold: bool
) -> tuple[Shape, ...]:
    return (
        _hair(pen, (x, top - pen.seen(1)), (x, foot + pen.seen(1))),
        _tick(pen, x, top),
        _tick(pen, x, foot),
        Text(
            x + pen.seen(1.6),
            (top + foot) / 2 + pen.text * 0.33,
            words,
            pen.text,
            colours.INK,
            bold=bold,
        ),
    )


def heights(
    pen: Pen, boxes: Sequence[Box], x: float, units: Units
) -> tuple[tuple[Shape, ...], float]:
    """Each tier's height at `x`, the whole beside it, and how far right that reaches."""
    said = [length(box.height, units) for box in boxes]
    shapes: list[Shape] = []
    reach = x + pen.seen(1.6) + max(pen.words(words) for words in said)
    total_x = reach + pen.seen(4)
    end = total_x if len(boxes) > 1 else x
    for place, box in enumerate(boxes):
        is_top = place == len(boxes) - 1
        far = end if is_top else x
        shapes.append(
            _hair(
                pen,
                (box.right + pen.seen(1.5), box.top),
                (far + pen.seen(1), box.top),
                colour=colours.RULE,
            )
        )
        shapes.extend(_upright(pen, x, box.top, box.foot, said[place], bold=False))
    if len(boxes) > 1:
        whole = length(sum(box.height for box in boxes), units)
        shapes.extend(_upright(pen, total_x, boxes[-1].top, boxes[0].foot, whole, bold=True))
        reach = total_x + pen.seen(1.6) + pen.words(whole, bold=True)
    return tuple(shapes), reach


def board_width(pen: Pen, half: float, y: float, units: Units) -> tuple[Shape, ...]:
    """The board's width under the ground line, its words in a gap of the line."""
    words = f"board {length(half * 2, units)}"
    gap = pen.words(words) / 2 + pen.seen(1.5)
    return (
        _hair(pen, (-half - pen.seen(1), y), (-gap, y)),
        _hair(pen, (gap, y), (half + pen.seen(1), y)),
        _tick(pen, -half, y),
        _tick(pen, half, y),
        Text(0, y + pen.text * 0.33, words, pen.text, colours.INK, anchor="middle"),
    )


def bar_length(units: Units) -> float:
    """The scale bar's length in millimetres of cake: 4 in or 10 cm."""
    return 4 * units.mm if units is Units.INCHES else 10 * units.mm


def scale_bar(pen: Pen, x: float, y: float, units: Units, said: str) -> tuple[Shape, ...]:
    """Four or five equal steps, filled by turns, from (x, y) to the right; then the scale in words."""
    whole = bar_length(units)
    steps = 4 if units is Units.INCHES else 5
    step, high = whole / steps, pen.seen(1.2)
    shapes: list[Shape] = [
        Path(
            rectangle(x + place * step, y, step, high),
            fill=colours.INK if place % 2 == 0 else colours.WHITE,
        )
        for place in range(steps)
    ]
    shapes.append(
        Path(
            rectangle(x, y, whole, high),
            stroke=colours.INK,
            width=pen.seen(_HAIR),
            name="scale-bar",
        )
    )
    foot = y + high + pen.text * 0.95
    last = f"{number(whole / units.mm)} {units.value}"
    small = pen.text * 0.88
    shapes.append(Text(x, foot, "0", small, colours.SOFT_INK, anchor="middle"))
    shapes.append(Text(x + whole, foot, last, small, colours.SOFT_INK, anchor="middle"))
    if said:
        shapes.append(
            Text(
                x + whole + pen.seen(4), y + high / 2 + pen.text * 0.33, said, pen.text, colours.INK
            )
        )
    return tuple(shapes)


@dataclass(frozen=True, slots=True)
class CallOut:
    """What a numbered ring points at."""

    words: str
    x: float
    y: float
    radius: float = 0.0  # of the piece: the leader ends at its edge


def call_outs(
    pen: Pen, marks: Sequence[CallOut], x: float, top: float, foot: float
) -> tuple[Shape, ...]:
    """Numbered rings down the line at `x`, each with a leader to its place, in the order of height."""
    ordered = sorted(marks, key=lambda mark: (mark.y, mark.x))
    radius = pen.seen(2.1)
    pitch = 2 * radius + pen.seen(0.9)
    ys = [mark.y for mark in ordered]
    for place in range(1, len(ys)):
        ys[place] = max(ys[place], ys[place - 1] + pitch)
    overshoot = max(0.0, ys[-1] - foot) if ys else 0.0
    for place in range(len(ys) - 1, -1, -1):
        limit = foot if place == len(ys) - 1 else ys[place + 1] - pitch
        ys[place] = min(ys[place], limit) if overshoot else ys[place]
    shapes: list[Shape] = []
    for mark, y in zip(ordered, ys, strict=True):
        side = 1 if mark.x > x else -1
        knee = (x + side * (radius + pen.seen(1.4)), y)
        far = math.dist(knee, (mark.x, mark.y))
        share = max(0.0, far - mark.radius) / far if far else 0.0
        end = knee[0] + (mark.x - knee[0]) * share, knee[1] + (mark.y - knee[1]) * share
        shapes.append(_hair(pen, (x + side * radius, y), knee, end, colour=colours.INK))
        shapes.append(
            Path(
                ellipse(*end, pen.seen(0.42)),
                fill=colours.INK,
                stroke=colours.WHITE,
                width=pen.seen(0.2),
            )
        )
    for mark, y in zip(ordered, ys, strict=True):
        shapes.append(
            Path(
                ellipse(x, y, radius),
                fill=colours.WHITE,
                stroke=colours.INK,
                width=pen.seen(_HAIR * 1.3),
            )
        )
        shapes.append(
            Text(
                x,
                y + pen.text * 0.3,
                mark.words,
                pen.text * 0.88,
                colours.INK,
                anchor="middle",
                bold=True,
            )
        )
    return tuple(shapes)
