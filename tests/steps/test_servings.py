"""Step servings: guests, slice, who eats, spares, the kept top tier."""

import pytest
from django.urls import reverse

from consult.core.design import Kind
from consult.models import Consultation
from tests.consultations import keys, make_consultation

pytestmark = pytest.mark.django_db


def post(browser, row, **changes):
    data = {
        "guests": "120",
        "slice": "dessert",
        "eating_percent": "80",
        "spare": "4",
        **keys(row),
        **changes,
    }
    return browser.post(reverse("consult:servings", args=[row.pk]), data)


def test_the_need_is_kept_and_said_how_it_came_about(rosa, as_rosa):
    row = make_consultation(rosa)
    assert post(as_rosa, row).status_code == 302
    kept = Consultation.objects.get(pk=row.pk)
    assert (kept.guests, float(kept.eating_share), kept.spare) == (120, 0.8, 4)
    page = as_rosa.get(reverse("consult:servings", args=[row.pk])).content.decode()
    assert "100 servings to reach" in page


@pytest.mark.parametrize("typed", ["0", "5000", "-3", "many", "12.5", ""])
def test_a_guest_count_nobody_can_have_is_refused_beside_its_field(typed, rosa, as_rosa):
    row = make_consultation(rosa)
    answer = post(as_rosa, row, guests=typed)
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "from 1 to 2000" in html[html.index('id="id_guests_error"') :][:300]
    assert Consultation.objects.get(pk=row.pk).guests == 80


def test_a_kept_top_tier_is_kept_in_every_design(rosa, as_rosa):
    row = make_consultation(rosa)
    post(as_rosa, row, keep_top="on")
    assert row.designs.get(letter="A").as_value().tiers[-1].kind is Kind.KEPT
    row.refresh_from_db()
    post(as_rosa, row)
    assert row.designs.get(letter="A").as_value().tiers[-1].kind is Kind.EATEN


def test_htmx_gets_what_follows_from_the_change(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.post(
        reverse("consult:servings", args=[row.pk]),
        {"guests": "500", "slice": "dessert", "eating_percent": "100", **keys(row)},
        headers={"HX-Request": "true"},
    )
    html = answer.content.decode()
    assert answer.status_code == 200
    assert "500 servings to reach" in html
    assert "short by" in html
    assert answer["HX-Trigger"].startswith('{"saved": "Saved ')
