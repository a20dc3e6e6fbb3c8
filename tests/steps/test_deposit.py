"""Step deposit: asked for once a sheet is signed, and confirmed when it came in."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.actions import deposits, sheets
from consult.core.deposit import is_creditor_reference
from consult.models import Consultation, DepositAsked, Payment, State
from shop.core.money import Money
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


def asked_of(browser, person):
    row = signed(browser, person)
    browser.post(url(row), {})
    return row


def paid_in_full(browser, row, *parts):
    """Each of the parts noted, in minor units."""
    for minor in parts:
        row.refresh_from_db()
        browser.post(url(row), payment(row, amount=f"{minor / 100:.2f}"))
    row.refresh_from_db()


def open_form(browser, row):
    """The page, and the amount its form is filled with; None without a form."""
    html = browser.get(url(row)).content.decode()
    found = re.search(r'name="amount"[^>]*value="([^"]*)"', html)
    return html, found and found.group(1)


def test_the_amount_noted_next_is_first_the_rest_of_the_deposit_then_the_balance(rosa, as_rosa):
    row = asked_of(as_rosa, rosa)
    asked = DepositAsked.objects.get()
    sheet = sheets.sheet_value(asked.sheet)
    html, amount = open_form(as_rosa, row)
    assert (amount, "Note the deposit" in html) == (str(sheet.deposit), True)
    assert "<h1>The deposit is asked for</h1>" in html
    assert 'class="button">Mark as received' in html

    paid_in_full(as_rosa, row, 1000)
    _, amount = open_form(as_rosa, row)
    assert amount == str(sheet.deposit - Money(1000, "USD"))

    paid_in_full(as_rosa, row, sheet.deposit.minor - 1000)
    html, amount = open_form(as_rosa, row)
    assert (amount, "Note the balance" in html) == (str(sheet.balance), True)
    assert "<h1>The deposit is covered</h1>" in html
    assert 'class="button button-quiet">Mark as received' in html

    paid_in_full(as_rosa, row, sheet.balance.minor)
    html, amount = open_form(as_rosa, row)
    assert amount is None
    assert "<h1>Everything is paid</h1>" in html
    assert "Mark as received" not in html


def test_more_than_is_open_is_asked_about_before_it_is_noted(rosa, as_rosa):
    row = asked_of(as_rosa, rosa)
    total = sheets.sheet_value(DepositAsked.objects.get().sheet).total
    paid_in_full(as_rosa, row, 1000)
    left = total - Money(1000, "USD")
    more = str(left + Money(1, "USD"))
    answer = as_rosa.post(url(row), payment(row, amount=more))
    html = answer.content.decode()
    assert answer.status_code == 422
    says = f"That is $0.01 more than is open ({left.written()}). Note it all the same?"
    assert says in html[html.index('id="id_amount_error"') :][:300]
    assert 'name="all_the_same"' in html
    assert Payment.objects.count() == 1
    as_rosa.post(url(row), payment(row, amount=more, all_the_same="on"))
    assert Payment.objects.count() == 2


def test_the_whole_order_paid_at_once_and_sent_again_is_noted_once(rosa, as_rosa):
    row = asked_of(as_rosa, rosa)
    total = sheets.sheet_value(DepositAsked.objects.get().sheet).total
    row.refresh_from_db()
    sent = payment(row, amount=str(total), once="tap")
    assert [as_rosa.post(url(row), sent).status_code for _ in range(2)] == [302, 302]
    assert Payment.objects.count() == 1


def signed_again(browser, row, guests):
    """A new revision of a signed design for other guests, its sheet made and signed."""
    row.refresh_from_db()
    browser.post(reverse("consult:revise", args=[row.pk]), keys(row))
    row.refresh_from_db()
    assert "It counts towards the deposit of the next sheet" in open_form(browser, row)[0]
    answers = {"guests": guests, "slice": "dessert", "eating_percent": "100", "spare": "0"}
    browser.post(reverse("consult:servings", args=[row.pk]), {**answers, **keys(row)})
    row.refresh_from_db()
    browser.post(reverse("consult:sheet", args=[row.pk]), {"lead_on": "yes", **keys(row)})
    row.refresh_from_db()
    browser.post(reverse("consult:signing", args=[row.pk]), mark())
    row.refresh_from_db()


def test_what_was_paid_covers_the_deposit_of_a_new_revision(rosa, as_rosa):
    row = asked_of(as_rosa, rosa)
    deposit = DepositAsked.objects.get().amount
    paid_in_full(as_rosa, row, deposit.minor)
    signed_again(as_rosa, row, "70")
    assert row.sheets.count() == 2
    assert row.state == State.CONFIRMED
    said = row.record.filter(what="signed").last().says
    assert f"covered by the {deposit} received, so the order is confirmed" in said
    html, amount = open_form(as_rosa, row)
    balance = sheets.sheet_value(row.sheets.latest("revision")).total - deposit
    assert amount == str(balance)
    assert "nothing more is asked for" in html
    assert "Ask for the deposit</button>" not in html
    paid_in_full(as_rosa, row, balance.minor)
    assert row.state == State.CONFIRMED
    assert DepositAsked.objects.count() == 1  # the second sheet asked for nothing
    assert "<h1>Everything is paid</h1>" in open_form(as_rosa, row)[0]


def test_a_part_paid_before_is_taken_off_the_deposit_of_a_new_revision(rosa, as_rosa):
    row = asked_of(as_rosa, rosa)
    paid_in_full(as_rosa, row, 2500)
    signed_again(as_rosa, row, "70")
    assert row.state == State.SIGNED
    as_rosa.post(url(row), {})
    asked = DepositAsked.objects.latest("pk")
    rest = asked.amount - Money(2500, "USD")
    paper = as_rosa.get(reverse("consult:deposit_request", args=[row.pk, 2])).content
    assert f"Still to pay {rest.written()}" in " ".join(words_of(paper).split())
    paid_in_full(as_rosa, row, rest.minor)
    assert row.state == State.CONFIRMED


def test_a_request_kept_before_payments_were_carried_over_still_opens(rosa, as_rosa):
    row = asked_of(as_rosa, rosa)
    asked = DepositAsked.objects.get()
    asked.body = {k: v for k, v in asked.body.items() if k not in ("received", "to_pay")}
    value = deposits.request_value(asked)
    assert (value.received, value.to_pay) == (Money(0, "USD"), asked.amount)
    assert row.pk == asked.sheet.consultation_id
