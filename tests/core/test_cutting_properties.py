"""Does every cutting plan hold, whatever the shape, size and slice?"""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core import cutting
from consult.core.shapes import outline
from shop.core.catalogue import Shape, SliceSize
from shop.core.measures import Units

# A knife's accuracy is far coarser; floats and the corners of drawn curves are finer.
SLACK_MM = 0.02

slices = st.builds(
    SliceSize,
    code=st.just("any"),
    name=st.just("Any"),
    width_mm=st.integers(20, 60).map(float),
    depth_mm=st.integers(20, 90).map(float),
)
sizes_mm = st.integers(100, 420).map(float)


@st.composite
def plans(draw: st.DrawFn) -> cutting.CuttingPlan:
    shape = draw(st.sampled_from(Shape))
    size = draw(sizes_mm)
    width = round(size * draw(st.floats(0.5, 1)), 1) if shape.has_width else None
    way = draw(st.sampled_from((None, *cutting.ways_of(shape))))
    return cutting.cut(shape, size, width, draw(slices), way)


@settings(max_examples=60, deadline=None)
@given(plans())
def test_pieces_never_overlap_and_never_leave_the_tier(plan: cutting.CuttingPlan) -> None:
    tier = outline(plan.shape, plan.size_mm, plan.width_mm).buffer(SLACK_MM)
    polygons = [piece.polygon for piece in plan.pieces]
    assert len(polygons) == plan.count
    for polygon in polygons:
        assert polygon.is_valid
        assert tier.covers(polygon)
    together = shapely.union_all(polygons).area
    assert together == pytest.approx(sum(polygon.area for polygon in polygons), rel=1e-6, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(plans())
def test_pieces_and_offcuts_are_the_whole_tier(plan: cutting.CuttingPlan) -> None:
    tier = outline(plan.shape, plan.size_mm, plan.width_mm)
    pieces = shapely.union_all([piece.polygon for piece in plan.pieces])
    assert pieces.area + plan.offcut_area_mm2 == pytest.approx(plan.area_mm2, rel=1e-6)
    # Measured the other way: what is left of the outline once the pieces are taken away.
    assert tier.difference(pieces).area == pytest.approx(
        plan.offcut_area_mm2, abs=plan.area_mm2 * 1e-4
    )
    assert 0 <= plan.offcut_share <= 1


@settings(max_examples=60, deadline=None)
@given(plans())
def test_every_piece_is_at_least_a_serving(plan: cutting.CuttingPlan) -> None:
    for piece in plan.pieces:
        assert piece.polygon.area >= plan.slice_size.footprint_mm2 * (1 - 1e-4)


@settings(max_examples=150, deadline=None)
@given(plans())
def test_count_is_never_above_the_area_rule(plan: cutting.CuttingPlan) -> None:
    most = cutting.area_rule(plan.shape, plan.size_mm, plan.width_mm, plan.slice_size)
    assert plan.count <= most * (1 + 1e-9)


@settings(max_examples=60, deadline=None)
@given(plans())
def test_pieces_are_numbered_from_one_in_the_order_they_are_cut(plan: cutting.CuttingPlan) -> None:
    assert [piece.number for piece in plan.pieces] == list(range(1, plan.count + 1))
    parts = [piece.ring_or_row for piece in plan.pieces]
    assert parts == sorted(parts)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from((Shape.ROUND, Shape.SQUARE)), sizes_mm, st.integers(1, 1500), slices, st.data()
)
def test_bigger_pan_never_gives_fewer_pieces(
    shape: Shape, size_mm: float, tenths: int, slice_size: SliceSize, data: st.DataObject
) -> None:
    way = data.draw(st.sampled_from((None, *cutting.ways_of(shape))))
    smaller = cutting.cut(shape, size_mm, None, slice_size, way)
    bigger = cutting.cut(shape, size_mm + tenths / 10, None, slice_size, way)
    assert bigger.count >= smaller.count


@settings(max_examples=60, deadline=None)
@given(plans(), st.sampled_from((50.0, 76.2, 150.0, 203.2, 304.8)))
def test_taller_tier_never_gives_fewer_servings(
    plan: cutting.CuttingPlan, height_mm: float
) -> None:
    tier = (plan.shape, plan.size_mm, plan.width_mm)
    lower = cutting.servings(*tier, height_mm, plan.slice_size).count
    taller = cutting.servings(*tier, height_mm + 60, plan.slice_size).count
    assert taller >= lower


@settings(max_examples=40, deadline=None)
@given(plans())
def test_knife_never_leaves_the_tier(plan: cutting.CuttingPlan) -> None:
    tier = outline(plan.shape, plan.size_mm, plan.width_mm).buffer(SLACK_MM)
    assert all(tier.covers(line) for line in plan.cuts)


@settings(max_examples=40, deadline=None)
@given(plans(), st.sampled_from(Units))
def test_every_plan_can_be_said_in_words(plan: cutting.CuttingPlan, units: Units) -> None:
    words = plan.steps_in_words(units)
    assert words
    assert all(sentence[0].isupper() and sentence.endswith(".") for sentence in words)
