"""Do rows lie where the most whole pieces come out of them?"""

import pytest

from consult.core.rows import rows_of
from shop.core.catalogue import Shape, SliceSize

SLICE = SliceSize("any", "Any", 25, 50)


def test_left_over_strip_is_used_with_its_pieces_turned() -> None:
    # 230 mm: four strips of nine, and of the 30 mm left a strip of 25 with pieces 50 long.
    rows = rows_of(Shape.SQUARE, 230, None, SLICE)
    assert [(row.count, row.depth_mm, row.width_mm) for row in rows] == [
        *[(9, 50, 25)] * 4,
        (4, 25, 50),
    ]


def test_left_over_strip_too_narrow_to_turn_is_an_offcut() -> None:
    rows = rows_of(Shape.SQUARE, 220, None, SLICE)
    assert [row.count for row in rows] == [8] * 4


def test_rows_run_the_short_way_where_that_gives_more() -> None:
    # 150 x 120 mm in pieces of 30 x 50: the long way two strips of 5 and 20 mm lost, the short
    # way three strips of 4 and nothing lost.
    rows = rows_of(Shape.RECTANGLE, 150, 120, SliceSize("wider", "Wider", 30, 50))
    assert [(row.count, row.crosswise) for row in rows] == [(4, True)] * 3


def test_rows_of_a_round_lie_alike_on_both_sides_of_its_middle() -> None:
    counts = [row.count for row in rows_of(Shape.ROUND, 250, None, SLICE)]
    assert counts == counts[::-1]


@pytest.mark.parametrize("shape", [Shape.ROUND, Shape.OVAL, Shape.HEXAGON, Shape.RECTANGLE])
def test_every_row_is_drawn_where_its_pieces_are(shape: Shape) -> None:
    width = 180.0 if shape.has_width else None
    for row in rows_of(shape, 260, width, SLICE):
        pieces = list(row.polygons())
        assert len(pieces) == row.count
        assert sum(piece.area for piece in pieces) == pytest.approx(row.served_mm2)
        cuts = list(row.cuts())
        assert len(cuts) == row.count + 3
        for line in cuts:
            assert min(piece.distance(line) for piece in pieces) == pytest.approx(0, abs=1e-9)
