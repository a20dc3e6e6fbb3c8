"""Household measures against the USDA's weights (Standard Reference, release 26, 2013, table WEIGHT)."""

from decimal import Decimal

import pytest

from shop.core.household import grams_of, known_as


@pytest.mark.parametrize(
    ("typed", "ingredient", "grams"),
    [
        ("1 large", "eggs, whole", "50"),  # NDB 01123
        ("1 large", "egg white", "33"),  # NDB 01124
        ("1 large", "egg yolk", "17"),  # NDB 01125
        ("12 large", "eggs", "600"),
        ("1 cup", "all-purpose flour", "125"),  # NDB 20081
        ("1 cup", "granulated sugar", "200"),  # NDB 19335
        ("1 sifted cup", "icing sugar", "100"),  # NDB 19336
        ("1 cup", "icing sugar", "120"),  # NDB 19336
        ("1 cup", "unsalted butter", "227"),  # NDB 01001
        ("2 sticks", "unsalted butter", "226"),  # NDB 01001
        ("1 cup", "cocoa powder", "86"),
        ("1 1/2 cups", "whole milk", "366"),
        ("3/4 tsp", "fine salt", "4.5"),
        ("1 cup", "bread flour", "137"),  # NDB 20083
        ("1 cup", "cake flour", "137"),  # NDB 20084
        ("1 cup", "brown sugar, packed", "220"),  # NDB 19334
        ("1 loose cup", "brown sugar", "145"),  # NDB 19334
        ("1 cup", "shortening", "205"),  # NDB 04031
        ("1 cup", "vegetable oil", "218"),  # NDB 04044
        ("1 cup", "buttermilk", "245"),
        ("1 cup", "heavy cream", "238"),
        ("1 cup", "cream cheese", "232"),
        ("1 cup", "honey", "339"),
        ("1 tsp", "baking powder", "4.6"),
        ("1 tsp", "cream of tartar", "3"),
        ("1 cup", "water", "237"),
        ("250", "anything", "250"),
        ("1,5 kg", "anything", "1500"),
    ],
)
def test_an_amount_is_weighed(typed, ingredient, grams):
    assert grams_of(typed, ingredient) == Decimal(grams)


@pytest.mark.parametrize(
    ("typed", "ingredient", "says"),
    [
        ("a pinch", "salt", "Type grams"),
        ("2 buckets", "flour", "known: cup"),
        ("1 cup", "edible glitter", "known: none"),
        ("", "flour", "Type grams"),
        ("-3", "flour", "Type grams"),
    ],
)
def test_what_cannot_be_weighed_is_said(typed, ingredient, says):
    assert says in str(grams_of(typed, ingredient))


def test_the_longest_name_counts():
    assert known_as("Brown sugar, dark") == "brown sugar"
    assert known_as("Buttermilk") == "buttermilk"
    assert known_as("Cake flour") == "cake flour"
    assert known_as("Glitter") is None


# The same table has an egg by the cup, 243 g, and says that it is 4.86 large ones.
def test_a_cup_of_egg_is_close_to_five_large_ones():
    cup, large = grams_of("1 cup", "eggs"), grams_of("1 large", "eggs")
    assert cup / large == Decimal("4.86")
    assert grams_of("1 large", "egg white") + grams_of("1 large", "egg yolk") == large


# NIST SP 430: 16 tablespoonfuls a cupful, 3 teaspoonfuls a tablespoonful. Fats do not pack, so that
# both of the database's measures must agree; a stick of butter is half a cup.
@pytest.mark.parametrize("fat", ["butter", "shortening", "vegetable oil"])
def test_sixteen_spoons_of_a_fat_are_a_cup(fat):
    assert grams_of("16 tbsp", fat) == pytest.approx(grams_of("1 cup", fat), rel=Decimal("0.002"))


def test_two_sticks_of_butter_are_a_cup():
    assert grams_of("2 sticks", "butter") == pytest.approx(grams_of("1 cup", "butter"), abs=1)
