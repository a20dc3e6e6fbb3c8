"""Days and hours are the shop's: its time zone, and the hours it keeps today."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.urls import reverse

from consult.actions.consultations import open_consultation
from consult.finding import consultation_at_hand
from shop.actions import change_shop, close_days
from shop.models import Shop
from tests.consultations import a_saturday

pytestmark = pytest.mark.django_db


def test_the_record_is_shown_by_the_shops_clock(rosa, as_rosa):
    call_command("sample_shop", verbosity=0)
    row = open_consultation(by=rosa)
    at = row.record.first().at
    for zone, hours in (("Pacific/Kiritimati", 14), ("Pacific/Pago_Pago", -11)):
        change_shop(Shop.objects.get(), time_zone=zone)
        html = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
        assert f"{at + timedelta(hours=hours):%H:%M}" in html


def test_a_day_closed_today_no_longer_holds_for_a_cake_quoted_before(rosa):
    call_command("sample_shop", verbosity=0)
    row = open_consultation(by=rosa)
    day = a_saturday()
    row.__class__.objects.filter(pk=row.pk).update(event_on=day)
    prices = consultation_at_hand(row.pk).book.policies.price_per_serving
    assert consultation_at_hand(row.pk).reckoning.date.holds
    close_days(day - timedelta(days=40), last=day + timedelta(days=1))
    after = consultation_at_hand(row.pk)
    assert after.reckoning.date.holds is False
    assert after.book.policies.price_per_serving == prices
    assert replace(after.book, policies=row.book().policies) == row.book()
