"""What the tests of inquiries stand on: the made-up shop, as its owner set it up, and nothing remembered."""

import pytest

from consult.inquiry import reckoned
from shop.actions.taking_in import take_in_book
from shop.models import Shop
from tests.makers import make_book


@pytest.fixture(autouse=True)
def shop(db):
    for remembered in (reckoned._range, reckoned._standing, reckoned._book_of):
        remembered.cache_clear()
    take_in_book(make_book(), is_sample=False)
    Shop.objects.update(email="hello@hollin.example", phone="555-0142")
    return Shop.objects.get()
