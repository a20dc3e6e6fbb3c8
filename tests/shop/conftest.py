"""The sample shop, for tests of the owner's pages."""

import pytest

from shop.actions import take_in_book
from shop.sample_setup import sample_book


@pytest.fixture
def shop(db):
    """Hollin Lane Cakes in dollars and inches, as filled in the first time."""
    return take_in_book(sample_book(), is_sample=True)


@pytest.fixture
def euro_shop(db):
    """The same in euros and centimetres."""
    return take_in_book(sample_book(euro=True), is_sample=True)
