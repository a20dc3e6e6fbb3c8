"""Does the ledger add up, whatever was paid, given back, voided, signed anew or cancelled?"""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core.ledger import CancelledOn, Kind, Movement, Signed, ledger_from
from shop.core.money import Money, total

START = date(2027, 1, 4)
HAND_OVER = date(2027, 5, 15)


def euros(text):
    return Money.of(text, "EUR")


def sheet(revision=1, amount="500.00", on=START, deposit="250.00"):
    return Signed(
        revision, on, euros(amount), euros(deposit), START + timedelta(days=7),
        HAND_OVER - timedelta(days=14),
    )  # fmt: skip


def moved(key, amount, days=1, **more):
    return Movement(key, START + timedelta(days=days), euros(amount), "cash", **more)


def amounts(ledger):
    names = ("charged", "received", "given_back", "open", "over")
    return {name: str(getattr(ledger, name)) for name in names}


def test_nothing_signed_is_nothing_charged():
    ledger = ledger_from("EUR")
    assert (ledger.lines, ledger.dues, ledger.deposit_is_covered) == ((), (), False)
    assert set(amounts(ledger).values()) == {"0.00"}


def test_the_deposit_is_due_first_then_the_balance():
    ledger = ledger_from("EUR", signed=[sheet()])
    assert [(due.what, str(due.amount), due.on) for due in ledger.dues] == [
        ("deposit", "250.00", date(2027, 1, 11)),
        ("balance", "250.00", date(2027, 5, 1)),
    ]
    assert ledger.late(date(2027, 1, 11)) == euros("0")
    assert ledger.late(date(2027, 1, 12)) == euros("250")
    assert ledger.late(date(2027, 5, 2)) == euros("500")


def test_a_part_payment_covers_the_deposit_before_the_balance():
    ledger = ledger_from("EUR", signed=[sheet()], payments=[moved(1, "100")])
    assert [str(due.amount) for due in ledger.dues] == ["150.00", "250.00"]
    assert not ledger.deposit_is_covered
    ledger = ledger_from("EUR", signed=[sheet()], payments=[moved(1, "100"), moved(2, "150")])
    assert ledger.deposit_is_covered
    assert [due.what for due in ledger.dues] == ["balance"]


def test_the_balance_runs_line_by_line():
    ledger = ledger_from(
        "EUR",
        signed=[sheet(), sheet(2, "560.00", START + timedelta(days=3))],
        payments=[moved(1, "250"), moved(2, "400", days=5)],
        refunds=[moved(1, "90", days=6, why="more than it came to")],
    )
    assert [(line.kind, str(line.amount), str(line.left)) for line in ledger.lines] == [
        (Kind.CHARGED, "500.00", "500.00"),
        (Kind.RECEIVED, "250.00", "250.00"),
        (Kind.CHARGED, "60.00", "310.00"),
        (Kind.RECEIVED, "400.00", "-90.00"),
        (Kind.BACK, "90.00", "0.00"),
    ]
    assert amounts(ledger) == {
        "charged": "560.00", "received": "650.00", "given_back": "90.00", "open": "0.00",
        "over": "0.00",
    }  # fmt: skip


def test_what_was_voided_keeps_its_line_and_counts_nowhere():
    ledger = ledger_from(
        "EUR", signed=[sheet()], payments=[moved(1, "250", void="noted twice"), moved(2, "250")]
    )
    assert amounts(ledger)["received"] == "250.00"
    assert [(line.void, line.counts) for line in ledger.lines[1:]] == [
        ("noted twice", False), ("", True),
    ]  # fmt: skip


def test_a_cheaper_revision_leaves_something_over_and_nothing_due():
    ledger = ledger_from(
        "EUR",
        signed=[sheet(), sheet(2, "200.00", START + timedelta(days=3), deposit="100.00")],
        payments=[moved(1, "250")],
    )
    assert amounts(ledger)["over"] == "50.00"
    assert ledger.dues == ()


def test_after_cancelling_only_what_is_kept_is_charged():
    cancelled = CancelledOn(date(2027, 4, 1), euros("125"), date(2027, 4, 8))
    over = ledger_from("EUR", signed=[sheet()], payments=[moved(1, "250")], cancelled=cancelled)
    assert (amounts(over)["charged"], amounts(over)["over"]) == ("125.00", "125.00")
    short = ledger_from("EUR", signed=[sheet()], payments=[moved(1, "25")], cancelled=cancelled)
    assert [(due.what, str(due.amount), due.on) for due in short.dues] == [
        ("kept on cancelling", "100.00", date(2027, 4, 8))
    ]
    assert not short.open_deposit


def test_amounts_of_two_currencies_are_never_added_up():
    with pytest.raises(ValueError, match="together"):
        ledger_from("USD", signed=[sheet()]).charged.decimal()


# ISO 4217, list of 2026-01-01: JPY has no minor unit, EUR a hundredth, KWD a thousandth.
CURRENCIES = {"JPY": 0, "EUR": 2, "KWD": 3}


@st.composite
def orders(draw):
    """What may befall an order, refunds and voids only where the shop's own rules let them be."""
    currency = draw(st.sampled_from(sorted(CURRENCIES)))

    def amount(least=1, most=10**9):
        return Money(draw(st.integers(least, most)), currency)

    def day():
        return START + timedelta(days=draw(st.integers(0, 120)))

    signed, on = [], START
    for revision in range(1, draw(st.integers(1, 4)) + 1):
        whole = amount()
        part = Money(draw(st.integers(0, whole.minor)), currency)
        signed.append(Signed(revision, on, whole, part, on + timedelta(days=7), HAND_OVER))
        on += timedelta(days=draw(st.integers(0, 20)))
    payments = [
        Movement(key, day(), amount(), "cash", void=draw(st.sampled_from(["", "", "slip"])))
        for key in range(draw(st.integers(0, 6)))
    ]
    can_go_back = sum(one.amount.minor for one in payments if not one.void)
    refunds = []
    for key in range(draw(st.integers(0, 4))):
        if can_go_back < 1:
            break
        back = amount(1, can_go_back)
        void = draw(st.sampled_from(["", "", "slip"]))
        can_go_back -= 0 if void else back.minor
        refunds.append(Movement(key, day(), back, "cash", void=void))
    cancelled = None
    if draw(st.booleans()):
        kept = Money(draw(st.integers(0, signed[-1].total.minor)), currency)
        cancelled = CancelledOn(on, kept, on + timedelta(days=7))
    return currency, signed, payments, refunds, cancelled


@settings(max_examples=300, deadline=None)
@given(orders())
def test_every_ledger_adds_up(order):
    currency, signed, payments, refunds, cancelled = order
    ledger = ledger_from(
        currency, signed=signed, payments=payments, refunds=refunds, cancelled=cancelled
    )
    nothing = Money.zero(currency)
    assert ledger.charged == (cancelled.kept if cancelled else signed[-1].total)
    assert ledger.received == total((p.amount for p in payments if not p.void), currency)
    assert ledger.given_back == total((r.amount for r in refunds if not r.void), currency)
    assert ledger.open - ledger.over + ledger.received - ledger.given_back == ledger.charged
    assert ledger.lines[-1].left == ledger.left
    assert len(ledger.lines) == len(signed) + len(payments) + len(refunds) + bool(cancelled)
    assert total((due.amount for due in ledger.dues), currency) == ledger.open
    assert not (ledger.open and ledger.over)
    for amount in (
        ledger.open, ledger.over, ledger.held, ledger.charged, ledger.open_deposit,
        *(due.amount for due in ledger.dues),
    ):  # fmt: skip
        assert amount >= nothing
        assert isinstance(amount.minor, int)
        assert Money.of(str(amount), currency) == amount  # no finer than the currency has digits
    assert [line.on for line in ledger.lines] == sorted(line.on for line in ledger.lines)
