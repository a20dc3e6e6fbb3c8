"""What the clients' pages stand on: the made-up shop, as its owner set it up."""

import pytest

from shop.actions.taking_in import take_in_book
from tests.makers import make_book


@pytest.fixture(autouse=True)
def shop(db):
    return take_in_book(make_book(), is_sample=False)
