"""Does the deposit request ask for the right amount, by when, and can it be scanned?"""

import io

import pytest
from pypdf import PdfReader
from reportlab.lib.units import mm

from consult.core.deposit import epc_matrix
from consult.documents.deposit_request import deposit_request
from consult.documents.paying import PaymentCode
from shop.core.policies import Paper
from tests.documents.samples import FINGERPRINT, LONG_NAME, dollars, euro_request
from tests.documents.test_design_sheet import in_order, words_of


def dollar_request(**changes):
    plain = {
        "epc_payload": "", "iban": "", "bic": "", "account_name": "", "paper": Paper.LETTER,
        "locale": "en_US", "total": dollars("515.00"), "deposit": dollars("257.50"),
        "received": dollars("0"), "to_pay": dollars("257.50"),
        "balance": dollars("257.50"), "how_to_pay": "Pay at the counter <b>or</b> by card: pay.example/quill",
    }  # fmt: skip
    return euro_request(**{**plain, **changes})


def test_it_says_how_much_by_when_and_how():
    text = words_of(deposit_request(euro_request()))
    assert -1 not in in_order(
        text, "Deposit request", "Adaeze Tamm & Jonas Lind", "Quillbrook Cakes", "€257.50",
        "to be paid by Wednesday 10 March 2027", "When it has come in, the date is yours", "How to pay",
        "RF55 2027 0142", "DE89 3704 0044 0532 0130 00", "COBADEFFXXX", "By bank transfer",
        "Scan to pay by bank transfer (SEPA)", "What it is for", "anniversary", "€515.00",
        "Deposit, due 10 March 2027", "€257.50", "Balance, due 1 May 2027", "€257.50", FINGERPRINT,
    )  # fmt: skip


@pytest.mark.parametrize(
    "request_made",
    [
        euro_request(),
        dollar_request(),
        euro_request(client_name=LONG_NAME, after_words="It holds. " * 30),
    ],
)
def test_it_is_one_page(request_made):
    assert len(PdfReader(io.BytesIO(deposit_request(request_made))).pages) == 1


def test_the_same_request_gives_the_same_bytes():
    assert deposit_request(euro_request()) == deposit_request(euro_request())


def test_without_a_payment_code_the_shops_own_words_say_how():
    text = words_of(deposit_request(dollar_request()))
    assert "Pay at the counter <b>or</b> by card: pay.example/quill" in text
    assert "Scan" not in text
    assert "IBAN" not in text


def test_what_was_received_already_is_taken_off_what_is_asked_for():
    paid = dollar_request(received=dollars("90.00"), to_pay=dollars("167.50"))
    text = words_of(deposit_request(paid))
    assert -1 not in in_order(
        text, "Deposit request", "$167.50", "to be paid by", "What it is for", "$515.00",
        "Deposit, due", "$257.50", "Received so far", "$90.00", "Still to pay", "$167.50",
        "Balance, due", "$257.50",
    )  # fmt: skip
    assert "Received so far" not in words_of(deposit_request(dollar_request()))


def dark_squares(pdf):
    """The rectangles of the payment code, in points: x, y, width, height."""
    found = []

    def visit(operator, operands, matrix, _text):
        if operator == b"re":
            x, y, wide, high = map(float, operands)
            found.append((x + matrix[4], y + matrix[5], wide, high))

    PdfReader(io.BytesIO(pdf)).pages[0].extract_text(visitor_operand_before=visit)
    return found[1:] if found else []  # the first is the white ground


def test_the_payment_code_on_paper_is_the_payloads_matrix_large_and_with_its_quiet_zone():
    """ISO/IEC 18004: four modules of white all round."""
    request = euro_request()
    matrix = epc_matrix(request.epc_payload)
    code = PaymentCode(matrix)
    module = 40 * mm / len(matrix)
    assert code.width - 2 * 4 * module == pytest.approx(40 * mm)
    assert code.width - 8 * module >= 32 * mm
    squares = [
        one
        for one in dark_squares(deposit_request(request))
        if one[3] == pytest.approx(module, abs=0.01)
    ]
    left, top = min(x for x, *_ in squares), max(y + high for _, y, _, high in squares)
    seen = [[False] * len(matrix) for _ in matrix]
    for x, y, wide, high in squares:
        row = round((top - y - high) / module)
        for column in range(round((x - left) / module), round((x - left + wide) / module)):
            seen[row][column] = True
    assert tuple(map(tuple, seen)) == matrix
