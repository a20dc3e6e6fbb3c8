"""Are a brief's own tiers matched to the shop's pans and heights, or refused with what there is?"""

import pytest

from consult.core.design import Kind
from tests.core.brief_makers import TIERS, changed, read, with_tiers, wrong


def test_tiers_take_what_they_leave_unsaid_from_the_design_and_then_from_the_shop():
    brief = with_tiers()
    brief["design"]["filling"] = "mousse"
    brief["design"]["colour"] = "#ffffff"
    base, middle, top = read(brief).brief.design.tiers
    assert (base.flavour, base.filling, base.finish) == ("vanilla", "mousse", "plain")
    assert (middle.flavour, middle.colour_name) == ("coconut", "ivory")
    assert (base.colour, base.colour_name) == ("#ffffff", "white")
    assert (top.finish, top.colour) == ("white", ""), "white fondant takes no colour"
    assert (base.size_mm, top.height_mm) == (304.8, 127.0)


def test_kept_top_is_marked_and_a_display_tier_has_no_cake():
    kept = read(with_tiers(keep_top=True)).brief.design.tiers
    assert [tier.kind for tier in kept] == [Kind.EATEN, Kind.EATEN, Kind.KEPT]
    foam = {"shape": "round", "size": 6.5, "height": 6, "kind": "display", "flavour": "vanilla"}
    top = read(with_tiers(*TIERS[:2], foam)).brief.design.tiers[-1]
    assert (top.kind, top.size_mm, top.height_mm, top.flavour) == (Kind.DISPLAY, 165.1, 152.4, "")


def test_centimetres_find_the_pan_that_is_sold_under_both_figures():
    tiers = [{"shape": "round", "size": size, "height": 10} for size in (30, 25, 20)]
    brief = with_tiers(*tiers)
    brief["units"] = "cm"
    del brief["limits"]
    assert [tier.size_mm for tier in read(brief).brief.design.tiers] == [304.8, 254.0, 203.2]


@pytest.mark.parametrize(
    ("tier", "says"),
    [
        (
            {"size": 30},
            (
                "design.tiers[0].size: no 30 in round pan is owned; round pans owned: 6, 8, "
                "10, 12 in"
            ),
        ),
        (
            {"size": 14},
            (
                "design.tiers[0].size: no 14 in round pan is owned; round pans owned: 6, 8, "
                "10, 12 in"
            ),
        ),
        ({"size": "12"}, "design.tiers[0].size: must be a length in inches"),
        ({"size": ...}, "design.tiers[0].size: is missing"),
        (
            {"height": 3},
            "design.tiers[0].height: the shop makes no tier 3 in tall; its heights: 4, 5 in",
        ),
        (
            {"shape": "star"},
            (
                'design.tiers[0].shape: must be one of "round", "square", "rectangle", '
                '"hexagon", "petal", "heart", "oval"'
            ),
        ),
        ({"shape": "oval"}, "design.tiers[0].width: is missing: oval tiers have a short side too"),
        (
            {"shape": "oval", "width": 8},
            "design.tiers[0].size: no 12 x 8 in oval pan is owned; oval pans owned: none",
        ),
        ({"width": 8}, "design.tiers[0].width: round tiers have no width, only a size"),
        ({"kind": "spare"}, 'design.tiers[0].kind: must be one of "eaten", "kept", "display"'),
        (
            {"finish": "white", "colour": "ivory"},
            "design.tiers[0].colour: White fondant takes no colour",
        ),
        (
            {"flavor": "vanilla"},
            (
                "design.tiers[0].flavor: is not known here; known are: shape, size, height, "
                "width, kind, flavour, filling, finish, colour"
            ),
        ),
    ],
)
def test_wrong_tier_is_refused_with_what_the_shop_has(tier, says):
    first = {key: value for key, value in (TIERS[0] | tier).items() if value is not ...}
    assert wrong(with_tiers(first, *TIERS[1:])) == [says]


def test_stack_that_does_not_stand_is_refused():
    (says,) = wrong(with_tiers(TIERS[2], TIERS[0]))
    assert says.startswith("design.tiers")


def test_tier_kept_by_need_cannot_be_eaten_too():
    top = TIERS[2] | {"kind": "eaten"}
    assert wrong(with_tiers(*TIERS[:2], top, keep_top=True)) == [
        'design.tiers[2].kind: need.keep_top is true, so the top tier must be "kept"'
    ]


def test_no_tiers_at_all_is_refused():
    brief = changed("design", {"tiers": []})
    assert wrong(brief) == ["design.tiers: must have at least one tier"]
