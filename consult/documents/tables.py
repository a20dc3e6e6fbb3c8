"""How do figures, colours, pictures and cautions stand in rows? Ledgers with hairlines, swatches, a barred box."""

import io
from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

from PIL import Image as Picture
from PIL import UnidentifiedImageError
from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Image, Spacer, Table, TableStyle

from consult.core.design import Swatch
from consult.core.sheet import SheetPhoto
from consult.documents import colours, fonts
from consult.documents.paper import (
    COLUMN,
    COLUMN_RIGHT,
    INK,
    RULE,
    SMALL,
    said,
)
from consult.documents.tagging import TaggedCanvas

DOTS_AN_INCH = 220  # as much as an office printer shows of a picture
_SWATCH_HIGH = 5.5 * mm
_TICK = 3.4 * mm

Cell: TypeAlias = Any  # a flowable, a list of them, or "" for none: ReportLab publishes no types


def _bare(*commands: tuple[object, ...]) -> TableStyle:
    return TableStyle([
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("FONTNAME", (0, 0), (-1, -1), fonts.SANS),  # else an unembedded one stands in for empty cells
        *commands,
    ])  # fmt: skip


def ledger(
    rows: Sequence[Sequence[Cell]], widths: Sequence[float], head: Sequence[str] = (),
    right: Sequence[int] = (), air: float = 3.6, ruled_off: int | None = None,
    whole_rows: bool = False, lines: bool = True,
) -> Table:  # fmt: skip
    """Rows with a hairline under each; `right` names the columns of figures; the head repeats.

    `ruled_off` is the row, counted without the head, that an ink line stands above: the total. With
    `whole_rows` a page breaks between rows only, and the total keeps the row before it on its page.
    """
    heads = [
        said(text, COLUMN_RIGHT if place in right else COLUMN) for place, text in enumerate(head)
    ]
    body = [heads, *rows] if head else list(rows)
    first = 1 if head else 0
    commands: list[tuple[object, ...]] = [
        ("TOPPADDING", (0, 0), (-1, -1), air),
        ("BOTTOMPADDING", (0, 0), (-1, -1), air),
        ("RIGHTPADDING", (0, 0), (-2, -1), 7),
    ]
    if lines:
        commands.append(("LINEBELOW", (0, first), (-1, -1), 0.4, RULE))
    if head:
        commands += [
            ("LINEBELOW", (0, 0), (-1, 0), 0.6, INK),
            ("TOPPADDING", (0, 0), (-1, 0), 0),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ]
    if whole_rows and ruled_off:
        commands.append(("NOSPLIT", (0, first + ruled_off - 1), (-1, -1)))
    if ruled_off is not None:
        commands.append(("LINEABOVE", (0, first + ruled_off), (-1, first + ruled_off), 0.6, INK))
    return Table(
        body,
        colWidths=list(widths),
        repeatRows=first,
        style=_bare(*commands),
        hAlign="LEFT",
        splitInRow=0 if whole_rows else 1,
    )


def beside(left: Cell, right: Cell, widths: Sequence[float], gap: float) -> Table:
    """Two columns side by side, level at the top."""
    return Table(
        [[left, "", right]], colWidths=[widths[0], gap, widths[1]], style=_bare(), hAlign="LEFT"
    )


def barred(parts: list[Flowable], width: float) -> Table:
    """A box with a heavy bar at its left: what must not be overlooked, in black and white too.

    A row for each part, so that a box longer than a page runs on.
    """
    return Table(
        [[part] for part in parts], colWidths=[width], hAlign="LEFT", splitInRow=1,
        style=_bare(
            ("BOX", (0, 0), (-1, -1), 0.5, INK),
            ("LINEBEFORE", (0, 0), (0, -1), 5, HexColor("#A3341F"), "butt"),
            ("BACKGROUND", (0, 0), (-1, -1), HexColor("#FBEBE5")),
            ("LEFTPADDING", (0, 0), (-1, -1), 12), ("RIGHTPADDING", (0, 0), (-1, -1), 10),
            ("TOPPADDING", (0, 0), (-1, -1), 1.3), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.3),
            ("TOPPADDING", (0, 0), (-1, 0), 7), ("BOTTOMPADDING", (0, -1), (-1, -1), 8),
        ),
    )  # fmt: skip


class TickBox(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """An empty box to tick with a pen."""

    def wrap(self, *_: float) -> tuple[float, float]:
        return _TICK, _TICK + 1

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(0.7)
            self.canv.rect(0, 0, _TICK, _TICK)


class Chip(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """A colour with an ink edge, so that a pale one shows on white paper."""

    def __init__(self, colour: str, width: float) -> None:
        super().__init__()
        self._colour = colours.mixed(colour, "#000000", 0)
        self.width, self.height = width, _SWATCH_HIGH

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setFillColor(HexColor(self._colour))
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(0.5)
            self.canv.roundRect(0, 0, self.width, self.height, 2.5, stroke=1, fill=1)


def swatches(chosen: Sequence[Swatch], width: float, a_row: int = 5) -> list[Flowable]:
    """Colours with their names under them."""
    gap = 6.0
    across = (width - gap * (a_row - 1)) / a_row
    rows: list[Flowable] = []
    for start in range(0, len(chosen), a_row):
        cells: list[Cell] = []
        for place in range(a_row):
            if place:
                cells.append("")
            if start + place < len(chosen):
                one = chosen[start + place]
                cells.append(
                    [Chip(one.hex, across), Spacer(0, 2), said(one.name or one.hex, SMALL)]
                )
            else:
                cells.append("")
        widths = [across if place % 2 == 0 else gap for place in range(2 * a_row - 1)]
        rows += [Table([cells], colWidths=widths, style=_bare(), hAlign="LEFT"), Spacer(0, 5)]
    return rows


class NoPicture(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """An empty frame where a picture is missing or cannot be read, and says so."""

    def __init__(self, width: float) -> None:
        super().__init__()
        self.width, self.height = width, width * 0.6
        self._words = said("This picture could not be read.", SMALL)

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setStrokeColor(RULE)
            self.canv.rect(0, 0, self.width, self.height)
        _, high = self._words.wrap(self.width - 16, self.height)
        self._words.drawOn(self.canv, 8, (self.height - high) / 2)


class Photo(Image):  # type: ignore[misc]  # ReportLab publishes no types
    """A picture that tells a screen reader its caption."""

    def __init__(self, picture: io.BytesIO, width: float, height: float, caption: str) -> None:
        super().__init__(picture, width=width, height=height)
        self._caption = caption

    def drawOn(self, canvas: TaggedCanvas, x: float, y: float, _sW: float = 0) -> None:
        with canvas.tagged("Figure", self._caption or "Picture"):
            super().drawOn(canvas, x, y, _sW)


def _printable(jpeg: bytes, width: float, tallest: float) -> tuple[io.BytesIO, float, float]:
    """The picture no larger than the printer shows, and its width and height on paper, in points."""
    with Picture.open(io.BytesIO(jpeg), formats=("JPEG", "PNG", "WEBP")) as picture:
        across, down = picture.size
        scale = min(width / across, tallest / down)
        most = (int(across * scale / 72 * DOTS_AN_INCH), int(down * scale / 72 * DOTS_AN_INCH))
        if picture.format == "JPEG" and across <= most[0] * 1.1:
            return io.BytesIO(jpeg), across * scale, down * scale
        smaller = picture.convert("RGB")
        smaller.thumbnail((max(most[0], 1), max(most[1], 1)))
        written = io.BytesIO()
        smaller.save(written, "JPEG", quality=84)
    return io.BytesIO(written.getvalue()), across * scale, down * scale


def photo_rows(
    photos: Sequence[SheetPhoto], pictures: Mapping[str, bytes], width: float
) -> list[Flowable]:
    """Pictures two or three a row with their captions, never stretched; a row stays together."""
    a_row = 3 if len(photos) > 2 else 2
    gap = 5 * mm
    across = (width - gap * (a_row - 1)) / a_row
    rows: list[Flowable] = []
    for start in range(0, len(photos), a_row):
        cells: list[Cell] = []
        for place in range(a_row):
            if place:
                cells.append("")
            if start + place >= len(photos):
                cells.append("")
                continue
            one = photos[start + place]
            shown: Flowable
            try:
                shown = Photo(*_printable(pictures[one.sha256], across, 64 * mm), one.caption)
                shown.hAlign = "LEFT"
            except (KeyError, UnidentifiedImageError, OSError):
                shown = NoPicture(across)
            cells.append([shown, Spacer(0, 3), said(one.caption, SMALL)])
        widths = [across if place % 2 == 0 else gap for place in range(2 * a_row - 1)]
        rows.append(Table([cells], colWidths=widths, style=_bare(), hAlign="LEFT"))
        rows.append(Spacer(0, 8))
    return rows
