"""What holds for each step: it is shown, a stranger is kept out, htmx gets its part, no figure of the shop's own."""

import pytest
from django.core.management import call_command
from django.urls import reverse

from consult.actions.consultations import open_consultation
from consult.flow import NAMES
from tests.consultations import make_consultation

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("name", NAMES)
def test_the_step_is_shown_with_the_cake_so_far(name, rosa, as_rosa):
    row = make_consultation(rosa)
    page = as_rosa.get(reverse(f"consult:{name}", args=[row.pk]))
    assert page.status_code == 200
    html = page.content.decode()
    assert 'id="so-far"' in html
    assert 'aria-current="step"' in html
    assert "Ann Okafor" in html


@pytest.mark.parametrize("name", NAMES)
def test_a_stranger_is_sent_to_the_log_in(name, rosa, cyril):
    row = make_consultation(rosa)
    url = reverse(f"consult:{name}", args=[row.pk])
    for answer in (cyril.get(url), cyril.post(url, {"guests": 5})):
        assert answer.status_code == 302
        assert answer["Location"].startswith(reverse("log_in"))


@pytest.mark.parametrize("name", NAMES)
def test_a_consultation_that_is_not_there_is_not_found(name, as_rosa):
    assert as_rosa.get(reverse(f"consult:{name}", args=[4711])).status_code == 404


@pytest.mark.parametrize("name", NAMES)
def test_htmx_gets_the_fields_and_what_stands_beside_them_and_no_page(name, rosa, as_rosa):
    row = make_consultation(rosa)
    part = as_rosa.get(reverse(f"consult:{name}", args=[row.pk]), headers={"HX-Request": "true"})
    html = part.content.decode()
    assert "<main" not in html
    assert "<html" not in html
    assert 'id="so-far" hx-swap-oob="true"' in html
    assert part["Cache-Control"] == "no-store"


@pytest.mark.parametrize("name", NAMES)
def test_an_empty_consultation_can_be_looked_at_in_any_order(name, rosa, as_rosa):
    call_command("sample_shop", verbosity=0)
    row = open_consultation(by=rosa)
    assert as_rosa.get(reverse(f"consult:{name}", args=[row.pk])).status_code == 200


@pytest.mark.parametrize("name", NAMES)
def test_cost_and_margin_are_on_no_step(name, rosa, as_rosa):
    row = make_consultation(rosa)
    html = as_rosa.get(reverse(f"consult:{name}", args=[row.pk])).content.decode().lower()
    for word in ("margin", "overhead", "hour costs", "profit"):
        assert word not in html
