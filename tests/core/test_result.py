"""Is the result said in the brief's units, and does it add up to the same cake?"""

from dataclasses import replace

import pytest

from consult.core.design import Kind, KitchenCake
from consult.core.earnings import grams_of
from consult.core.reckoning import reckon
from consult.core.result import figure, pans_considered, quantities, result_of
from shop.core.catalogue import Shape
from shop.core.measures import Units
from tests.makers import INCH, TODAY, make_book, make_brief, make_design, make_pan, make_tier


def result(brief, units=Units.INCHES):
    book = make_book()
    return result_of(
        brief, book, units, reckon(brief, book, TODAY), (), palette=(), fingerprint="", papers={}
    )


@pytest.mark.parametrize(
    ("mm", "units", "said"),
    [
        (203.2, Units.INCHES, 8),
        (190.5, Units.INCHES, 7.5),
        (250.0, Units.CENTIMETRES, 25),
        (203.2, Units.CENTIMETRES, 20.32),
    ],
)
def test_length_is_said_in_the_briefs_units(mm, units, said):
    assert figure(mm, units) == said
    assert isinstance(figure(mm, units), type(said))


def test_pan_that_is_not_owned_was_not_considered():
    pans = (make_pan(Shape.ROUND, "8"), make_pan(Shape.ROUND, "10", owned=0))
    said = pans_considered(make_brief(), make_book(pans=pans), Units.INCHES)
    assert said == [{"shape": "round", "size": 8, "depth": 3, "owned": 2}]


def test_short_side_of_a_rectangle_is_said():
    pans = (make_pan(Shape.RECTANGLE, "13", "9"),)
    (pan,) = pans_considered(make_brief(), make_book(pans=pans), Units.INCHES)
    assert (pan["size"], pan["width"]) == (13, 9)


def test_quantities_are_those_of_the_tiers_by_kind():
    book = make_book()
    design = make_design((12, 9))
    base, top = (grams_of(tier, book) for tier in design.tiers)
    said = quantities(design, book)
    assert said["batter_g"] == [{"what": "vanilla", "grams": round(base.batter + top.batter)}]
    assert said["coat_g"][0]["grams"] == round(base.coat + top.coat)


def test_two_flavours_are_two_batters_and_a_display_tier_has_none():
    design = make_design(
        [
            make_tier(12, flavour="vanilla"),
            make_tier(9, flavour="carrot"),
            make_tier(6, kind=Kind.DISPLAY),
        ]
    )
    said = quantities(design, make_book())
    assert [line["what"] for line in said["batter_g"]] == ["vanilla", "carrot"]
    whole = quantities(make_design([make_tier(12), make_tier(9), make_tier(6)]), make_book())
    assert said["filling_g"][0]["grams"] < whole["filling_g"][0]["grams"]
    assert said["coat_g"] == whole["coat_g"]


def test_kitchen_cakes_are_baked_too():
    cake = KitchenCake(Shape.ROUND, 10 * INCH, 4 * INCH, count=2)
    alone = quantities(make_design([10]), make_book())["batter_g"][0]["grams"]
    design = replace(make_design([10]), kitchen_cakes=(cake,))
    assert quantities(design, make_book())["batter_g"][0]["grams"] == pytest.approx(
        3 * alone, abs=2
    )


def test_kept_tier_says_what_it_would_give_and_is_not_counted():
    said = result(make_brief(keep_top=True))["design"]
    assert said["tiers"][-1]["kind"] == "kept"
    assert said["tiers"][-1]["servings"] > 0
    assert said["servings"] == sum(tier["servings"] for tier in said["tiers"][:-1])


def test_cake_that_is_too_small_says_how_many_are_missing():
    said = result(make_brief(guests=500))
    assert said["design"]["surplus"] == said["design"]["servings"] - 500 < 0
    assert any("short of the 500 needed" in problem["says"] for problem in said["problems"])
