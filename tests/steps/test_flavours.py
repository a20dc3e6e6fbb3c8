"""Step flavours: cake and filling of each tier."""

from dataclasses import replace
from decimal import Decimal

import pytest
from django.urls import reverse

from consult.core.adding import more_inside
from consult.finding import consultation_at_hand
from tests.consultations import keys, make_consultation
from tests.makers import make_book

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:flavours", args=[row.pk])


def answers(row, **changes):
    tiers = row.designs.get(letter="A").as_value().tiers
    data = {f"flavour_{n}": tier.flavour for n, tier in enumerate(tiers)}
    data |= {f"filling_{n}": tier.filling for n, tier in enumerate(tiers)}
    return {**data, **keys(row), **changes}


def design_of(row):
    return row.designs.get(letter="A").as_value()


def test_each_tier_keeps_its_own_cake_and_filling(rosa, as_rosa):
    row = make_consultation(rosa)
    other = row.book().flavours[1].code
    filling = row.book().fillings[1].code
    assert (
        as_rosa.post(url(row), answers(row, flavour_1=other, filling_2=filling)).status_code == 302
    )
    tiers = design_of(row).tiers
    assert [tier.flavour for tier in tiers] == ["vanilla", other, "vanilla"]
    assert tiers[2].filling == filling


def test_all_tiers_like_the_base(rosa, as_rosa):
    row = make_consultation(rosa)
    other = row.book().flavours[1].code
    as_rosa.post(url(row), answers(row, flavour_0=other, same="0"))
    assert {tier.flavour for tier in design_of(row).tiers} == {other}


def test_a_flavour_the_shop_does_not_have_is_refused_beside_its_field(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.post(url(row), answers(row, flavour_0="gravel"))
    assert answer.status_code == 422
    assert 'id="id_flavour_0_error"' in answer.content.decode()
    assert design_of(row).tiers[0].flavour == "vanilla"


def test_a_tier_with_what_must_be_avoided_is_said_at_once(rosa, as_rosa):
    row = make_consultation(rosa, avoid=["milk"])
    html = as_rosa.get(url(row)).content.decode()
    assert 'class="caution"' in html
    assert "milk" in html


def test_what_a_client_must_not_have_is_marked_where_it_is_chosen(rosa, as_rosa):
    row = make_consultation(rosa, avoid=["hazelnut"])
    html = as_rosa.get(url(row)).content.decode()
    assert "contains hazelnut, not for this client" in html
    plain = as_rosa.get(url(make_consultation(rosa))).content.decode()
    assert "not for this client" not in plain


def test_a_choice_says_what_it_comes_to_on_that_tier_and_what_must_stay_cold(rosa, as_rosa):
    row = make_consultation(rosa)
    html = as_rosa.get(url(row)).content.decode()
    at = consultation_at_hand(row.pk)
    dear = next(one for one in at.book.fillings if one.keeps_cool and one.price_per_serving)
    for level in range(3):
        said = html[html.index(f'name="filling_{level}"') :].split("</select>")[0]
        more = more_inside(dear, level, at.brief, at.book).written("en_US")
        assert f">{dear.name}: {more} more, must stay cold</option>" in said
        assert said.count("must stay cold") == sum(one.keeps_cool for one in at.book.fillings)


def test_a_filling_that_was_measured_is_kept_as_the_food_code_says(rosa, as_rosa):
    book = make_book()
    first = replace(book.fillings[0], water_activity=Decimal("0.93"), ph=Decimal("4.5"))
    row = make_consultation(rosa, book=make_book(fillings=(first, *book.fillings[1:])))
    html = as_rosa.get(url(row)).content.decode()
    assert f">{first.name}: must stay cold</option>" in html
