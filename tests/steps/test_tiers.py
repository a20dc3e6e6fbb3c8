"""Step tiers: stacks offered, one chosen, any tier changed by hand."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from consult.core.design import Design
from consult.models import BenchDay, Consultation
from shop.core.catalogue import Shape
from tests.consultations import keys, make_consultation

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:tiers", args=[row.pk])


def tiers_of(row):
    return row.designs.get(letter="A").as_value().tiers


def test_stacks_that_reach_the_need_are_offered_as_cards(rosa, as_rosa):
    row = make_consultation(rosa, design=Design())
    html = as_rosa.get(url(row)).content.decode()
    assert "Closest fit" in html
    assert "Lowest price" in html
    served = [int(count) for count in re.findall(r"serves <b>(\d+)</b>", html)]
    assert served
    assert min(served) >= 80


def test_the_card_pressed_becomes_the_stack(rosa, as_rosa):
    row = make_consultation(rosa, design=Design())
    html = as_rosa.get(url(row)).content.decode()
    key = re.search(r'name="stack" value="([^"]+)"', html).group(1)
    assert as_rosa.post(url(row), {"stack": key, **keys(row)}).status_code == 302
    assert len(tiers_of(row)) == key.count("+") + 1
    chosen = as_rosa.get(url(row)).content.decode()
    assert f'value="{key}" data-chosen' in chosen


def test_the_limits_change_what_is_offered(rosa, as_rosa):
    row = make_consultation(rosa, design=Design())
    data = {"shapes": ["square"], "fewest_tiers": "2", "most_tiers": "2", **keys(row)}
    assert as_rosa.post(url(row), data).status_code == 302
    assert Consultation.objects.get(pk=row.pk).shapes == ["square"]
    html = as_rosa.get(url(row)).content.decode()
    offered = re.findall(r'name="stack" value="([^"]+)"', html)
    assert offered
    assert all(key.count("square") == 2 and "round" not in key for key in offered)


def test_more_tiers_at_least_than_at_most_is_refused_beside_the_field(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.post(url(row), {"fewest_tiers": "4", "most_tiers": "2", **keys(row)})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "fewer than the 4 tiers" in html[html.index('id="id_most_tiers_error"') :][:300]


def own(row, **changes):
    """The stack's own form as it stands, with changes."""
    html_free = {"form": "own", **keys(row)}
    pans = row.book().pans
    for number, tier in enumerate(tiers_of(row)):
        at = next(
            place
            for place, pan in enumerate(pans)
            if (pan.shape, pan.size_mm) == (tier.shape, tier.size_mm)
        )
        html_free[f"pan_{number}"] = str(at)
        html_free[f"height_{number}"] = f"{tier.height_mm:g}"
        html_free[f"kind_{number}"] = tier.kind.value
    return {**html_free, **changes}


def test_a_tier_changed_by_hand_keeps_its_flavour_and_says_what_does_not_stand(rosa, as_rosa):
    row = make_consultation(rosa)
    pans = row.book().pans
    same_as_base = own(row)["pan_0"]
    assert as_rosa.post(url(row), own(row, pan_1=same_as_base)).status_code == 302
    changed = tiers_of(row)
    assert changed[1].size_mm == pans[int(same_as_base)].size_mm
    assert changed[1].flavour == "vanilla"
    assert "ledge" in as_rosa.get(url(row)).content.decode()


def test_a_tier_is_added_on_top_and_taken_out_again(rosa, as_rosa):
    row = make_consultation(rosa)
    before = tiers_of(row)
    as_rosa.post(url(row), own(row, add="yes"))
    assert len(tiers_of(row)) == len(before) + 1
    row.refresh_from_db()
    as_rosa.post(url(row), own(row, remove="1"))
    assert len(tiers_of(row)) == len(before)
    assert tiers_of(row)[0] == before[0]


def test_a_pan_the_shop_does_not_own_is_refused(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.post(url(row), own(row, pan_0="30"))
    assert answer.status_code == 422
    assert tiers_of(row)[0].shape is Shape.ROUND
    assert 'id="id_pan_0_error"' in answer.content.decode()


def test_a_need_no_stack_reaches_says_what_to_loosen(rosa, as_rosa):
    row = make_consultation(rosa, guests=1900, design=Design())
    html = as_rosa.get(url(row)).content.decode()
    assert 'name="stack"' not in html
    assert "feeds" in html


def test_cards_say_where_the_date_does_not_hold(rosa, as_rosa):
    row = make_consultation(rosa, design=Design())
    assert "does not fit" not in as_rosa.get(url(row)).content.decode()
    other = make_consultation(rosa, state="signed")
    for back in range(1, 15):
        day = row.event_on - timedelta(days=back)
        BenchDay.objects.create(consultation=other, on=day, minutes=405)
    html = as_rosa.get(url(row)).content.decode()
    cards = html.split('name="stack"')[1:]
    too_much = [card for card in cards if "does not fit before" in card]
    assert 0 < len(too_much) < len(cards)


def test_where_no_stack_fits_it_is_said_once(rosa, as_rosa):
    row = make_consultation(rosa, design=Design())
    other = make_consultation(rosa, state="signed")
    for back in range(1, 15):
        day = row.event_on - timedelta(days=back)
        BenchDay.objects.create(consultation=other, on=day, minutes=900)
    html = as_rosa.get(url(row)).content.decode()
    assert html.count("none of them fits before") == 1
    assert "does not fit before" not in html
