"""Does the guide say what comes out first, how each tier is cut, and how it is kept, true to the plan?"""

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from consult.core.cutting import Way, cut
from consult.core.design import ChosenDecoration, Kind, KitchenCake
from consult.core.venue_values import cutting_guide_of, take_apart
from consult.documents.cutting_guide import cutting_guide
from consult.documents.cutting_plan import PlanLook, cutting_scene
from consult.documents.scene import Hatch, Path, Text, to_svg
from shop.core.catalogue import Shape, SliceSize
from shop.core.measures import Units
from shop.core.policies import Paper, Regime
from tests.documents.test_design_sheet import in_order, words_of
from tests.makers import INCH, make_book, make_brief, make_design, make_recipe, make_tier

DESSERT = SliceSize("dessert", "Dessert slice", 1 * INCH, 2 * INCH)
WEDDING = make_brief(
    design=make_design(
        (make_tier(12, height=8), make_tier(9, kind=Kind.DISPLAY), make_tier(6, kind=Kind.KEPT)),
        decorations=(
            ChosenDecoration("topper", 1),
            ChosenDecoration("sugar_rose", 5, 0),
            ChosenDecoration("pearl_border"),
        ),
        kitchen_cakes=(KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, 2),),
    )
)


def guide(brief=WEDDING, book=None, **more):
    return cutting_guide_of(brief, book or make_book(), "2027-0142", 2, **more)


def plan_scene(shape=Shape.ROUND, size=10, scale=4, height=4, way=None, slice_size=DESSERT):
    plan = cut(shape, size * INCH, None, slice_size, way)
    return plan, cutting_scene(plan, height * INCH, Units.INCHES, PlanLook(scale))


def texts(scene):
    return [shape.words for shape in scene.shapes if isinstance(shape, Text)]


# --- the plan ---


@pytest.mark.parametrize("shape", [Shape.ROUND, Shape.SQUARE, Shape.HEXAGON, Shape.HEART])
def test_each_piece_is_numbered_in_the_order_it_is_cut(shape):
    plan, scene = plan_scene(shape)
    numbers = [int(words) for words in texts(scene) if words.isdigit() and words != "0"]
    assert numbers == list(range(1, plan.count + 1))


def test_small_pieces_are_numbered_now_and_then():
    finger = SliceSize("finger", "Finger slice", INCH, INCH)
    plan, scene = plan_scene(size=16, scale=15, slice_size=finger)
    numbers = [int(words) for words in texts(scene) if words.isdigit() and words != "0"]
    assert 8 < len(numbers) < plan.count / 3
    firsts = {}
    for piece in plan.pieces:
        firsts.setdefault(piece.ring_or_row, piece.number)
    assert set(firsts.values()) <= set(numbers)


def test_the_outline_is_drawn_to_its_size():
    _, scene = plan_scene(size=10)
    (tier,) = [shape for shape in scene.shapes if isinstance(shape, Path) and shape.name == "tier"]
    across = [at[0] for letter, at in tier.outline if letter in "ML"]
    assert max(across) - min(across) == pytest.approx(10 * INCH, abs=0.1)


def test_offcuts_are_hatched_and_only_they():
    _, rows = plan_scene(way=Way.ROWS)
    _, square = plan_scene(Shape.SQUARE)

    def hatched(scene):
        return [
            one for one in scene.shapes if isinstance(one, Path) and isinstance(one.fill, Hatch)
        ]

    assert len(hatched(rows)) >= 2
    assert hatched(square) == []  # 10 x 10 in falls into 50 slices with nothing over


def test_a_tall_tier_is_drawn_as_levels_with_a_board_between():
    _, tall = plan_scene(height=8)
    assert [words for words in texts(tall) if "level" in words or words == "board"] == [
        "level 2: 4 in", "level 1: 4 in", "board",
    ]  # fmt: skip
    assert "board" not in texts(plan_scene(height=6)[1])


def test_the_plan_is_one_drawing_for_page_and_paper():
    plan, scene = plan_scene(Shape.HEXAGON)
    svg = to_svg(scene, "plan")
    assert svg.startswith("<svg")
    assert "style=" not in svg
    assert f'<desc id="plan-desc">{plan.count} pieces. Cut all round' in svg


# --- what comes out first ---


def test_decorations_come_off_then_tiers_from_the_top_down():
    steps = take_apart(WEDDING, make_book(), (6, 1), centre_dowel=True)
    assert -1 not in in_order(
        " ".join(steps), "wooden topper", "5 × sugar rose", "centre dowel",
        "lift off the top tier", "the dowel out of tier 2", "lift off tier 2", "all 6 dowels out of the base tier",
    )  # fmt: skip
    assert "pearl border" not in " ".join(steps)


def test_without_a_support_plan_every_dowel_is_pulled():
    steps = take_apart(WEDDING, make_book())
    assert sum("every dowel" in step for step in steps) == 2
    assert not any("centre dowel" in step for step in steps)


def test_one_tier_has_nothing_to_take_apart():
    assert take_apart(make_brief(tiers=(8,)), make_book()) == ()


# --- the values ---


def test_tiers_are_top_down_and_what_is_not_cut_says_so():
    found = guide()
    assert [one.where for one in found.tiers] == ["top tier", "tier 2", "base tier"]
    kept, display, base = found.tiers
    assert "do not cut it" in kept.not_cut
    assert "never cut and never eaten" in display.not_cut
    # 55 at 12 in by rings (the old US charts print 56), on two levels.
    assert (base.plan.count, base.servings) == (55, 110)
    assert "2 levels with a board between" in base.notes[0]


def test_the_board_inside_a_tall_cake_is_no_food():
    tall = guide(make_brief(tiers=(make_tier(8, height=8),)))
    assert tall.leave_out == ("dowels", "the boards inside tall tiers", "the cake board")
    assert "every dowel under it" in tall.tiers[0].notes[0]
    assert guide(make_brief(tiers=(8,))).leave_out == ("the cake board",)


def test_kitchen_cakes_count_by_their_number():
    found = guide()
    each = cut(Shape.RECTANGLE, 13 * INCH, 9 * INCH, DESSERT).count
    assert found.kitchen_cakes[0].servings == 2 * each
    assert found.servings == 110 + 2 * each


def test_a_low_tier_counts_half_and_says_so():
    (one,) = guide(make_brief(tiers=(make_tier(10, height=2),))).tiers
    assert one.servings == 19
    assert "two pieces to a plate" in one.notes[0]


def test_a_chart_that_promises_more_is_answered():
    # 14 in round at 1½ x 2 in: 63 in a widely reprinted US guide, 154 sq in of top.
    (one,) = guide(make_brief(tiers=(14,), slice_size="party")).tiers
    assert "Some charts say 63; at this slice the tier holds 50." in one.notes


@pytest.mark.parametrize(
    ("regime", "words"),
    [
        (Regime.US, "41 °F (5 °C)"),  # FDA Food Code 3-501.16
        (Regime.US, "within 4 hours"),  # 3-501.19(B)
        (Regime.UK, "8 °C"),  # Food Safety and Hygiene (England) Regulations 2013, Schedule 4
        (Regime.UK, "once, for up to 4 hours"),
        (Regime.EU, "local authority"),
        (Regime.AUSTRALIA_NEW_ZEALAND, "under 2 hours it may go back"),  # FSANZ 2-hour/4-hour rule
        (Regime.AUSTRALIA_NEW_ZEALAND, "over 4 hours it is thrown away"),
        (Regime.CANADA, "local authority"),
    ],
)
def test_what_must_stay_cold_is_kept_as_the_place_asks(regime, words):
    brief = make_brief(tiers=(make_tier(8, filling="custard"),))
    said = " ".join(guide(brief, make_book(regime=regime)).keep)
    assert words in said
    assert "The local food code comes first" in said


# K-State MF3544: more than 65 % sugar by weight. 1000 g of icing sugar in 1500 g is 66.7 %.
SWEET = make_book(
    finishes=(
        replace(
            make_book().finish("smooth"),
            recipe=make_recipe(butter=480, icing_sugar=1000, milk=20),
        ),
    )
)


def test_a_cake_that_keeps_needs_no_cold():
    said = " ".join(guide(make_brief(tiers=(make_tier(8, filling="jam"),)), SWEET).keep)
    assert "needs no cold" in said
    assert "4 hours" not in said


def test_an_icing_with_too_little_sugar_is_not_said_to_need_no_cold():
    # K-State MF3544: more than 65 % sugar by weight. Half butter and half sugar is not.
    half = replace(make_book().finish("smooth"), recipe=make_recipe(butter=500, icing_sugar=500))
    brief = make_brief(tiers=(make_tier(8, filling="jam", finish="smooth"),))
    said = " ".join(guide(brief, make_book(finishes=(half,))).keep)
    assert "not shown to keep without cold" in said
    assert "needs no cold" not in said


def test_the_foam_of_a_display_tier_needs_no_cold_for_its_filling():
    tiers = (make_tier(8, filling="jam"), make_tier(6, kind=Kind.DISPLAY, filling="custard"))
    assert "needs no cold" in " ".join(guide(make_brief(tiers=tiers), SWEET).keep)


# --- the paper ---


def test_it_says_all_in_order():
    text = words_of(cutting_guide(guide(dowels=(6, 5))))
    assert -1 not in in_order(
        text, "Cutting guide", "Ann Okafor, wedding", "Contains", "Not food:",
        "Take out first, from the top down", "all 5 dowels", "What it gives", "Keep and serve",
        "Out of the cold or the box at", "Cut it so", "Top tier", "Kept for the couple",
        "Carved foam", "Base tier", "110 servings", "Cut a circle",
    )  # fmt: skip
    assert "+1 555 0100" in text
    assert "$" not in text


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("brief", [WEDDING, make_brief(tiers=(8,)), make_brief(tiers=())])
def test_it_prints_on_any_paper_and_the_same_each_time(paper, brief):
    made = cutting_guide(guide(brief, make_book(paper=paper)))
    assert made == cutting_guide(guide(brief, make_book(paper=paper)))
    wide = PdfReader(io.BytesIO(made)).pages[0].mediabox.width
    assert round(float(wide)) == {Paper.LETTER: 612, Paper.A4: 595}[paper]


def test_a_single_cake_is_one_page():
    made = cutting_guide(guide(make_brief(tiers=(8,))))
    assert len(PdfReader(io.BytesIO(made)).pages) == 1
