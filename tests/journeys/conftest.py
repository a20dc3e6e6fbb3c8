"""Where do the journeys take place? In the sample shop, filled in anew for each."""

import pytest
from django.core.management import call_command


@pytest.fixture(autouse=True)
def sample_shop(transactional_db):
    """The invented shop with its catalogue, its owner and Ben at the counter."""
    call_command("sample_shop", verbosity=0)
