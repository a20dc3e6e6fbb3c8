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
