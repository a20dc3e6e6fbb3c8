"""Does each box say what is in it, who must not eat it, how cold it stays and who can carry it?"""

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from consult.core.design import ChosenDecoration, Kind, KitchenCake
from consult.core.label_values import labels_of
from consult.core.serving_words import Keeping, eat_by_words, keep_until_words
from consult.documents.labels import labels
from shop.core.catalogue import Shape
from shop.core.policies import Paper, Regime, SupportHabits
from tests.documents.test_design_sheet import in_order, words_of
from tests.makers import INCH, make_book, make_brief, make_design, make_recipe, make_tier

BOOK = make_book()
WEDDING = make_brief(
    design=make_design(
        (
            make_tier(12, flavour="hazelnut", filling="buttercream", finish="smooth"),
            make_tier(9, flavour="vanilla", filling="custard", finish="fondant"),
            make_tier(6, flavour="vanilla", filling="jam", finish="smooth", kind=Kind.KEPT),
        ),
        decorations=(ChosenDecoration("topper", 1, 2), ChosenDecoration("pearl_border")),
        kitchen_cakes=(KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, 2),),
    )
)


def of(brief=WEDDING, book=BOOK, **more):
    return labels_of(brief, book, "2027-0142", **more)


def names(sheet):
    return [one.what for one in sheet.labels]


def test_there_is_one_label_for_each_box():
    apart = of(together=[[0], [1], [2]])
    assert names(apart) == [
        "Base tier", "Tier 2", "Top tier", "Kitchen cake 1 of 2", "Kitchen cake 2 of 2",
        "Decorations and kit",
    ]  # fmt: skip
    assert names(of(together=[[0], [1, 2]]))[:2] == ["Base tier", "2 tiers"]


def test_a_stack_travels_whole_or_in_parts_as_the_shop_is_used_to():
    assert names(of())[0] == "Whole cake, 3 tiers"
    few = make_book(supports=SupportHabits(tiers_stacked_to_travel=2))
    assert names(of(book=few))[:3] == ["Base tier", "Tier 2", "Top tier"]


def test_a_box_names_the_allergens_of_what_is_in_it():
    base, middle, _, cake, *_ = of(together=[[0], [1], [2]]).labels
    assert "hazelnut" in base.contains
    assert "hazelnut" not in middle.contains
    assert "hazelnut" in middle.may_contain  # the kitchen handles it
    assert "wheat" in cake.contains


def test_names_are_those_of_the_place():
    # Regulation (EU) 1169/2011, Annex II: "wheat (gluten)" and "hazelnuts"; US: "wheat", "hazelnut".
    base = of(book=make_book(regime=Regime.EU), together=[[0], [1], [2]]).labels[0]
    assert {"wheat (gluten)", "hazelnuts"} <= set(base.contains)


def test_only_what_must_stay_cold_is_kept_cold():
    base, middle, top, *_ = of(together=[[0], [1], [2]]).labels
    # FDA Food Code 3-501.16.
    assert middle.keep == "Keep it at 41 °F (5 °C) or colder until it is set out."
    assert "41" not in base.keep
    assert "41" not in top.keep


def test_a_box_does_not_promise_that_an_icing_keeps_which_nobody_has_shown_to():
    # K-State MF3544: more than 65 % sugar by weight. Half butter and half sugar is not.
    coat = make_book().finish("smooth")
    half = replace(coat, recipe=make_recipe(butter=500, icing_sugar=500))
    book = make_book(finishes=(half,))
    (label,) = of(make_brief(tiers=(make_tier(8, filling="jam", finish="smooth"),)), book).labels
    assert "no longer than the local food code says" in label.keep
    assert label.eat_by.startswith("Eat it on the day")


def test_the_kept_tier_says_how_it_is_kept():
    top = of(together=[[0], [1], [2]]).labels[2]
    assert top.note == "It is kept for the couple: do not cut."
    assert "freeze" in top.eat_by


def test_a_display_tier_is_not_to_be_eaten():
    brief = make_brief(tiers=(make_tier(8, kind=Kind.DISPLAY),))
    (label,) = of(brief).labels
    assert (label.note, label.eat_by) == ("Foam under icing: it is never cut or eaten.", "")


def test_a_heavy_box_is_carried_by_two():
    light = of(make_brief(tiers=(8,))).labels[0]
    heavy = of(make_brief(tiers=(8,)), make_book(one_person_lifts_grams=1000.0)).labels[0]
    assert light.carry.startswith("One person")
    assert heavy.carry.startswith("Two people")
    # 8 in round x 4 in at FNDDS's 6.8 g a cubic inch: 1367 g; its 12-in drum of 12 mm, 0.7 g/ml (from
    # memory): 613 g.
    assert light.weight == "about 2 kg (4.4 lb)"


def test_a_box_too_wide_for_one_pair_of_arms_is_carried_by_two_however_light():
    # NIOSH 94-110, p. 8: hands 20 cm + half the depth before the ankles, and nothing beyond 63 cm. A 20-in
    # tier's box, 63.5 cm deep, is held 52 cm off: less may be lifted than it weighs. A foam tier of
    # 30 in, its box 88.9 cm deep, is held 64.5 cm off.
    roomy = make_book(one_person_lifts_grams=90000.0)
    assert of(make_brief(tiers=(20,)), roomy).labels[0].carry.startswith("Two people")
    wide = make_brief(tiers=(make_tier(30, height=2, kind=Kind.DISPLAY),))
    assert of(wide, roomy).labels[0].carry.startswith("Two people")


def test_a_kitchen_cake_is_weighed_on_a_board_of_its_own_size():
    cake = KitchenCake(Shape.ROUND, 8 * INCH, 4 * INCH)
    (label,) = of(make_brief(design=make_design((), kitchen_cakes=(cake,)))).labels
    # 1367 g and a board of 8 in, 3 mm, 0.7 g/ml: 68 g.
    assert label.weight == "about 1.45 kg (3.2 lb)"


def test_decorations_that_come_off_have_their_own_box():
    box = of().labels[-1]
    assert "1 × wooden topper" in box.holds[0]
    assert "pearl border" not in box.holds[0]
    assert box.note == "Not everything in it is food."
    plain = make_brief(decorations=(ChosenDecoration("pearl_border"),))
    assert "Decorations and kit" not in names(of(plain))


@pytest.mark.parametrize("regime", list(Regime))
def test_every_place_has_its_words(regime):
    assert len({keep_until_words(regime, keeping) for keeping in Keeping}) == 3
    assert "Eat within" in eat_by_words(Keeping.COLD)


# --- the paper ---


def pages(made):
    return PdfReader(io.BytesIO(made)).pages


def test_each_label_says_all_in_order():
    text = words_of(labels(of(together=[[0], [1], [2]])))
    for part in ("Base tier", "Tier 2", "Top tier"):
        assert part in text
    assert -1 not in in_order(
        text, "Base tier", "box 1 of 6", "12 in round: hazelnut", "Contains wheat, egg, milk, hazelnut.",
        "May contain peanuts", "One person carries it", "Ann Okafor", "Saturday, May 15, 2027",
        "Sheet 2027-0142", "Quince and Crumb", "box 6 of 6",
    )  # fmt: skip
    assert "$" not in text


def test_six_labels_fill_a_page_and_the_seventh_starts_another():
    many = make_brief(
        design=make_design(
            (8,), kitchen_cakes=(KitchenCake(Shape.ROUND, 8 * INCH, 4 * INCH, count=5),)
        )
    )
    assert len(pages(labels(of(many)))) == 1
    more = make_brief(
        design=make_design(
            (8,), kitchen_cakes=(KitchenCake(Shape.ROUND, 8 * INCH, 4 * INCH, count=6),)
        )
    )
    assert len(pages(labels(of(more)))) == 2


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("brief", [WEDDING, make_brief(tiers=())])
def test_it_prints_on_any_paper_and_the_same_each_time(paper, brief):
    book = make_book(paper=paper)
    made = labels(of(brief, book))
    assert made == labels(of(brief, book))
    wide = float(pages(made)[0].mediabox.width)
    assert round(wide) == {Paper.LETTER: 612, Paper.A4: 595}[paper]


def test_names_of_any_length_fit_a_label():
    brief = make_brief(
        tiers=(make_tier(8, flavour="vanilla"),),
        decorations=[
            ChosenDecoration("sugar_rose", 9, 0, "#C98A86", "a rose as dusty as they come")
        ]
        * 12,
    )
    text = words_of(labels(of(brief)))
    assert text.count("as dusty as they come") == 12
    assert "Fragile: nothing on top of it." in text
