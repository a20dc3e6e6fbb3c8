"""Is an order cancelled by the schedule agreed, once, with its days free and its sums equal to the ledger's?"""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from consult import store
from consult.actions import cancelling, consultations, money, sheets
from consult.actions.keeping import Settled
from consult.actions.money import Refused
from consult.actions.money_papers import row_with_money
from consult.models import BenchDay, Cancellation, Message, State
from shop.core.money import Money
from tests.actions.orders import fresh, make_order, now, pay, total_of
from tests.actions.test_money import chain_is_whole, give_back
from tests.consultations import make_consultation
from tests.papers import words_of

pytestmark = pytest.mark.django_db


def cancel(row, by, *, days_before=None, by_client=True, why="the party is off"):
    today = timezone.localdate()
    on = today if days_before is None else fresh(row).event_on - timedelta(days=days_before)
    return cancelling.cancel_order(
        fresh(row), by=by, seen=now(row), on=on, by_client=by_client, why=why, today=max(today, on)
    )


@pytest.mark.parametrize(
    ("days_before", "share"), [(90, 4), (60, 4), (59, 2), (30, 2), (29, 1), (0, 1)]
)
def test_what_is_kept_follows_the_schedule_on_the_day(rosa, days_before, share):
    row = make_order(rosa)
    total = total_of(row)
    pay(row, rosa, total)
    made = cancel(row, rosa, days_before=days_before)
    kept = Money(
        -(-total.minor // share) if total.minor * 2 // share % 2 else total.minor // share, "USD"
    )
    assert Money(made.kept_minor, "USD") == kept
    assert Money(made.back_minor, "USD") == total - kept
    ledger = money.ledger_of(row)
    assert (ledger.charged, ledger.over, ledger.open) == (kept, total - kept, Money(0, "USD"))


def test_a_cancelled_order_frees_its_bench_days_and_says_so_on_paper(rosa):
    row = make_order(rosa)
    pay(row, rosa, money.ledger_of(row).deposit)
    assert BenchDay.objects.filter(consultation=row).exists()
    made = cancel(row, rosa)
    assert fresh(row).state == State.CANCELLED
    assert not BenchDay.objects.filter(consultation=row).exists()
    ledger = money.ledger_of(row)
    text = words_of(store.fetch(made.pdf_sha256))
    for words in ("Order cancelled", "the party is off", "Kept on cancelling", "25 % of"):
        assert words in text
    for amount in (ledger.charged, ledger.received, ledger.over):
        assert amount.written() in text
    message = Message.objects.get(kind="cancelled")
    assert ledger.over.written() in message.text
    assert chain_is_whole(row)


def test_what_goes_back_is_noted_against_the_cancelled_order(rosa):
    row = make_order(rosa)
    pay(row, rosa, total_of(row))
    cancel(row, rosa)
    give_back(row, rosa, money.ledger_of(row).over, why="the order was cancelled")
    ledger = money.ledger_of(row)
    assert not ledger.open
    assert not ledger.over
    assert fresh(row).state == State.CANCELLED


def test_less_paid_than_is_kept_leaves_the_rest_to_pay(rosa):
    row = make_order(rosa)
    pay(row, rosa, Money(100, "USD"))
    made = cancel(row, rosa, days_before=10)
    ledger = money.ledger_of(row)
    assert made.back_minor == 0
    assert ledger.open == total_of(row) - Money(100, "USD")
    assert [due.what for due in ledger.dues] == ["kept on cancelling"]
    pay(row, rosa, ledger.open)
    assert not money.ledger_of(row).open


def test_when_the_shop_cancels_everything_goes_back(rosa):
    row = make_order(rosa)
    pay(row, rosa, total_of(row))
    received = total_of(row)
    made = cancel(row, rosa, days_before=0, by_client=False)
    assert (made.kept_minor, Money(made.back_minor, "USD")) == (0, received)


def test_an_order_is_cancelled_once(rosa):
    row = make_order(rosa)
    cancel(row, rosa)
    with pytest.raises(Refused, match="cancelled, so there is no order"):
        cancel(row, rosa)
    assert Cancellation.objects.count() == 1


def test_what_is_not_signed_is_declined_and_not_cancelled(rosa):
    row = make_consultation(rosa)
    with pytest.raises(Refused, match="no order to cancel"):
        cancel(row, rosa)
    assert fresh(row).state == State.CONSULTATION


def test_an_order_with_an_open_revision_is_cancelled_by_the_sheet_that_holds(rosa):
    row = make_order(rosa)
    total = total_of(row)
    sheets.start_revision(fresh(row), by=rosa, seen=now(row))
    made = cancel(row, rosa, days_before=30)
    assert made.sheet.revision == 1
    assert Money(made.kept_minor, "USD") == total.times(Decimal("0.5"))


def test_a_signed_order_is_cancelled_and_not_declined(rosa):
    row = make_order(rosa)
    sheets.start_revision(fresh(row), by=rosa, seen=now(row))
    with pytest.raises(Settled, match="Cancel the order instead"):
        consultations.decline(fresh(row), by=rosa, seen=now(row), why="no time")
    assert fresh(row).state == State.CONSULTATION


def test_looking_at_what_it_would_come_to_keeps_nothing(rosa):
    row, today = make_order(rosa), timezone.localdate()
    before = row.record.count()
    came_to = cancelling.cancelling_now(row_with_money(row), on=today, by_client=True, today=today)
    assert came_to.working
    assert (Cancellation.objects.count(), row.record.count()) == (0, before)
