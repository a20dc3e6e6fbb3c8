"""Does the sheet say what can hurt someone, and say it only where it applies?"""

import dataclasses
import re

import pytest

from consult.core.cautions import REGISTRY, caution, cautions_of, take_out, take_out_rows
from consult.core.design import Brief, ChosenDecoration, Design, Kind, KitchenCake, Tier
from consult.core.serving_words import Keeping, keep_until_words, keep_words
from shop.core.catalogue import Shape
from shop.core.policies import Regime
from tests.small_shop import a_book, recipe


def a_tier(size_mm=203.2, filling="fig", finish="plain", kind=Kind.EATEN, height_mm=101.6):
    return Tier(Shape.ROUND, size_mm, height_mm, None, kind, "vanilla", filling, finish)


def a_brief(*tiers, decorations=(), kitchen_cakes=()):
    return Brief(design=Design(tiers, decorations, kitchen_cakes))


def codes(brief, book=None):
    return [one.code for one in cautions_of(brief, book or a_book())]


def said(brief, code, book=None):
    (says,) = [one.says for one in cautions_of(brief, book or a_book()) if one.code == code]
    return says


def test_plain_small_cake_needs_no_caution():
    assert codes(a_brief(a_tier())) == []
    assert codes(Brief()) == []


def test_raw_egg_filling_is_named():
    brief = a_brief(a_tier(filling="mousse"))
    assert codes(brief) == ["raw-egg", "keep-cool"]
    assert said(brief, "raw-egg").startswith("Lemon mousse holds egg that is not cooked through")


@pytest.mark.parametrize(
    ("regime", "figure"),
    [
        (Regime.US, "41 °F (5 °C) or less"),  # FDA Food Code 3-501.16
        (Regime.UK, "8 °C or less"),  # Food Safety and Hygiene (England) Regulations 2013, Sch. 4
        (Regime.AUSTRALIA_NEW_ZEALAND, "5 °C or less"),  # FSANZ 2-hour/4-hour rule
    ],
)
def test_cold_is_asked_for_in_the_figure_of_the_place(regime, figure):
    assert figure in said(a_brief(a_tier(filling="mousse")), "keep-cool", a_book(regime))


def test_cold_filling_of_a_display_tier_is_not_there():
    assert "keep-cool" not in codes(a_brief(a_tier(filling="mousse", kind=Kind.DISPLAY)))


def test_cold_filling_of_a_kitchen_cake_counts():
    cake = KitchenCake(Shape.SQUARE, 203.2, 101.6, filling="mousse")
    assert "keep-cool" in codes(a_brief(a_tier(), kitchen_cakes=(cake,)))


def test_buttercream_below_the_sugar_rule_is_cautioned_and_above_it_not():
    # K-State MF3544: over 65 % sugar by weight. Plain: 480 of 737 g; silky: 250 of 850 g.
    assert codes(a_brief(a_tier(finish="silky"))) == ["sugar"]
    assert codes(a_brief(a_tier(finish="plain"))) == []


def test_the_sugar_rule_holds_for_fillings_as_for_frostings():
    # K-State MF3544 is of both. 500 g of cream and 500 g of icing sugar: 50 %; 300 and 700 g: 70 %.
    book = a_book()
    fig = next(one for one in book.fillings if one.code == "fig")

    def filled(cream, sugar):
        made = dataclasses.replace(fig, recipe=recipe(cream=cream, icing_sugar=sugar))
        others = tuple(one for one in book.fillings if one.code != "fig")
        return codes(a_brief(a_tier()), dataclasses.replace(book, fillings=(made, *others)))

    assert filled(500, 500) == ["sugar"]
    assert filled(300, 700) == []


def test_names_with_commas_are_told_apart():
    book = a_book()
    rose = dataclasses.replace(book.decoration("rose"), name="Sugar rose, wired")
    others = tuple(one for one in book.decorations if one.code != "rose")
    book = dataclasses.replace(book, decorations=(rose, *others))
    brief = a_brief(
        a_tier(), decorations=(ChosenDecoration("rose", 3), ChosenDecoration("bunting"))
    )
    words = said(brief, "inedible-parts", book)
    assert words.startswith("Not to be eaten: Sugar rose, wired; Paper bunting.")


def test_finish_carries_its_own_cautions_in_the_words_of_the_place():
    brief = a_brief(a_tier(finish="white"))
    assert "may not be used in food here" in said(brief, "e171", a_book(Regime.EU))
    assert "permitted here but no longer in the European Union" in said(brief, "e171")


def test_azo_colours_warn_only_where_the_law_asks():
    assert caution("azo-colours", "Red blossom", Regime.US) is None
    eu = caution("azo-colours", "Red blossom", Regime.EU)
    assert eu is not None
    # Regulation (EC) 1333/2008, Annex V, the sentence of the warning (from memory).
    assert "may have an adverse effect on activity and attention in children" in eu.says


def test_owners_own_sentence_is_printed_as_written():
    book = a_book()
    leaf = dataclasses.replace(book.decorations[2], cautions=frozenset(("Keep out of the sun.",)))
    book = dataclasses.replace(book, decorations=(leaf,))
    brief = a_brief(a_tier(), decorations=(ChosenDecoration("leaf", 1),))
    assert [one.says for one in cautions_of(brief, book)] == ["Keep out of the sun."]


def test_inedible_parts_are_named_together_once():
    brief = a_brief(
        a_tier(),
        decorations=(
            ChosenDecoration("rose", 3),
            ChosenDecoration("bunting"),
            ChosenDecoration("rose", 2),
        ),
    )
    assert codes(brief) == ["inedible-parts"]
    assert said(brief, "inedible-parts").startswith("Not to be eaten: Sugar rose, Paper bunting.")


def test_decoration_that_was_set_to_none_needs_no_caution():
    assert codes(a_brief(a_tier(), decorations=(ChosenDecoration("rose", 0),))) == []


def test_gold_and_its_carrier_are_both_said():
    brief = a_brief(a_tier(), decorations=(ChosenDecoration("leaf", 4),))
    assert codes(brief) == ["gold", "alcohol"]
    assert "E 175" in said(brief, "gold", a_book(Regime.UK))


def test_two_tiers_have_supports_inside_and_one_has_none():
    assert "supports" in codes(a_brief(a_tier(254.0), a_tier(152.4)))
    assert "supports" not in codes(a_brief(a_tier(254.0)))


# From 8 in on a tier is levels with a board between (common practice, no source).
@pytest.mark.parametrize(("height_mm", "has_one"), [(203.1, False), (203.2, True)])
def test_a_tall_cake_has_a_board_and_dowels_inside_although_it_is_one_tier(height_mm, has_one):
    brief = a_brief(a_tier(height_mm=height_mm))
    assert ("supports" in codes(brief)) is has_one
    inside = (
        "Board and dowels, inside the cake: cut the upper level, take out its board, then pull out and"
        " count the dowels under it"
    )
    assert take_out(brief, a_book()) == ((inside,) if has_one else ())


def test_display_tier_is_never_cut():
    brief = a_brief(a_tier(254.0, kind=Kind.DISPLAY), a_tier(152.4))
    assert said(brief, "display-tier").startswith("Not to be eaten: the base tier is carved foam")


# USDA FNDDS, 6.8 g a cubic inch: an 8-in round 4 in high weighs 1 367 g; 6 + 8 + 10 + 12 weigh
# 7 349 g. On their boards, 12 mm under the base and 3 mm under the others, 0.7 g/ml from memory: 613 g
# and 1 302 g more.
@pytest.mark.parametrize(
    ("sizes", "limit", "heavy"),
    [
        ((203.2,), 1979, True),
        ((203.2,), 1981, False),
        ((304.8, 254.0, 203.2, 152.4), 8650, True),
        ((304.8, 254.0, 203.2, 152.4), 8653, False),
    ],
)
def test_cake_above_the_shops_limit_is_carried_by_two(sizes, limit, heavy):
    book = a_book()
    stacks = dataclasses.replace(book.policies.stacks, one_person_lifts_grams=limit)
    book = dataclasses.replace(book, policies=dataclasses.replace(book.policies, stacks=stacks))
    assert ("heavy" in codes(a_brief(*map(a_tier, sizes)), book)) is heavy


def test_heavy_tier_is_told_from_a_heavy_whole():
    assert said(a_brief(a_tier(700.0)), "heavy").startswith("The heaviest tier weighs about")
    whole = a_brief(a_tier(450.0), a_tier(350.0))
    assert said(whole, "heavy").startswith("The whole cake weighs about")


def test_every_caution_of_the_registry_is_a_whole_sentence_with_a_source():
    for code, entry in REGISTRY.items():
        assert entry.source, code
        for regime in Regime:
            one = caution(code, "this", regime)
            if one:
                assert one.says.endswith("."), code
                assert one.says[0].isupper() or not one.says[0].isalpha(), code
                assert "{" not in one.says, code


def test_what_comes_off_and_out_is_listed_from_the_top_down():
    brief = a_brief(
        a_tier(304.8),
        a_tier(254.0),
        a_tier(152.4, kind=Kind.DISPLAY),
        decorations=(
            ChosenDecoration("rose", 5, tier=0),
            ChosenDecoration("bunting"),
            ChosenDecoration("pine", 6),
        ),
    )
    assert take_out(brief, a_book()) == (
        "5 × Sugar rose, base tier: lift off; the wire is in a pick",
        "Paper bunting, whole cake: pull out both sticks",
        "Dowels and boards, under tiers 2 to 3: count them; from the top down, lift each tier off "
        "with its board, then pull out its dowels",
        "Carved foam, top tier: set it aside, it is never cut",
    )
    rows = take_out_rows(brief, a_book())
    assert [(row.count, row.where) for row in rows] == [
        ("5", "base tier"), ("1", "whole cake"), ("all", "under tiers 2 to 3"), ("1", "top tier"),
    ]  # fmt: skip


def test_single_eaten_cake_has_nothing_to_take_out():
    assert take_out(a_brief(a_tier()), a_book()) == ()


# The Celsius scale is defined so that a temperature in °F is 1.8 times that in °C and 32 (NIST SP 811,
# B.8.1); whole degrees.
def test_every_temperature_is_the_same_in_both_scales():
    sentences = [entry.says for entry in REGISTRY.values()]
    sentences += [says for entry in REGISTRY.values() for says in entry.by_regime.values()]
    for regime in Regime:
        for keeping in Keeping:
            sentences += keep_words(regime, keeping)
            sentences.append(keep_until_words(regime, keeping))
    text = " ".join(sentences)
    pairs = [(int(f), int(c)) for f, c in re.findall(r"(\d+) °F \((\d+) °C\)", text)]
    pairs += [(int(f), int(c)) for c, f in re.findall(r"(\d+) °C \((\d+) °F\)", text)]
    assert {pair[0] for pair in pairs} == {41, 70, 160}
    for fahrenheit, celsius in pairs:
        assert round((fahrenheit - 32) / 1.8) == celsius
    assert text.count("°F") == len(pairs)
