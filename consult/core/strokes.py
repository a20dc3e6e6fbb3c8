"""What was drawn in the signature box? Points of lines, checked, in one canonical form.

A drawn mark arrives as points rather than as a picture, so that nothing else can travel with it.
No pressure and no timing is kept: those would be biometric data.
"""

import itertools
import json
import math
from dataclasses import dataclass

from consult.core.design import Problem

Point = tuple[float, float]
Line = tuple[Point, ...]

# The box on the tablet is three times as wide as it is high, and x and y are both 0 to 1 across
# it, y downwards. The pad's script keeps the same proportion.
PAD_ASPECT = 3.0

# Bounds. A long signature drawn here gave under 1 500 points; the rest is room to spare.
MOST_LINES = 200
MOST_POINTS = 5000
MOST_CHARACTERS = 262_144  # 5000 points written in full
PLACES = 4  # a ten-thousandth of the box is finer than a screen's pixel

# The least that is taken for a signature, in heights of the box: two small initials pass, a touch
# by mistake does not. Our judgement, no source.
LEAST_SPAN = 0.12
LEAST_INK = 0.25

WHERE = "strokes"
EMPTY = Problem(WHERE, "Please sign in the box, or type your name instead.")
TOO_SMALL = Problem(
    WHERE,
    "This mark is too small to be a signature: please sign larger, or type your name instead.",
)
TOO_LONG = Problem(
    WHERE,
    "This drawing has too many lines: please clear the box and sign again, or type your name.",
)
UNREADABLE = Problem(
    WHERE, "The signature did not arrive whole: please sign again, or type your name instead."
)


@dataclass(frozen=True, slots=True)
class Strokes:
    """A drawn signature: lines of points, each 0 to 1 across the box, y downwards."""

    lines: tuple[Line, ...]

    def canonical(self) -> str:
        """The one way these strokes are written, for a fingerprint; read back it is the same."""
        return json.dumps(self.lines, separators=(",", ":"))


def _refuse_constant(name: str) -> float:
    raise ValueError(f"{name} is not a place in the box.")


def _number(value: object) -> float:
    """A coordinate of the box, rounded. Raises ValueError for all else; True is no number here."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("not a number")
    if not 0 <= value <= 1:
        raise ValueError("outside the box")
    return round(float(value), PLACES) + 0.0  # no -0.0, which would be written differently


def _line(value: object) -> Line:
    """One line, without points that repeat the one before."""
    if not isinstance(value, list):
        raise ValueError("not a line")
    points: list[Point] = []
    for pair in value:
        if not isinstance(pair, list) or len(pair) != 2:
            raise ValueError("not a point")
        point = (_number(pair[0]), _number(pair[1]))
        if not points or points[-1] != point:
            points.append(point)
    return tuple(points)


def strokes_from(text: str) -> Strokes | Problem:
    """The strokes in what the pad posts, [[[x, y], ...], ...], or what to tell the signer."""
    if not text.strip():
        return EMPTY
    if len(text) > MOST_CHARACTERS:
        return TOO_LONG
    try:
        posted = json.loads(text, parse_constant=_refuse_constant)
        if not isinstance(posted, list):
            return UNREADABLE
        if len(posted) > MOST_LINES or _points_in(posted) > MOST_POINTS:
            return TOO_LONG
        lines = tuple(line for line in map(_line, posted) if line)
    except (ValueError, RecursionError):
        return UNREADABLE
    if not lines:
        return EMPTY
    if _span(lines) < LEAST_SPAN or _ink(lines) < LEAST_INK:
        return TOO_SMALL
    return Strokes(lines)


def _points_in(posted: list[object]) -> int:
    return sum(len(line) for line in posted if isinstance(line, list))


def _span(lines: tuple[Line, ...]) -> float:
    """The larger side of the mark, in heights of the box."""
    across = [x for line in lines for x, _ in line]
    down = [y for line in lines for _, y in line]
    return max((max(across) - min(across)) * PAD_ASPECT, max(down) - min(down))


def _ink(lines: tuple[Line, ...]) -> float:
    """The length of all lines together, in heights of the box."""
    return sum(
        math.hypot((x2 - x1) * PAD_ASPECT, y2 - y1)
        for line in lines
        for (x1, y1), (x2, y2) in itertools.pairwise(line)
    )


def _fitted(strokes: Strokes, width: float, height: float) -> tuple[Line, ...]:
    """The lines in a box of that size, in the pad's proportion, centred, y downwards."""
    scale = min(width / PAD_ASPECT, height)
    left, top = (width - scale * PAD_ASPECT) / 2, (height - scale) / 2
    return tuple(
        tuple((left + x * scale * PAD_ASPECT, top + y * scale) for x, y in line)
        for line in strokes.lines
    )


def as_svg_path(strokes: Strokes, width: float, height: float) -> str:
    """The `d` of an SVG path in a box of that size, y downwards; round line caps show dots."""
    parts = []
    for line in _fitted(strokes, width, height):
        points = line if len(line) > 1 else line * 2
        parts.append("M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points))
    return " ".join(parts)


def polylines(strokes: Strokes, width: float, height: float) -> tuple[Line, ...]:
    """The lines in a box of that size as paper has it, y upwards from the lower left corner.

    A dot is two equal points, so that a line with round caps draws it.
    """
    return tuple(
        tuple((x, height - y) for x, y in (line if len(line) > 1 else line * 2))
        for line in _fitted(strokes, width, height)
    )
