"""Is the cake drawn to scale, with everything on it that was chosen?"""

import math
import re
import xml.etree.ElementTree as ElementTree

import pytest

from consult.core.design import Kind, Tier
from consult.documents import colours
from consult.documents.clusters import MOST_IN_CLUSTER
from consult.documents.drawing import (
    BOARD_MM,
    DrawingLook,
    DrawnDecoration,
    DrawnTier,
    cake_scene,
    fronts,
    tier_name,
)
from consult.documents.measuring import bar_length
from consult.documents.placing import placed
from consult.documents.scene import to_svg
from consult.documents.spots import MOST_DRAWN, has_panel, shared_out
from consult.documents.symbols import OWN_COLOURS
from consult.documents.textures import TEXTURES, Box
from shop.core.catalogue import Shape
from shop.core.measures import Units

INCH = 25.4
PAPER = DrawingLook.on_paper(6)
SYMBOLS = sorted(OWN_COLOURS)


def round_tier(
    size, high=4, texture="smooth", kind=Kind.EATEN, shape=Shape.ROUND, colour="#F4ECDF"
):
    width = size * INCH * 0.7 if shape.has_width else None
    return DrawnTier(Tier(shape, size * INCH, high * INCH, width, kind), texture, colour)


STACK = (round_tier(10, 4, "combed"), round_tier(8, 5), round_tier(5, 3, "ruffled"))


def svg_of(tiers, decorations=(), board=14, look=PAPER, units=Units.INCHES):
    return to_svg(cake_scene(tiers, decorations, board * INCH, units=units, look=look), "cake")


def measured(svg, name):
    """Left, top, right and bottom of a named path, from the figures in the SVG."""
    root = ElementTree.fromstring(svg)
    path = next(one for one in root.iter() if one.get("id") == f"cake-{name}")
    across, down = [], []
    for _, figures in re.findall(r"([MLC])([^MLCZ]*)", path.get("d")):
        values = [float(one) for one in figures.split()]
        across += values[0::2]
        down += values[1::2]
    return min(across), min(down), max(across), max(down)


def words_of(svg):
    return [
        one.text for one in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    ]


def test_each_tier_measures_true_and_stands_on_the_one_below():
    svg = svg_of(STACK)
    foot = -BOARD_MM
    for number, (size, high) in enumerate(((10, 4), (8, 5), (5, 3)), start=1):
        left, top, right, bottom = measured(svg, f"tier-{number}")
        assert right - left == pytest.approx(size * INCH, rel=0.005)
        assert bottom - top == pytest.approx(high * INCH, rel=0.005)
        assert bottom == pytest.approx(foot, abs=0.01)
        assert left == pytest.approx(-right)
        foot = top


def test_the_board_measures_true():
    left, _, right, bottom = measured(svg_of(STACK), "board")
    assert right - left == pytest.approx(14 * INCH, rel=0.005)
    assert bottom == 0


@pytest.mark.parametrize(
    ("units", "millimetres"), [(Units.INCHES, 4 * 25.4), (Units.CENTIMETRES, 100)]
)
def test_the_scale_bar_measures_true(units, millimetres):
    left, _, right, _ = measured(svg_of(STACK, units=units), "scale-bar")
    assert right - left == pytest.approx(millimetres, rel=0.005)
    assert bar_length(units) == pytest.approx(millimetres)


def test_dimensions_say_each_height_the_whole_and_the_board():
    words = words_of(svg_of(STACK))
    assert words.count("4 in") == 2  # the base tier, and the end of the scale bar
    assert {"5 in", "3 in", "12 in", "board 14 in", "drawn 1:6"} <= set(words)


def test_one_tier_has_no_second_total():
    words = words_of(svg_of(STACK[:1]))
    assert words.count("4 in") == 2  # once as its height, once on the scale bar


def test_tiers_are_named_in_the_shops_units():
    assert tier_name(round_tier(10).tier, Units.INCHES) == "10 in round"
    oval = Tier(Shape.OVAL, 300, 80, 200)
    assert tier_name(oval, Units.CENTIMETRES) == "30 x 20 cm oval"
    assert "10 in round" in words_of(svg_of(STACK))


def test_a_kept_and_a_display_tier_say_so_and_have_a_broken_outline():
    kept = svg_of((round_tier(8), round_tier(6, kind=Kind.KEPT)))
    display = svg_of((round_tier(8, kind=Kind.DISPLAY),))
    assert "kept" in words_of(kept)
    assert "display" in words_of(display)
    assert "stroke-dasharray" in kept
    assert "stroke-dasharray" in display
    assert "stroke-dasharray" not in svg_of(STACK)


def outline_of(svg):
    root = ElementTree.fromstring(svg)
    return next(one for one in root.iter() if one.get("id") == "cake-tier-1").get("d")


def test_a_square_shows_flat_corners_and_a_round_soft_ones():
    assert "C" not in outline_of(svg_of((round_tier(10, shape=Shape.SQUARE),)))
    assert "C" in outline_of(svg_of((round_tier(10),)))


def test_a_hexagon_shows_its_two_edges_a_quarter_in():
    """Corner to corner D, a hexagon's faces seen from the front take D/4, D/2 and D/4 (geometry)."""
    svg = svg_of((round_tier(12, shape=Shape.HEXAGON),))
    for x in (-12 * INCH / 4, 12 * INCH / 4):
        assert re.search(rf"M{x:.1f}\d* -[\d.]+L{x:.1f}", svg)


def test_every_shape_is_drawn_otherwise():
    plain = {
        shape: svg_of((round_tier(10, shape=shape),), look=DrawingLook.card(400, 300))
        for shape in Shape
    }
    bodies = {re.sub(r"<title.*?</desc>", "", svg) for svg in plain.values()}
    assert len(bodies) == len(Shape)


def in_line_only(svg):
    """The drawing without its colours, as a black-and-white printer would have it."""
    return re.sub(r"#[0-9A-F]{6}", "", svg)


def test_finishes_are_told_apart_without_colour():
    drawn = {
        texture: in_line_only(svg_of((round_tier(10, texture=texture),))) for texture in TEXTURES
    }
    drawn.pop("naked")  # another word for sheer
    drawn.pop("fondant")  # another word for soft
    assert len(set(drawn.values())) == len(drawn)
    assert {"smooth", "combed", "ruffled", "rustic", "sheer", "drip", "stencil", "painted"} <= set(
        drawn
    )


def test_an_unknown_texture_is_drawn_smooth():
    assert svg_of((round_tier(10, texture="marbled"),)) == svg_of((round_tier(10),))


def placement_of(decorations, tiers=STACK):
    return placed(fronts(tiers), decorations, (), 1.0)


ON_ITS_TIER = ["rose", "blossom", "leaf", "berry", "fruit", "pearls", "figure"]


@pytest.mark.parametrize("symbol", ON_ITS_TIER)
@pytest.mark.parametrize("tier", [None, 0, 2])
def test_as_many_pieces_are_drawn_as_were_chosen(symbol, tier):
    assert len(placement_of([DrawnDecoration(symbol, 7, tier)]).spots[0]) == 7


def test_more_pieces_than_the_drawing_holds_are_said_in_figures():
    many = [DrawnDecoration("rose", 40, 1)]
    assert len(placement_of(many).spots[0]) == MOST_DRAWN == 24
    screen = DrawingLook.on_screen(14 * INCH, 12 * INCH)
    assert "× 40" in words_of(svg_of(STACK, many, look=screen))
    assert not [
        one
        for one in words_of(svg_of(STACK, [DrawnDecoration("rose", 24, 1)], look=screen))
        if one.startswith("×")
    ]


def test_a_crowded_cluster_is_thinned_but_no_decoration_is_left_out():
    chosen = [DrawnDecoration("blossom", 24, 1) for _ in range(12)]
    spots = placement_of(chosen).spots
    assert sorted(spots) == list(range(12))
    assert sum(map(len, spots.values())) == MOST_IN_CLUSTER


def test_nothing_chosen_nothing_drawn():
    assert svg_of(STACK, [DrawnDecoration("rose", 0, 1)]) == svg_of(STACK)


@pytest.mark.parametrize("symbol", SYMBOLS)
@pytest.mark.parametrize("tier", [None, 0, 1, 2, 9])
def test_every_decoration_is_seen_on_any_tier(symbol, tier):
    """A tier that is no longer there means the top one."""
    with_it = svg_of(STACK, [DrawnDecoration(symbol, 2, tier, "#123456")])
    assert with_it.count("<path") > svg_of(STACK).count("<path")
    assert "#123456" in with_it


def test_every_decoration_of_a_sheet_has_its_numbered_ring():
    decorations = [DrawnDecoration(symbol, 3, place % 3) for place, symbol in enumerate(SYMBOLS)]
    words = words_of(svg_of(STACK, decorations))
    assert {str(number) for number in range(1, len(SYMBOLS) + 1)} <= set(words)


def test_no_ring_lies_on_another():
    decorations = [DrawnDecoration("berry", 3, place % 3) for place in range(16)]
    root = ElementTree.fromstring(svg_of(STACK, decorations))
    numbers = [
        (float(one.get("x")), float(one.get("y")))
        for one in root.iter("{http://www.w3.org/2000/svg}text")
        if one.text.isdigit() and one.get("font-weight") == "600"
    ]
    assert len(numbers) == 16
    ring = 2 * 2.1 * PAPER.scale
    for place, one in enumerate(numbers):
        for other in numbers[:place]:
            assert math.dist(one, other) >= ring


def test_no_piece_lies_on_a_name_or_under_the_board():
    boxes = fronts(STACK)
    labels = [Box(-40, box.top + box.height / 2 - 12, 80, 24) for box in boxes]
    chosen = [
        DrawnDecoration("rose", 9),
        DrawnDecoration("berry", 24),
        DrawnDecoration("leaf_metal", 40),
    ]
    for spots in placed(boxes, chosen, labels, 1.0).spots.values():
        for spot in spots:
            assert spot.y <= -BOARD_MM + 1
            for label in labels:
                across = max(label.left - spot.x, 0, spot.x - label.right)
                down = max(label.top - spot.y, 0, spot.y - label.foot)
                assert math.hypot(across, down) >= spot.radius * 0.85


def test_the_name_makes_room_for_writing_on_the_front():
    decorations = [DrawnDecoration("lettering", 1, 0)]
    assert has_panel(decorations, 0, 3)
    assert not has_panel(decorations, 1, 3)
    assert has_panel([DrawnDecoration("print", 1, None)], 1, 3)  # the whole cake: the middle tier


def test_the_same_design_is_drawn_the_same():
    chosen = [DrawnDecoration(symbol, 5) for symbol in SYMBOLS]
    assert svg_of(STACK, chosen) == svg_of(STACK, chosen)


def test_cards_side_by_side_share_one_scale_and_one_ground():
    look = DrawingLook.card(20 * INCH, 24 * INCH)
    small, large = (
        cake_scene(tiers, (), board * INCH, units=Units.INCHES, look=look)
        for tiers, board in ((STACK[:1], 12), (STACK, 14))
    )
    assert (small.x, small.y, small.width, small.height) == (
        large.x,
        large.y,
        large.width,
        large.height,
    )
    assert not words_of(to_svg(small))


def test_an_empty_board_can_be_drawn():
    for look in (PAPER, DrawingLook.card(400, 400), DrawingLook.on_screen(254, 0)):
        svg = svg_of((), [DrawnDecoration("rose", 3)], look=look)
        assert "An empty cake board" in svg


def test_a_colour_that_is_none_cannot_get_into_the_page():
    bad = '"/><script>alert(1)</script>'
    svg = svg_of(
        (round_tier(8, colour=bad), round_tier(6, 4, colour="")),
        [DrawnDecoration("rose", 3, 0, bad)],
    )
    assert "script" not in svg
    assert ElementTree.fromstring(svg) is not None


def test_only_presentation_attributes_and_unique_names():
    svg = svg_of(STACK, [DrawnDecoration(symbol, 5) for symbol in SYMBOLS])
    assert " style=" not in svg
    assert "gradient" not in svg.lower()
    names = re.findall(r' id="([^"]+)"', svg)
    assert len(names) == len(set(names))


def test_a_screen_reader_hears_each_tier():
    scene = cake_scene(STACK, (), 14 * INCH, units=Units.INCHES, look=PAPER)
    assert scene.title == "Drawing of the cake: 3 tiers, 12 in high"
    assert scene.description.startswith("Tier 1: 10 in round, 4 in high.")


def test_names_on_dark_icing_stand_on_white():
    """WCAG 2.2, success criterion 1.4.3: 4.5:1 at least; black on white is 21:1 by its formula."""
    assert colours.is_dark("#6B3A55")
    assert not colours.is_dark("#C9D3BB")
    assert colours.lightness("#FFFFFF") == pytest.approx(1)
    assert colours.lightness("#000000") == 0
    assert 'fill="#FFFFFF"' in svg_of((round_tier(8, colour="#2F3E46"),))


@pytest.mark.parametrize(
    ("count", "shares", "given"),
    [(7, [1, 1, 1], [3, 2, 2]), (2, [3, 1], [2, 0]), (0, [1, 2], [0, 0])],
)
def test_a_count_shared_out_loses_no_piece(count, shares, given):
    assert shared_out(count, shares) == given
