"""Where does the client sign? The drawn mark or the typed name with when and by whose hand, or empty lines."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from consult.core.sheet import SignatureMark
from consult.core.strokes import PAD_ASPECT, Strokes, polylines
from consult.documents import fonts
from consult.documents.paper import BOLD, INK, SMALL, said

_HIGH = (
    24 * mm
)  # the pad's proportion makes it 72 mm wide, which half a column of either paper holds


class Mark(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """What was drawn on the pad, as lines, or the typed name; on a line to sign on."""

    def __init__(self, width: float, mark: SignatureMark | None) -> None:
        super().__init__()
        self.width, self.height = width, _HIGH
        self._mark = mark

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(0.7)
            self.canv.line(0, 1, self.width, 1)
        if self._mark is None:
            return
        with self.canv.tagged("Figure", f"Signature of {self._mark.name}"):
            if self._mark.strokes:
                self._draw_strokes(self._mark)
            else:
                self._write_name(self._mark.name)

    def _draw_strokes(self, mark: SignatureMark) -> None:
        canvas = self.canv
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.3)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        for points in polylines(Strokes(mark.strokes), _HIGH * PAD_ASPECT, _HIGH):
            path = canvas.beginPath()
            path.moveTo(*points[0])
            for point in points[1:]:
                path.lineTo(*point)
            canvas.drawPath(path)

    def _write_name(self, name: str) -> None:
        size = 24.0
        needed = fonts.width(name, size, fonts.SERIF_ITALIC)
        size = min(size, size * self.width / needed) if needed else size
        self.canv.setFillColor(INK)
        x = 0.0
        for face, letters in fonts.runs(name, fonts.SERIF_ITALIC):
            self.canv.setFont(face, size)
            self.canv.drawString(x, 8, letters)
            x += fonts.width(letters, size, face)


def signature_block(mark: SignatureMark | None, shop: str, width: float) -> Table:
    """Two places to sign: the client at the left, the shop at the right."""
    gap = 10 * mm
    half = (width - gap) / 2
    left: list[Flowable] = [Mark(half, mark), Spacer(0, 3)]
    right: list[Flowable] = [Mark(half, None), Spacer(0, 3)]
    if mark is None:
        left.append(said("Client, and date", SMALL))
        right.append(said(f"For {shop}, and date", SMALL))
    else:
        left += [said(mark.name, BOLD), said(f"{mark.how}, {mark.signed_at}", SMALL)]
        right = [
            Spacer(0, _HIGH - 26),
            said(
                f"In the presence of {mark.witness}" if mark.witness else "Without a witness", BOLD
            ),
            said(f"for {shop}", SMALL),
        ]
    return Table(
        [[left, "", right]], colWidths=[half, gap, half], hAlign="LEFT",
        style=TableStyle([
            ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("FONTNAME", (0, 0), (-1, -1), fonts.SANS),
        ]),
    )  # fmt: skip
