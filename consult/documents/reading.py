"""Which way do the lines of a paragraph run? Broken lines of ReportLab, turned to the order of the eye."""

from typing import Any

from consult.documents import bidi, fonts, scripts


def _pieces(broken: Any) -> list[list[tuple[str, str]]]:
    """The (face, letters) of each line; `broken` is a paragraph's `blPara`, of one font or of several."""
    if broken.kind == 0:
        return [[(broken.fontName, " ".join(words))] for _, words in broken.lines]
    return [
        [(part.fontName, getattr(part, "text", "")) for part in line.words] for line in broken.lines
    ]


def _turned(broken: Any, line: Any, pieces: list[tuple[str, str]], base: int) -> Any:
    ordered = fonts.in_visual_order(pieces, base)
    if broken.kind == 0:
        return line[0], [letters for _, letters in ordered]
    parts = [line.words[which].clone(text=letters) for which, letters in ordered]
    parts += [
        part for part in line.words if not getattr(part, "text", "")
    ]  # a line's end has no letters
    return line.clone(words=parts)


def _bases(broken: Any, said: list[str]) -> list[int]:
    """The level of each line: that of the typed line it is a part of, 1 where that runs right to left."""
    bases: list[int] = []
    start = 0
    for place, line in enumerate(broken.lines, start=1):
        if place == len(said) or getattr(line, "lineBreak", False):
            bases += [bidi.base_level(" ".join(said[start:place]))] * (place - start)
            start = place
    return bases


def seen(broken: Any) -> tuple[Any, bool]:
    """The lines as they are drawn, and whether all of them run right to left."""
    lines = _pieces(broken)
    if not any(fonts.has_signs(face) for line in lines for face, _ in line):
        return broken, False
    said = [scripts.texts(line) for line in lines]
    if not any(map(bidi.has_right_to_left, said)):
        return broken, False
    bases = _bases(broken, said)
    turned = [
        _turned(broken, line, pieces, base)
        for line, pieces, base in zip(broken.lines, lines, bases, strict=True)
    ]
    return broken.clone(lines=turned), all(bases)
