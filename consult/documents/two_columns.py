"""How do short parts run on in two level columns, from page to page, so that a paper is half as long?"""

from collections.abc import Callable, Sequence

from reportlab.platypus import Flowable

from consult.documents.paper import heading
from consult.documents.tagging import TaggedCanvas

_STEP = 5.0  # points between two heights that are tried
_FITS_A_PAGE = 600.0  # points; a page of Letter holds 670 under its running head
_LEAST_AFTER_HEAD = 60.0  # points; a heading with less room below it goes to the next page


class TwoColumns(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """Parts down the left column, then down the right one, under a heading across both.

    A part is never divided unless it is higher than a page. Where the parts run on to another page, `head` is asked
    again for a heading that says so.
    """

    def __init__(
        self, head: Callable[[bool], Sequence[Flowable]], parts: Sequence[Flowable],
        width: float, gap: float, *, runs_on: bool = False, heights: Sequence[float] = (),
    ) -> None:  # fmt: skip
        """`heights` are those of the parts where they are known: a part is laid out only once."""
        super().__init__()
        self._head, self._parts, self._gap = head, list(parts), gap
        self._heading = list(head(runs_on))
        self._column = (width - gap) / 2
        self._heights = list(heights) or [
            float(part.wrap(self._column, 10_000)[1]) for part in self._parts
        ]
        self._over = sum(float(one.wrap(width, 10_000)[1]) for one in self._heading)
        self.width = width

    def _filled(self, room: float) -> tuple[int, int]:
        """How many parts a left column of that height takes, and how many both take."""
        ends, at = [], 0
        for _ in range(2):
            used = 0.0
            while at < len(self._parts) and used + self._heights[at] <= room:
                used += self._heights[at]
                at += 1
            ends.append(at)
        return ends[0], ends[1]

    def _level(self) -> tuple[int, float]:
        """Where the right column begins when both are as level as the parts allow, and their height."""
        room = max([*self._heights, sum(self._heights) / 2])
        while self._filled(room)[1] < len(self._parts):
            room += _STEP
        left = self._filled(room)[0]
        return left, max(sum(self._heights[:left]), sum(self._heights[left:]))

    def wrap(self, *_: float) -> tuple[float, float]:
        self.height = self._over + self._level()[1]
        return self.width, self.height

    def drawOn(self, canvas: TaggedCanvas, x: float, y: float, _sW: float = 0) -> None:
        top = y + self.height
        for one in self._heading:
            top -= float(one.wrap(self.width, 10_000)[1])
            one.drawOn(canvas, x, top)
        left = self._level()[0]
        columns = (range(left), range(left, len(self._parts)))
        for place, column in enumerate(columns):
            down = top
            for at in column:
                down -= self._heights[at]
                self._parts[at].drawOn(canvas, x + place * (self._column + self._gap), down)

    def split(self, _width: float, room: float) -> list[Flowable]:
        """What fits here and what runs on; nothing where the heading would stand almost alone."""
        inside = room - self._over
        if inside < _LEAST_AFTER_HEAD:
            return []
        fits = self._filled(inside)[1]
        if 0 < fits < len(self._parts):
            first, rest = self._parts[:fits], self._parts[fits:]
            high, higher = self._heights[:fits], self._heights[fits:]
            here = TwoColumns(lambda _: self._heading, first, self.width, self._gap, heights=high)
            return [here, self._again(rest, higher)]
        if fits or self._heights[0] < _FITS_A_PAGE:
            return []
        return self._divided(inside)

    def _divided(self, room: float) -> list[Flowable]:
        """Its first part is higher than any page, so it is divided where it can be."""
        pieces = self._parts[0].split(self._column, room)
        if len(pieces) < 2:
            return []
        here = TwoColumns(lambda _: self._heading, pieces[:1], self.width, self._gap)
        return [here, self._again([*pieces[1:], *self._parts[1:]])]

    def _again(self, rest: Sequence[Flowable], heights: Sequence[float] = ()) -> "TwoColumns":
        return TwoColumns(self._head, rest, self.width, self._gap, runs_on=True, heights=heights)


def continued(words: str) -> Callable[[bool], list[Flowable]]:
    return lambda runs_on: heading(f"{words}, continued" if runs_on else words)
