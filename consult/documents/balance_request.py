"""What is still to pay, by when, and how is it paid? The request for the balance, from the order's ledger."""

from reportlab.platypus import Flowable, Spacer

from consult.core.money_papers import BalanceRequest
from consult.documents.letters import (
    AMOUNT,
    account,
    cake_words,
    letterhead,
    on_day,
    running,
    sums_table,
)
from consult.documents.paper import LEAD, column_width, long_date, printed, said
from consult.documents.paying import how_to_pay


def balance_request(request: BalanceRequest) -> bytes:
    """The request as a PDF."""
    head = request.head
    width = column_width(head.paper)
    story: list[Flowable] = [
        *letterhead(head, "Request for payment", (on_day("asked", request.asked_on, head),), width),
        said(request.amount.written(head.locale), AMOUNT),
        said(f"to be paid by {long_date(request.due, head.locale)}", LEAD),
        said(cake_words(head), LEAD),
        *how_to_pay(request.pay, width),
        *account(request.lines, head, width, "What it is for"),
        Spacer(0, 8),
        sums_table(request.sums, head, width),
    ]
    return printed(
        story,
        paper=head.paper,
        locale=head.locale,
        subject=f"Still to pay for {head.occasion or 'the cake'}, {head.event_on.isoformat()}",
        running=running(head, "Request for payment"),
    )
