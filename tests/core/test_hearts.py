"""Is a heart cut alike on both sides, with nothing lost?"""

import pytest

from consult.core.hearts import strips_of
from consult.core.shapes import area_mm2
from shop.core.catalogue import Shape, SliceSize

SLICE = SliceSize("any", "Any", 25, 50)


@pytest.mark.parametrize("size", [120.0, 200.0, 254.0, 400.0])
def test_halves_of_a_heart_are_cut_alike(size: float) -> None:
    strips = strips_of(size, SLICE)
    assert [strip.count for strip in strips] == [strip.count for strip in reversed(strips)]
    assert sum(strip.area_mm2 for strip in strips) == pytest.approx(area_mm2(Shape.HEART, size))


def test_first_cut_is_down_the_middle() -> None:
    strips = strips_of(254, SLICE)
    assert 0.0 in [strip.left_mm for strip in strips]


def test_strip_gives_the_footprints_in_its_area() -> None:
    for strip in strips_of(254, SLICE):
        assert strip.count == strip.area_mm2 // SLICE.footprint_mm2
        areas = [piece.area for piece in strip.polygons()]
        assert areas == pytest.approx([strip.area_mm2 / strip.count] * strip.count)


def test_sliver_too_small_for_a_piece_stays_with_the_strip_beside_it() -> None:
    # 204 mm is two strips of 50 each side and a sliver of 2 mm.
    strips = strips_of(204, SLICE)
    assert len(strips) == 4
    assert all(strip.count for strip in strips)


def test_strip_is_sliced_between_its_pieces() -> None:
    middle = strips_of(254, SLICE)[3]
    sides, slices = list(middle.cuts())[:2], list(middle.cuts())[2:]
    assert all(line.bounds[0] == line.bounds[2] for line in sides)
    assert len(slices) == middle.count - 1
