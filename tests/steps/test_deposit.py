"""Step deposit: asked for once a sheet is signed, and confirmed when it came in."""

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.core.deposit import is_creditor_reference
from consult.models import Consultation, DepositAsked, Payment, State
from tests.consultations import keys, make_consultation
from tests.papers import words_of
from tests.steps.test_signing import mark, quoted

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:deposit", args=[row.pk])


def signed(browser, person):
    row = quoted(browser, person)
    browser.post(reverse("consult:signing", args=[row.pk]), mark())
    row.refresh_from_db()
    return row


def payment(row, **changes):
    today = timezone.localdate().isoformat()
    return {"amount": "100", "received_on": today, "means": "cash", **keys(row), **changes}


def test_an_unsigned_sheet_asks_for_nothing(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), {})
    assert not DepositAsked.objects.exists()


def test_the_deposit_is_asked_for_once_with_a_reference_anybody_can_check(rosa, as_rosa):
    row = signed(as_rosa, rosa)
    as_rosa.post(url(row), {})
    as_rosa.post(url(row), {"amount": ""})
    asked = DepositAsked.objects.get()
    assert is_creditor_reference(asked.reference)
    sheet = asked.sheet.body
    assert str(asked.amount) == sheet["deposit"]["amount"]
    words = words_of(as_rosa.get(reverse("consult:deposit_request", args=[row.pk, 1])).content)
    assert asked.amount.written() in words
    assert "Ann Okafor" in words


def test_the_deposit_received_confirms_the_order(rosa, as_rosa):
    row = signed(as_rosa, rosa)
    as_rosa.post(url(row), {})
    asked = DepositAsked.objects.get()
    half = asked.amount.times(1).minor // 2
    part = f"{half / 100:.2f}"
    as_rosa.post(url(row), payment(row, amount=part))
    row.refresh_from_db()
    assert row.state == State.SIGNED
    rest = f"{(asked.amount_minor - half) / 100:.2f}"
    as_rosa.post(url(row), payment(row, amount=rest))
    row.refresh_from_db()
    assert row.state == State.CONFIRMED
    assert sum(p.amount_minor for p in Payment.objects.all()) == asked.amount_minor


def test_the_same_payment_sent_twice_is_noted_once(rosa, as_rosa):
    row = signed(as_rosa, rosa)
    as_rosa.post(url(row), {})
    for _ in range(3):
        as_rosa.post(url(row), payment(row, once="tap"))
    assert Payment.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("amount", "0", "from 0.01"),
        ("amount", "12.345", "finer than USD"),
        ("received_on", "2999-01-01", "still to come"),
        ("means", "shells", "valid choice"),
    ],
)
def test_a_payment_that_cannot_be_is_refused_beside_its_field(field, typed, says, rosa, as_rosa):
    row = signed(as_rosa, rosa)
    as_rosa.post(url(row), {})
    answer = as_rosa.post(url(row), payment(row, **{field: typed}))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert says in html[html.index(f'id="id_{field}_error"') :][:300]
    assert not Payment.objects.exists()
    assert Consultation.objects.get(pk=row.pk).state == State.SIGNED
