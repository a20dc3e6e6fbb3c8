"""Which letters can our papers set? The open fonts, registered once, and what stands in for a missing letter."""

import unicodedata
from functools import cache
from importlib.resources import as_file, files
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

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


@cache
def _registered() -> dict[str, frozenset[int]]:
    """The code points each face can set, after making all faces known to ReportLab."""
    knows: dict[str, frozenset[int]] = {}
    for name, (package, file_name) in _FILES.items():
        with as_file(files(package) / "files" / file_name) as path:
            font = TTFont(name, str(path))
        pdfmetrics.registerFont(font)
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


def _is_control(character: str) -> bool:
    """Whether it has no shape of its own: control, format, and lone surrogate characters."""
    return unicodedata.category(character) in ("Cc", "Cf", "Cs")


def _stand_in(character: str, face: str) -> tuple[str, str]:
    """The face and the letters for one character: another face, its base letter, or "?"."""
    knows = _registered()
    for candidate in (face, *_NEXT_FACES[face]):
        if ord(character) in knows[candidate]:
            return candidate, character
    plain = unicodedata.normalize("NFKD", character)
    base = "".join(
        one for one in plain if not unicodedata.combining(one) and ord(one) in knows[face]
    )
    if unicodedata.combining(character):
        return face, ""  # a mark with no letter of its own: the letter below it is kept
    return face, base or NOT_SHOWN


def runs(text: str, face: str = SANS) -> tuple[tuple[str, str], ...]:
    """The text as (face, letters) pieces, each of which its face can set. NFC, one line."""
    pieces: list[list[str]] = []
    for character in unicodedata.normalize("NFC", text):
        if character in "\t\n\r":
            character = " "
        if _is_control(character):
            continue
        where, letters = _stand_in(character, face)
        if pieces and pieces[-1][0] == where:
            pieces[-1][1] += letters
        elif letters:
            pieces.append([where, letters])
    return tuple((where, letters) for where, letters in pieces)


def cannot_show(text: str) -> frozenset[str]:
    """Characters of the text that would be printed as "?": the caller can warn before signing."""
    return frozenset(
        one
        for one in unicodedata.normalize("NFC", text)
        if not _is_control(one) and one not in "?\t\n\r" and _stand_in(one, SANS)[1] == NOT_SHOWN
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
        for where, letters in runs(line, face)
    )


def width(text: str, size: float, face: str = SANS) -> float:
    """How long the text is, in the unit of `size`."""
    return sum(
        float(pdfmetrics.stringWidth(letters, where, size)) for where, letters in runs(text, face)
    )
