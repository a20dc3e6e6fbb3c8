"""How do rows stand that a kitchen ticks off? Boxes, words and figures that are read at arm's length."""

from collections.abc import Sequence

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from consult.documents import fonts
from consult.documents.paper import BODY, HEADING, INK, Said, opening, said
from consult.documents.tables import Cell, Chip, ledger

# Read at arm's length with wet hands: figures in 14 pt, words in 11.5 (our choice).
FIGURE = BODY.clone("figure", fontName=fonts.SANS_BOLD, fontSize=14, leading=17, alignment=TA_RIGHT)
FIGURE_LEFT = FIGURE.clone("figure left", alignment=0)
WORDS = BODY.clone("kitchen words", fontSize=11.5, leading=14.5)
STRONG = WORDS.clone("kitchen strong", fontName=fonts.SANS_BOLD)
NOTE = BODY.clone("kitchen note", fontSize=9.6, leading=12.4)
BOWL = HEADING.clone("bowl", fontSize=14, leading=17, spaceAfter=0)
_TICK = 5 * mm
CLOSE_AIR = 1.8  # over and under the rows of long lists
GAP = 7 * mm  # between two columns
AIR, _FIGURE_RISE = 3.6, 2.2  # over and under a row; a figure's letters are that much taller
TICKS = 8 * mm  # the column of boxes
_HALF_A_PAGE = 130 * mm


class Tick(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """An empty box to tick with a pencil."""

    def __init__(self, drop: float = 1.2) -> None:
        super().__init__()
        self.width, self.height = _TICK, _TICK + drop

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(1)
            self.canv.roundRect(0, 0, _TICK, _TICK, 1.6, stroke=1, fill=0)


def ticked(
    rows: Sequence[Sequence[Cell]], widths: Sequence[float], head: Sequence[str] = (),
    figures: int | None = None, air: float = AIR,
) -> Table:  # fmt: skip
    """Rows with a box to tick in front; `figures` is the column of big figures."""
    titles = ("", *head) if any(head) else ()
    right = () if figures is None else (figures + 1,)
    table = ledger(
        [[Tick(), *row] for row in rows], (TICKS, *widths), head=titles, right=right, air=air
    )
    table.splitInRow = 0  # a box and its words stay on one page
    return raised(table, right[0], bool(titles), air) if right else table


def raised(table: Table, column: int, has_head: bool, air: float = AIR) -> Table:
    """The column of figures moved up, so that they stand on the line of the words beside them."""
    table.setStyle(
        TableStyle(
            [("TOPPADDING", (column, int(has_head)), (column, -1), max(0.0, air - _FIGURE_RISE))]
        )
    )
    return table


def part(title: str, table: Table, after: Sequence[Flowable] = ()) -> list[Flowable]:
    """A heading, its rows and what is said of them: kept on one page where half a page holds them, else
    from page to page."""
    rows = [*opening(title), table, *after]
    return [KeepTogether(rows)] if table.wrap(0, 10_000)[1] < _HALF_A_PAGE else rows


def swatch(name: str, colour: str, width: float) -> Flowable:
    chip = Chip(colour or "#FFFFFF", 9 * mm)
    chip.height = 4.6 * mm
    return Table(
        [[chip if colour else "", said(f"tint {name}", STRONG)]],
        colWidths=[11 * mm, width - 11 * mm], hAlign="LEFT",
        style=TableStyle([
            ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"), ("FONTNAME", (0, 0), (-1, -1), fonts.SANS),
        ]),
    )  # fmt: skip


def labelled(label: str, words: str, style: ParagraphStyle = WORDS) -> Flowable:
    bold = f'<font name="{fonts.SANS_BOLD}">{fonts.words(label, fonts.SANS_BOLD)}</font>'
    return Said(f"{bold} {fonts.words(words)}", style)


def whole(parts: Sequence[Flowable], width: float) -> Flowable:
    """Parts that stay together in a column, with air under them."""
    return ledger([[[*parts, Spacer(0, 4)]]], (width,), air=0, lines=False)
