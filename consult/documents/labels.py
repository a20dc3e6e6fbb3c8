"""What stands on the boxes? Labels, two by three on a sheet with lines to cut along."""

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepInFrame, Spacer, Table, TableStyle

from consult.core.label_values import BoxLabel, LabelSheet
from consult.documents import fonts
from consult.documents.paper import (
    BODY,
    HEADING,
    INK,
    SMALL,
    SOFT,
    Rule,
    Running,
    Said,
    column_width,
    printed,
    said,
)
from consult.documents.tables import Cell

_HIGH = 77 * mm  # three of them fit the text of a letter page under its running head
_AIR = 5 * mm
_ACROSS, _DOWN = 2, 3
_WHAT = HEADING.clone("label what", fontSize=17, leading=20, spaceAfter=0)
_SIZES = (10.6, 10.0, 9.4, 8.8, 8.2)  # points; the largest at which all words fit the label
_END = SMALL.clone("label end", alignment=TA_RIGHT)


class ThisWayUp(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """Two arrows over a line, as on any crate (after ISO 780, drawn by us)."""

    def __init__(self, width: float = 15 * mm, height: float = 13 * mm) -> None:
        super().__init__()
        self.width, self.height = width, height

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.tagged("Figure", "This way up"):
            self.canv.setStrokeColor(INK)
            self.canv.setFillColor(INK)
            self.canv.setLineWidth(1.6)
            self.canv.line(0, 1, self.width, 1)
            for middle in (self.width * 0.28, self.width * 0.72):
                self._arrow(middle)

    def _arrow(self, middle: float) -> None:
        stem, half = self.width * 0.055, self.width * 0.17
        neck, foot = self.height * 0.55, self.height * 0.16
        path = self.canv.beginPath()
        path.moveTo(middle, self.height)
        for x, y in (
            (middle + half, neck), (middle + stem, neck), (middle + stem, foot),
            (middle - stem, foot), (middle - stem, neck), (middle - half, neck),
        ):  # fmt: skip
            path.lineTo(x, y)
        path.close()
        self.canv.drawPath(path, stroke=0, fill=1)


def labels(sheet: LabelSheet) -> bytes:
    """The labels as a PDF, six to a page; an order without a box gives a page that says so."""
    width = column_width(sheet.paper)
    wide = width / _ACROSS
    count = len(sheet.labels)
    cells: list[Cell] = [
        _label(one, at, count, sheet, wide) for at, one in enumerate(sheet.labels, start=1)
    ]
    if not cells:
        cells = [[said("There is nothing to label yet.", BODY)]]
    rows = [cells[at : at + _ACROSS] for at in range(0, len(cells), _ACROSS)]
    rows[-1] += [""] * (_ACROSS - len(rows[-1]))
    dashed = ("LINEBEFORE", (1, 0), (1, -1), 0.5, SOFT, "butt", (2, 3))
    table = Table(
        rows, colWidths=[wide] * _ACROSS, rowHeights=[_HIGH] * len(rows), hAlign="LEFT",
        style=TableStyle([
            ("LEFTPADDING", (0, 0), (-1, -1), _AIR), ("RIGHTPADDING", (0, 0), (-1, -1), _AIR),
            ("TOPPADDING", (0, 0), (-1, -1), _AIR), ("BOTTOMPADDING", (0, 0), (-1, -1), _AIR),
            ("VALIGN", (0, 0), (-1, -1), "TOP"), ("FONTNAME", (0, 0), (-1, -1), fonts.SANS),
            ("BOX", (0, 0), (-1, -1), 0.5, SOFT, "butt", (2, 3)),
            ("LINEBELOW", (0, 0), (-1, -1), 0.5, SOFT, "butt", (2, 3)),
            dashed,
        ]),
    )  # fmt: skip
    running = Running(
        title="Box labels",
        about=sheet.client_name or "cake",
        shop=sheet.shop_name,
        number=f"Sheet {sheet.number}",
    )
    return printed(
        [table, Spacer(0, 4), said(sheet.note, SMALL)], paper=sheet.paper, locale=sheet.locale,
        subject=f"Labels for the boxes of sheet {sheet.number}", running=running,
    )  # fmt: skip


def _line(size: float, *, bold: bool = False) -> ParagraphStyle:
    face = fonts.SANS_BOLD if bold else fonts.SANS
    return BODY.clone("label line", fontName=face, fontSize=size, leading=size * 1.23)


def _labelled(label: str, words: str, style: ParagraphStyle, *, bold: bool = False) -> Flowable:
    face = fonts.SANS_BOLD if bold else fonts.SANS
    named = f'<font name="{fonts.SANS_BOLD}">{fonts.words(label, fonts.SANS_BOLD)}</font>'
    return Said(f'{named} <font name="{face}">{fonts.words(words, face)}</font>', style)


def _label(one: BoxLabel, at: int, count: int, sheet: LabelSheet, wide: float) -> KeepInFrame:
    """What stands on one label, in the largest letters that fit."""
    room, high = wide - 2 * _AIR, _HIGH - 2 * _AIR
    for size in _SIZES:
        parts = _parts(one, f"box {at} of {count}", sheet, room, size)
        if sum(float(part.wrap(room, 10_000)[1]) for part in parts) <= high:
            break
    return KeepInFrame(room, high, parts, mode="shrink", hAlign="LEFT")


def _parts(
    one: BoxLabel, place: str, sheet: LabelSheet, room: float, size: float
) -> list[Flowable]:
    line, strong = _line(size), _line(size, bold=True)
    mark = ThisWayUp()
    head = _row(
        [[said(one.what, _WHAT), said(place, SMALL)], mark], (room - mark.width, mark.width)
    )
    parts: list[Flowable] = [head, Spacer(0, 3)]
    parts += [said(words, line) for words in one.holds]
    if one.note:
        parts.append(said(one.note, _line(size * 1.12, bold=True)))
    parts.append(Spacer(0, 3))
    # Allergens stand out from the rest, as Regulation (EU) 1169/2011, Article 21, asks of a list.
    contains = ", ".join(one.contains) or "no allergen named in its recipes"
    parts.append(_labelled("Contains", f"{contains}.", line, bold=bool(one.contains)))
    if one.may_contain:
        parts.append(_labelled("May contain", f"{', '.join(one.may_contain)}.", line))
    parts += [Spacer(0, 3), said(one.keep, strong)]
    if one.eat_by:
        parts.append(said(one.eat_by, line))
    weighs = f"{one.weight[0].upper()}{one.weight[1:]}. " if one.weight else ""
    parts.append(said(f"{weighs}{one.carry}", strong))
    shop = f"{sheet.shop_name}, {sheet.phone}" if sheet.phone else sheet.shop_name
    foot = _row(
        [
            [said(sheet.client_name, SMALL), said(sheet.date_words, SMALL)],
            [said(f"Sheet {sheet.number}", _END), said(shop, _END)],
        ],
        (room * 0.52, room * 0.48),
    )
    return [*parts, Spacer(0, 3), Rule(room, thick=0.5), Spacer(0, 2), foot]


def _row(cells: list[Cell], widths: tuple[float, float]) -> Table:
    return Table(
        [cells], colWidths=widths, hAlign="LEFT",
        style=TableStyle([
            ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ("VALIGN", (0, 0), (-1, -1), "TOP"), ("FONTNAME", (0, 0), (-1, -1), fonts.SANS),
        ]),
    )  # fmt: skip
