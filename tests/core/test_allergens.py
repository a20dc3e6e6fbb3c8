"""Does the sheet name every allergen that the place asks for, and meet what the client must avoid?"""

import dataclasses

import pytest

from consult.core.allergens import (
    GROUPS,
    ONCE_LISTED,
    REGIMES,
    SUBSTANCES,
    US_TREE_NUTS,
    allergens_of,
    declared,
    meant_by,
    the_tier_words,
    tier_words,
)
from consult.core.design import Brief, ChosenDecoration, Design, Kind, KitchenCake, Tier
from shop.core.catalogue import Shape
from shop.core.policies import Regime
from tests.small_shop import a_book

US, EU, UK, CA, ANZ = (
    Regime.US, Regime.EU, Regime.UK, Regime.CANADA, Regime.AUSTRALIA_NEW_ZEALAND,
)  # fmt: skip


def a_tier(flavour="vanilla", filling="fig", finish="plain", kind=Kind.EATEN):
    return Tier(Shape.ROUND, 203.2, 101.6, None, kind, flavour, filling, finish)


def a_brief(*tiers, avoid=(), decorations=(), kitchen_cakes=()):
    return Brief(design=Design(tiers, decorations, kitchen_cakes), avoid=frozenset(avoid))


# Which substance has to be declared where. Sources: US FD&C Act 201(qq) and FDA food allergen
# guidance edition 5 (6 January 2025) Table 1; Regulation (EU) 1169/2011 Annex II (EU, UK); Canada
# Food and Drug Regulations B.01.010.1; Australia/New Zealand Standard 1.2.3 and Schedule 9.
EVERYWHERE = {US, EU, UK, CA, ANZ}


@pytest.mark.parametrize(
    ("substance", "where"),
    [
        ("pine nut", {US, CA, ANZ}),
        ("coconut", set()),
        ("lupin", {EU, UK, ANZ}),
        ("mustard", {EU, UK, CA}),
        ("celery", {EU, UK}),
        ("mollusc", {EU, UK, CA, ANZ}),
        ("sulphites", {EU, UK, CA, ANZ}),
        ("crustacean", EVERYWHERE),
        ("sesame", EVERYWHERE),
        ("wheat", EVERYWHERE),
        ("spelt", EVERYWHERE),
        ("barley", {EU, UK, CA, ANZ}),
        ("rye", {EU, UK, CA, ANZ}),
        ("oats", {EU, UK, CA, ANZ}),
        ("hazelnut", EVERYWHERE),
        ("chestnut", set()),
        ("shea nut", set()),
    ],
)
def test_each_regime_declares_what_its_law_lists(substance, where):
    assert {regime for regime in Regime if declared(substance, regime)} == where


def test_us_lists_nine_allergens_with_twelve_tree_nuts():
    # FDA guidance edition 5, Table 1: twelve tree nuts; the nine are milk, egg, fish, crustacean
    # shellfish, tree nuts, wheat, peanuts, soybeans, sesame.
    assert len(US_TREE_NUTS) == 12
    others = set(REGIMES[US]) - set(US_TREE_NUTS)
    wheat = {"wheat", "spelt", "triticale"}
    assert wheat <= others
    assert others - wheat == {"milk", "egg", "fish", "crustacean", "peanut", "soy", "sesame"}


def test_eu_and_uk_list_the_fourteen_of_annex_ii():
    cereals = {"wheat", "spelt", "triticale", "rye", "barley", "oats"}
    nuts = {
        "almond", "hazelnut", "walnut", "black walnut", "california walnut", "heartnut", "cashew",
        "pecan", "brazil nut", "pistachio", "macadamia",
    }  # fmt: skip
    entries = set(REGIMES[EU]) - cereals - nuts
    assert entries == {
        "crustacean", "egg", "fish", "peanut", "soy", "milk", "celery", "mustard", "sesame",
        "sulphites", "lupin", "mollusc",
    }  # fmt: skip
    assert len(entries) + 2 == 14
    assert REGIMES[UK] == REGIMES[EU]


# Health Canada, Priority food allergens (H164-156/5-1-2017E), and the gluten sources and sulphites
# that stand beside them in Food and Drug Regulations B.01.010.1.
def test_canada_lists_its_priority_allergens_gluten_sources_and_sulphites():
    nuts = {
        "almond", "brazil nut", "cashew", "hazelnut", "macadamia", "pecan", "pine nut", "pistachio",
        "walnut",
    }  # fmt: skip
    others = {
        "peanut", "sesame", "milk", "egg", "fish", "crustacean", "mollusc", "soy", "wheat", "triticale",
        "mustard", "spelt", "barley", "oats", "rye", "sulphites",
    }  # fmt: skip
    walnuts = {"black walnut", "california walnut", "heartnut"}  # ours: declared as walnut
    assert set(REGIMES[CA]) == nuts | others | walnuts


# New South Wales Food Authority, Allergen names: the required names of Schedule 9.
def test_australia_and_new_zealand_use_the_required_names():
    required = {
        "sulphites", "barley", "oats", "rye", "wheat", "almond", "Brazil nut", "cashew", "hazelnut",
        "macadamia", "pecan", "pine nut", "pistachio", "walnut", "crustacean", "egg", "fish", "lupin",
        "milk", "mollusc", "peanut", "sesame", "soy",
    }  # fmt: skip
    assert {name.split(" (")[0] for name in REGIMES[ANZ].values()} == required


# Food Allergy Research and Education on FDA's guidance of 6 January 2025: the twelve that stay, by
# name, and the eleven that no longer have to be declared.
def test_the_us_keeps_twelve_tree_nuts_and_drops_eleven():
    assert set(US_TREE_NUTS) == {
        "almond", "black walnut", "brazil nut", "california walnut", "cashew", "hazelnut", "heartnut",
        "macadamia", "pecan", "pine nut", "pistachio", "walnut",
    }  # fmt: skip
    assert set(ONCE_LISTED) == {
        "coconut", "cola nut", "beech nut", "butternut", "chestnut", "chinquapin", "ginkgo nut",
        "hickory nut", "palm nut", "pili nut", "shea nut",
    }  # fmt: skip
    assert not [nut for nut in ONCE_LISTED for regime in Regime if declared(nut, regime)]


@pytest.mark.parametrize("regime", [CA, ANZ])
def test_canada_and_australia_list_nine_tree_nuts_by_name(regime):
    nuts = {REGIMES[regime][nut].split(" (")[0] for nut in US_TREE_NUTS if nut in REGIMES[regime]}
    assert len(nuts) == 9


def test_every_declared_substance_is_one_an_ingredient_can_hold():
    assert len(SUBSTANCES) == len(set(SUBSTANCES))
    for names in (*REGIMES.values(), *GROUPS.values()):
        assert set(names) <= set(SUBSTANCES)


def test_cake_declares_the_union_of_its_parts_in_order():
    found = allergens_of(a_brief(a_tier(), a_tier("hazelnut")), a_book())
    assert found.contains == ("wheat", "egg", "milk", "hazelnut")
    assert found.may_contain == ("almond", "walnut")


def test_same_cake_is_declared_in_the_words_of_the_place():
    names = {
        regime: allergens_of(a_brief(a_tier()), a_book(regime)).contains for regime in (US, EU, ANZ)
    }
    assert names == {
        US: ("wheat", "egg", "milk"),
        EU: ("wheat (gluten)", "eggs", "milk"),
        ANZ: ("wheat (gluten)", "egg", "milk"),
    }


def test_decoration_with_pine_nuts_is_declared_but_in_the_eu():
    brief = a_brief(a_tier(), decorations=(ChosenDecoration("pine", 6),))
    assert "pine nut" in allergens_of(brief, a_book(US)).contains
    assert "pine nuts" in allergens_of(brief, a_book(CA)).contains
    eu = allergens_of(brief, a_book(EU))
    assert not [name for name in eu.contains if "pine" in name]
    assert ("decoration: Pine nut praline", ("pine nut",)) in eu.by_part


def test_decoration_that_was_set_to_none_is_not_in_the_cake():
    brief = a_brief(a_tier(), decorations=(ChosenDecoration("pine", 0),))
    assert "pine nut" not in allergens_of(brief, a_book()).contains


def test_kitchen_cake_counts_even_if_it_is_never_seen():
    cake = KitchenCake(Shape.SQUARE, 304.8, 101.6, flavour="hazelnut", count=2)
    found = allergens_of(a_brief(a_tier(), kitchen_cakes=(cake,)), a_book())
    assert "hazelnut" in found.contains
    assert found.by_part[3][0] == "kitchen cakes, flavour: Hazelnut cake"


def test_display_tier_has_icing_but_no_cake():
    found = allergens_of(a_brief(a_tier("hazelnut", kind=Kind.DISPLAY)), a_book())
    assert found.contains == ("milk",)
    assert [part for part, _ in found.by_part] == ["cake, finish: Plain buttercream"]


def test_what_the_kitchen_handles_may_be_in_it_unless_it_is():
    found = allergens_of(a_brief(a_tier()), a_book(may_contain=("peanut", "milk", "lupin")))
    assert found.may_contain == ("peanuts",)
    assert "milk" in found.contains


def test_tier_with_nothing_chosen_is_declared_as_the_shops_first():
    chosen = allergens_of(a_brief(a_tier("vanilla", "fig", "plain")), a_book())
    assert allergens_of(a_brief(a_tier("", "", "")), a_book()) == chosen


def test_avoided_substance_names_the_tier_and_part():
    found = allergens_of(a_brief(a_tier(), a_tier("hazelnut"), avoid=("hazelnut",)), a_book())
    (problem,) = found.conflicts
    assert problem.where == "design.tiers[1].flavour"
    assert problem.says == (
        "Top tier, flavour: Hazelnut cake contains hazelnut, which the client avoids."
    )


def test_possible_trace_is_a_caution_and_not_a_claim():
    found = allergens_of(a_brief(a_tier("hazelnut"), avoid=("walnut",)), a_book())
    (problem,) = found.conflicts
    assert problem.where == "avoid"
    assert problem.says.startswith("Caution: walnut is not in the recipe")


def test_coconut_conflicts_although_nobody_has_to_declare_it():
    brief = a_brief(a_tier("coconut"), avoid=("coconut",))
    for regime in Regime:
        found = allergens_of(brief, a_book(regime))
        assert not [name for name in found.contains if "coconut" in name]
        (problem,) = found.conflicts
        assert "contains coconut, which the client avoids" in problem.says
        assert "do not ask for it to be declared" in problem.says


def test_lupin_conflicts_in_the_us_too():
    book = a_book(US)
    flavour = dataclasses.replace(
        book.flavours[0], recipe=dataclasses.replace(book.flavours[0].recipe, lines=())
    )
    line = dataclasses.replace(book.flavours[0].recipe.lines[0], ingredient="lupin_flour")
    flavour = dataclasses.replace(
        flavour, recipe=dataclasses.replace(flavour.recipe, lines=(line,))
    )
    book = dataclasses.replace(book, flavours=(flavour,))
    found = allergens_of(a_brief(a_tier(), avoid=("lupin",)), book)
    assert [problem.where for problem in found.conflicts] == ["design.tiers[0].flavour"]


def test_avoiding_tree_nuts_meets_every_nut_and_asks_about_coconut():
    found = allergens_of(
        a_brief(a_tier("hazelnut"), a_tier("coconut"), avoid=("tree nuts",)), a_book()
    )
    says = [problem.says for problem in found.conflicts if problem.where != "avoid"]
    asked = [problem.says for problem in found.conflicts if "coconut" in problem.says]
    assert len(says) == 1
    assert "contains hazelnut, which the client avoids" in says[0]
    assert asked[0].startswith("Caution: top tier, flavour: Coconut cake contains coconut.")
    assert asked[0].endswith("some who avoid tree nuts avoid it too: ask the client.")


def test_avoiding_gluten_meets_wheat():
    found = allergens_of(a_brief(a_tier(), avoid=("Gluten",)), a_book())
    assert [problem.where for problem in found.conflicts] == ["design.tiers[0].flavour"]


def test_nothing_avoided_is_no_conflict():
    assert allergens_of(a_brief(a_tier("hazelnut")), a_book()).conflicts == ()
    assert allergens_of(Brief(), a_book()).contains == ()


def test_word_nobody_knows_means_nothing():
    assert meant_by("Brazil  NUT") == {"brazil nut"}
    assert meant_by("moonbeams") == frozenset()


@pytest.mark.parametrize(
    ("said", "substance"),
    [
        ("almonds", "almond"), ("soya", "soy"), ("soybeans", "soy"), ("Peanuts", "peanut"),
        ("brazil nuts", "brazil nut"), ("crustaceans", "crustacean"), ("pine nuts", "pine nut"),
        ("walnuts", "walnut"), ("walnut", "walnut"), ("oats", "oats"),
    ],
)  # fmt: skip
def test_a_client_may_use_the_words_of_any_label(said, substance):
    assert meant_by(said) == {substance}


def test_tiers_are_called_by_their_place():
    assert [tier_words(at, 4) for at in range(4)] == ["base tier", "tier 2", "tier 3", "top tier"]
    assert tier_words(0, 1) == "cake"
    said = [the_tier_words(at, 3) for at in range(3)]
    assert said == ["the base tier", "tier 2", "the top tier"]
