"""How much is asked for at first, by when, and how is it paid? Reference, QR payload and due dates.

References follow ISO 11649:2009; the QR payload follows EPC069-12 version 2.1, "Quick Response
Code: Guidelines to Enable Data Capture for the Initiation of a SEPA Credit Transfer", 2012.
"""

import re
import unicodedata
from datetime import date, timedelta
from decimal import Decimal

import segno
from segno.encoder import DataOverflowError
from stdnum import bic as bank_code
from stdnum import iban as account_number

from consult.core.design import Problem
from shop.core.money import Money

# EPC069-12: error correction level M, at most version 13 (69 modules) or 331 bytes.
MOST_PAYLOAD_BYTES = 331
MOST_QR_VERSION = 13
LEAST_CENTS, MOST_CENTS = 1, 99_999_999_999  # EUR 0.01 to 999999999.99
MOST_NAME, MOST_REFERENCE, MOST_TEXT = 70, 35, 140

# Where an account needs no bank code in version 002: the European Economic Area (list from memory).
EEA = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IS IT LI LT LU LV MT NL NO PL PT RO SE SI SK"

_REFERENCE = re.compile(r"RF[0-9]{2}[A-Z0-9]{1,21}")


def _remainder(characters: str) -> int:
    """The number that the characters spell, A being 10 and Z 35, modulo 97."""
    return int("".join(str(int(one, 36)) for one in characters)) % 97


def creditor_reference(seed: str) -> str:
    """The ISO 11649 reference of an order number: "CAKE-20260001" gives RF66CAKE20260001.

    Spaces and the signs - / . are left out, small letters made capitals. Raises ValueError unless
    1 to 21 of the characters A to Z and 0 to 9 remain.
    """
    body = re.sub(r"[\s./-]", "", seed).upper()
    if not re.fullmatch(r"[A-Z0-9]{1,21}", body):
        raise ValueError(f"{seed!r} does not hold 1 to 21 letters A to Z and digits.")
    return f"RF{98 - _remainder(body + 'RF00'):02}{body}"


def is_creditor_reference(text: str) -> bool:
    """Whether the check digits of an ISO 11649 reference are right, in any case and spacing."""
    reference = text.replace(" ", "").upper()
    return bool(_REFERENCE.fullmatch(reference)) and _remainder(reference[4:] + reference[:4]) == 1


def in_blocks_of_four(text: str) -> str:
    """A reference or account number as it is printed: RF18 5390 0754 7034."""
    compact = text.replace(" ", "")
    return " ".join(compact[start : start + 4] for start in range(0, len(compact), 4))


class PayloadRefused(ValueError):
    """A payment code that must not be printed; `problems` says why, each by its field."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(" ".join(problem.says for problem in problems))
        self.problems = problems


def _clean(text: str) -> str:
    return unicodedata.normalize("NFC", text).strip()


def _field_problem(where: str, called: str, text: str, most: int) -> Problem | None:
    """What is wrong with one line of the payload; a line break would shift all that follow."""
    if any(unicodedata.category(one) in ("Cc", "Cs", "Zl", "Zp") for one in text):
        return Problem(where, f"{called} must be one line of plain text.")
    if len(text) > most:
        return Problem(where, f"{called} is {len(text)} characters long; the most is {most}.")
    return None


def _account_problems(iban: str, bic: str) -> list[Problem]:
    problems = []
    if not account_number.is_valid(iban, check_country=False):
        problems.append(
            Problem("iban", "This IBAN is not right: please check its digits against the bank's.")
        )
    elif not bic and iban[:2] not in EEA.split():
        problems.append(
            Problem("bic", "An account outside the European Economic Area needs its BIC as well.")
        )
    if bic and not bank_code.is_valid(bic):
        problems.append(Problem("bic", "A BIC has 8 or 11 letters and digits, such as ABCDDEFF."))
    return problems


def epc_problems(
    name: str, iban: str, amount: Money, *, reference: str = "", text: str = "", bic: str = ""
) -> tuple[Problem, ...]:
    """All that keeps these values out of an EPC payment code, each by the name of its argument."""
    name, text = _clean(name), _clean(text)
    problems = []
    if not name:
        problems.append(Problem("name", "The account holder's name is missing."))
    for where, called, value, most in (
        ("name", "The account holder's name", name, MOST_NAME),
        ("text", "The payment's text", text, MOST_TEXT),
    ):
        wrong = _field_problem(where, called, value, most)
        if wrong:
            problems.append(wrong)
    problems += _account_problems(_compact(iban), _compact(bic))
    if amount.currency != "EUR":
        problems.append(
            Problem(
                "amount", f"The code is for euros only, and the amount is in {amount.currency}."
            )
        )
    elif not LEAST_CENTS <= amount.minor <= MOST_CENTS:
        problems.append(Problem("amount", "The amount must be 0.01 to 999999999.99 euros."))
    if reference and not is_creditor_reference(reference):
        problems.append(
            Problem("reference", "The reference must be an RF reference with right check digits.")
        )
    if reference and text:
        problems.append(
            Problem("text", "A payment carries a reference or a text, and this has both.")
        )
    if not problems:
        size = len(_payload(name, iban, amount, reference, text, bic).encode())
        if size > MOST_PAYLOAD_BYTES:
            problems.append(
                Problem("text", f"This makes {size} bytes; the code holds {MOST_PAYLOAD_BYTES}.")
            )
    return tuple(problems)


def _compact(number: str) -> str:
    return re.sub(r"\s", "", number).upper()


def _payload(name: str, iban: str, amount: Money, reference: str, text: str, bic: str) -> str:
    """The lines of EPC069-12 in order. Version 002, UTF-8 (1); the amount always with its cents,
    since published samples differ on that and both forms are read."""
    lines = (
        "BCD",
        "002",
        "1",
        "SCT",
        _compact(bic),
        _clean(name),
        _compact(iban),
        f"EUR{amount.minor // 100}.{amount.minor % 100:02}",
        "",  # purpose
        _compact(reference),
        _clean(text),
    )
    return "\n".join(lines).rstrip("\n")


def epc_payload(
    name: str,
    iban: str,
    amount: Money,
    *,
    reference: str = "",
    text: str = "",
    bic: str | None = None,
) -> str:
    """What the payment code says, in the lines of EPC069-12.

    Raises PayloadRefused with every problem that epc_problems finds.
    """
    bic = bic or ""
    problems = epc_problems(name, iban, amount, reference=reference, text=text, bic=bic)
    if problems:
        raise PayloadRefused(problems)
    return _payload(name, iban, amount, reference, text, bic)


def epc_matrix(payload: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of the QR code, True is dark, row by row, without the quiet zone of 4 modules.

    Level M, as EPC069-12 asks, and never raised, so that the modules stay large.
    """
    try:
        code = segno.make_qr(payload.encode(), error="m", boost_error=False)
    except DataOverflowError as error:
        raise ValueError("The payload does not fit into a QR code.") from error
    if int(code.version) > MOST_QR_VERSION:
        raise ValueError(f"The payload needs more than QR version {MOST_QR_VERSION}.")
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def deposit_of(total: Money, share: Decimal) -> Money:
    """The part of the total asked for at first, rounded once, half up. `share` is 0 to 1."""
    if not 0 <= share <= 1:
        raise ValueError(f"A deposit's share is 0 to 1, not {share}.")
    return total.times(share)


def deposit_due(quoted_on: date, days: int, hand_over_date: date) -> date:
    """When the deposit is due: `days` after the quote, not after hand-over nor before the quote."""
    return max(min(quoted_on + timedelta(days=days), hand_over_date), quoted_on)


def balance_due(hand_over_date: date, days_before: int, not_before: date) -> date:
    """When the balance is due: `days_before` hand-over, never after it, never before `not_before`.

    `not_before` is today, or the day the deposit is due. If hand-over itself is earlier than that,
    the balance is due then: at once.
    """
    return max(min(hand_over_date - timedelta(days=days_before), hand_over_date), not_before)
