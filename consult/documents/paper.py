"""How is a paper of the shop set? Page, margins, styles, running words on each page, and the bytes.

The same values give the same bytes, so that a hash of the file can prove what was agreed.
"""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from babel.dates import format_date
from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    PageTemplate,
    Paragraph,
    Spacer,
)

from consult.documents import colours, fonts, reading, shaping
from consult.documents.scene import Scene, draw
from consult.documents.tagging import TaggedCanvas
from shop.core.policies import Paper

SIZES: dict[Paper, tuple[float, float]] = {Paper.LETTER: letter, Paper.A4: A4}
MARGIN = 17 * mm
TOP, FOOT = 15 * mm, 21 * mm
RUNNING_TOP = 20.5 * mm  # from the second page on, under the running head

rl_config.useA85 = 0  # streams as plain bytes: files a quarter smaller, and written twice as fast
fonts.register()
INK, SOFT = HexColor(colours.INK), HexColor(colours.SOFT_INK)
RULE = HexColor(colours.RULE)


def _style(name: str, size: float, leading: float, **more: object) -> ParagraphStyle:
    """`role` is the tag of the structure tree."""
    settings: dict[str, object] = {
        "fontName": fonts.SANS,
        "bulletFontName": fonts.SANS,
        "textColor": INK,
        "role": "P",
        "allowWidows": 0,
        "allowOrphans": 0,
        "splitLongWords": 1,
    }
    return ParagraphStyle(name, fontSize=size, leading=leading, **{**settings, **more})


TITLE = _style("title", 25, 29, fontName=fonts.SERIF_BOLD, role="H1")
HEADING = _style(
    "heading", 13, 16, fontName=fonts.SERIF_BOLD, role="H2", spaceBefore=0, spaceAfter=3,
)  # fmt: skip
BODY = _style("body", 9.8, 13.4)
LEAD = _style("lead", 10.6, 14.5)
BOLD = _style("bold", 9.8, 13.4, fontName=fonts.SANS_BOLD)
SMALL = _style("small", 8.3, 11, textColor=SOFT)
COLUMN = _style("column", 8.3, 11, textColor=SOFT, fontName=fonts.SANS_BOLD)
COLUMN_RIGHT = COLUMN.clone("column right", alignment=TA_RIGHT)
RIGHT = _style("right", 9.8, 13.4, alignment=TA_RIGHT)
RIGHT_BOLD = _style("right bold", 9.8, 13.4, alignment=TA_RIGHT, fontName=fonts.SANS_BOLD)
RIGHT_SMALL = _style("right small", 9, 12.6, alignment=TA_RIGHT, textColor=SOFT)
TERMS = _style("terms", 8.3, 10.7, spaceAfter=3)
LIST = _style("list", 9.8, 13.4, leftIndent=10, bulletIndent=0, spaceAfter=1.5)
CLOSE = _style("close", 9, 11.5)
CLOSE_LIST = _style("close list", 9, 11.5, leftIndent=10, bulletIndent=0)


class Said(Paragraph):  # type: ignore[misc]  # ReportLab publishes no types
    """A paragraph that tells a screen reader what it is. Its text must come from `fonts.words`."""

    blPara: Any  # its broken lines, once it was wrapped
    style: ParagraphStyle
    _broken_for = -1.0  # the width that they were broken for

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Lines are broken once for a width: a table asks for them three times before it is drawn."""
        if availWidth != self._broken_for or not hasattr(self, "blPara"):
            self._broken_for = availWidth
            super().wrap(availWidth, availHeight)
        return self.width, self.height

    def drawOn(self, canvas: TaggedCanvas, x: float, y: float, _sW: float = 0) -> None:
        with canvas.tagged(getattr(self.style, "role", "P")):
            super().drawOn(canvas, x, y, _sW)

    def drawPara(self, debug: int = 0) -> None:
        """Lines are broken in the order of reading and turned to that of the eye only here."""
        broken, style = self.blPara, self.style
        self.blPara, leftward = reading.seen(broken)
        if leftward and len(broken.lines) > 1 and style.alignment == TA_LEFT:
            self.style = style.clone(f"{style.name} leftward", alignment=TA_RIGHT)
        super().drawPara(debug)
        self.blPara, self.style = broken, style


def said(text: str, style: ParagraphStyle = BODY) -> Said:
    """Words that somebody typed, as a paragraph: escaped, every letter set."""
    return Said(fonts.words(text, style.fontName), style)


def heading(text: str) -> list[Flowable]:
    """A heading with air over it, for a part that is kept together."""
    return [Spacer(0, 11), said(text, HEADING)]


def opening(text: str) -> list[Flowable]:
    """A heading of a part that may run on: it never stands alone at the foot of a page."""
    return [CondPageBreak(30 * mm), *heading(text)]


def listed(items: Sequence[str], style: ParagraphStyle = LIST) -> list[Flowable]:
    return [Said(fonts.words(item), style, bulletText="–") for item in items]


def long_date(day: date, locale: str) -> str:
    """ "Saturday, May 15, 2027", as the locale writes it (CLDR)."""
    return str(format_date(day, "full", locale=locale))


def short_date(day: date, locale: str) -> str:
    """ "May 15, 2027"."""
    return str(format_date(day, "long", locale=locale))


class Drawing(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """A scene on paper, one to `scale`; `words` are read in its place."""

    def __init__(self, scene: Scene, scale: float) -> None:
        super().__init__()
        self._scene = scene
        self._points = mm / scale
        self.width = scene.width * self._points
        self.height = scene.height * self._points

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        words = f"{self._scene.title}. {self._scene.description}"
        with self.canv.tagged("Figure", words):
            draw(self._scene, self.canv, 0, self.height, self._points)


class Rule(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """A line across the column; with `ticks` our ruler: a fine tick each 3 mm, a longer one each fifth."""

    def __init__(
        self, width: float, thick: float = 0.4, ticks: bool = False, ink: bool = True
    ) -> None:
        super().__init__()
        self.width, self.height = width, 6.0 if ticks else thick
        self._thick, self._ticks, self._ink = thick, ticks, ink

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setStrokeColor(INK if self._ink else RULE)
            self.canv.setLineWidth(self._thick)
            self.canv.line(0, self.height, self.width, self.height)
            if self._ticks:
                tick_ruler(self.canv, 0, self.height, self.width)


def tick_ruler(canvas: TaggedCanvas, x: float, y: float, width: float) -> None:
    """Fine ticks hanging from a line at `y`: each 3 mm, a longer one each 15."""
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.3)
    for place in range(int(width / (3 * mm)) + 1):
        long = 4.2 if place % 5 == 0 else 2.0
        canvas.line(x + place * 3 * mm, y, x + place * 3 * mm, y - long)


@dataclass(frozen=True, slots=True)
class Running:
    """What stands on each page: at the head from the second page on, at the foot of all."""

    title: str  # "Design sheet"
    about: str  # whom and what it is for
    shop: str
    number: str  # "Sheet 2027-0142, revision 2"
    fingerprint: str = ""  # "" leaves the line out


def _line_of(
    canvas: TaggedCanvas, x: float, y: float, text: str, size: float, end: bool = False
) -> None:
    if end:
        x -= fonts.width(text, size)
    for face, letters in fonts.runs(text):
        canvas.setFont(face, size)
        canvas.drawString(x, y, letters)
        x += fonts.width(letters, size, face)


def fitted(text: str, size: float, room: float, face: str = fonts.SANS) -> str:
    """The text, or as much of it as the room holds, then an ellipsis."""
    if fonts.width(text, size, face) <= room:
        return text
    units = shaping.units(text)
    while units and fonts.width("".join(units) + "…", size, face) > room:
        units.pop()
    text = "".join(units)
    return text.rstrip(" ,") + "…"


def _furnish(canvas: TaggedCanvas, page: int, pages: int, paper: Paper, running: Running) -> None:
    width, height = SIZES[paper]
    room = width - 2 * MARGIN
    canvas.saveState()
    canvas.setFillColor(SOFT)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.4)
    if page > 1:
        y = height - 15 * mm
        about = fitted(f"{running.title}, {running.about}", 8.3, room * 0.6)
        _line_of(canvas, MARGIN, y, about, 8.3)
        _line_of(canvas, width - MARGIN, y, fitted(running.number, 8.3, room * 0.36), 8.3, end=True)
        canvas.line(MARGIN, y - 4, width - MARGIN, y - 4)
    y = 13.5 * mm
    _line_of(canvas, MARGIN, y, fitted(f"{running.shop} · {running.number}", 8.3, room * 0.8), 8.3)
    _line_of(canvas, width - MARGIN, y, f"page {page} of {pages}", 8.3, end=True)
    if running.fingerprint:
        _line_of(canvas, MARGIN, y - 9.5, f"Fingerprint {running.fingerprint}", 6.6)
    canvas.restoreState()


def column_width(paper: Paper) -> float:
    """How wide the text is, in points."""
    return float(SIZES[paper][0] - 2 * MARGIN)


def page_room(paper: Paper) -> float:
    """How high the text of the first page is, in points."""
    return float(SIZES[paper][1] - TOP - FOOT)


def printed(
    story: Sequence[Flowable], *, paper: Paper, locale: str, subject: str, running: Running
) -> bytes:
    """The paper as PDF bytes. The same values give the same bytes."""
    width, height = SIZES[paper]
    room = column_width(paper)
    buffer = io.BytesIO()

    class NumberedCanvas(TaggedCanvas):
        def furnish(self, page: int, pages: int) -> None:
            _furnish(self, page, pages, paper, running)

    document = BaseDocTemplate(
        buffer,
        pagesize=(width, height),
        title=f"{running.title}: {running.about} ({running.number.lower()})",
        author=running.shop,
        subject=subject,
        creator="Tierwright",
        lang=locale.replace("_", "-"),
        invariant=1,
        initialFontName=fonts.SANS,
    )
    bare = {"leftPadding": 0, "rightPadding": 0, "topPadding": 0, "bottomPadding": 0}
    first = Frame(MARGIN, FOOT, room, height - TOP - FOOT, id="first", **bare)
    later = Frame(MARGIN, FOOT, room, height - RUNNING_TOP - FOOT, id="later", **bare)
    document.addPageTemplates([
        PageTemplate(id="first", frames=[first], autoNextPageTemplate="later"),
        PageTemplate(id="later", frames=[later]),
    ])  # fmt: skip
    document.build(list(story), canvasmaker=NumberedCanvas)
    return buffer.getvalue()
