"""Step finishes: the coat and colour of each tier."""

import pytest
from django.urls import reverse

from tests.consultations import keys, make_consultation

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:finishes", args=[row.pk])


def answers(row, **changes):
    tiers = row.designs.get(letter="A").as_value().tiers
    data = {f"finish_{n}": tier.finish for n, tier in enumerate(tiers)}
    data |= {f"colour_{n}": "" for n, _ in enumerate(tiers)}
    data |= {f"own_{n}": "#ffffff" for n, _ in enumerate(tiers)}
    return {**data, **keys(row), **changes}


def tiers_of(row):
    return row.designs.get(letter="A").as_value().tiers


def test_each_tier_keeps_its_finish_and_colour(rosa, as_rosa):
    row = make_consultation(rosa)
    other = row.book().finishes[1].code
    answer = as_rosa.post(url(row), answers(row, finish_0=other, colour_1="own", own_1="#a3341f"))
    assert answer.status_code == 302
    tiers = tiers_of(row)
    assert [tier.finish for tier in tiers] == [other, "smooth", "smooth"]
    assert tiers[1].colour == "#a3341f"
    assert tiers[1].colour_name


def test_what_is_no_colour_is_refused_beside_its_field(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.post(url(row), answers(row, colour_1="own", own_1="reddish"))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "write one as" in html[html.index('id="id_own_1_error"') :][:300]
    assert tiers_of(row)[1].colour == ""


def test_the_drawing_takes_the_colour(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), answers(row, colour_0="own", own_0="#123456"))
    html = as_rosa.get(url(row)).content.decode()
    so_far = html[html.index('id="so-far"') :]
    assert "#123456" in so_far.lower()


def test_all_tiers_like_the_base(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), answers(row, colour_0="own", own_0="#123456", same="0"))
    assert {tier.colour for tier in tiers_of(row)} == {"#123456"}
