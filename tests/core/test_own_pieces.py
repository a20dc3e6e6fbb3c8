"""What is made for one cake alone: priced, timed and declared as what is in the catalogue."""

from dataclasses import replace

from consult.core.allergens import allergens_of
from consult.core.design import ChosenDecoration, OwnPiece
from consult.core.own_pieces import own_code, with_own, without_unused
from consult.core.quote import quote_of
from consult.core.reckoning import reckon
from consult.core.work import work_of
from tests.makers import TODAY, make_book, make_brief, usd

HEDGEHOG = OwnPiece("Sugar hedgehog", usd(45), usd(3), 60, contains=frozenset({"almond"}))


def on_the_cake(piece, count=2):
    brief = make_brief(decorations=[ChosenDecoration(own_code(piece), count, 0)])
    return replace(brief, design=replace(brief.design, own=(piece,)))


def test_it_costs_and_takes_what_was_said_a_piece():
    bare, brief = make_brief(), on_the_cake(HEDGEHOG)
    book = with_own(make_book(), brief.design)
    lines = {line.what: line.amount for line in quote_of(brief, book, TODAY).lines}
    assert lines["Sugar hedgehog, 2 pieces"] == usd(90)
    assert work_of(brief, book).hands_on - work_of(bare, book).hands_on == 120


def test_what_it_contains_is_declared_and_held_against_what_must_be_avoided():
    brief = replace(on_the_cake(HEDGEHOG), avoid=frozenset({"nuts"}))
    book = with_own(make_book(), brief.design)
    assert any("lmond" in name for name in allergens_of(brief, book).contains)
    assert any("Sugar hedgehog" in one.says for one in reckon(brief, book, TODAY).in_the_way)


def test_a_piece_that_is_not_eaten_comes_off_before_cutting():
    topper = replace(HEDGEHOG, name="Brass topper", is_eaten=False, comes_off="lift it off")
    brief = on_the_cake(topper, 1)
    said = reckon(brief, with_own(make_book(), brief.design), TODAY).take_out
    assert any("brass topper" in words.lower() for words in said)


def test_the_same_piece_has_the_same_code_and_a_dearer_one_another():
    assert own_code(HEDGEHOG) == own_code(replace(HEDGEHOG))
    assert own_code(HEDGEHOG) != own_code(replace(HEDGEHOG, price=usd(46)))


def test_what_is_taken_off_the_cake_is_forgotten():
    design = on_the_cake(HEDGEHOG).design
    assert without_unused(design).own == (HEDGEHOG,)
    assert without_unused(replace(design, decorations=())).own == ()
