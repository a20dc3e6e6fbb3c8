"""Does the kitchen sheet say what to make, how much, when and in what order, and never a price?"""

import io
import re

import pytest
from pypdf import PdfReader

from consult.core.design import Brief, ChosenDecoration, Kind, KitchenCake
from consult.core.kitchen_values import kitchen_sheet_of
from consult.core.quantities import quantities_of
from consult.core.shopping import grams_written
from consult.documents.kitchen_sheet import kitchen_sheet
from consult.documents.ticked import FIGURE, Tick
from shop.core.catalogue import Shape
from shop.core.policies import Paper
from tests.documents.samples import ACCENTED, LONG_NAME
from tests.documents.test_design_sheet import in_order, words_of
from tests.makers import INCH, make_book, make_brief, make_design, make_tier

BOOK = make_book()
SCHEDULE = (
    ("Sugar roses", "Mon 10 May, 09:00", "12:00", "1 pair"),
    ("Mix and bake base tier", "Wed 12 May, 08:40", "10:10", "1 pair"),
)
SUPPORTS = ("Base tier: 6 dowels, 4 in long", "Tier 2: 4 dowels, 4 in long")
WEDDING = make_brief(
    design=make_design(
        (
            make_tier(12, flavour="vanilla", filling="jam", finish="smooth", colour="#C9D3BB",
                      colour_name="pale sage"),
            make_tier(9, flavour="chiffon", filling="custard", finish="fondant"),
            make_tier(7, kind=Kind.DISPLAY, finish="combed"),
            make_tier(5, flavour="vanilla", filling="buttercream", finish="naked", kind=Kind.KEPT),
        ),
        decorations=(ChosenDecoration("sugar_rose", 12, 1, "#E2AF8E", "terracotta", "three clusters"),
                     ChosenDecoration("pearl_border"), ChosenDecoration("topper")),
        kitchen_cakes=(KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, 2),),
    ),
    avoid=frozenset({"peanut"}),
)  # fmt: skip


def sheet(brief=WEDDING, book=BOOK, **more):
    return kitchen_sheet_of(brief, book, quantities_of(brief, book), "2027-0142", 2, **more)


# --- the values ---


def test_amounts_on_the_sheet_are_those_of_the_quantities():
    found, said = quantities_of(WEDDING, BOOK), sheet()
    assert [one.each for one in said.tiers] == [
        grams_written(round(one.baking.each_g)) if one.baking else "" for one in found.tiers
    ]
    assert [mix.grams for mix in said.mixes] == [
        grams_written(round(mix.grams)) for mix in found.mixes
    ]
    assert [mix.lines for mix in said.mixes] == [mix.lines for mix in found.mixes]


def test_a_display_tier_is_coated_and_not_baked():
    display = sheet().tiers[2]
    assert (display.pan, display.each, display.filling_g) == ("", "", "")
    assert display.cake == "foam under real icing"
    assert display.coat_g != ""


def test_fondant_is_rolled_out_to_its_sheet():
    # Across, twice the height and half an inch to trim: 9 + 8 + 0.5 in.
    assert sheet().tiers[1].coat == "roll out 17½ in round, 4 mm thick"


def test_what_it_must_be_free_of_stands_first():
    assert sheet().free_of == ("peanut",)
    assert sheet().free_of_says.startswith("No recipe below names it.")
    milk = make_brief(tiers=(8,), avoid=frozenset({"milk"}))
    assert sheet(milk).free_of_says.startswith("STOP: it is in the recipes below.")
    assert any("contains milk" in one for one in sheet(milk).conflicts)
    assert sheet(make_brief()).free_of_says == ""


def test_pieces_are_ready_by_their_day():
    rose = sheet().decorations[0]
    # Five days before Saturday 15 May 2027.
    assert rose.ready == "made by Monday, May 10, 2027 (5 days ahead)"
    assert (rose.make, rose.spare) == ("14", "2 of them spare")
    undated = make_brief(on=None, decorations=(ChosenDecoration("sugar_rose", 1),))
    assert sheet(undated).decorations[0].ready == "made 5 days ahead"


def test_a_pan_too_large_for_the_oven_is_said():
    assert sheet(make_brief(tiers=(16,))).too_large[0].startswith("16 in round, 3 in deep: no oven")
    assert sheet().too_large == ()


def test_a_coat_says_which_bowl_it_comes_from():
    tiers = sheet().tiers
    assert tiers[0].coat == "from the bowl of vanilla buttercream"
    assert tiers[1].undercoat == "vanilla buttercream"


def test_a_tier_names_the_bowl_its_batter_comes_from_and_what_it_takes_of_it():
    said = sheet()
    bowls = {mix.name for mix in said.mixes if mix.kind == "batter"}
    assert [one.bowl in bowls for one in said.tiers] == [True, True, False, True]
    for one, amounts in zip(said.tiers, quantities_of(WEDDING, BOOK).tiers, strict=True):
        assert one.batter == (grams_written(round(amounts.batter_g)) if amounts.baking else "")


def test_the_syrup_of_a_foam_cake_is_a_figure():
    assert [bool(re.fullmatch(r"[1-9]\d* ml", one.syrup)) for one in sheet().tiers] == [
        False, True, False, False,
    ]  # fmt: skip


def test_a_step_stands_under_its_day():
    first = sheet(schedule=SCHEDULE).schedule[0]
    assert (first.day, first.starts, first.ends) == ("Mon 10 May", "09:00", "12:00")


# --- the paper ---


@pytest.fixture(scope="module")
def printed():
    return kitchen_sheet(sheet(schedule=SCHEDULE, supports=SUPPORTS))


def test_it_reads_in_the_order_of_work(printed):
    assert -1 not in in_order(
        words_of(printed), "Kitchen sheet", "Ann Okafor, wedding", "Must be free of peanut", "Contains",
        "When", "Sugar roses", "Mix the batter", "Fill the pans", "Bake", "Load 1",
        "Make fillings and coats", "Fill and coat", "Decorations", "terracotta", "Boards and dowels",
        "6 dowels", "Hand-over", "Mind", "Made by",
    )  # fmt: skip


def test_it_shows_every_figure_and_no_price(printed):
    text = words_of(printed)
    said = sheet()
    for mix in said.mixes:
        assert mix.grams in text
        for line in mix.lines:
            assert grams_written(line.grams) in text
    assert "pale sage" in text
    assert not re.search(r"\$|USD|price", text)


def test_figures_are_at_least_14_points_and_boxes_large_enough_to_tick(printed):
    sizes = set()

    def note(text, _cm, _tm, _font, size):
        if re.fullmatch(r"[\d,.]+ g", text.strip()):
            sizes.add(round(size, 1))

    for page in PdfReader(io.BytesIO(printed)).pages:
        page.extract_text(visitor_text=note)
    assert sizes == {14.0}
    assert FIGURE.fontSize == 14
    assert Tick().wrap(0, 0)[0] > 14


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("brief", [make_brief(tiers=(8,)), make_brief(tiers=()), Brief()])
def test_it_prints_on_any_paper_and_the_same_each_time(paper, brief):
    book = make_book(paper=paper)
    made = kitchen_sheet(sheet(brief, book))
    assert made == kitchen_sheet(sheet(brief, book))
    wide = float(PdfReader(io.BytesIO(made)).pages[0].mediabox.width)
    assert round(wide) == {Paper.LETTER: 612, Paper.A4: 595}[paper]


MANY = tuple(
    (f"Tier {at % 3 + 1}: Task {at}", f"Thu 17 Jun, {8 + at // 6:02}:{at % 6 * 10:02}", "23:55", "10 min")
    for at in range(48)
)  # fmt: skip


@pytest.mark.parametrize("paper", list(Paper))
def test_a_cake_of_three_tiers_is_four_pages_with_a_box_for_each_step(paper):
    brief = make_brief(tiers=(12, 9, 6))
    made = kitchen_sheet(sheet(brief, make_book(paper=paper), schedule=MANY, supports=SUPPORTS))
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]
    assert len(pages) <= 4
    text = " ".join(" ".join(pages).split())
    assert [at for at in range(48) if f"Task {at} " not in text] == []
    assert "Thu 17 Jun, continued" in text


def test_each_layer_stands_beside_its_tier(printed):
    text = words_of(printed)
    grid = text[text.index("Fill and coat") :]
    for one in sheet().tiers:
        figures = (one.syrup, one.dam, one.filling_g, one.crumb, one.coat_g)
        assert all(figure in grid for figure in figures)


def test_without_a_schedule_it_says_none():
    text = words_of(kitchen_sheet(sheet(make_brief(tiers=(8,)))))
    assert " When " not in text
    assert "Boards and dowels" not in text


def test_names_in_any_script_show():
    client = WEDDING.client.__class__(f"{LONG_NAME}, {ACCENTED}")
    text = words_of(kitchen_sheet(sheet(make_brief(tiers=(8,), client=client))))
    assert "Łukasz Žižka" in text
    assert "Ψυχή Жанна" in text
