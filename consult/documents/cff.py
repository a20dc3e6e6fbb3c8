"""How are outlines of our own choosing written as a font program? A bare CFF table, as PDF embeds it (FontFile3).

Adobe Technical Notes #5176 (Compact Font Format) and #5177 (Type 2 charstrings). One glyph is one sign as it stands
on the paper, already put together from its parts; no hints, no subroutines.
"""

from collections.abc import Sequence
from dataclasses import dataclass

EM = 1000  # units an em of every program written here

_STANDARD_STRINGS = 391  # names below this number are the format's own (TN 5176, appendix A)

# Steps of an outline: ("M", (x, y)), ("L", (x, y)), ("C", (x1, y1, x2, y2, x3, y3)); lines close themselves.
Step = tuple[str, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Glyph:
    """A name, a width and an outline, in thousandths of an em; y goes up."""

    name: str
    width: int
    outline: tuple[Step, ...]


def _number(value: int) -> bytes:
    """An integer operand of a charstring or a dictionary, -32768 to 32767."""
    if -107 <= value <= 107:
        return bytes([value + 139])
    if 108 <= value <= 1131:
        high, low = divmod(value - 108, 256)
        return bytes([high + 247, low])
    if -1131 <= value <= -108:
        high, low = divmod(-value - 108, 256)
        return bytes([high + 251, low])
    return b"\x1c" + value.to_bytes(2, "big", signed=True)


def _offset(value: int) -> bytes:
    """An integer of a dictionary in five bytes, so that its length does not depend on it."""
    return b"\x1d" + value.to_bytes(4, "big", signed=True)


def _index(items: Sequence[bytes]) -> bytes:
    if not items:
        return b"\0\0"
    places, end = [1], 1
    for item in items:
        end += len(item)
        places.append(end)
    return b"".join([
        len(items).to_bytes(2, "big"), b"\4", *(place.to_bytes(4, "big") for place in places), *items,
    ])  # fmt: skip


def _charstring(glyph: Glyph) -> bytes:
    """rmoveto 21, rlineto 5, rrcurveto 8, endchar 14; the width stands before the first of them."""
    codes = {"M": b"\x15", "L": b"\x05", "C": b"\x08"}
    written = [_number(glyph.width)]
    x = y = 0
    for letter, at in glyph.outline:
        for place in range(0, len(at), 2):
            written += [_number(at[place] - x), _number(at[place + 1] - y)]
            x, y = at[place], at[place + 1]
        written.append(codes[letter])
    return b"".join([*written, b"\x0e"])


def box(glyphs: Sequence[Glyph]) -> tuple[int, int, int, int]:
    """Left, bottom, right and top of all outlines' points; zeros where there are none."""
    xs = [
        at[place] for glyph in glyphs for _, at in glyph.outline for place in range(0, len(at), 2)
    ]
    ys = [
        at[place] for glyph in glyphs for _, at in glyph.outline for place in range(1, len(at), 2)
    ]
    return (min(xs), min(ys), max(xs), max(ys)) if xs else (0, 0, 0, 0)


def program(name: str, glyphs: Sequence[Glyph]) -> bytes:
    """The font program; glyph 0, .notdef, is empty and put in front."""
    everything = [Glyph(".notdef", 0, ()), *glyphs]
    names = _index([name.encode("ascii")])
    strings = _index([glyph.name.encode("ascii") for glyph in glyphs])
    charset = b"\0" + b"".join(
        (_STANDARD_STRINGS + place).to_bytes(2, "big") for place in range(len(glyphs))
    )
    charstrings = _index([_charstring(glyph) for glyph in everything])
    private = _number(0) + b"\x14" + _number(0) + b"\x15"  # defaultWidthX 20, nominalWidthX 21

    def top(charset_at: int, charstrings_at: int, private_at: int) -> bytes:
        bounds = b"".join(_number(edge) for edge in box(glyphs)) + b"\x05"  # FontBBox 5
        return _index([
            bounds
            + _offset(charset_at) + b"\x0f"  # charset 15
            + _offset(charstrings_at) + b"\x11"  # CharStrings 17
            + _offset(len(private)) + _offset(private_at) + b"\x12"  # Private 18
        ])  # fmt: skip

    front = b"\1\0\4\4" + names
    rest = strings + _index([])  # no global subroutines
    charset_at = len(front) + len(top(0, 0, 0)) + len(rest)
    charstrings_at = charset_at + len(charset)
    private_at = charstrings_at + len(charstrings)
    return (
        front + top(charset_at, charstrings_at, private_at) + rest + charset + charstrings + private
    )
