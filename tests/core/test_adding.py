"""What a decoration would come to, before it is put on."""

import pytest

from consult.core.adding import adding
from consult.core.design import ChosenDecoration
from consult.core.quote import quote_of
from consult.core.work import work_of
from tests.makers import TODAY, make_book, make_brief

BOOK = make_book()


@pytest.mark.parametrize("what", [decoration.code for decoration in BOOK.decorations])
@pytest.mark.parametrize("tier", [None, 0, 2])
def test_it_is_what_the_quote_and_the_hours_grow_by(what, tier):
    chosen = ChosenDecoration(what, 3, tier)
    bare, dressed = make_brief(), make_brief(decorations=[chosen])
    said = adding(chosen, bare, BOOK)
    grown = work_of(dressed, BOOK).hands_on - work_of(bare, BOOK).hands_on
    assert said.minutes == grown
    lines = {line.what: line.amount.minor for line in quote_of(dressed, BOOK, TODAY).lines}
    before = {line.what: line.amount.minor for line in quote_of(bare, BOOK, TODAY).lines}
    own = sum(amount for words, amount in lines.items() if words not in before)
    assert said.price.minor == own
    assert said.price.minor > 0
