"""How do terms run on in two columns, so that their end stands above the place to sign?"""

from collections.abc import Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, PageBreak, Spacer, Table

from consult.documents.paper import Said, said
from consult.documents.tables import beside
from consult.documents.tagging import TaggedCanvas

_STEP = 6.0  # points between two heights that are tried
_LEAST_LINES = 4  # of terms above a signature, and on the page before


def _high(parts: Sequence[Flowable], width: float) -> float:
    return sum(float(part.wrap(width, 10_000)[1]) + _after(part) for part in parts)


def _after(part: Flowable) -> float:
    return float(part.getSpaceAfter())


class TermsToSign(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """A heading, terms in two columns and what closes them; over two pages if they must.

    The columns fill a page and then run on. What closes them, the agreement, never stands on a page
    without at least `_LEAST_LINES` of terms above it, so that nobody signs an empty page.
    """

    def __init__(
        self, head: Sequence[Flowable], parts: Sequence[Said], closing: Sequence[Flowable],
        width: float, gap: float,
    ) -> None:  # fmt: skip
        super().__init__()
        self._head, self._parts, self._closing = list(head), list(parts), list(closing)
        self.width, self._gap = width, gap
        self._column = (width - gap) / 2
        self._line = float(parts[0].style.leading)

    def _closing_height(self) -> float:
        return _high(self._closing, self.width)

    def _filled(
        self, parts: Sequence[Said], height: float
    ) -> tuple[list[Said], list[Said], list[Said]]:
        """What fills a left and a right column of that height, and what is left over."""
        rest, columns = list(parts), []
        for _ in range(2):
            column: list[Said] = []
            room = height
            while rest:
                high = float(rest[0].wrap(self._column, 10_000)[1])
                if high > room:
                    pieces = rest[0].split(self._column, room)
                    if len(pieces) == 2:
                        column.append(pieces[0])
                        rest[0] = pieces[1]
                    break
                room -= high + _after(rest[0])
                column.append(rest.pop(0))
            columns.append(column)
        return columns[0], columns[1], rest

    def _balanced(self, parts: Sequence[Said]) -> tuple[list[Said], list[Said], float]:
        """Two columns as level as lines allow, and how high they are."""
        height = max(self._line, _high(parts, self._column) / 2)
        while True:
            left, right, rest = self._filled(parts, height)
            if not rest:
                return left, right, max(_high(left, self._column), _high(right, self._column))
            height += _STEP

    def wrap(self, *_: float) -> tuple[float, float]:
        self.height = (
            _high(self._head, self.width) + self._balanced(self._parts)[2] + self._closing_height()
        )
        return self.width, self.height

    def _laid(self, left: list[Said], right: list[Said]) -> Table:
        return beside(left, right or "", (self._column, self._column), self._gap)

    def drawOn(self, canvas: TaggedCanvas, x: float, y: float, _sW: float = 0) -> None:
        left, right, _ = self._balanced(self._parts)
        top = y + self.height
        for part in (*self._head, self._laid(left, right), *self._closing):
            top -= float(part.wrap(self.width, 10_000)[1])
            part.drawOn(canvas, x, top)
            top -= _after(part)

    def split(self, _width: float, room: float) -> list[Flowable]:
        for_terms = room - _high(self._head, self.width)
        height = for_terms
        while height >= _LEAST_LINES / 2 * self._line:
            left, right, rest = self._filled(self._parts, height)
            lines = _high(rest, self._column) / self._line
            if left and right and lines >= _LEAST_LINES:
                first = self._laid(left, right)
                return [*self._head, first, PageBreak(), self._again(rest)]
            height -= self._line
        return []

    def _again(self, rest: Sequence[Said]) -> "TermsToSign":
        return TermsToSign([Spacer(0, 4)], rest, self._closing, self.width, self._gap)


def terms_to_sign(
    head: Sequence[Flowable], texts: Sequence[str], style: ParagraphStyle, closing: Sequence[Flowable],
    width: float, gap: float, page: float,
) -> list[Flowable]:  # fmt: skip
    """Terms and their closing part; one after the other where the closing alone takes most of a page."""
    parts = [said(text, style) for text in texts]
    if _high(closing, width) > page / 2:
        return [*head, *parts, *closing]
    return [TermsToSign(head, parts, closing, width, gap)]
