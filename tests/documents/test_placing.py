"""Does everything put on a cake stay on its tier, off the words, and is all of it drawn?"""

import math
from itertools import pairwise

import pytest
from shapely import LineString
from shapely import box as rectangle

from consult.documents import colours, fonts
from consult.documents.drawing import DrawnDecoration, cake_scene, fronts
from consult.documents.placing import placed
from consult.documents.scene import Group, Path, Text, to_svg
from consult.documents.spots import FLECKS_A_TIER
from consult.documents.textures import Box
from shop.core.measures import Units
from tests.documents.test_drawing import INCH, ON_ITS_TIER, PAPER, STACK, placement_of


@pytest.mark.parametrize("symbol", [*ON_ITS_TIER, "leaf_metal"])
@pytest.mark.parametrize("tier", [0, 1, 2])
@pytest.mark.parametrize("count", [1, 7, 24])
def test_no_piece_hangs_out_beside_its_tier(symbol, tier, count):
    box = fronts(STACK)[tier]
    for spot in placement_of([DrawnDecoration(symbol, count, tier)]).spots[0]:
        assert box.left - 0.01 <= spot.x - spot.radius
        assert spot.x + spot.radius <= box.right + 0.01


def test_a_crowded_ledge_still_shows_flowers_leaves_and_figures_within_its_width():
    chosen = [
        DrawnDecoration("rose", 7, 1),
        DrawnDecoration("leaf", 24, 1),
        DrawnDecoration("figure", 7, 1),
    ]
    box = fronts(STACK)[1]
    spots = placement_of(chosen).spots
    assert [len(spots[place]) for place in range(3)] == [7, 24, 7]
    for spot in (one for piece in spots.values() for one in piece):
        assert box.left - 0.01 <= spot.x - spot.radius
        assert spot.x + spot.radius <= box.right + 0.01
    for place, one in enumerate(spots[1]):
        assert all(math.dist((one.x, one.y), (other.x, other.y)) > 2 for other in spots[1][:place])


def test_figures_stand_clear_of_names_and_of_each_other():
    boxes = fronts(STACK)
    labels = [Box(-40, box.top + box.height / 2 - 12, 80, 24) for box in boxes]
    spots = placed(boxes, [DrawnDecoration("figure", 7, 0)], labels, 1.0).spots[0]
    assert len(spots) == 7
    row = sorted(spots, key=lambda spot: spot.x)
    for one in row:
        tall = one.radius * 3.6
        for label in labels:
            assert (
                abs(one.x) >= 40 + one.radius - 0.01 or boxes[0].top - tall >= label.foot - 0.01
                or label.top >= boxes[0].top
            )  # fmt: skip
    for one, beside in pairwise(row):
        assert beside.x - one.x >= 1.8 * one.radius - 0.01


def test_metal_leaf_on_every_tier_is_several_flecks_on_each():
    """It is counted by the tier it is put on, never by the fleck."""
    for count in (1, 3):
        spots = placement_of([DrawnDecoration("leaf_metal", count)]).spots[0]
        for box in fronts(STACK):
            assert sum(box.top <= spot.y <= box.foot for spot in spots) >= 4
    assert len(placement_of([DrawnDecoration("leaf_metal", 1, 1)]).spots[0]) == FLECKS_A_TIER


def test_piped_lettering_is_drawn_in_its_own_words():
    said = DrawnDecoration("lettering", 1, 0, note="“Adaeze & Jonas”, in one line")
    scene = cake_scene(STACK, [said], 14 * INCH, units=Units.INCHES, look=PAPER)
    (hand,) = [one for one in texts_of(scene.shapes) if one.hand]
    assert hand.words == "Adaeze & Jonas"
    assert fonts.width(hand.words, hand.size, fonts.SERIF_ITALIC) <= 10 * INCH * 0.85
    assert "Adaeze &amp; Jonas" in to_svg(scene)
    unsaid = cake_scene(
        STACK, [DrawnDecoration("lettering", 1, 0)], 14 * INCH, units=Units.INCHES, look=PAPER
    )
    assert not [one for one in texts_of(unsaid.shapes) if one.hand]


@pytest.mark.parametrize("note", ["Ten", "Happy fortieth birthday, dear Mira Oake", "never " * 60])
def test_writing_stays_on_its_tier_and_off_the_tiers_name(note):
    box = fronts(STACK)[2]
    chosen = [DrawnDecoration("lettering", 1, 2, note=note)]
    (room,) = placed(fronts(STACK), chosen, (), 1.0).words
    assert box.left <= room.left
    assert room.right <= box.right
    assert box.top <= room.top
    assert room.foot <= box.top + box.height * 0.6


def texts_of(shapes):
    for shape in shapes:
        if isinstance(shape, Group):
            yield from texts_of(shape.shapes)
        elif isinstance(shape, Text):
            yield shape


def test_no_leader_runs_through_the_writing_and_each_ends_at_its_piece():
    writing = DrawnDecoration("lettering", 1, 0, note="Adaeze & Jonas, ten years")
    gold, roses = DrawnDecoration("leaf_metal", 1), DrawnDecoration("rose", 5, 0)
    chosen = [gold, writing, roses]
    words = placement_of(chosen).words[0]
    scene = cake_scene(STACK, chosen, 14 * INCH, units=Units.INCHES, look=PAPER)
    leaders = [
        [at for _, at in one.outline] for one in scene.shapes
        if isinstance(one, Path) and one.stroke == colours.INK and [c for c, _ in one.outline] == ["M", "L", "L"]
    ]  # fmt: skip
    assert len(leaders) == 3
    room = rectangle(words.left + 1, words.top + 1, words.right - 1, words.foot - 1)
    spots = [spot for piece in placement_of(chosen).spots.values() for spot in piece]
    for leader in leaders:
        assert not LineString(leader).intersects(room)
        off = [abs(math.dist(leader[-1], (spot.x, spot.y)) - spot.radius) for spot in spots]
        assert min(off) < 2  # the gap before the writing differs by a few lines' width
