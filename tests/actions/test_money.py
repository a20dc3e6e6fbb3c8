"""Is money noted once, in whole minor units, never more back than came in, and does the record say it all?"""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from consult import store
from consult.actions import deposits, money, money_papers, sheets
from consult.actions.money import Refused, Unlikely
from consult.core.signing import Link, verify_chain
from consult.models import Message, Payment, Receipt, Refund, State, Voided
from shop.core.money import Money
from shop.models import SealedRow
from tests.actions.orders import fresh, make_order, now, pay, total_of
from tests.consultations import make_consultation
from tests.papers import words_of

pytestmark = pytest.mark.django_db


def give_back(row, by, amount, **said):
    said = {"paid_on": timezone.localdate(), "means": "cash", "why": "too much", **said}
    return money.note_refund(fresh(row), by=by, seen=now(row), amount=amount, **said)


def void(row, by, noted, why="noted twice"):
    return money.void(fresh(row), noted, by=by, seen=now(row), why=why)


def dollars(minor):
    return Money(minor, "USD")


def last_said(row):
    return row.record.latest("place").says


def chain_is_whole(row):
    links = [Link(entry.as_hashed(), entry.previous, entry.hash) for entry in row.record.all()]
    return verify_chain(links) is None


def test_part_payments_cover_the_deposit_and_confirm_the_order(rosa):
    row = make_order(rosa)
    deposit = money.ledger_of(row).deposit
    pay(row, rosa, dollars(1))
    assert fresh(row).state == State.SIGNED
    assert last_said(row).endswith("the deposit is not covered yet")
    pay(row, rosa, deposit - dollars(1))
    assert fresh(row).state == State.CONFIRMED
    assert last_said(row).endswith("the order is confirmed")
    assert deposits.paid(row) == deposit
    assert chain_is_whole(row)


def test_more_than_is_open_is_asked_about_and_then_shown_as_such(rosa):
    row = make_order(rosa)
    more = total_of(row) + dollars(500)
    with pytest.raises(Unlikely, match=r"\$5\.00 more than is open"):
        pay(row, rosa, more)
    assert not Payment.objects.exists()
    pay(row, rosa, more, all_the_same=True)
    ledger = money.ledger_of(row)
    assert (ledger.open, ledger.over) == (dollars(0), dollars(500))
    assert "5.00 more than the order comes to" in last_said(row)


def test_nothing_can_be_paid_before_anything_is_signed(rosa):
    row = make_consultation(rosa)
    with pytest.raises(Refused, match="Nothing is signed"):
        pay(row, rosa, dollars(100), all_the_same=True)
    assert not Payment.objects.exists()


def test_money_comes_in_after_hand_over_as_well(rosa):
    row = make_order(rosa)
    type(row).objects.filter(pk=row.pk).update(state=State.HANDED_OVER)
    pay(row, rosa, total_of(row))
    assert fresh(row).state == State.HANDED_OVER
    assert not money.ledger_of(row).open


def test_a_payment_while_a_revision_is_open_does_not_overtake_its_sheet(rosa):
    row = make_order(rosa)
    sheets.start_revision(fresh(row), by=rosa, seen=now(row))
    before = fresh(row)
    pay(row, rosa, dollars(100))
    assert (fresh(row).revision, fresh(row).state) == (before.revision, State.CONSULTATION)
    assert "1.00 USD received" in last_said(row)
    assert chain_is_whole(row)


def test_what_is_void_counts_nowhere_and_takes_the_confirmation_back(rosa):
    row = make_order(rosa)
    payment = pay(row, rosa, money.ledger_of(row).deposit)
    void(row, rosa, payment)
    assert fresh(row).state == State.SIGNED
    assert "no longer covered, so the order is signed and not confirmed" in last_said(row)
    assert deposits.paid(row) == dollars(0)
    assert money.ledger_of(row).received == dollars(0)
    assert [line.void for line in money.ledger_of(row).lines] == ["", "noted twice"]
    with pytest.raises(Refused, match="void already"):
        void(row, rosa, payment)


def test_what_went_back_does_not_cover_the_deposit_either(rosa):
    row = make_order(rosa)
    deposit = money.ledger_of(row).deposit
    pay(row, rosa, deposit)
    with pytest.raises(Unlikely, match=r"owed \$0\.00; this gives back \$0\.01 more"):
        give_back(row, rosa, dollars(1))
    give_back(row, rosa, dollars(1), all_the_same=True)
    assert fresh(row).state == State.SIGNED
    assert deposits.paid(row) == deposit - dollars(1)


def test_never_more_goes_back_than_came_in(rosa):
    row = make_order(rosa)
    pay(row, rosa, dollars(5000))
    give_back(row, rosa, dollars(3000), all_the_same=True)
    with pytest.raises(Refused, match=r"\$20\.00 at the most"):
        give_back(row, rosa, dollars(2001), all_the_same=True)
    give_back(row, rosa, dollars(2000), all_the_same=True)
    assert money.ledger_of(row).held == dollars(0)


def test_a_payment_that_was_given_back_is_void_only_after_its_refund(rosa):
    row = make_order(rosa)
    payment = pay(row, rosa, dollars(5000))
    refund = give_back(row, rosa, dollars(5000), all_the_same=True)
    with pytest.raises(Refused, match="void that refund first"):
        void(row, rosa, payment)
    void(row, rosa, refund)
    void(row, rosa, payment)
    assert (money.ledger_of(row).received, money.ledger_of(row).given_back) == (dollars(0),) * 2


# Numbers that card makers publish for trying out, all right by Luhn; none is anybody's card.
@pytest.mark.parametrize("typed", ["4111 1111 1111 1111", "cash 5555-5555-5555-4444 12/27"])
def test_a_card_number_is_refused_in_words_wherever_it_is_typed(rosa, typed):
    row = make_order(rosa)
    payment = pay(row, rosa, dollars(100))
    acts = [
        lambda: pay(row, rosa, dollars(1), means=typed),
        lambda: give_back(row, rosa, dollars(1), why=typed, all_the_same=True),
        lambda: void(row, rosa, payment, why=typed),
    ]
    for act in acts:
        with pytest.raises(Refused, match="looks like the number of a payment card"):
            act()
    assert (Payment.objects.count(), Refund.objects.count(), Voided.objects.count()) == (1, 0, 0)


def test_money_rows_are_never_changed_or_taken_away(rosa):
    row = make_order(rosa)
    payment = pay(row, rosa, dollars(100))
    with pytest.raises(SealedRow):
        payment.delete()
    payment.amount_minor = 1
    with pytest.raises(SealedRow):
        payment.save()


def test_a_row_is_void_once_whatever_the_code_does(rosa):
    row = make_order(rosa)
    payment = pay(row, rosa, dollars(100))
    void(row, rosa, payment)
    with pytest.raises(IntegrityError), transaction.atomic():
        Voided.objects.create(payment=payment, why="x", noted_by=rosa, noted_at=timezone.now())


# --- papers ---


def test_the_balance_request_asks_for_what_the_ledger_has_open(rosa):
    row = make_order(rosa)
    pay(row, rosa, dollars(1234))
    asked = money_papers.ask_for_balance(row, by=rosa, today=timezone.localdate())
    ledger = money.ledger_of(row)
    assert asked.amount == ledger.open
    assert asked.due_on == ledger.dues[-1].on
    assert asked.body["sums"]["open"]["amount"] == str(ledger.open)
    text = words_of(store.fetch(asked.pdf_sha256))
    for amount in (ledger.charged, ledger.received, ledger.open):
        assert amount.written() in text
    message = Message.objects.get(kind="to_pay")
    assert message.to == "ann@example.org"
    assert ledger.open.written() in message.text
    assert message.attached[0]["sha256"] == asked.pdf_sha256


def test_the_same_sum_asked_for_again_is_the_same_request(rosa):
    row, today = make_order(rosa), timezone.localdate()
    first = money_papers.ask_for_balance(row, by=rosa, today=today)
    assert money_papers.ask_for_balance(row, by=rosa, today=today) == first
    pay(row, rosa, dollars(100))
    second = money_papers.ask_for_balance(row, by=rosa, today=today)
    assert (second.place, second.amount) == (2, first.amount - dollars(100))
    late = max(second.due_on, today) + timedelta(days=3)
    third = money_papers.ask_for_balance(row, by=rosa, today=late)
    assert (third.place, third.due_on) == (3, late)
    pay(row, rosa, second.amount)
    with pytest.raises(Refused, match="Nothing is open"):
        money_papers.ask_for_balance(row, by=rosa, today=today)


def test_receipts_are_numbered_through_and_made_once(rosa):
    row, today = make_order(rosa), timezone.localdate()
    payment = pay(row, rosa, total_of(row) + dollars(700), all_the_same=True)
    first = money_papers.receipt_for(payment, by=rosa, today=today)
    assert first.number == f"R-{row.number}-1"
    assert money_papers.receipt_for(payment, by=rosa, today=today) == first
    refund = give_back(row, rosa, dollars(700))
    second = money_papers.receipt_for(refund, by=rosa, today=today)
    assert second.number == f"R-{row.number}-2"
    assert second.body["sums"]["given_back"]["amount"] == "7.00"
    kinds = sorted(Message.objects.values_list("kind", flat=True))
    assert kinds.count("receipt") == kinds.count("refund") == 1
    assert Receipt.objects.count() == 2


def test_no_receipt_is_made_for_what_is_void(rosa):
    row = make_order(rosa)
    payment = pay(row, rosa, dollars(100))
    void(row, rosa, payment)
    with pytest.raises(Refused, match="void"):
        money_papers.receipt_for(payment, by=rosa, today=timezone.localdate())


def test_without_an_address_nothing_is_written_to_the_client(rosa):
    row = make_order(rosa, client_email="")
    payment = pay(row, rosa, dollars(100))
    money_papers.receipt_for(payment, by=rosa, today=timezone.localdate())
    assert not Message.objects.filter(kind="receipt").exists()


def test_the_ledger_takes_as_many_queries_for_much_as_for_little(rosa, django_assert_num_queries):
    row = make_order(rosa)
    with django_assert_num_queries(4):
        money.ledger_of(row)
    for _ in range(3):
        payment = pay(row, rosa, dollars(100))
        give_back(row, rosa, dollars(10), all_the_same=True)
    void(row, rosa, payment)
    with django_assert_num_queries(4):
        money.ledger_of(row)
