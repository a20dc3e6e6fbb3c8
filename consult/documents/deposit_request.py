"""What is asked for now, by when, and how is it paid? The deposit request, one page."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from consult.core.money_papers import HowToPay
from consult.core.sheet import DepositRequest
from consult.documents import fonts
from consult.documents.paper import (
    BOLD,
    LEAD,
    RIGHT,
    RIGHT_BOLD,
    RIGHT_SMALL,
    SMALL,
    TITLE,
    Rule,
    Running,
    column_width,
    heading,
    long_date,
    printed,
    said,
    short_date,
)
from consult.documents.paying import how_to_pay
from consult.documents.tables import beside, ledger

_AMOUNT = LEAD.clone("amount", fontName=fonts.SERIF_BOLD, fontSize=36, leading=42)
_GAP = 9 * mm


def deposit_request(request: DepositRequest) -> bytes:
    """The request as a PDF of one page."""
    width = column_width(request.paper)
    story = [*_head(request, width), *_amount(request), *how_to_pay(_ways(request), width)]
    story += _for_what(request, width)
    running = Running(
        title="Deposit request",
        about=request.client_name,
        shop=request.shop_name,
        number=f"Sheet {request.number}, revision {request.revision}",
        fingerprint=f"of the design sheet {request.sheet_fingerprint}"
        if request.sheet_fingerprint
        else "",
    )
    subject = f"Deposit for {request.occasion}, {request.event_on.isoformat()}"
    return printed(
        story, paper=request.paper, locale=request.locale, subject=subject, running=running
    )


def _head(request: DepositRequest, width: float) -> list[Flowable]:
    left: list[Flowable] = [
        said("Deposit request", TITLE),
        Spacer(0, 7),
        said(request.client_name, BOLD),
    ]
    if request.client_contact:
        left.append(said(request.client_contact, SMALL))
    right: list[Flowable] = [Spacer(0, 4), said(request.shop_name, RIGHT_BOLD)]
    right += [
        said(words, RIGHT_SMALL) for words in (request.shop_address, request.shop_contact) if words
    ]
    right += [
        said(f"Sheet {request.number}, revision {request.revision}", RIGHT_SMALL),
        said(f"asked {short_date(request.asked_on, request.locale)}", RIGHT_SMALL),
    ]
    return [
        beside(left, right, (width * 0.56, width * 0.44 - _GAP), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 12),
    ]


def _amount(request: DepositRequest) -> list[Flowable]:
    parts: list[Flowable] = [
        said(request.to_pay.written(request.locale), _AMOUNT),
        said(f"to be paid by {long_date(request.due, request.locale)}", LEAD),
    ]
    if request.after_words:
        parts += [Spacer(0, 4), said(request.after_words)]
    return parts


def _for_what(request: DepositRequest, width: float) -> list[Flowable]:
    amounts = 34 * mm
    when = long_date(request.event_on, request.locale)
    cake = f"Cake for {request.occasion}, {when}" if request.occasion else f"Cake for {when}"
    deposit = f"Deposit, due {short_date(request.due, request.locale)}"
    balance = f"Balance, due {short_date(request.balance_due, request.locale)}"
    rows = [
        [said(cake), said(request.total.written(request.locale), RIGHT)],
        [said(deposit, BOLD), said(request.deposit.written(request.locale), RIGHT_BOLD)],
    ]
    if request.received:
        rows += [
            [said("Received so far"), said(request.received.written(request.locale), RIGHT)],
            [
                said("Still to pay", BOLD),
                said(request.to_pay.written(request.locale), RIGHT_BOLD),
            ],
        ]
    rows.append([said(balance), said(request.balance.written(request.locale), RIGHT)])
    table = ledger(rows, (width - amounts, amounts), air=4)
    return [*heading("What it is for"), table]


def _ways(request: DepositRequest) -> HowToPay:
    return HowToPay(
        request.reference, request.account_name, request.iban, request.bic, request.how_to_pay,
        request.epc_payload, request.payment_link,
    )  # fmt: skip
