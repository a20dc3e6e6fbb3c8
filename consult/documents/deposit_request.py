"""What is asked for now, by when, and how is it paid? The deposit request, one page."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from consult.core.deposit import epc_matrix, in_blocks_of_four
from consult.core.sheet import DepositRequest
from consult.documents import fonts
from consult.documents.paper import (
    BODY,
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
from consult.documents.tables import beside, ledger

_QR = 40 * mm  # the code itself: a phone reads it without being held close (our judgement)
_QUIET = 4  # modules of white round the code (ISO/IEC 18004)
_AMOUNT = LEAD.clone("amount", fontName=fonts.SERIF_BOLD, fontSize=36, leading=42)
_GAP = 9 * mm


class PaymentCode(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """A QR code as vector squares, black on white, with its quiet zone."""

    def __init__(self, matrix: tuple[tuple[bool, ...], ...]) -> None:
        super().__init__()
        self._matrix = matrix
        self._module = _QR / len(matrix)
        self.quiet = _QUIET * self._module
        self.width = self.height = _QR + 2 * _QUIET * self._module

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.tagged("Figure", "QR code for a SEPA credit transfer with these details"):
            self.canv.setFillGray(1)
            self.canv.rect(0, 0, self.width, self.height, stroke=0, fill=1)
            self.canv.setFillGray(0)
            size = self._module
            path = self.canv.beginPath()
            for row, modules in enumerate(self._matrix):
                y = self.height - (row + _QUIET + 1) * size
                for start, end in _dark_runs(modules):
                    path.rect((start + _QUIET) * size, y, (end - start) * size, size)
            self.canv.drawPath(path, stroke=0, fill=1)


def _dark_runs(modules: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Where dark modules follow each other in a row, so that no hairline parts them in print."""
    runs: list[tuple[int, int]] = []
    for place, is_dark in enumerate(modules):
        if is_dark and runs and runs[-1][1] == place:
            runs[-1] = (runs[-1][0], place + 1)
        elif is_dark:
            runs.append((place, place + 1))
    return runs


def deposit_request(request: DepositRequest) -> bytes:
    """The request as a PDF of one page."""
    width = column_width(request.paper)
    story = [*_head(request, width), *_amount(request), *_how_to_pay(request, width)]
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


def _how_to_pay(request: DepositRequest, width: float) -> list[Flowable]:
    """Reference and account, with the code to scan beside them where there is one."""
    facts = [
        ("Reference", in_blocks_of_four(request.reference)),
        ("Paid to", request.account_name),
        ("IBAN", in_blocks_of_four(request.iban)),
        ("BIC", request.bic),
    ]
    rows = [[said(label, SMALL), said(value, BOLD)] for label, value in facts if value]
    label_width = 22 * mm
    if not request.epc_payload:
        parts: list[Flowable] = [ledger(rows, (label_width, width - label_width))] if rows else []
        if request.how_to_pay:
            parts += [Spacer(0, 7), said(request.how_to_pay, BODY)]
        return [*heading("How to pay"), *parts]
    code = PaymentCode(epc_matrix(request.epc_payload))
    narrow = width - code.width - _GAP
    details: list[Flowable] = [ledger(rows, (label_width, narrow - label_width))]
    if request.how_to_pay:
        details += [Spacer(0, 7), said(request.how_to_pay, BODY)]
    caption = SMALL.clone("caption", leftIndent=code.quiet)
    scanned: list[Flowable] = [code, said("Scan to pay by bank transfer (SEPA)", caption)]
    return [
        *heading("How to pay"),
        Spacer(0, 2),
        beside(details, scanned, (narrow, code.width), _GAP),
    ]


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
