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


def seen(broken: Any) -> tuple[Any, int]:
    """The lines as they are drawn, and the level of the whole: 1 where it runs right to left."""
    lines = _pieces(broken)
    if not any(fonts.has_signs(face) for line in lines for face, _ in line):
        return broken, 0
    said = [scripts.texts(line) for line in lines]
    if not any(map(bidi.has_right_to_left, said)):
        return broken, 0
    base = bidi.base_level(" ".join(said))
    turned = [
        _turned(broken, line, pieces, base)
        for line, pieces in zip(broken.lines, lines, strict=True)
    ]
    return broken.clone(lines=turned), base
