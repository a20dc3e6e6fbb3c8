"""Up to three designs of one consultation, side by side; one is gone on with."""

import pytest
from django.urls import reverse

from shop.actions import change_shop
from shop.actions.taking_in import take_in_book
from tests.consultations import keys, make_consultation

pytestmark = pytest.mark.django_db


def copied(browser, row):
    browser.post(reverse("consult:designs", args=[row.pk]), keys(row))
    row.refresh_from_db()


def test_a_copy_is_put_beside_and_changed_alone(rosa, as_rosa):
    row = make_consultation(rosa)
    copied(as_rosa, row)
    assert row.chosen_letter == "B"
    other = row.book().finishes[1].code
    data = {f"finish_{n}": other for n in range(3)} | {f"own_{n}": "#ffffff" for n in range(3)}
    as_rosa.post(reverse("consult:finishes", args=[row.pk]), {**data, **keys(row)})
    finishes = {
        design.letter: {tier.finish for tier in design.as_value().tiers}
        for design in row.designs.all()
    }
    assert finishes == {"A": {"smooth"}, "B": {other}}


def test_they_are_compared_to_one_scale_with_servings_and_price(rosa, as_rosa):
    row = make_consultation(rosa)
    copied(as_rosa, row)
    page = as_rosa.get(reverse("consult:compare", args=[row.pk]))
    html = page.content.decode()
    assert html.count('id="designA-title"') == html.count('id="designB-title"') == 1
    total = page.context["at"].reckoning.quote.total.written()
    assert html.count(f"<b>{total}</b>") == 2
    boxes = [
        part.split('"')[1]
        for part in html.split("<svg xmlns")[1:]
        for part in ["=" + part.split("viewBox=")[1]]
    ]
    assert len(set(boxes)) == 1


def test_the_one_gone_on_with_is_chosen(rosa, as_rosa):
    row = make_consultation(rosa)
    copied(as_rosa, row)
    as_rosa.post(reverse("consult:designs", args=[row.pk]), {"letter": "A", **keys(row)})
    row.refresh_from_db()
    assert row.chosen_letter == "A"


def test_there_are_three_at_most(rosa, as_rosa):
    row = make_consultation(rosa)
    for _ in range(4):
        copied(as_rosa, row)
    assert [design.letter for design in row.designs.all()] == ["A", "B", "C"]


def test_a_stranger_sees_no_designs(rosa, cyril):
    row = make_consultation(rosa)
    assert cyril.get(reverse("consult:compare", args=[row.pk])).status_code == 302


def test_todays_prices_are_shown_beside_those_quoted_before_they_are_taken(rosa, as_rosa):
    row = make_consultation(rosa)
    shop = take_in_book(row.book(), is_sample=False)
    as_rosa.post(reverse("consult:prices", args=[row.pk]), keys(row))
    quoted = as_rosa.get(reverse("consult:overview", args=[row.pk]))
    assert quoted.context["total_today"] is None
    change_shop(shop, price_per_serving=shop.money(shop.price_per_serving + 1000))
    page = as_rosa.get(reverse("consult:overview", args=[row.pk]))
    total = page.context["at"].reckoning.quote.total
    assert page.context["total_today"] > total
    words = page.content.decode()
    assert page.context["total_today"].written("en_US") in words
    assert total.written("en_US") in words
