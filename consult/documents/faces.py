"""Which font has the letters of this script? The fonts that stand in where Source Sans and Source Serif end.

All are under the SIL Open Font License 1.1 and come as packages: Noto for the scripts it is packaged for, among them
Chinese, Japanese and Korean; Kurinto for the rest. A file is opened when a text first needs it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import as_file, files

import uharfbuzz

from consult.documents.cff import EM, Step

# (package, folder inside it, file name, which face of the file)
File = tuple[str, str, str, int]

_REGULAR, _BOLD = 400, 600  # the weights of Source Sans Pro Regular and Semibold


def _noto(name: str) -> File:
    return ("manimgx_fonts", "", f"{name}[wght].ttf", 0)


def _kurinto(name: str, bold: bool) -> File:
    weight = "Bd" if bold else "Rg"
    name = f"KurintoSans{name}-{weight}.ttf"
    return ("weblate_fonts", "static/weblate_fonts/kurinto/ttf", name, 0)


_NOTO_HAN: dict[str, File] = {
    home: ("manimgx_fonts_cjk", "", "NotoSansCJK-VF.otf.ttc", place)
    for place, home in enumerate(("JP", "KR", "SC", "TC"))  # the order of the faces in the file
}


# Blocks of the Unicode Character Database (Blocks.txt) and the Noto face made for them. A face is asked whether it
# has a letter before it is used, so a block may stand here whole.
_NOTO = (
    (0x0041, 0x052F, "NotoSans"), (0x1E00, 0x1FFF, "NotoSans"), (0x0530, 0x058F, "NotoSansArmenian"),
    (0x0590, 0x05FF, "NotoSansHebrew"), (0xFB1D, 0xFB4F, "NotoSansHebrew"),
    (0x0600, 0x06FF, "NotoSansArabic"), (0x0750, 0x077F, "NotoSansArabic"), (0x0870, 0x08FF, "NotoSansArabic"),
    (0xFB50, 0xFDFF, "NotoSansArabic"), (0xFE70, 0xFEFF, "NotoSansArabic"),
    (0x0900, 0x097F, "NotoSansDevanagari"), (0xA8E0, 0xA8FF, "NotoSansDevanagari"),
    (0x0980, 0x09FF, "NotoSansBengali"), (0x0A00, 0x0A7F, "NotoSansGurmukhi"), (0x0A80, 0x0AFF, "NotoSansGujarati"),
    (0x0B00, 0x0B7F, "NotoSansOriya"), (0x0B80, 0x0BFF, "NotoSansTamil"), (0x0C00, 0x0C7F, "NotoSansTelugu"),
    (0x0C80, 0x0CFF, "NotoSansKannada"), (0x0D00, 0x0D7F, "NotoSansMalayalam"), (0x0D80, 0x0DFF, "NotoSansSinhala"),
    (0x0E00, 0x0E7F, "NotoSansThai"), (0x0E80, 0x0EFF, "NotoSansLao"),
    (0x1000, 0x109F, "NotoSansMyanmar"), (0xA9E0, 0xA9FF, "NotoSansMyanmar"), (0xAA60, 0xAA7F, "NotoSansMyanmar"),
    (0x10A0, 0x10FF, "NotoSansGeorgian"), (0x1C90, 0x1CBF, "NotoSansGeorgian"), (0x2D00, 0x2D2F, "NotoSansGeorgian"),
    (0x1200, 0x139F, "NotoSansEthiopic"), (0x2D80, 0x2DDF, "NotoSansEthiopic"), (0xAB00, 0xAB2F, "NotoSansEthiopic"),
    (0x1780, 0x17FF, "NotoSansKhmer"), (0x19E0, 0x19FF, "NotoSansKhmer"),
)  # fmt: skip
# Blocks of Chinese, Japanese and Korean; all from U+20000 on as well.
_HAN = (
    (0x1100, 0x11FF), (0x2E80, 0xA4CF), (0xA960, 0xA97F), (0xAC00, 0xD7FF), (0xF900, 0xFAFF), (0xFE30, 0xFFEF),
)  # fmt: skip
# Scripts so high and deep that at full size they would touch the lines beside them (measured on our papers).
_SMALLER = ((0x1B00, 0x1B7F, 640), (0xA980, 0xA9DF, 740))  # Balinese, Javanese


@dataclass(frozen=True, slots=True)
class Source:
    """One face at one weight and one size, in thousandths of the size asked for."""

    file: File
    weight: int = _REGULAR
    size: int = EM


@cache
def _face(file: File) -> uharfbuzz.Face:
    package, folder, name, place = file
    with as_file(files(package).joinpath(*folder.split("/"), name)) as path:
        return uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(path)), place)


@cache
def opened(source: Source) -> uharfbuzz.Font:
    """The face, scaled so that all lengths are thousandths of an em."""
    font = uharfbuzz.Font(_face(source.file))
    font.scale = (source.size, source.size)
    if font.face.has_var_data:
        font.set_variations({"wght": source.weight})
    return font


def fallbacks(letter: str, bold: bool, east_asian: str, picture: bool) -> Iterator[Source]:
    """Where a letter is looked for when our own faces lack it, best first; `picture` asks for emoji first.

    `east_asian` is whose forms of the Han letters to take: SC, TC, JP or KR.
    """
    weight, code = _BOLD if bold else _REGULAR, ord(letter)
    emoji = Source(_noto("NotoEmoji"), weight)
    if picture:
        yield emoji
    for first, last, name in _NOTO:
        if first <= code <= last:
            yield Source(_noto(name), weight)
    if code >= 0x20000 or any(first <= code <= last for first, last in _HAN):
        yield Source(_NOTO_HAN[east_asian], weight)
        for region in ("JP", "SC", "TC", "KR"):
            yield Source(_kurinto(region, bold))
    size = next((size for first, last, size in _SMALLER if first <= code <= last), EM)
    yield Source(_kurinto("", bold), size=size)
    yield emoji
    for name in ("NotoSans", "NotoSansSymbols"):
        yield Source(_noto(name), weight)
    yield Source(_NOTO_HAN[east_asian], weight)


class _Pen:
    """Collects an outline; curves of the second degree become ones of the third, exactly but for rounding."""

    def __init__(self) -> None:
        self.steps: list[Step] = []
        self._at = (0.0, 0.0)

    def _add(self, letter: str, *points: tuple[float, float]) -> None:
        self.steps.append((letter, tuple(round(part) for point in points for part in point)))
        self._at = points[-1]

    def moveTo(self, point: tuple[float, float]) -> None:
        self._add("M", point)

    def lineTo(self, point: tuple[float, float]) -> None:
        self._add("L", point)

    def curveTo(self, *points: tuple[float, float]) -> None:
        self._add("C", *points)

    def qCurveTo(self, middle: tuple[float, float], end: tuple[float, float]) -> None:
        first, second = (
            (point[0] + 2 * (middle[0] - point[0]) / 3, point[1] + 2 * (middle[1] - point[1]) / 3)
            for point in (self._at, end)
        )
        self._add("C", first, second, end)

    def closePath(self) -> None:
        """The format closes each outline itself."""


@lru_cache(maxsize=8192)
def outline(source: Source, glyph: int) -> tuple[Step, ...]:
    """One glyph's outline, in thousandths of an em, at the origin."""
    pen = _Pen()
    opened(source).draw_glyph_with_pen(glyph, pen)
    return tuple(pen.steps)
