"""Does the support plan say all that is needed to build and carry a stack, and measure true?"""

import io
import time
from dataclasses import replace
from datetime import date

import pytest
from pypdf import PdfReader, PdfWriter
from reportlab.lib.units import mm

from consult.core.design import Brief, Client, Design, Event, Kind, Tier
from consult.core.support_sheet import support_sheet_of
from consult.core.supports import supports_of
from consult.documents.paper import MARGIN, SIZES
from consult.documents.support_drawing import CROP_ROOM_MM, template, tiles
from consult.documents.support_plan import scene_of, support_plan, template_room
from shop.core.catalogue import Shape
from shop.core.measures import Units
from shop.core.policies import Paper, Rod, SupportHabits
from tests.documents.test_scene import drawn_paths
from tests.papers import words_of
from tests.small_shop import a_book

INCH = 25.4
BOOK = a_book()
METRIC = replace(
    BOOK,
    identity=replace(
        BOOK.identity, units=Units.CENTIMETRES, paper=Paper.A4, locale="en_GB", name="Łąka Cakes"
    ),
    policies=replace(BOOK.policies, supports=SupportHabits(rod=Rod.STRAW, rod_mm=12.0)),
)


def rounds(*inches):
    return tuple(Tier(Shape.ROUND, one * INCH, 4 * INCH) for one in inches)


MIXED = (
    Tier(Shape.SQUARE, 360, 100), Tier(Shape.HEXAGON, 300, 100), Tier(Shape.HEART, 200, 80, kind=Kind.DISPLAY),
)  # fmt: skip


def a_sheet(tiers, book=BOOK, name="Ann Marlowe"):
    brief = Brief(
        client=Client(name), event=Event("wedding", date(2027, 5, 15)), design=Design(tiers=tiers)
    )
    return support_sheet_of(brief, book, supports_of(brief, book), "2027-0142", 2)


SHEETS = {
    "three": a_sheet(rounds(10, 8, 5)),
    "four": a_sheet(rounds(14, 12, 9, 6)),
    "mixed": a_sheet(MIXED, METRIC, "Łukasz Žižka & Søren"),
    "one": a_sheet(rounds(8)),
}
PAPERS = {name: support_plan(sheet) for name, sheet in SHEETS.items()}


def pages(pdf):
    return PdfReader(io.BytesIO(pdf)).pages


def sides_on(pdf, page):
    """Width and height in millimetres of every figure drawn on one page."""
    alone = PdfWriter()
    alone.add_page(pages(pdf)[page])
    written = io.BytesIO()
    alone.write(written)
    return [
        ((right - left) / mm, (top - foot) / mm)
        for left, foot, right, top in drawn_paths(written.getvalue())
    ]


def template_pages(pdf):
    return [
        place for place, page in enumerate(pages(pdf)) if "Template, tier" in page.extract_text()
    ]


def measures(found, wide, high, within=0.005):
    return [one for one in found if one == pytest.approx((wide, high), rel=within)]


def test_the_plan_says_everything_in_order():
    text = words_of(PAPERS["three"])
    start = 0
    for words in (
        "Support plan", "Ann Marlowe, wedding", "Saturday, May 15, 2027", "Thimble Lane Cakes",
        "Sheet 2027-0142, revision 2", "6 supports", "cut 4 in", "board 14 in",
        "not an engineer's certificate", "uneven cuts, a bending board, softened cake",
        "It may travel stacked, with its centre dowel in.", "12 in all, birch dowel", "Tips at",
        "Supports, from the base up", "Tier 2, 8 in round, on tier 1", "4 in (102 mm)",
        "Tier 3, 5 in round, on tier 2", "Euler buckling", "Wood Handbook", "common practice, no source",
        "Lifting and travel", "14 in drum, 12 mm", "NIOSH", "does not cover", "Setting it up at the venue",
        "1. The table is sturdy", "Template, tier 2", "100 mm", "4 in", "front",
    ):  # fmt: skip
        found = text.find(words, start)
        assert found >= 0, words
        start = found + 1


def test_a_cake_of_four_tiers_is_put_together_at_the_venue():
    text = words_of(PAPERS["four"])
    assert "It travels in parts and is assembled at the venue." in text
    assert "It has 4 tiers; this shop carries no more than 3 stacked." in text
    assert "Put tier 4 on: two hands under its board" in text
    assert "Centre dowel" not in text


def test_what_must_not_be_built_stands_at_the_top():
    sheet = replace(SHEETS["three"], problems=("The 6 supports under tier 2 would fold.",))
    text = words_of(support_plan(sheet))
    assert text.index("Not to be built like this") < text.index("not an engineer's certificate")
    assert "The 6 supports under tier 2 would fold." in text


@pytest.mark.parametrize("name", SHEETS)
def test_templates_measure_true_on_paper(name):
    """A ruler laid on the print, to half a per cent: outline, supports and both bars on every page."""
    plan, pdf = SHEETS[name].plan, PAPERS[name]
    wanted = [
        join
        for join in plan.joins
        for _ in tiles(template(join, plan), *template_room(SHEETS[name].paper))
    ]
    assert len(template_pages(pdf)) == len(wanted)
    for page, join in zip(template_pages(pdf), wanted, strict=True):
        found = sides_on(pdf, page)
        assert measures(found, 100.0, 2.4)
        assert measures(found, 101.6, 2.4)
        across = [x for x, _ in join.outline_mm]
        along = [y for _, y in join.outline_mm]
        assert measures(found, max(across) - min(across), max(along) - min(along))
        rods = measures(found, plan.rod_mm, plan.rod_mm)
        assert len(rods) == join.count


def test_an_eight_inch_round_is_eight_inches_on_paper():
    page = template_pages(PAPERS["three"])[0]
    assert measures(sides_on(PAPERS["three"], page), 203.2, 203.2)


def test_a_template_larger_than_the_page_is_cut_into_pieces_that_cover_it_once():
    plan = SHEETS["four"].plan
    whole = template(plan.joins[0], plan)
    wide, high = template_room(Paper.LETTER)
    found = tiles(whole, wide, high)
    assert [one.words for one in found] == [
        "piece 1 of 4, back left", "piece 2 of 4, back right",
        "piece 3 of 4, front left", "piece 4 of 4, front right",
    ]  # fmt: skip
    insides = []
    for one in found:
        scene = one.scene
        assert scene.width <= wide
        assert scene.height <= high
        insides.append((
            scene.x + CROP_ROOM_MM, scene.y + CROP_ROOM_MM,
            scene.width - 2 * CROP_ROOM_MM, scene.height - 2 * CROP_ROOM_MM,
        ))  # fmt: skip
    assert sum(w * h for _, _, w, h in insides) == pytest.approx(whole.width * whole.height)
    corners = {(round(x, 6), round(y, 6)) for x, y, _, _ in insides}
    assert len(corners) == 4
    assert min(x for x, _, _, _ in insides) == pytest.approx(whole.x)
    assert max(x + w for x, _, w, _ in insides) == pytest.approx(whole.x + whole.width)
    assert max(y + h for _, y, _, h in insides) == pytest.approx(whole.y + whole.height)


def test_a_template_that_fits_is_left_whole():
    plan = SHEETS["three"].plan
    found = tiles(template(plan.joins[1], plan), *template_room(Paper.LETTER))
    assert [one.words for one in found] == [""]


def test_a_template_of_many_pieces_counts_rows_and_columns():
    plan = SHEETS["four"].plan
    words = [one.words for one in tiles(template(plan.joins[0], plan), 120, 240)]
    assert words[3] == "piece 4 of 6, row 2, column 1"


def test_the_stack_measures_true_to_its_scale():
    scene, scale = scene_of(SHEETS["three"])
    found = sides_on(PAPERS["three"], 0)
    assert f"drawn 1:{scale}" in words_of(PAPERS["three"])
    for inches in (10, 8, 5):
        assert measures(found, inches * INCH / scale, 4 * INCH / scale)
    assert measures(found, 14 * INCH / scale, 12 / scale)
    assert len(measures(found, 6.35 / scale, 4 * INCH / scale)) == 12
    assert measures(found, 9.525 / scale, 298.1 / scale)
    assert scene.title == "The stack cut open: 3 tiers, 12.7 in tall"


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_is_drawn_outside_the_page(name):
    width, height = SIZES[SHEETS[name].paper]
    for left, foot, right, top in drawn_paths(PAPERS[name]):
        assert left >= MARGIN - 3
        assert right <= width - MARGIN + 3
        assert 0 < foot <= top < height


def test_the_same_plan_gives_the_same_bytes_and_another_does_not():
    assert support_plan(SHEETS["three"]) == PAPERS["three"]
    assert support_plan(replace(SHEETS["three"], revision=3)) != PAPERS["three"]


def test_the_paper_is_the_shops_choice():
    for name, paper in (("three", Paper.LETTER), ("mixed", Paper.A4)):
        box = pages(PAPERS[name])[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(SIZES[paper], abs=0.01)


def test_names_in_any_letters_are_kept():
    text = words_of(PAPERS["mixed"])
    assert "Łukasz Žižka & Søren" in text
    assert "Łąka Cakes" in text


def test_a_single_tier_needs_no_template_and_a_cake_without_tiers_still_prints():
    assert template_pages(PAPERS["one"]) == []
    assert len(pages(PAPERS["one"])) == 1
    assert "There is nothing to carry yet." in words_of(support_plan(a_sheet(())))


def test_a_tall_tier_is_drawn_with_its_board_and_has_a_template_for_it():
    sheet = a_sheet((Tier(Shape.ROUND, 10 * INCH, 8 * INCH), Tier(Shape.ROUND, 5 * INCH, 4 * INCH)))
    scene, _ = scene_of(sheet)
    assert [shape.name for shape in scene.shapes].count("board-between") == 1
    text = words_of(support_plan(sheet))
    assert "Template, tier 1, level 2, on level 1" in text
    assert "Template, tier 2, 5 in round, on tier 1" in text


def test_a_plan_is_ready_while_somebody_waits():
    started = time.perf_counter()
    support_plan(a_sheet(rounds(12, 10, 8)))
    assert time.perf_counter() - started < 3  # on a busy machine; a tenth of it otherwise
