"""The shop that the tests of trust attack: the sample shop, with its own book behind each consultation."""

from datetime import date

import pytest

from shop.actions import take_in_book
from shop.actions.setup import close_days
from shop.sample_setup import sample_book


@pytest.fixture
def shop(db):
    """Hollin Lane Cakes, open, with one closed day."""
    taken = take_in_book(sample_book(), is_sample=True)
    close_days(date(2031, 12, 24), last=date(2031, 12, 24), why="the eve")
    return taken
