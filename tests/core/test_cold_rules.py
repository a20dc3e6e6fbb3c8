"""Do the published rules on cold give the published answers?"""

from dataclasses import replace
from decimal import Decimal

import pytest

from consult.core.cautions import cautions_of
from consult.core.cold_rules import (
    Keeping,
    NeedsCold,
    TwoFour,
    australian_two_four,
    food_code_table_a,
    food_code_table_b,
    keeping_of_part,
    measured_need,
    recipe_sugar_share,
    sugar_rule,
)
from consult.core.serving_words import LOCAL_CODE, keep_words, keeping_of_all
from shop.core.catalogue import Recipe
from shop.core.policies import Regime
from tests.makers import make_book, make_brief
from tests.small_shop import a_book, recipe


# Kansas State University, Food Safety of Frostings and Fillings, MF3544: more than 65 % by weight.
@pytest.mark.parametrize(
    ("icing", "percent", "met"),
    [
        (recipe(butter=227, icing_sugar=480, cream=30), "65.1", True),
        (recipe(icing_sugar=454, butter=227, cream=227), "50.0", False),
        (recipe(icing_sugar=650, butter=350), "65.0", False),
        (recipe(icing_sugar=651, butter=349), "65.1", True),
    ],
)
def test_icing_over_65_percent_sugar_meets_the_rule(icing, percent, met):
    share = recipe_sugar_share(icing, a_book())
    assert round(share * 100, 1) == Decimal(percent)
    assert sugar_rule(share) is met


def test_half_sweet_ingredient_counts_by_its_share():
    # 500 g figs at half sugar and 350 g sugar: 600 of 850 g.
    assert recipe_sugar_share(recipe(figs=500, sugar=350), a_book()) == Decimal(600) / Decimal(850)
    assert recipe_sugar_share(Recipe(), a_book()) == 0


# FDA Food Code 1-201.10, table B, with both sides of each line of it.
@pytest.mark.parametrize(
    ("water_activity", "ph", "needs"),
    [
        (0.87, 7.0, NeedsCold.NO),
        (0.89, 6.0, NeedsCold.ASSESS),
        (0.91, 4.5, NeedsCold.NO),
        (0.93, 4.5, NeedsCold.ASSESS),
        (0.88, 5.0, NeedsCold.NO),
        (0.88, 5.1, NeedsCold.ASSESS),
        (0.90, 5.0, NeedsCold.NO),
        (0.92, 4.6, NeedsCold.NO),
        (0.92, 4.7, NeedsCold.ASSESS),
        (0.99, 4.1, NeedsCold.NO),
        (0.99, 4.2, NeedsCold.ASSESS),
    ],
)
def test_table_b_of_the_food_code(water_activity, ph, needs):
    assert food_code_table_b(water_activity, ph) is needs


# All sixteen fields of the same table as a state prints it: Tenn. Comp. R. & Regs. 0080-04-09-.01.
# Columns: below 4.2, 4.2 to 4.6, above 4.6 to 5.0, above 5.0; "a" is product assessment required.
@pytest.mark.parametrize(
    ("water_activities", "fields"),
    [
        ((0.5, 0.87), "----"),
        ((0.88, 0.90), "---a"),
        ((0.901, 0.92), "--aa"),
        ((0.921, 1.0), "-aaa"),
    ],
)
def test_every_field_of_table_b(water_activities, fields):
    columns = ((3.0, 4.19), (4.2, 4.6), (4.61, 5.0), (5.01, 7.0))
    for water_activity in water_activities:
        for field, column in zip(fields, columns, strict=True):
            for ph in column:
                found = food_code_table_b(water_activity, ph)
                assert (found is NeedsCold.ASSESS) is (field == "a"), (water_activity, ph)


@pytest.mark.parametrize(("water_activity", "ph"), [(1.1, 5.0), (-0.1, 5.0), (0.9, 15.0)])
def test_figures_that_no_food_has_are_refused(water_activity, ph):
    with pytest.raises(ValueError, match="Water activity"):
        food_code_table_b(water_activity, ph)


# Food Standards Australia New Zealand, 2-hour/4-hour rule; time out of the cold adds up.
@pytest.mark.parametrize(
    ("minutes", "answer"),
    [
        ((70, 80), TwoFour.USE),
        ((130, 120), TwoFour.DISCARD),
        ((119,), TwoFour.USE_OR_CHILL),
        ((120,), TwoFour.USE),
        ((240,), TwoFour.USE),
        ((241,), TwoFour.DISCARD),
        ((), TwoFour.USE_OR_CHILL),
    ],
)
def test_time_out_of_the_fridge_adds_up(minutes, answer):
    assert australian_two_four(minutes) is answer


# FDA Food Code 1-201.10, table A, all nine fields, from memory; columns to 4.6, above 4.6 to 5.6, above
# 5.6; "a" is product assessment required.
@pytest.mark.parametrize(
    ("water_activities", "fields"),
    [((0.5, 0.92), "---"), ((0.921, 0.95), "--a"), ((0.951, 1.0), "-aa")],
)
def test_every_field_of_table_a(water_activities, fields):
    for water_activity in water_activities:
        for field, phs in zip(fields, ((3.0, 4.6), (4.61, 5.6), (5.61, 7.0)), strict=True):
            for ph in phs:
                found = food_code_table_a(water_activity, ph)
                assert (found is NeedsCold.ASSESS) is (field == "a"), (water_activity, ph)


def measured(water_activity=None, ph=None, **more):
    """The shop's buttercream, measured. By its recipe it has sugar enough to need no cold."""
    figures = {"water_activity": water_activity, "ph": ph}
    given = {name: None if one is None else Decimal(one) for name, one in figures.items()}
    return replace(make_book().fillings[0], **given, **more)


# The Food Code's fields as above; where a figure is missing the other must be safe by itself.
@pytest.mark.parametrize(
    ("water_activity", "ph", "need"),
    [
        ("0.87", "7", NeedsCold.NO),
        ("0.89", "6", NeedsCold.ASSESS),
        ("0.91", "4.5", NeedsCold.NO),
        ("0.93", "4.5", NeedsCold.ASSESS),
        ("0.87", None, NeedsCold.NO),
        ("0.89", None, None),
        (None, "4.1", NeedsCold.NO),
        (None, "4.2", None),
        (None, None, None),
    ],
)
def test_a_filling_that_was_measured_asks_the_table(water_activity, ph, need):
    assert measured_need(measured(water_activity, ph)) is need


def test_what_the_table_leaves_to_an_assessment_is_kept_cold_and_said_so():
    filling = measured("0.93", "4.5")
    book = make_book(fillings=(filling,))
    brief = make_brief()
    assert keeping_of_part(filling, book) is Keeping.COLD
    assert keeping_of_all(brief, book) is Keeping.COLD
    said = [one for one in cautions_of(brief, book) if one.code == "keep-cool"]
    assert said[0].says.startswith("Vanilla buttercream must be kept cold")
    assert "as the local food code says" in said[0].says
    assert keep_words(Regime.US, Keeping.COLD)[-1] == LOCAL_CODE


def test_what_the_table_lets_stand_needs_no_sugar():
    book = make_book()
    creamy = replace(book.fillings[0], recipe=Recipe(book.fillings[0].recipe.lines[:1]))
    milky = next(one for one in book.ingredients if "milk" in one.contains)
    creamy = replace(
        creamy, recipe=Recipe((replace(creamy.recipe.lines[0], ingredient=milky.code),))
    )
    assert keeping_of_part(creamy, book) is Keeping.NOT_SHOWN
    dry = replace(creamy, water_activity=Decimal("0.80"), ph=Decimal(7))
    assert keeping_of_part(dry, book) is Keeping.PLAIN


def test_the_shops_own_word_for_the_cold_is_stronger_than_the_table():
    assert keeping_of_part(measured("0.5", "3", keeps_cool=True), make_book()) is Keeping.COLD


def test_a_coat_is_asked_like_a_filling():
    book = make_book()
    coat = replace(book.finishes[0], water_activity=Decimal("0.95"), ph=Decimal(6))
    assert keeping_of_part(coat, book) is Keeping.COLD
