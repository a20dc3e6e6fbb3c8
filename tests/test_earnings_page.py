"""What an order earns is the owner's to see, and nobody else's."""

import pytest
from django.core.management import call_command
from django.urls import reverse

from tests.consultations import make_consultation

pytestmark = pytest.mark.django_db


def test_the_owner_sees_what_is_left(rosa, as_rosa):
    row = make_consultation(rosa)
    page = as_rosa.get(reverse("consult:earnings", args=[row.pk]))
    assert page.status_code == 200
    assert page.context["worth"].figures.profit.written() in page.content.decode()


def test_staff_and_strangers_do_not(rosa, as_ben, cyril):
    call_command("sample_shop", verbosity=0)
    row = make_consultation(rosa)
    assert as_ben.get(reverse("consult:earnings", args=[row.pk])).status_code == 403
    assert cyril.get(reverse("consult:earnings", args=[row.pk])).status_code == 302
    glance = as_ben.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert "What it earns" not in glance
