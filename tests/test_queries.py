"""Does a page ask the database as often for much as for little?"""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from consult.flow import NAMES
from consult.models import Photo
from tests.consultations import make_consultation

pytestmark = pytest.mark.django_db

# The clock, session, person, consultation with its prices, designs, photos, bench days, the shop's hours; the rest
# is the step's own. Without a shop row there are no closed days to ask for.
STEPS = {
    "event": 8,
    "servings": 8,
    "tiers": 8,
    "flavours": 8,
    "finishes": 8,
    "decorations": 8,
    "photos": 11,
    "sheet": 11,
    "signing": 9,
    "deposit": 11,
}


def queries_for(browser, path):
    with CaptureQueriesContext(connection) as queries:
        assert browser.get(path).status_code == 200
    return len(queries)


def add_photos(row, count):
    for number in range(count):
        digest = f"{number:064x}"
        Photo.objects.create(
            consultation=row,
            sha256=digest,
            thumbnail_sha256=digest,
            width=400,
            height=300,
            caption=f"wish {number}",
            swatches=[{"name": "ivory", "hex": "#FFFFF0", "share": 0.5}],
            added_at=timezone.now(),
        )


@pytest.mark.parametrize("rows", [1, 3])
def test_the_desk_asks_as_often_for_three_consultations_as_for_one(rows, rosa, as_rosa):
    for _ in range(rows):
        make_consultation(rosa)
    assert queries_for(as_rosa, "/") == 4


@pytest.mark.parametrize("photos", [1, 3])
@pytest.mark.parametrize("name", NAMES)
def test_a_step_asks_as_often_for_three_photos_as_for_one(name, photos, rosa, as_rosa):
    row = make_consultation(rosa)
    add_photos(row, photos)
    assert queries_for(as_rosa, reverse(f"consult:{name}", args=[row.pk])) == STEPS[name]


@pytest.mark.parametrize("name", ["tiers", "sheet"])
def test_a_step_asks_as_often_among_three_consultations_as_alone(name, rosa, as_rosa):
    row = make_consultation(rosa)
    alone = queries_for(as_rosa, reverse(f"consult:{name}", args=[row.pk]))
    make_consultation(rosa)
    make_consultation(rosa)
    assert queries_for(as_rosa, reverse(f"consult:{name}", args=[row.pk])) == alone
