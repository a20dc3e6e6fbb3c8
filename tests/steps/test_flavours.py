"""Step flavours: cake and filling of each tier."""

import pytest
from django.urls import reverse

from tests.consultations import keys, make_consultation

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
