"""How is one drawing shown both on a page and on paper? A list of shapes -> SVG text and a ReportLab canvas.

Lengths are millimetres of the thing drawn; y goes down in both. Paints are solid colours or hatches,
never gradients, so that a black-and-white print tells the same story. SVG carries presentation
attributes only: a strict content security policy refuses style attributes.
"""

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from html import escape

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from consult.documents import fonts
from consult.documents.outlines import Outline, bounds

Matrix = tuple[float, float, float, float, float, float]
UNMOVED: Matrix = (1, 0, 0, 1, 0, 0)
FAMILY = "Source Sans"  # as the pages' style sheet names it
_WEIGHTS = {False: "400", True: "600"}


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines over an optional ground. `angle` in degrees from the level, rising to the right."""

    colour: str
    spacing: float
    width: float
    angle: float = 45.0
    ground: str | None = None


Paint = str | Hatch | None


@dataclass(frozen=True, slots=True)
class Path:
    """An outline, filled, stroked or both. `name` becomes its id in SVG and must be unique."""

    outline: Outline
    fill: Paint = None
    stroke: str | None = None
    width: float = 0.3
    dash: tuple[float, ...] = ()
    name: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words; (x, y) is on its base line."""

    x: float
    y: float
    words: str
    size: float
    fill: str
    anchor: str = "start"  # start, middle or end
    bold: bool = False
    name: str = ""
    hand: bool = False  # as if piped or written by hand: italic


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes moved and clipped together. `clip` is in the group's own coordinates."""

    shapes: "tuple[Shape, ...]"
    matrix: Matrix = UNMOVED
    clip: Outline | None = None
    name: str = ""


Shape = Path | Text | Group


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole drawing. (x, y) is the top left corner of what is seen, `width` by `height` of it."""

    shapes: tuple[Shape, ...]
    x: float
    y: float
    width: float
    height: float
    title: str
    description: str = ""


def moved(
    shapes: Iterable[Shape], x: float, y: float, turn: float = 0.0, scale: float = 1.0
) -> Group:
    """Shapes drawn about (0, 0), set down at (x, y), turned by `turn` degrees clockwise."""
    cosine = math.cos(math.radians(turn)) * scale
    sine = math.sin(math.radians(turn)) * scale
    return Group(tuple(shapes), (cosine, sine, -sine, cosine, x, y))


def hatch_lines(outline: Outline, hatch: Hatch) -> Group:
    """The hatch as lines cut off at the outline: the same in SVG and in PDF."""
    left, top, right, bottom = bounds(outline)
    centre_x, centre_y = (left + right) / 2, (top + bottom) / 2
    reach = math.hypot(right - left, bottom - top) / 2
    along = (math.cos(math.radians(hatch.angle)), -math.sin(math.radians(hatch.angle)))
    across = (-along[1], along[0])
    steps = int(reach // hatch.spacing)
    lines: list[tuple[str, tuple[float, ...]]] = []
    for step in range(-steps, steps + 1):
        x = centre_x + across[0] * step * hatch.spacing
        y = centre_y + across[1] * step * hatch.spacing
        lines.append(("M", (x - along[0] * reach, y - along[1] * reach)))
        lines.append(("L", (x + along[0] * reach, y + along[1] * reach)))
    return Group((Path(tuple(lines), stroke=hatch.colour, width=hatch.width),), clip=outline)


def _laid_out(shape: Shape) -> Iterator[Shape]:
    """A hatched path as ground, lines and edge; anything else as it is."""
    if isinstance(shape, Path) and isinstance(shape.fill, Hatch):
        if shape.fill.ground:
            yield Path(shape.outline, fill=shape.fill.ground)
        yield hatch_lines(shape.outline, shape.fill)
        yield replace(shape, fill=None)
    else:
        yield shape


def _figure(value: float, places: int = 2) -> str:
    """A number as short as it can be, at a hundredth of a millimetre: finer than any screen."""
    return f"{round(value, places) + 0.0:.7g}"  # + 0.0: no "-0"


# What of a number with so many places is only zeros at its end.
_ZEROS = {1: re.compile(r"\.0(?!\d)"), 2: re.compile(r"\.00(?!\d)|(?<=\.\d)0(?!\d)")}
_FORMS = {
    (places, count): " ".join([f"%.{places}f"] * count) for places in _ZEROS for count in (0, 2, 6)
}


def _commands(outline: Outline, places: int) -> str:
    """An outline as path data. All numbers of a command at once: a page has tens of thousands."""
    said = "".join([letter + _FORMS[places, len(at)] % at for letter, at in outline])
    return _ZEROS[places].sub("", said)


class _SvgWriter:
    """Collects definitions and elements while it walks through the shapes."""

    def __init__(self, prefix: str, places: int) -> None:
        self._prefix, self._places = prefix, places
        self._clips: dict[str, str] = {}
        self._drawn: dict[tuple[Shape, ...], str] = {}
        self.elements: list[str] = []

    @property
    def definitions(self) -> str:
        return "".join(
            f'<clipPath id="{name}"><path d="{outline}"/></clipPath>'
            for outline, name in self._clips.items()
        )

    def _name(self, name: str) -> str:
        return f' id="{escape(self._prefix)}-{escape(name)}"' if name else ""

    def write(self, shape: Shape) -> None:
        for part in _laid_out(shape):
            if isinstance(part, Path):
                self._write_path(part)
            elif isinstance(part, Text):
                self._write_text(part)
            else:
                self._write_group(part)

    def _write_path(self, path: Path) -> None:
        fill = path.fill if isinstance(path.fill, str) else "none"
        stroke = ""
        if path.stroke:
            stroke = (
                f' stroke="{path.stroke}" stroke-width="{_figure(path.width)}"'
                ' stroke-linecap="round" stroke-linejoin="round"'
            )
            if path.dash:
                stroke += f' stroke-dasharray="{" ".join(map(_figure, path.dash))}"'
        self.elements.append(
            f'<path{self._name(path.name)} d="{_commands(path.outline, self._places)}" fill="{fill}"{stroke}/>'
        )

    def _write_text(self, text: Text) -> None:
        slant = ' font-style="italic"' if text.hand else ""  # the pages have no italic serif
        self.elements.append(
            f'<text{self._name(text.name)} x="{_figure(text.x)}" y="{_figure(text.y)}"'
            f' font-family="{FAMILY}" font-weight="{_WEIGHTS[text.bold]}"{slant}'
            f' font-size="{_figure(text.size)}" fill="{text.fill}" text-anchor="{text.anchor}">'
            f"{escape(text.words)}</text>"
        )

    def _write_group(self, group: Group) -> None:
        clip = ""
        if group.clip:
            outline = _commands(group.clip, self._places)
            name = self._clips.setdefault(
                outline, f"{escape(self._prefix)}-clip-{len(self._clips)}"
            )
            clip = f' clip-path="url(#{name})"'
        move = ""
        if group.matrix != UNMOVED:
            turn = " ".join(_figure(value, 4) for value in group.matrix[:4])
            move = f' transform="matrix({turn} {" ".join(map(_figure, group.matrix[4:]))})"'
        if move and not group.name:
            self._write_again(group.shapes, f"{move}{clip}")
            return
        self.elements.append(f"<g{self._name(group.name)}{move}{clip}>")
        for shape in group.shapes:
            self.write(shape)
        self.elements.append("</g>")

    def _write_again(self, shapes: tuple[Shape, ...], where: str) -> None:
        """A figure set down at a place: drawn out the first time, later only pointed to."""
        known = self._drawn.get(shapes)
        if known is not None:
            self.elements.append(f'<use href="#{known}"{where}/>')
            return
        name = self._drawn[shapes] = f"{escape(self._prefix)}-piece-{len(self._drawn)}"
        self.elements.append(f'<g{where}><g id="{name}">')
        for shape in shapes:
            self.write(shape)
        self.elements.append("</g></g>")


def to_svg(scene: Scene, prefix: str = "cake", places: int = 2) -> str:
    """The drawing as one SVG element. Every id begins with `prefix`: several stand on one page.

    Outlines are told to 1 or 2 `places` of a millimetre; one is enough for a drawing of a thumb's size.
    """
    writer = _SvgWriter(prefix, places)
    for shape in scene.shapes:
        writer.write(shape)
    identity = escape(prefix)
    description, described = "", ""
    if scene.description:
        description = f'<desc id="{identity}-desc">{escape(scene.description)}</desc>'
        described = f' aria-describedby="{identity}-desc"'
    box = " ".join(map(_figure, (scene.x, scene.y, scene.width, scene.height)))
    definitions = f"<defs>{writer.definitions}</defs>" if writer.definitions else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img"'
        f' aria-labelledby="{identity}-title"{described}>'
        f'<title id="{identity}-title">{escape(scene.title)}</title>'
        f"{description}{definitions}{''.join(writer.elements)}</svg>"
    )


def _trace(canvas: Canvas, outline: Outline) -> PDFPathObject:
    path = canvas.beginPath()
    steps = {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}
    for letter, at in outline:
        steps[letter](*at)
    return path


def _draw_path(canvas: Canvas, path: Path) -> None:
    if path.fill:
        canvas.setFillColor(HexColor(path.fill))
    if path.stroke:
        canvas.setStrokeColor(HexColor(path.stroke))
        canvas.setLineWidth(path.width)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        canvas.setDash(list(path.dash))
    canvas.drawPath(
        _trace(canvas, path.outline), stroke=int(bool(path.stroke)), fill=int(bool(path.fill))
    )


def _draw_text(canvas: Canvas, text: Text) -> None:
    face = fonts.SANS_BOLD if text.bold else fonts.SANS
    face = fonts.SERIF_ITALIC if text.hand else face
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
    x = text.x - back * fonts.width(text.words, text.size, face)
    canvas.setFillColor(HexColor(text.fill))
    canvas.translate(x, text.y)
    canvas.scale(1, -1)
    for where, letters in fonts.runs(text.words, face):
        canvas.setFont(where, text.size)
        canvas.drawString(0, 0, letters)
        canvas.translate(fonts.width(letters, text.size, where), 0)


def _draw_shape(canvas: Canvas, shape: Shape) -> None:
    for part in _laid_out(shape):
        canvas.saveState()
        if isinstance(part, Path):
            _draw_path(canvas, part)
        elif isinstance(part, Text):
            _draw_text(canvas, part)
        else:
            canvas.transform(*part.matrix)
            if part.clip:
                canvas.clipPath(_trace(canvas, part.clip), stroke=0, fill=0)
            for inner in part.shapes:
                _draw_shape(canvas, inner)
        canvas.restoreState()


def draw(scene: Scene, canvas: Canvas, x: float, top: float, scale: float) -> None:
    """Draw with the scene's top left corner at (x, top) of the canvas, in points.

    `scale` is points of paper for one millimetre of the scene.
    """
    fonts.register()
    canvas.saveState()
    canvas.transform(scale, 0, 0, -scale, x - scene.x * scale, top + scene.y * scale)
    for shape in scene.shapes:
        _draw_shape(canvas, shape)
    canvas.restoreState()
