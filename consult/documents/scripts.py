"""How do signs of any script get through ReportLab into a PDF? Each is one letter to it, in a font of our own.

ReportLab measures and breaks text letter by letter. So each sign is lent a code point of the private planes while the
paper is made; `ScriptFont` knows its width, and writes the signs a paper uses as a font program whose ToUnicode map
gives each sign its text back. The code points themselves never reach a paper.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

from reportlab.pdfbase import pdfdoc

from consult.documents import cff
from consult.documents.faces import outline
from consult.documents.shaping import Sign

_PLANES = ((0xF0000, 0xFFFFD), (0x100000, 0x10FFFD))  # the two private planes of Unicode
_SPACE = 32
# A code of a font is one byte; those that a string of a PDF would write otherwise are left out.
_CODES = tuple(code for code in range(33, 256) if chr(code) not in "()\\\x7f")


class Lent:
    """Which code point stands for which sign. The older half is forgotten when both planes are full.

    A paper in the making is safe: what it was lent holds until 65,000 further signs are.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._now = 0
        self._letters: list[dict[Sign, str]] = [{}, {}]
        self._signs: list[dict[str, Sign]] = [{}, {}]

    def letter(self, sign: Sign) -> str:
        known = self._letters[self._now].get(sign)
        if known is not None:
            return known
        with self._lock:
            first, last = _PLANES[self._now]
            if first + len(self._letters[self._now]) > last:
                self._now = 1 - self._now
                self._letters[self._now], self._signs[self._now] = {}, {}
                first = _PLANES[self._now][0]
            letters = self._letters[self._now]
            letter = letters.setdefault(sign, chr(first + len(letters)))
            self._signs[self._now][letter] = sign
            return letter

    def sign(self, letter: str) -> Sign | None:
        return self._signs[ord(letter) >= _PLANES[1][0]].get(letter)


_lent = Lent()


def lent(sign: Sign) -> str:
    """The code point that stands for the sign until the paper is made."""
    return _lent.letter(sign)


def sign(letter: str) -> Sign | None:
    """What the lent code point stands for; None where none is lent."""
    return _lent.sign(letter)


def meant(letters: str) -> str:
    """The text behind lent code points; other letters as they are."""
    if letters.isascii():
        return letters
    return "".join(
        known.text if one >= "\U000f0000" and (known := _lent.sign(one)) else one for one in letters
    )


@dataclass
class _Used:
    """What one paper uses of the font: the sign of each code, by subsets."""

    subsets: list[dict[int, Sign | None]] = field(default_factory=lambda: [{_SPACE: None}])
    codes: dict[str, tuple[int, int]] = field(default_factory=dict)
    name: str = ""

    def code(self, letter: str) -> tuple[int, int]:
        known = self.codes.get(letter)
        if known is not None:
            return known
        sign = _lent.sign(letter) if letter not in " \u00a0" else None
        if sign is None:
            return len(self.subsets) - 1, _SPACE
        if len(self.subsets[-1]) > len(_CODES):
            self.subsets.append({_SPACE: None})
        code = _CODES[len(self.subsets[-1]) - 1]
        self.subsets[-1][code] = sign
        self.codes[letter] = len(self.subsets) - 1, code
        return self.codes[letter]


def _glyph(code: int, sign: Sign | None, space: int) -> cff.Glyph:
    name = f"s{code}"
    if sign is None:
        return cff.Glyph(name, space, ())
    steps = tuple(
        (letter, tuple(part + (dy if place % 2 else dx) for place, part in enumerate(at)))
        for glyph, dx, dy in sign.parts
        for letter, at in outline(sign.source, glyph)
    )
    return cff.Glyph(name, sign.width, steps)


def _to_unicode(name: str, texts: dict[int, str]) -> str:
    """The CMap that gives each code its text (ISO 32000-2, 9.10.3); at most 100 lines a block."""
    lines = [
        f"<{code:02X}> <{text.encode('utf-16-be').hex().upper()}>" for code, text in texts.items()
    ]
    blocks = [lines[start : start + 100] for start in range(0, len(lines), 100)]
    return "\n".join([
        "/CIDInit /ProcSet findresource begin", "12 dict begin", "begincmap",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
        f"/CMapName /{name} def", "/CMapType 2 def",
        "1 begincodespacerange", "<00> <FF>", "endcodespacerange",
        *(line for block in blocks for line in (f"{len(block)} beginbfchar", *block, "endbfchar")),
        "endcmap", "CMapName currentdict /CMap defineresource pop", "end", "end",
    ])  # fmt: skip


class ScriptFont:
    """A font as ReportLab asks for one (`pdfbase.ttfonts.TTFont`), with as many letters as there are signs.

    `like` is the face it stands beside: lines keep that face's height and its space.
    """

    _multiByte = _dynamicFont = 1
    shapable = False

    def __init__(self, name: str, like: Any) -> None:
        self.fontName = name
        self.ascent, self.descent = like.face.ascent, like.face.descent
        self.face = like.face.__class__.__new__(like.face.__class__)
        self.face.__dict__.update(like.face.__dict__, name=name)
        self.space = round(like.stringWidth(" ", cff.EM))
        self._used: WeakKeyDictionary[Any, _Used] = WeakKeyDictionary()

    def _width(self, letter: str) -> int:
        sign = _lent.sign(letter) if letter >= "\U000f0000" else None
        return sign.width if sign else self.space

    def stringWidth(self, text: str, size: float, encoding: str = "utf8") -> float:
        return sum(map(self._width, text)) * size / cff.EM

    def splitString(self, text: str, doc: Any, encoding: str = "utf-8") -> list[tuple[int, bytes]]:
        used = self._used.setdefault(doc, _Used())
        pieces: list[tuple[int, bytearray]] = []
        for letter in text:
            subset, code = used.code(letter)
            if pieces and (pieces[-1][0] == subset or code == _SPACE):
                pieces[-1][1].append(code)
            else:
                pieces.append((subset, bytearray([code])))
        return [(subset, bytes(codes)) for subset, codes in pieces]

    def getSubsetInternalName(self, subset: int, doc: Any) -> str:
        used = self._used.setdefault(doc, _Used())
        if not used.name:
            used.name = f"F{len(doc.fontMapping) + 1}"
            doc.fontMapping[self.fontName] = f"/{used.name}"
            doc.delayedFonts.append(self)
        return f"/{used.name}+{subset}"

    def addObjects(self, doc: Any) -> None:
        """Write each subset: the font's dictionary, its program and the map back to text."""
        used = self._used.pop(doc)
        for place, subset in enumerate(used.subsets):
            inner = f"{used.name}+{place}"
            self._add_subset(doc, inner, f"{_tag(place)}+{self.fontName}", subset)

    def _add_subset(self, doc: Any, inner: str, name: str, subset: dict[int, Sign | None]) -> None:
        glyphs = [_glyph(code, sign, self.space) for code, sign in sorted(subset.items())]
        stream = pdfdoc.PDFStream(content=cff.program(name, glyphs))
        stream.dictionary.dict["Subtype"] = pdfdoc.PDFName("Type1C")
        texts = {code: sign.text if sign else " " for code, sign in sorted(subset.items())}
        back = pdfdoc.PDFStream(content=_to_unicode(name, texts))
        for one in (stream, back):
            one.filters = [pdfdoc.PDFZCompress]
        descriptor = pdfdoc.PDFDictionary({
            "Type": pdfdoc.PDFName("FontDescriptor"), "FontName": pdfdoc.PDFName(name),
            "Flags": 4, "FontBBox": pdfdoc.PDFArray(list(cff.box(glyphs))), "ItalicAngle": 0,
            "Ascent": self.ascent, "Descent": self.descent, "CapHeight": self.face.capHeight, "StemV": 80,
            "FontFile3": doc.Reference(stream, f"signs:{inner}"),
        })  # fmt: skip
        font = pdfdoc.PDFType1Font()
        font.Name, font.BaseFont = inner, name
        first, last = min(subset), max(subset)
        widths = dict(zip(sorted(subset), (glyph.width for glyph in glyphs), strict=True))
        font.FirstChar, font.LastChar = first, last
        font.Widths = pdfdoc.PDFArray([widths.get(code, 0) for code in range(first, last + 1)])
        differences: list[Any] = []
        for code, glyph in zip(sorted(subset), glyphs, strict=True):
            differences += [code, pdfdoc.PDFName(glyph.name)]
        font.Encoding = pdfdoc.PDFDictionary({
            "Type": pdfdoc.PDFName("Encoding"), "Differences": pdfdoc.PDFArray(differences)
        })  # fmt: skip
        font.ToUnicode = doc.Reference(back, f"texts:{inner}")
        font.FontDescriptor = doc.Reference(descriptor, f"descriptor:{inner}")
        doc.Reference(font, inner)
        doc.idToObject["BasicFonts"].dict[inner] = font


def _tag(place: int) -> str:
    """Six capitals before the name of a subset (ISO 32000-2, 9.9.2)."""
    return "".join(chr(65 + place // 26**power % 26) for power in range(5, -1, -1))


def texts(pieces: Sequence[tuple[str, str]]) -> str:
    """What (face, letters) pieces say."""
    return "".join(meant(letters) for _, letters in pieces)
