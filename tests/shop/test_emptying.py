"""Can a test empty the tables that are written once, and are they guarded again afterwards?"""

import pytest
from django.db import IntegrityError, connection

from shop.actions import edition_of_today, take_in_book
from shop.models import BookEdition
from shop.sample_setup import sample_book


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", [1, 2])
def test_tables_are_emptied_between_tests_and_guarded_in_them(turn):
    assert not BookEdition.objects.exists()
    take_in_book(sample_book())
    edition_of_today()
    with pytest.raises(IntegrityError):
        connection.cursor().execute("DELETE FROM shop_bookedition")
    assert BookEdition.objects.count() == 1
