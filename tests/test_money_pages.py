"""The money's pages: what is due, noting, asking, giving back, voiding and cancelling, and who may do which."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from consult.actions import money
from consult.models import BalanceAsked, Cancellation, Payment, Receipt, Refund, State, Voided
from consult.money_due import what_is_due
from shop.core.money import Money
from tests.actions.orders import fresh, make_order, pay, total_of
from tests.consultations import keys, make_consultation
from tests.papers import words_of

pytestmark = pytest.mark.django_db


def at(name, row, *more):
    return reverse(f"consult:{name}", args=[row.pk, *more])


def sent(row, once="", **said):
    return {**keys(fresh(row), once=once), **said}


def payment(row, amount, **said):
    today = timezone.localdate().isoformat()
    return sent(row, amount=amount, received_on=today, means="cash", **said)


def refund(row, amount, **said):
    today = timezone.localdate().isoformat()
    said = {"why": "too much was sent", **said}
    return sent(row, amount=amount, paid_on=today, means="cash", **said)


def dollars(minor):
    return Money(minor, "USD")


def html_of(answer, status=200):
    assert answer.status_code == status
    return answer.content.decode()


def test_the_page_shows_the_ledger_and_what_is_due(rosa, as_rosa):
    row = make_order(rosa)
    pay(row, rosa, dollars(10_000))
    html = html_of(as_rosa.get(at("money", row)))
    for words in ("$515.00", "$100.00", "$157.50", "$257.50", "$415.00", "Mark as received"):
        assert words in html
    assert 'value="157.50"' in html  # what comes in next: the rest of the deposit


def test_a_payment_is_noted_with_its_receipt(rosa, ben, as_ben):
    row = make_order(rosa)
    answer = as_ben.post(at("money", row), payment(row, "257.50"))
    assert answer.status_code == 302
    assert fresh(row).state == State.CONFIRMED
    assert Payment.objects.get().noted_by == ben
    paper = as_ben.get(at("receipt", row, 1)).content
    assert f"R-{row.number}-1" in words_of(paper)


def test_the_same_payment_sent_twice_is_noted_once(rosa, as_rosa):
    row = make_order(rosa)
    said = payment(row, "100", once="tap")
    assert [as_rosa.post(at("money", row), said).status_code for _ in range(3)] == [302] * 3
    assert (Payment.objects.count(), Receipt.objects.count()) == (1, 1)


def test_more_than_is_open_is_asked_about_first(rosa, as_rosa):
    row = make_order(rosa)
    html = html_of(as_rosa.post(at("money", row), payment(row, "600")), 422)
    assert "$85.00 more than is open ($515.00). Note it all the same?" in html
    assert 'name="all_the_same"' in html
    assert not Payment.objects.exists()
    as_rosa.post(at("money", row), payment(row, "600", all_the_same="on"))
    assert "$85.00" in html_of(as_rosa.get(at("money", row)))
    assert money.ledger_of(row).over == dollars(8_500)


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("means", "4111 1111 1111 1111", "valid choice"),
        ("amount", "4111111111111111", "from 0.01"),
        ("received_on", "2999-01-01", "still to come"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(rosa, as_rosa, field, typed, says):
    row = make_order(rosa)
    html = html_of(as_rosa.post(at("money", row), payment(row, "10") | {field: typed}), 422)
    assert says in html[html.index(f'id="id_{field}_error"') :][:300]
    assert not Payment.objects.exists()


def test_what_is_open_is_asked_for_on_paper(rosa, as_ben):
    row = make_order(rosa)
    as_ben.post(at("ask_balance", row), sent(row))
    asked = BalanceAsked.objects.get()
    paper = as_ben.get(at("balance_request", row, 1, asked.place)).content
    assert "$515.00" in words_of(paper)
    assert reverse("consult:balance_request", args=[row.pk, 1, 1]) in html_of(
        as_ben.get(at("money", row))
    )


def test_a_refund_is_the_owners_and_never_more_than_came_in(rosa, as_rosa, as_ben):
    row = make_order(rosa)
    pay(row, rosa, total_of(row) + dollars(500), all_the_same=True)
    assert as_ben.post(at("refund", row), refund(row, "5")).status_code == 403
    assert 'value="5.00"' in html_of(as_rosa.get(at("refund", row)))
    html = html_of(as_rosa.post(at("refund", row), refund(row, "600", all_the_same="on")), 422)
    assert "$520.00 at the most" in html
    html = html_of(as_rosa.post(at("refund", row), refund(row, "6")), 422)
    assert "this gives back $1.00 more" in html
    card = refund(row, "5", why="to 4111 1111 1111 1111")
    html = html_of(as_rosa.post(at("refund", row), card), 422)
    assert "looks like the number of a payment card" in html
    assert not Refund.objects.exists()
    assert as_rosa.post(at("refund", row), refund(row, "5")).status_code == 302
    assert Refund.objects.get().amount == dollars(500)


def test_a_payment_is_made_void_by_the_owner_with_a_reason(rosa, as_rosa, as_ben):
    row = make_order(rosa)
    noted = pay(row, rosa, dollars(25_750))
    page = f"{at('void', row)}?payment={noted.pk}"
    assert as_ben.get(page).status_code == 403
    assert "Noted in error?" in html_of(as_rosa.get(page))
    html_of(as_rosa.post(at("void", row), sent(row, payment=noted.pk, why="")), 422)
    said = sent(row, payment=noted.pk, why="noted on the wrong order", once="tap")
    assert [as_rosa.post(at("void", row), said).status_code for _ in range(2)] == [302, 302]
    assert Voided.objects.count() == 1
    assert fresh(row).state == State.SIGNED
    assert "noted on the wrong order" in html_of(as_rosa.get(at("money", row)))


def test_a_payment_of_another_order_is_not_found(rosa, as_rosa):
    row, other = make_order(rosa), make_order(rosa)
    noted = pay(other, rosa, dollars(100))
    said = sent(row, payment=noted.pk, why="noted twice")
    assert as_rosa.post(at("void", row), said).status_code == 404
    assert as_rosa.post(at("make_receipt", row), said).status_code == 404
    assert as_rosa.get(at("receipt", row, 1)).status_code == 404


def test_cancelling_says_what_it_comes_to_before_it_is_done(rosa, as_rosa, as_ben):
    row = make_order(rosa)  # half a year ahead: a quarter is kept
    pay(row, rosa, dollars(25_750))
    today = timezone.localdate().isoformat()
    said = sent(row, by="client", on=today, why="The party is off")
    assert as_ben.post(at("cancel", row), said).status_code == 403
    html = html_of(as_rosa.post(at("cancel", row), said))
    for words in ("25 % of $515.00 is $128.75", "$128.75", "Cancel the order for good"):
        assert words in html
    assert not Cancellation.objects.exists()
    stale = {**said, "kept": "1 1", "go": "yes"}
    html_of(as_rosa.post(at("cancel", row), stale))
    assert not Cancellation.objects.exists()
    kept = html.split('name="kept" value="')[1].split('"')[0]
    assert as_rosa.post(at("cancel", row), {**said, "kept": kept, "go": "yes"}).status_code == 302
    assert fresh(row).state == State.CANCELLED
    paper = as_rosa.get(at("cancellation", row)).content
    assert "$128.75" in words_of(paper)
    html = html_of(as_rosa.get(at("refund", row)))
    assert 'value="128.75"' in html
    assert as_rosa.get(at("cancel", row)).status_code == 302


def test_an_unsigned_consultation_has_nothing_to_pay_or_cancel(rosa, as_rosa):
    row = make_consultation(rosa)
    html = html_of(as_rosa.get(at("money", row)))
    assert "Nothing is signed yet" in html
    assert "Mark as received" not in html
    assert as_rosa.get(at("cancel", row)).status_code == 302
    html_of(as_rosa.post(at("money", row), payment(row, "5", all_the_same="on")), 422)
    as_rosa.post(at("ask_balance", row), sent(row))
    assert (Payment.objects.count(), BalanceAsked.objects.count()) == (0, 0)


def test_a_stranger_is_kept_out(rosa, cyril):
    row = make_order(rosa)
    for name in ("money", "refund", "void", "cancel"):
        assert cyril.get(at(name, row)).status_code == 302
        assert "log-in" in cyril.get(at(name, row)).url
    assert "log-in" in cyril.get(reverse("consult:money_due")).url


# --- what is due ---


def test_what_is_overdue_stands_first_then_what_comes(rosa, as_ben):
    make_order(rosa, client_name="Sofia Brandt")
    back = make_order(rosa, client_name="Jonas Lind")
    pay(back, rosa, total_of(back) + dollars(250), all_the_same=True)
    today = timezone.localdate()
    owed = what_is_due(today + timedelta(days=8))  # the deposit was due in seven days
    assert [(one.when, one.what, str(one.amount)) for one in owed] == [
        ("late", "deposit", "257.50"), ("later", "balance", "257.50"), ("back", "to give back", "2.50"),
    ]  # fmt: skip
    assert owed[0].days == 1
    assert [one.when for one in what_is_due(today)] == ["week", "later", "back"]
    html = html_of(as_ben.get(reverse("consult:money_due")))
    assert html.index("In the next seven days") < html.index("Sofia Brandt")
    assert html.index("Later</h2>") < html.index("To give back</h2>") < html.index("Jonas Lind")
    html = html_of(as_ben.get(reverse("consult:money_due"), {"q": "sofia", "when": "later"}))
    assert "Jonas Lind" not in html
    assert "In the next seven days</h2>" not in html


def test_the_list_of_what_is_due_asks_as_often_for_three_orders_as_for_one(rosa, as_rosa):
    def queries():
        with CaptureQueriesContext(connection) as seen:
            html_of(as_rosa.get(reverse("consult:money_due")))
        return len(seen)

    pay(make_order(rosa), rosa, dollars(100))
    first = queries()
    for _ in range(2):
        pay(make_order(rosa), rosa, dollars(100))
    assert queries() == first
