"""What did cancelling the order come to, and why? The statement for the client, from the ledger and the schedule."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from consult.core.money_papers import CancellationStatement
from consult.documents.letters import AMOUNT, account, cake_words, letterhead, on_day, running
from consult.documents.paper import (
    LEAD,
    RIGHT,
    RIGHT_BOLD,
    column_width,
    heading,
    listed,
    long_date,
    printed,
    said,
)
from consult.documents.paying import how_to_pay
from consult.documents.tables import ledger


def cancellation(statement: CancellationStatement) -> bytes:
    """The statement as a PDF."""
    head, came_to = statement.head, statement.cancelling
    width = column_width(head.paper)
    if came_to.owed:
        amount, words = came_to.owed, "is still to pay by"
    else:
        amount, words = came_to.back, "goes back to you by"
    story: list[Flowable] = [
        *letterhead(head, "Order cancelled", (on_day("made", statement.made_on, head),), width),
        said(amount.written(head.locale), AMOUNT),
        said(
            f"{words} {long_date(came_to.due, head.locale)}"
            if amount
            else "goes back, and nothing is to pay",
            LEAD,
        ),
        said(cake_words(head), LEAD),
    ]
    if statement.why:
        story += [Spacer(0, 4), said(f"Why: {statement.why}")]
    story += [*heading("How it was worked out"), *listed(came_to.working), Spacer(0, 6)]
    amounts = 34 * mm
    net = ", less what went back" if statement.sums.given_back else ""
    figures = [
        ("Total of the order", came_to.total, False),
        ("Kept", came_to.kept, False),
        (f"Received{net}", came_to.received, False),
        ("Still to pay", came_to.owed, True)
        if came_to.owed
        else ("Goes back to you", came_to.back, True),
    ]
    rows = [
        [said(what), said(figure.written(head.locale), RIGHT_BOLD if is_strong else RIGHT)]
        for what, figure, is_strong in figures
    ]
    story.append(ledger(rows, (width - amounts, amounts), air=4))
    if statement.pay is not None:
        story += how_to_pay(statement.pay, width)
    story += account(statement.lines, head, width, "The order's account")
    return printed(
        story,
        paper=head.paper,
        locale=head.locale,
        subject=f"Order {head.number} cancelled on {came_to.cancelled_on.isoformat()}",
        running=running(head, "Order cancelled"),
    )
