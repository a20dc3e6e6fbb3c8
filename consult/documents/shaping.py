"""How do letters of any script join? Text -> signs: what stands together as one, with the text it reads back as.

A sign is a letter with its marks, a ligature, a conjunct or an emoji of several code points, shaped by HarfBuzz.
"""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import uharfbuzz

from consult.documents.faces import Source, fallbacks, opened

_JOINER, _NON_JOINER, _TEXT_STYLE, _PICTURE_STYLE = "\u200d", "\u200c", "\ufe0e", "\ufe0f"
# Format characters (category Cf) that are seen: Arabic and Syriac figure signs.
_SEEN_FORMATS = frozenset(
    "\u0600\u0601\u0602\u0603\u0604\u0605\u06dd\u070f\u0890\u0891\u08e2\U000110bd"
)

Placed = tuple[int, int, int]  # a glyph and where it stands, in thousandths of an em


@dataclass(frozen=True, slots=True)
class Sign:
    """`text` as it is drawn: parts of one face, and how far the next sign is, in thousandths of an em."""

    text: str
    source: Source
    parts: tuple[Placed, ...]
    width: int


# Marks of direction: nothing is drawn.
RIGHTWARD_MARK = Sign("\u200e", Source(("", "", "", 0)), (), 0)
LEFTWARD_MARK = Sign("\u200f", Source(("", "", "", 0)), (), 0)


def _is_tag(letter: str) -> bool:
    return 0xE0020 <= ord(letter) <= 0xE007F


def _is_regional(letter: str) -> bool:
    return 0x1F1E6 <= ord(letter) <= 0x1F1FF


def _hangul(letter: str) -> str:
    """L, V or T for a part of a Korean syllable (the conjoining jamo), else ""."""
    code = ord(letter)
    if 0x1100 <= code <= 0x115F or 0xA960 <= code <= 0xA97C:
        return "L"
    if 0x1160 <= code <= 0x11A7 or 0xD7B0 <= code <= 0xD7C6:
        return "V"
    if 0x11A8 <= code <= 0x11FF or 0xD7CB <= code <= 0xD7FB:
        return "T"
    return ""


def _clings(letter: str, unit: str) -> bool:
    """Whether the letter belongs to what stands before it. After UAX #29, shorter: what a font must set as one."""
    last = unit[-1]
    if letter in (_JOINER, _NON_JOINER, _TEXT_STYLE, _PICTURE_STYLE) or _is_tag(letter):
        return True
    if unicodedata.category(letter) in ("Mn", "Mc", "Me") or 0x1F3FB <= ord(letter) <= 0x1F3FF:
        return last not in " \u00a0"
    if last == _JOINER:
        return is_picture(unit)
    if _is_regional(letter):
        return len(unit) == 1 and _is_regional(unit)
    part = _hangul(letter)
    return part in ("V", "T") and bool(_hangul(last)) and (part == "T" or _hangul(last) != "T")


def units(text: str) -> list[str]:
    """The text in pieces that one face must set. Nothing is left out; invisible formats are dropped before."""
    found: list[str] = []
    for letter in text:
        if found and _clings(letter, found[-1]):
            found[-1] += letter
        else:
            found.append(letter)
    return found


def is_dropped(letter: str) -> bool:
    """Whether it has no shape and does no work here: controls, and formats that only order or break a text."""
    if letter in (_JOINER, _NON_JOINER) or _is_tag(letter) or letter in _SEEN_FORMATS:
        return False
    return unicodedata.category(letter) in ("Cc", "Cf", "Cs")


def is_picture(unit: str) -> bool:
    """Whether it asks for an emoji: by a style, as a flag, or being in the planes of pictures."""
    if _TEXT_STYLE in unit:
        return False
    first = ord(unit[0])
    pictograph = 0x2190 <= first <= 0x2BFF or first in (
        0x203C,
        0x2049,
        0x3030,
        0x303D,
        0x3297,
        0x3299,
    )
    return 0x1F000 <= first <= 0x1FAFF or _PICTURE_STYLE in unit or (pictograph and _JOINER in unit)


@lru_cache(maxsize=4096)
def _script(letter: str) -> str:
    """Its script by ISO 15924, "" where it takes that of its neighbours."""
    buffer = uharfbuzz.Buffer()
    buffer.add_str(letter)
    buffer.guess_segment_properties()
    return str(buffer.script or "").replace("Zyyy", "").replace("Zinh", "").replace("Zzzz", "")


def script(unit: str) -> str:
    return next((found for letter in unit if (found := _script(letter))), "")


def _shaped(
    text: str, source: Source, leftward: bool, writing: str
) -> tuple[Sequence[uharfbuzz.GlyphInfo], Sequence[uharfbuzz.GlyphPosition]]:
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.direction = "rtl" if leftward else "ltr"
    if writing:
        buffer.script = writing
    buffer.guess_segment_properties()
    buffer.language = "und"
    uharfbuzz.shape(opened(source), buffer)
    return buffer.glyph_infos, buffer.glyph_positions


@lru_cache(maxsize=16384)
def is_whole(unit: str, source: Source) -> bool:
    """Whether the face sets the unit with no letter missing."""
    if opened(source).get_nominal_glyph(ord(unit[0])) is None and len(unit) == 1:
        return False
    infos, _ = _shaped(unit, source, False, script(unit))
    return bool(infos) and all(info.codepoint for info in infos)


def chosen(unit: str, own: Sequence[Source], bold: bool, east_asian: str) -> Source | None:
    """The face that sets the unit; None where no face has it.

    Our own are asked first for a single letter, but last for a picture and for a letter with marks: they have
    the marks, but set some of them beside their letter.
    """
    picture = is_picture(unit)
    others = fallbacks(unit[0], bold, east_asian, picture)
    sources = (*others, *own) if picture or len(unit) > 1 else (*own, *others)
    return next((source for source in sources if is_whole(unit, source)), None)


def signs(text: str, source: Source, leftward: bool, writing: str) -> list[Sign]:
    """A run of one face, script and direction as signs, in the order of reading."""
    infos, positions = _shaped(text, source, leftward, writing)
    starts = sorted({info.cluster for info in infos})
    ends = dict(zip(starts, [*starts[1:], len(text)], strict=True))
    parts: dict[int, list[Placed]] = {start: [] for start in starts}
    widths = dict.fromkeys(starts, 0)
    for info, position in zip(infos, positions, strict=True):
        parts[info.cluster].append((
            info.codepoint, widths[info.cluster] + position.x_offset, position.y_offset
        ))  # fmt: skip
        widths[info.cluster] += position.x_advance
    found = [
        Sign(text[start : ends[start]], source, tuple(parts[start]), widths[start])
        for start in starts
    ]
    if not leftward:
        return _kept_together(found)
    known = writing in _TURNED_BY_READERS or len(text) > _LONGEST_WHOLE
    return _said_singly(found) if known else [_joined(found)]


# Right-to-left scripts that programs which read a paper know as such: they turn what they find on the page round.
# A word of any other one (N'Ko, Adlam) is one sign, so that its letters are read in order all the same.
_TURNED_BY_READERS = ("Hebr", "Arab", "Syrc", "Thaa", "")
_LONGEST_WHOLE = 20  # letters; a longer word must be breakable


def _joined(found: Sequence[Sign]) -> Sign:
    """Signs that run right to left as one."""
    text, parts, width = "", list[Placed](), 0
    for sign in reversed(found):
        text = sign.text + text
        parts += [(glyph, x + width, y) for glyph, x, y in sign.parts]
        width += sign.width
    return Sign(text, found[0].source, tuple(parts), width)


def _said_singly(found: Sequence[Sign]) -> list[Sign]:
    """Signs of one character each; those with nothing to draw say the rest of a joined one.

    Programs that read a paper turn what runs right to left round character by character, some also within a sign.
    """
    return [
        replace(sign, text=letter) if place == 0 else Sign(letter, sign.source, (), 0)
        for sign in found
        for place, letter in enumerate(sign.text)
    ]


# Scripts that put no space between words are broken between signs, but not before these and not after those
# (UAX #14, classes CL, EX and NS, and OP; in Thai and Lao a vowel written before or after its letter).
_NEVER_FIRST = frozenset(
    "、。，．：；！？）］｝」』】》〉”’…‥ー々〻ゝゞヽヾぁぃぅぇぉっゃゅょァィゥェォッャュョะาำๆฯະາຳໆ"
)
_NEVER_LAST = frozenset("（［｛「『【《〈“‘เแโใไເແໂໃໄ")


def _kept_together(found: Sequence[Sign]) -> list[Sign]:
    kept: list[Sign] = []
    for sign in found:
        if kept and (sign.text[0] in _NEVER_FIRST or kept[-1].text[-1] in _NEVER_LAST):
            before = kept[-1]
            moved = tuple((glyph, x + before.width, y) for glyph, x, y in sign.parts)
            kept[-1] = replace(
                before,
                text=before.text + sign.text,
                parts=before.parts + moved,
                width=before.width + sign.width,
            )
        else:
            kept.append(sign)
    return kept


def east_asian_home(text: str) -> str:
    """Whose forms of the Han letters to use: SC, TC, JP or KR, from what stands beside them.

    One code point may be drawn in four ways. Kana, bopomofo and hangul tell; else the national sets
    that the letters are all in: GB 2312, Big5 or JIS X 0208.
    """
    writings = {_script(letter) for letter in text if not letter.isascii()}
    for writing, home in (("Hira", "JP"), ("Kana", "JP"), ("Bopo", "TC"), ("Hang", "KR")):
        if writing in writings:
            return home
    han = "".join(letter for letter in text if _script(letter) == "Hani")
    for home, charset in (("SC", "gb2312"), ("TC", "big5"), ("JP", "cp932")):
        try:
            han.encode(charset)
        except UnicodeEncodeError:
            continue
        return home
    return "SC"
