"""Which letters can our papers set? The open fonts, registered once, and what stands in for a missing letter.

Latin, Greek and Cyrillic letters go to ReportLab as they are. All else, and all that runs right to left, is shaped
into signs (`shaping`) that `scripts` carries through ReportLab; that costs only the texts that need it.
"""

import itertools
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from consult.documents import bidi, scripts, shaping
from consult.documents.faces import Source

SANS, SANS_BOLD, SANS_ITALIC, SANS_BOLD_ITALIC = (
    "SourceSans", "SourceSans-Semibold", "SourceSans-Italic", "SourceSans-SemiboldItalic",
)  # fmt: skip
SERIF, SERIF_BOLD, SERIF_ITALIC = "SourceSerif", "SourceSerif-Semibold", "SourceSerif-Italic"

# Installed packages with the fonts' own files; both under the SIL Open Font License.
_FILES = {
    SANS: ("font_source_sans_pro", "SourceSansPro-Regular.ttf"),
    SANS_BOLD: ("font_source_sans_pro", "SourceSansPro-Semibold.ttf"),
    SANS_ITALIC: ("font_source_sans_pro", "SourceSansPro-It.ttf"),
    SANS_BOLD_ITALIC: ("font_source_sans_pro", "SourceSansPro-SemiboldIt.ttf"),
    SERIF: ("font_source_serif_pro", "SourceSerifPro-Regular.ttf"),
    SERIF_BOLD: ("font_source_serif_pro", "SourceSerifPro-Semibold.ttf"),
    SERIF_ITALIC: ("font_source_serif_pro", "SourceSerifPro-It.ttf"),
}

# Where a letter is looked for when a face lacks it: the upright faces know Greek, Cyrillic and
# Vietnamese letters that the italics lack, and only the sans has the narrow no-break space.
_NEXT_FACES = {
    SANS: (),
    SANS_BOLD: (SANS,),
    SANS_ITALIC: (SANS,),
    SANS_BOLD_ITALIC: (SANS_BOLD, SANS),
    SERIF: (SANS,),
    SERIF_BOLD: (SANS_BOLD, SANS),
    SERIF_ITALIC: (SERIF, SANS),
}

NOT_SHOWN = "?"  # last resort, so that the gap is seen and can be written in by hand


_BOLD_FACES = (SANS_BOLD, SANS_BOLD_ITALIC, SERIF_BOLD)
_SIGNS = " signs"  # after a face's name: the font of the signs that stand among its letters


@cache
def _registered() -> dict[str, frozenset[int]]:
    """The code points each face can set, after making all faces known to ReportLab."""
    knows: dict[str, frozenset[int]] = {}
    for name, (package, file_name) in _FILES.items():
        with as_file(files(package) / "files" / file_name) as path:
            font = TTFont(name, str(path))
        pdfmetrics.registerFont(font)
        pdfmetrics.registerFont(scripts.ScriptFont(name + _SIGNS, font))
        knows[name] = frozenset(font.face.charToGlyph)
    pdfmetrics.registerFontFamily(
        SANS, normal=SANS, bold=SANS_BOLD, italic=SANS_ITALIC, boldItalic=SANS_BOLD_ITALIC
    )
    pdfmetrics.registerFontFamily(
        SERIF, normal=SERIF, bold=SERIF_BOLD, italic=SERIF_ITALIC, boldItalic=SERIF_BOLD
    )
    return knows


def register() -> None:
    """Make the faces known; a second call does nothing."""
    _registered()


def _plain(character: str, face: str) -> str:
    """The face, this one or the next, that ReportLab can set the character with; "" where none."""
    knows = _registered()
    code = ord(character)
    return next((one for one in (face, *_NEXT_FACES[face]) if code in knows[one]), "")


@cache
def _own(face: str) -> tuple[Source, ...]:
    return tuple(
        Source((package, "files", name, 0))
        for package, name in (_FILES[one] for one in (face, *_NEXT_FACES[face]))
    )


def _last_resort(unit: str, face: str) -> str:
    """What is printed where no font has the unit: its base letters, or "?" for each letter or mark missing."""
    knows = _registered()[face]
    shown = ""
    for character in unit:
        if unicodedata.category(character) == "Cf" or 0xFE00 <= ord(character) <= 0xFE0F:
            continue
        plain = unicodedata.normalize("NFKD", character)
        base = "".join(one for one in plain if not unicodedata.combining(one) and ord(one) in knows)
        shown += base or NOT_SHOWN
    return shown


def _cleaned(text: str) -> str:
    """One line in NFC, with no sign that is not seen and does nothing."""
    if text.isascii() and text.isprintable():
        return text
    line = "".join(" " if one in "\t\n\r" else one for one in text)
    return unicodedata.normalize("NFC", "".join(one for one in line if not shaping.is_dropped(one)))


@dataclass(slots=True)
class _Unit:
    """A piece that one face sets: a plain one of ours or a source of signs; where both lack, no font has it."""

    text: str
    plain: str
    source: Source | None
    leftward: bool


def _units(text: str, face: str) -> Iterator[_Unit]:
    leftward = bidi.has_right_to_left(text)
    found = bidi.levels(text, bidi.base_level(text)) if leftward else []
    own, home, place = _own(face), "", 0
    for unit in shaping.units(text):
        odd = bool(leftward and found[place] % 2)
        place += len(unit)
        plain = "" if len(unit) > 1 or (odd and unit != " ") else _plain(unit, face)
        if plain and not shaping.is_picture(unit):
            yield _Unit(unit, plain, None, odd)
            continue
        home = home or shaping.east_asian_home(text)
        yield _Unit(unit, "", shaping.chosen(unit, own, face in _BOLD_FACES, home), odd)


def _matched(units: Iterable[_Unit]) -> Iterator[_Unit]:
    """The units with each word in one face, where some of its letters need another than ours for their marks."""
    for _, group in itertools.groupby(units, key=lambda unit: unit.text == " "):
        word = list(group)
        other = next((unit.source for unit in word if unit.source and unit.text[0].isalpha()), None)
        if other and any(unit.plain for unit in word):
            for unit in word:
                if unit.plain and unit.text.isalpha() and shaping.is_whole(unit.text, other):
                    unit.plain, unit.source = "", other
        yield from word


def _pieces(text: str, face: str) -> list[tuple[str, str]]:
    """The text as (face, letters) in the order of reading; signs as the letters lent for them."""
    text = _cleaned(text)
    knows = _registered()[face]
    if all(ord(one) in knows and not unicodedata.combining(one) for one in text):
        return (
            [(face, text)] if text else []
        )  # our own faces have no letters that run right to left
    pieces: list[list[str]] = []
    run: list[str] = []
    kind: tuple[Source, bool, str] | None = None

    def add(where: str, letters: str) -> None:
        if pieces and pieces[-1][0] == where:
            pieces[-1][1] += letters
        else:
            pieces.append([where, letters])

    def close() -> None:
        if run and kind:
            joined = shaping.signs("".join(run), *kind)
            add(face + _SIGNS, "".join(map(scripts.lent, joined)))
        run.clear()

    for unit in _matched(_units(text, face)):
        if unit.source is None:
            close()
            where = pieces[-1][0] if unit.text == " " and pieces else unit.plain or face
            add(where, unit.text if unit.plain else _last_resort(unit.text, face))
            continue
        writing = shaping.script(unit.text) or (kind[2] if kind and run else "")
        if kind != (unit.source, unit.leftward, writing):
            close()
            kind = (unit.source, unit.leftward, writing)
        run.append(unit.text)
    close()
    return [(where, letters) for where, letters in pieces]


def in_visual_order(pieces: Sequence[tuple[str, str]], base: int) -> list[tuple[int, str]]:
    """A line's pieces from left to right, as (which piece, letters). `base` is its level, 0 or 1.

    For programs that read the paper, a mark that is not seen stands where the direction changes: they
    would turn the space behind a run round with it, and leave out a vowel sign that its far end begins with.
    """
    items = [(place, letter) for place, (_, letters) in enumerate(pieces) for letter in letters]
    said = [scripts.meant(letter) for _, letter in items]
    found = bidi.levels("".join(said), base)
    starts = [0, *itertools.accumulate(map(len, said))][:-1]
    item_levels = [found[start] for start in starts]
    order = bidi.visual_order(item_levels)
    ordered: list[tuple[int, str]] = []
    outside = [None, *order, None]
    for before, place, after in zip(outside, order, outside[2:], strict=False):
        which, letter = items[place]
        if item_levels[place] and has_signs(pieces[which][0]):
            vowel = (
                unicodedata.combining(said[place][0])
                or unicodedata.category(said[place][0]) == "Mn"
            )
            if vowel and (before is None or not item_levels[before]):
                letter = scripts.lent(shaping.LEFTWARD_MARK) + letter
            if after is None or not item_levels[after]:
                letter += scripts.lent(shaping.RIGHTWARD_MARK)
        if ordered and ordered[-1][0] == which:
            ordered[-1] = (which, ordered[-1][1] + letter)
        else:
            ordered.append((which, letter))
    return ordered


def runs(text: str, face: str = SANS) -> tuple[tuple[str, str], ...]:
    """The text as (face, letters) pieces from left to right, each of which its face can set. One line."""
    pieces = _pieces(text, face)
    if not bidi.has_right_to_left(text):
        return tuple(pieces)
    ordered = in_visual_order(pieces, bidi.base_level(text))
    return tuple((pieces[which][0], letters) for which, letters in ordered)


def cannot_show(text: str) -> frozenset[str]:
    """Characters of the text that would be printed as "?": the caller can warn before signing."""
    return frozenset(
        one
        for unit in _units(_cleaned(text), SANS)
        if not unit.plain and unit.source is None
        for one in unit.text
        if NOT_SHOWN in _last_resort(one, SANS)
    )


def words(text: str, face: str = SANS) -> str:
    """Text that somebody typed, safe inside a ReportLab paragraph: escaped, and every letter set.

    ReportLab reads its paragraphs as markup and would open a file named in an img tag.
    """
    lines = text.replace("\r\n", "\n").split("\n")
    return "<br/>".join(_marked_up(line, face) for line in lines)


def _marked_up(line: str, face: str) -> str:
    return "".join(
        escape(letters) if where == face else f'<font name="{where}">{escape(letters)}</font>'
        for where, letters in _pieces(line, face)
    )


def width(text: str, size: float, face: str = SANS) -> float:
    """How long the text is, in the unit of `size`; also of one of the pieces that `runs` gives."""
    if face.endswith(_SIGNS):
        return float(pdfmetrics.stringWidth(text, face, size))
    return sum(
        float(pdfmetrics.stringWidth(letters, where, size))
        for where, letters in _pieces(text, face)
    )


def can_set(face: str, character: str) -> bool:
    """Whether the plain face has the character."""
    return ord(character) in _registered()[face]


def has_signs(face: str) -> bool:
    """Whether the face is a font of signs, whose lines may have to be turned round."""
    return face.endswith(_SIGNS)
