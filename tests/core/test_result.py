"""Is the result said in the brief's units, and does it add up to the same cake?"""

import pytest

from consult.core.bench import bench_of
from consult.core.design import Kind
from consult.core.reckoning import reckon
from consult.core.result import figure, pans_considered, result_of
from shop.core.catalogue import Shape
from shop.core.measures import Units
from tests.makers import TODAY, make_book, make_brief, make_design, make_pan, make_tier


def result(brief, units=Units.INCHES):
    book = make_book()
    reckoned = reckon(brief, book, TODAY)
    bench = bench_of(brief, book, reckoned.work, TODAY, {})
    return result_of(brief, book, units, reckoned, bench, (), palette=(), fingerprint="", papers={})


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


def test_every_tier_says_how_it_is_cut_what_it_takes_and_what_stands_in_it():
    said = result(make_brief(tiers=(12, 9)))["design"]["tiers"]
    for tier in said:
        assert len(tier["cutting"]["pieces"]) == tier["servings"]
        assert tier["batter_g"] > 0
        assert tier["weight_g"] > 0
    assert [bool(tier["supports"]["count"]) for tier in said] == [True, False]
    base = said[0]["supports"]
    assert len(base["at_mm"]) == base["count"]
    assert base["load_n"] < base["capacity_n"]


def test_a_display_tier_is_neither_cut_nor_baked():
    design = make_design([make_tier(12), make_tier(9, kind=Kind.DISPLAY)])
    said = result(make_brief(20, design=design))["design"]["tiers"]
    assert said[1]["cutting"] is None
    assert said[1]["batter_g"] == 0
    assert said[1]["icing_g"] > 0


def test_the_order_of_work_takes_the_minutes_of_the_work():
    said = result(make_brief())
    assert said["schedule"]["holds"]
    assert sum(entry["hands_on"] for entry in said["timeline"]) == said["minutes"]["hands_on"]
    starts = [entry["starts"] for entry in said["timeline"]]
    assert starts == sorted(starts)


def test_kept_tier_says_what_it_would_give_and_is_not_counted():
    said = result(make_brief(keep_top=True))["design"]
    assert said["tiers"][-1]["kind"] == "kept"
    assert said["tiers"][-1]["servings"] > 0
    assert said["servings"] == sum(tier["servings"] for tier in said["tiers"][:-1])


def test_cake_that_is_too_small_says_how_many_are_missing():
    said = result(make_brief(guests=500))
    assert said["design"]["surplus"] == said["design"]["servings"] - 500 < 0
    assert any("short of the 500 needed" in problem["says"] for problem in said["problems"])
