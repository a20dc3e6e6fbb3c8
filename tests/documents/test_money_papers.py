"""Do the papers about money say what the ledger says, word by word, and the same again as the same bytes?"""

import io
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from stdnum.iso11649 import is_valid as is_reference

from consult.core.cancelling import cancelling_of
from consult.core.ledger import CancelledOn, Movement, Signed, ledger_from
from consult.core.money_papers import (
    CancellationStatement,
    Letterhead,
    ReceiptPaper,
    balance_request_of,
    how_to_pay,
    paper_lines,
    sums_of,
)
from consult.documents.balance_request import balance_request
from consult.documents.cancellation import cancellation
from consult.documents.receipt import receipt
from shop.core.book import built, plain
from shop.core.money import Money, total
from shop.core.policies import CancelStep, Paper
from tests.documents.samples import IBAN, LONG_NAME
from tests.documents.test_design_sheet import in_order, words_of
from tests.invented_shop import identity

HAND_OVER = date(2027, 5, 15)
HEAD = Letterhead(
    number="2027-0142", revision=2, shop_name="Quillbrook Cakes", shop_address="Fährweg 14, Mühlhafen",
    shop_contact="quillbrook.example", client_name="Adaeze Tamm & Jonas Lind",
    client_contact="adaeze@example.org", occasion="anniversary", event_on=HAND_OVER, paper=Paper.A4,
    locale="en_IE",
)  # fmt: skip
SHOP = replace(
    identity(), currency="EUR", iban=IBAN, bic="COBADEFFXXX", account_name="Quillbrook Cakes",
    how_to_pay="By bank transfer, or in cash at the counter.",
    payment_link="https://pay.example/quill?sum={amount}&cur={currency}&ref={reference}",
)  # fmt: skip
STEPS = (CancelStep(60, Decimal("0.25")), CancelStep(30, Decimal("0.5")))


def euros(text):
    return Money.of(text, "EUR")


def order(currency="EUR", cancelled=None, paid="300.00", back="20.00"):
    def money(text):
        return Money.of(text, currency)

    start = date(2027, 1, 4)
    signed = [
        Signed(1, start, money("480.00"), money("240.00"), date(2027, 1, 11), date(2027, 5, 1)),
        Signed(2, date(2027, 2, 1), money("515.00"), money("257.50"), date(2027, 2, 8), date(2027, 5, 1)),
    ]  # fmt: skip
    payments = [
        Movement(1, date(2027, 1, 9), money(paid), "bank transfer", "Rosa Abara"),
        Movement(2, date(2027, 1, 9), money(paid), "bank transfer", void="noted twice"),
    ]
    refunds = [Movement(1, date(2027, 2, 2), money(back), "cash", why="too much")] if back else []
    return ledger_from(
        currency, signed=signed, payments=payments, refunds=refunds, cancelled=cancelled
    )


def request():
    return balance_request_of(HEAD, order(), SHOP, date(2027, 4, 20))


def statement(days_before=45, paid="300.00"):
    on = HAND_OVER - timedelta(days=days_before)
    before = order(paid=paid)
    came_to = cancelling_of(
        total=before.charged, deposit=before.deposit, received=before.held, steps=STEPS,
        hand_over=HAND_OVER, cancelled_on=on, by_client=True, due=on + timedelta(days=14),
        locale="en_IE",
    )  # fmt: skip
    after = order(cancelled=CancelledOn(on, came_to.kept, came_to.due), paid=paid)
    pay = how_to_pay(SHOP, HEAD.number, came_to.owed) if came_to.owed else None
    return CancellationStatement(
        HEAD, on, "The party is off", came_to, paper_lines(after), sums_of(after), pay
    ), after


def receipt_paper(**changes):
    paper = ReceiptPaper(
        head=HEAD, receipt="R-2027-0142-1", is_refund=False, amount=euros("300.00"),
        on=date(2027, 1, 9), means="bank transfer", why="", noted_by="Rosa Abara",
        made_on=date(2027, 1, 9), sums=sums_of(order()),
    )  # fmt: skip
    return replace(paper, **changes)


def test_the_balance_request_says_how_much_by_when_how_and_for_what():
    text = words_of(balance_request(request()))
    assert -1 not in in_order(
        text, "Request for payment", "Adaeze Tamm & Jonas Lind", "Quillbrook Cakes",
        "Sheet 2027-0142, revision 2", "€235.00", "to be paid by Saturday 1 May 2027",
        "Cake for anniversary", "How to pay", "RF55 2027 0142", "DE89 3704 0044 0532 0130 00",
        "Or pay on this page:", "https://pay.example/quill?sum=235.00&cur=EUR&ref=RF5520270142",
        "Scan to pay", "What it is for", "revision 1, signed", "€480.00", "Received by bank transfer",
        "-€300.00", "€180.00", "revision 2, signed in place of revision 1", "€35.00", "€215.00",
        "Given back by cash", "€20.00", "€235.00", "Charged", "€515.00", "Received", "€300.00",
        "Given back", "€20.00", "Still to pay", "€235.00",
    )  # fmt: skip
    assert "noted twice" not in text  # the shop's own slip


def test_the_reference_and_the_code_follow_their_standards():
    pay = request().pay
    assert is_reference(pay.reference)  # ISO 11649, by python-stdnum
    # EPC069-12 v2.1: the lines in their order.
    assert pay.epc_payload.split("\n") == [
        "BCD", "002", "1", "SCT", "COBADEFFXXX", "Quillbrook Cakes", IBAN.replace(" ", ""),
        "EUR235.00", "", "RF5520270142",
    ]  # fmt: skip


def test_there_is_no_code_for_other_currencies_or_without_an_account():
    dollars = balance_request_of(HEAD, order("USD"), SHOP, date(2027, 4, 20))
    assert dollars.pay.epc_payload == ""
    assert "Scan to pay" not in words_of(balance_request(dollars))
    bare = replace(SHOP, iban="", payment_link="http://pay.example/")
    assert how_to_pay(bare, HEAD.number, euros("1")).epc_payload == ""
    assert how_to_pay(bare, HEAD.number, euros("1")).link == ""


def test_the_payment_link_can_be_followed_from_the_paper():
    page = PdfReader(io.BytesIO(balance_request(request()))).pages[0]
    links = [note.get_object()["/A"]["/URI"] for note in page["/Annots"]]
    assert set(links) == {request().pay.link}


def test_what_is_asked_for_late_is_due_that_day():
    assert request().due == date(2027, 5, 1)
    late = balance_request_of(HEAD, order(), SHOP, date(2027, 5, 9))
    assert late.due == date(2027, 5, 9)
    with pytest.raises(ValueError, match="Nothing is open"):
        balance_request_of(HEAD, order(paid="535.00"), SHOP, date(2027, 4, 20))


def test_a_receipt_says_who_paid_what_when_and_what_that_leaves():
    text = words_of(receipt(receipt_paper()))
    assert -1 not in in_order(
        text, "Receipt", "Adaeze Tamm & Jonas Lind", "Receipt R-2027-0142-1", "€300.00",
        "received with thanks on Saturday 9 January 2027", "Received from", "bank transfer",
        "Cake for anniversary", "Rosa Abara", "What that leaves", "€515.00", "Still to pay", "€235.00",
    )  # fmt: skip


def test_a_refunds_receipt_says_why():
    text = words_of(receipt(receipt_paper(is_refund=True, amount=euros("20"), why="too much sent")))
    assert -1 not in in_order(
        text, "Receipt for a refund", "€20.00", "given back on", "Because", "too much sent"
    )


def test_the_cancellation_statement_says_its_working_and_what_goes_back():
    paper, ledger = statement()
    text = words_of(cancellation(paper))
    assert -1 not in in_order(
        text, "Order cancelled", "€22.50", "goes back to you by Wednesday 14 April 2027",
        "Why: The party is off", "How it was worked out", "45 days before hand-over",
        "The notice reaches the step of 30 days: 50 % of €515.00 is €257.50.",
        "Kept", "€257.50", "Received, less what went back", "€280.00", "Goes back to you", "€22.50",
        "account", "Order cancelled: what is no longer charged", "-€257.50", "-€22.50",
    )  # fmt: skip
    assert paper.cancelling.back == ledger.over
    assert "How to pay" not in text


def test_where_something_is_still_to_pay_the_statement_says_how():
    paper, ledger = statement(days_before=10, paid="100.00")
    text = words_of(cancellation(paper))
    assert -1 not in in_order(
        text, "€435.00", "is still to pay by", "How to pay", "RF55 2027 0142", "sum=435.00"
    )
    assert paper.cancelling.owed == ledger.open


def papers():
    return [
        balance_request(request()), receipt(receipt_paper()), cancellation(statement()[0]),
    ]  # fmt: skip


def test_the_same_values_give_the_same_bytes():
    assert papers() == papers()


def test_each_is_one_page_with_a_long_name_too():
    head = replace(HEAD, client_name=LONG_NAME)
    made = [
        balance_request(replace(request(), head=head)),
        receipt(receipt_paper(head=head)),
        cancellation(replace(statement()[0], head=head)),
    ]
    assert [len(PdfReader(io.BytesIO(pdf)).pages) for pdf in made] == [1, 1, 1]


def test_kept_as_json_they_are_the_same_values_again():
    for paper in (request(), receipt_paper(), statement()[0]):
        assert built(type(paper), plain(paper), "paper") == paper


@settings(max_examples=60, deadline=None)
@given(
    currency=st.sampled_from(["JPY", "EUR", "KWD"]),
    totals=st.lists(st.integers(1, 10**7), min_size=1, max_size=3),
    paid=st.lists(st.integers(1, 10**7), max_size=4),
)
def test_a_papers_lines_and_sums_are_the_ledgers(currency, totals, paid):
    day = date(2027, 1, 4)
    signed = [
        Signed(at, day, Money(each, currency), Money(each // 2, currency), day, day)
        for at, each in enumerate(totals, start=1)
    ]
    payments = [Movement(at, day, Money(each, currency), "cash") for at, each in enumerate(paid)]
    ledger = ledger_from(currency, signed=signed, payments=payments)
    sums, lines = sums_of(ledger), paper_lines(ledger)
    assert total((line.amount for line in lines), currency) == ledger.left
    assert lines[-1].left == ledger.left
    assert sums.open - sums.over == sums.charged - sums.received + sums.given_back
    if ledger.open:
        asked = balance_request_of(HEAD, ledger, SHOP, day)
        assert asked.amount == ledger.open == asked.sums.open
