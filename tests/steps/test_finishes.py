"""Step finishes: the coat and colour of each tier."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.core.adding import coating
from consult.core.working_days import day_words
from consult.finding import consultation_at_hand
from consult.models import BenchDay
from shop.core.catalogue import Driver, Finish
from shop.core.measures import minutes_written
from tests import invented_shop
from tests.consultations import keys, make_consultation
from tests.makers import make_book, make_rate, make_recipe

pytestmark = pytest.mark.django_db

PAINTED = Finish(
    "painted", "hand-painted fondant", "fondant", "painted", make_recipe(fondant=1000),
    make_rate(Driver.PER_AREA, "13.5", "9", minutes_once="85", price_once="40", waiting=60),
    lead_days=1,
)  # fmt: skip
PAINTING = make_book(finishes=(*invented_shop.finishes(), PAINTED))


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


def test_each_finish_says_what_it_comes_to_on_that_tier(rosa, as_rosa):
    row = make_consultation(rosa)
    html = as_rosa.get(url(row)).content.decode()
    at = consultation_at_hand(row.pk)
    for level in range(3):
        said = html[html.index(f'name="finish_{level}"') :].split("</select>")[0]
        for finish in at.book.finishes:
            added = coating(finish.code, level, at.brief, at.book)
            price = added.price.written("en_US") if added.price else "no extra"
            assert f">{finish.name}: {price}, {minutes_written(added.minutes)}</option>" in said
    assert "does not fit" not in html


def test_a_finish_that_the_week_cannot_bear_says_so_before_it_is_chosen(rosa, as_rosa):
    row = make_consultation(rosa, book=PAINTING)
    words = day_words(row.event_on, timezone.localdate())
    assert "does not fit" not in as_rosa.get(url(row)).content.decode()
    other = make_consultation(rosa, state="signed")
    for back in range(1, 15):
        day = row.event_on - timedelta(days=back)
        BenchDay.objects.create(consultation=other, on=day, minutes=320)
    html = as_rosa.get(url(row)).content.decode()
    base = html[html.index('name="finish_0"') :].split("</select>")[0]
    assert (
        f"hand-painted fondant: $193.23, 5 h 15 min, does not fit before {words}</option>" in base
    )
    assert base.count("does not fit") == 1


def test_a_client_who_must_not_have_it_is_told_beside_its_price(rosa, as_rosa):
    row = make_consultation(rosa, avoid=["milk"])
    html = as_rosa.get(url(row)).content.decode()
    assert "min, contains milk, not for this client</option>" in html
