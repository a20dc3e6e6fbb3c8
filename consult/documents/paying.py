"""How is it paid, on paper? Reference and account, the code to scan, the payment link: parts of every request."""

from html import escape

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from consult.core.deposit import epc_matrix, in_blocks_of_four
from consult.core.money_papers import HowToPay
from consult.documents import fonts
from consult.documents.paper import BODY, BOLD, SMALL, Said, heading, said
from consult.documents.tables import beside, ledger

_QR = 40 * mm  # the code itself: a phone reads it without being held close (our judgement)
_QUIET = 4  # modules of white round the code (ISO/IEC 18004)
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


def how_to_pay(ways: HowToPay, width: float) -> list[Flowable]:
    """Reference and account, the link, and the code to scan beside them where there is one."""
    facts = [
        ("Reference", in_blocks_of_four(ways.reference)),
        ("Paid to", ways.account_name),
        ("IBAN", in_blocks_of_four(ways.iban)),
        ("BIC", ways.bic),
    ]
    rows = [[said(label, SMALL), said(value, BOLD)] for label, value in facts if value]
    label_width = 22 * mm
    words: list[Flowable] = []
    if ways.how_to_pay:
        words += [Spacer(0, 7), said(ways.how_to_pay, BODY)]
    if ways.link:
        words += [Spacer(0, 7), said("Or pay on this page:", BODY), _to_follow(ways.link)]
    if not ways.epc_payload:
        parts: list[Flowable] = [ledger(rows, (label_width, width - label_width))] if rows else []
        return [*heading("How to pay"), *parts, *words]
    code = PaymentCode(epc_matrix(ways.epc_payload))
    narrow = width - code.width - _GAP
    details: list[Flowable] = [ledger(rows, (label_width, narrow - label_width)), *words]
    caption = SMALL.clone("caption", leftIndent=code.quiet)
    scanned: list[Flowable] = [code, said("Scan to pay by bank transfer (SEPA)", caption)]
    return [
        *heading("How to pay"),
        Spacer(0, 2),
        beside(details, scanned, (narrow, code.width), _GAP),
    ]


def _to_follow(link: str) -> Said:
    """The address as it is typed, and a link for whoever reads the paper on a screen."""
    return Said(f'<a href="{escape(link, quote=True)}">{fonts.words(link)}</a>', BODY)
