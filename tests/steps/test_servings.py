"""Step servings: guests, slice, who eats, spares, the kept top tier."""

import re

import pytest
from django.urls import reverse
from django.utils.html import escape

from consult.core.design import Kind
from consult.core.servings import plan_of
from consult.core.venue_values import cutting_guide_of
from consult.finding import consultation_at_hand
from consult.models import Consultation
from shop.core.policies import Rounds
from tests.consultations import keys, make_consultation
from tests.makers import make_book

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:servings", args=[row.pk])


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


def test_the_line_of_the_cutting_plan_opens_to_a_picture_of_each_tier(rosa, as_rosa):
    row = make_consultation(rosa)
    html = as_rosa.get(url(row)).content.decode()
    assert f'hx-get="{url(row)}?plans=yes"' in html
    assert "<svg" not in html[html.index("knife-plans") : html.index("</details>")]
    part = as_rosa.get(f"{url(row)}?plans=yes", headers={"HX-Request": "true"}).content.decode()
    assert "<main" not in part
    guide = cutting_guide_of((at := consultation_at_hand(row.pk)).brief, at.book, "", 0)
    assert part.count("<svg") == len(guide.tiers) == 3
    for one in guide.tiers:
        assert f"<p>{one.servings} servings, in {one.plan.way.value}.</p>" in part
        assert escape(one.steps[0]) in part
    top = part[part.index("<svg") : part.index("</svg>")]
    *numbers, _of_the_scale_bar = map(int, re.findall(r">(\d+)</text>", top))
    assert numbers == list(range(1, guide.tiers[0].plan.count + 1))


def test_without_script_the_plans_come_with_the_page(rosa, as_rosa):
    row = make_consultation(rosa)
    html = as_rosa.get(f"{url(row)}?plans=yes").content.decode()
    assert html.count('<section class="knife-plan">') == 3
    assert 'name="guests"' in html


def test_a_shop_that_cuts_rounds_in_rows_counts_and_draws_rows(rosa, as_rosa):
    row = make_consultation(rosa, book=make_book(rounds=Rounds.ROWS))
    part = as_rosa.get(f"{url(row)}?plans=yes", headers={"HX-Request": "true"}).content.decode()
    at = consultation_at_hand(row.pk)
    plans = [plan_of(t, at.book.slices[0], Rounds.ROWS) for t in at.design.tiers]
    assert [figures.servings for figures in at.reckoning.tiers] == [plan.count for plan in plans]
    assert part.count("servings, in rows.") == 3
    assert "This shop cuts rounds in rows; cut in rings" in at.reckoning.tiers[0].why
