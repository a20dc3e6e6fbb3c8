"""Two at once about money: is a payment noted once, voided once, and never more given back than came in?

Hundreds of races, each between two threads that start together; and controls with the guard off, which must
show the fault, or the races would be blind.
"""

import threading

import pytest
from django.utils import timezone

from consult.actions import money
from consult.actions.keeping import Overtaken, Seen, once
from consult.actions.money import Refused
from consult.models import Consultation, Payment, Refund, Voided
from shop.core.money import Money
from tests.actions.orders import make_order, pay
from tests.trust.test_races import chain_is_whole
from tests.trust.together import LONGEST_WAIT, together

pytestmark = pytest.mark.django_db(transaction=True)

CENTS = 2_500  # of each payment
ORDERS, KEYS, VOIDS, REFUNDS = 8, 16, 12, 12  # 25 orders make 1,000 races, and take a minute more


def seen_now(row):
    return Seen(Consultation.objects.values_list("revision", flat=True).get(pk=row.pk))


def tried(act):
    """Again for as long as somebody else was faster, as a tablet does; "kept" or "refused"."""
    while True:
        try:
            act()
            return "kept"
        except Overtaken:
            continue
        except Refused:
            return "refused"


def raced(rounds):
    """Each round's act by two threads at the same instant: both outcomes, round by round."""
    start = threading.Barrier(2)

    def runner():
        outcomes = []
        for act in rounds:
            start.wait(LONGEST_WAIT)
            outcomes.append(tried(act))
        return outcomes

    left, right = together([runner, runner])
    assert isinstance(left, list), left
    assert isinstance(right, list), right
    return [tuple(sorted(pair)) for pair in zip(left, right, strict=True)]


def cents(minor):
    return Money(minor, "USD")


def test_every_race_notes_voids_and_gives_back_once(rosa):
    today, races = timezone.localdate(), 0

    def payment_by_key(row, key):
        def noted():
            payment = money.note_payment(
                row,
                by=rosa,
                seen=seen_now(row),
                amount=cents(CENTS),
                received_on=today,
                means="cash",
            )
            return str(payment.pk)

        return lambda: once("person 1", f"{row.pk} {key}", f"pay {key}", noted)

    def void(row, payment):
        return lambda: money.void(row, payment, by=rosa, seen=seen_now(row), why="noted twice")

    def give_back(row, amount):
        return lambda: money.note_refund(
            row, by=rosa, seen=seen_now(row), amount=amount, paid_on=today, means="cash", why="over",
            all_the_same=True,
        )  # fmt: skip

    for _ in range(ORDERS):
        row = make_order(rosa)
        raced([payment_by_key(row, key) for key in range(KEYS)])
        payments = list(Payment.objects.filter(consultation=row))
        assert len(payments) == KEYS
        pairs = raced([void(row, payment) for payment in payments[:VOIDS]])
        assert pairs == [("kept", "refused")] * VOIDS
        # more than half of what is held: a second one at once would be more than came in
        held, amounts = (KEYS - VOIDS) * CENTS, []
        for _ in range(REFUNDS):
            amounts.append(held // 2 + 1)
            held -= amounts[-1]
        pairs = raced([give_back(row, cents(amount)) for amount in amounts])
        assert pairs == [("kept", "refused")] * REFUNDS
        races += KEYS + VOIDS + REFUNDS
        ledger = money.ledger_of(row)
        assert (ledger.received.minor, ledger.held.minor) == ((KEYS - VOIDS) * CENTS, held)
        assert chain_is_whole(row)
    assert races == 320


# --- the controls: each fault does happen with its guard off ---


def test_without_its_key_a_payment_sent_twice_is_noted_twice(rosa):
    row, today = make_order(rosa), timezone.localdate()

    def noted():
        return str(
            money.note_payment(
                row,
                by=rosa,
                seen=seen_now(row),
                amount=cents(CENTS),
                received_on=today,
                means="cash",
            ).pk
        )

    raced([lambda: once("person 1", "", "pay", noted)])
    assert Payment.objects.count() == 2


def test_without_the_hold_two_refunds_give_back_more_than_came_in(rosa):
    row, both_have_looked = make_order(rosa), threading.Barrier(2)
    pay(row, rosa, cents(1_000))

    def unguarded():
        held = money.ledger_of(row).held
        both_have_looked.wait(LONGEST_WAIT)
        if cents(600) <= held:
            Refund.objects.create(
                consultation=row, amount_minor=600, currency="USD", paid_on=timezone.localdate(),
                means="cash", why="over", noted_by=rosa, noted_at=timezone.now(),
            )  # fmt: skip

    assert together([unguarded, unguarded]) == [None, None]
    ledger = money.ledger_of(row)
    assert ledger.given_back > ledger.received


def test_without_the_hold_a_payment_is_voided_twice_but_for_the_database(rosa):
    row, both_have_looked = make_order(rosa), threading.Barrier(2)
    payment = pay(row, rosa, cents(1_000))

    def unguarded():
        is_void = Voided.objects.filter(payment=payment).exists()
        both_have_looked.wait(LONGEST_WAIT)
        assert not is_void, "one looked too late to race"
        Voided.objects.create(payment=payment, why="x", noted_by=rosa, noted_at=timezone.now())

    outcomes = together([unguarded, unguarded])
    assert sorted(type(outcome).__name__ for outcome in outcomes) == ["IntegrityError", "NoneType"]
    assert Voided.objects.count() == 1
