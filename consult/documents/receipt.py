"""What came in, or went back, when and how, and what does that leave? The receipt, one page."""

from reportlab.platypus import Flowable, Spacer

from consult.core.money_papers import ReceiptPaper
from consult.documents.letters import (
    AMOUNT,
    cake_words,
    facts_table,
    letterhead,
    on_day,
    order_words,
    running,
    sums_table,
)
from consult.documents.paper import LEAD, column_width, heading, long_date, printed, said


def receipt(paper: ReceiptPaper) -> bytes:
    """The receipt as a PDF."""
    head = paper.head
    width = column_width(head.paper)
    title = "Receipt for a refund" if paper.is_refund else "Receipt"
    verb = "given back" if paper.is_refund else "received with thanks"
    facts = [
        ("Receipt", paper.receipt),
        ("Given back to" if paper.is_refund else "Received from", head.client_name),
        ("By", paper.means),
        ("For", cake_words(head)),
        ("Because", paper.why),
        ("Noted by", paper.noted_by),
    ]
    story: list[Flowable] = [
        *letterhead(
            head, title, (f"Receipt {paper.receipt}", on_day("made", paper.made_on, head)), width
        ),
        said(paper.amount.written(head.locale), AMOUNT),
        said(f"{verb} on {long_date(paper.on, head.locale)}", LEAD),
        Spacer(0, 10),
        facts_table(facts, width),
        *heading("What that leaves"),
        sums_table(paper.sums, head, width),
    ]
    return printed(
        story,
        paper=head.paper,
        locale=head.locale,
        subject=f"{title} {paper.receipt}",
        running=running(head, title, f"{paper.receipt}, {order_words(head).lower()}"),
    )
