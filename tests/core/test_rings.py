"""Do rings follow the edge, and are their pieces of one size?"""

import math

import pytest

from consult.core.rings import RING_SHAPES, rings_of
from shop.core.catalogue import Shape, SliceSize

SLICE = SliceSize("any", "Any", 25, 50)


def test_ring_of_a_round_is_its_middle_line_times_its_depth() -> None:
    outer, *_ = rings_of(Shape.ROUND, 250, None, SLICE)
    assert outer.area_mm2 == pytest.approx(math.pi * (250 - 50) * 50)


def test_core_is_two_depths_across_or_less() -> None:
    assert [ring.is_core for ring in rings_of(Shape.ROUND, 100, None, SLICE)] == [True]
    assert [ring.is_core for ring in rings_of(Shape.ROUND, 101, None, SLICE)] == [False, True]


def test_ring_of_a_hexagon_is_one_depth_in_from_every_side() -> None:
    # Corner to corner a hexagon loses 4/sqrt(3) of the depth.
    *_, core = rings_of(Shape.HEXAGON, 200, None, SLICE)
    left = 200 - 4 * 50 / math.sqrt(3)
    assert core.area_mm2 == pytest.approx(3 * math.sqrt(3) / 8 * left**2)


@pytest.mark.parametrize("shape", sorted(RING_SHAPES))
def test_pieces_of_a_ring_have_one_area(shape: Shape) -> None:
    width = 220.0 if shape.has_width else None
    for ring in rings_of(shape, 300, width, SLICE):
        areas = [piece.area for piece in ring.polygons()]
        assert len(areas) == ring.count
        if areas:
            share = ring.area_mm2 / ring.count
            assert min(areas) == pytest.approx(share, rel=1e-4)
            assert max(areas) == pytest.approx(share, rel=1e-4)


@pytest.mark.parametrize("shape", sorted(RING_SHAPES))
def test_knife_stays_one_depth_from_the_edge_and_slices_across(shape: Shape) -> None:
    width = 220.0 if shape.has_width else None
    outer, *_ = rings_of(shape, 300, width, SLICE)
    around, *across = outer.cuts()
    assert around.is_ring
    assert len(across) == outer.count
    for line in across:
        assert around.distance(line) == pytest.approx(0, abs=1e-6)
        assert line.length >= 50 - 0.02


def test_ring_for_one_piece_is_served_whole() -> None:
    wide = SliceSize("wide", "Wide", 160, 50)
    outer, *_ = rings_of(Shape.ROUND, 110, None, wide)
    (piece,) = outer.polygons()
    assert piece.area == pytest.approx(outer.area_mm2)
    assert [line.is_ring for line in outer.cuts()] == [True]
