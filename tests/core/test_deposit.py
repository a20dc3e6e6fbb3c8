"""Are the reference, the payment code and the due dates what bank and client can rely on?"""

from datetime import date
from decimal import Decimal

import numpy as np
import pytest
import segno
from hypothesis import given
from hypothesis import strategies as some
from segno import helpers
from stdnum import iso11649

from consult.core.deposit import (
    PayloadRefused,
    balance_due,
    creditor_reference,
    deposit_due,
    deposit_of,
    epc_matrix,
    epc_payload,
    epc_problems,
    in_blocks_of_four,
    is_creditor_reference,
)
from shop.core.money import Money

# ISO 11649:2009: RF18 5390 0754 7034 is the usual published example. RF35C4 and RF214377 stand as
# examples on a web page but fail the rule; RF51C4 and RF684377 are right (derived, and so says
# python-stdnum).
REFERENCES = [
    ("RF18539007547034", True),
    ("RF17539007547034", False),
    ("RF18 5390 0754 70Y", True),
    ("RF48 5000 0567 8901 2345", True),
    ("RF45 G72U UR", True),
    ("RF65 18K5", True),
    ("RF35C4", False),
    ("RF214377", False),
    ("RF51C4", True),
    ("RF684377", True),
    ("rf18 5390 0754 7034", True),
    ("", False),
    ("RF18", False),
    ("XX18539007547034", False),
    ("RF1853900754703é", False),
    ("RF18\u0665390 0754 7034", False),
]


@pytest.mark.parametrize(("reference", "right"), REFERENCES)
def test_check_digits_of_published_references(reference: str, right: bool) -> None:
    assert is_creditor_reference(reference) is right


@pytest.mark.parametrize(
    ("seed", "reference"),
    [
        ("539007547034", "RF18539007547034"),  # ISO 11649:2009, example
        ("CAKE20260001", "RF66CAKE20260001"),  # derived by the same rule
        ("cake-2026-0001", "RF66CAKE20260001"),
        (" C4", "RF51C4"),
        ("4377", "RF684377"),
    ],
)
def test_reference_made_from_an_order_number(seed: str, reference: str) -> None:
    assert creditor_reference(seed) == reference


@given(some.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", min_size=1, max_size=21))
def test_every_reference_made_is_right_by_the_reference_library_too(seed: str) -> None:
    reference = creditor_reference(seed)
    assert is_creditor_reference(reference)
    assert iso11649.is_valid(reference)
    wrong = f"RF{(int(reference[2:4]) + 1) % 100:02}{reference[4:]}"
    assert not is_creditor_reference(wrong)
    assert not iso11649.is_valid(wrong)


@pytest.mark.parametrize("seed", ["", " - ", "A" * 22, "é1", "12#4", "\u0661\u0662"])
def test_reference_from_what_cannot_be_one_is_refused(seed: str) -> None:
    with pytest.raises(ValueError, match="1 to 21"):
        creditor_reference(seed)


def test_reference_printed_in_blocks_of_four() -> None:
    assert in_blocks_of_four("RF18539007547034") == "RF18 5390 0754 7034"
    assert in_blocks_of_four("RF1853900754703") == "RF18 5390 0754 703"
    assert in_blocks_of_four("RF18 5390 0754 7034") == "RF18 5390 0754 7034"


# The example of segno's documentation, "Create EPC QR codes": 97 bytes, level M, version 6.
PUBLISHED = "\n".join(
    (
        "BCD",
        "002",
        "2",
        "SCT",
        "",
        "Wikimedia Foerdergesellschaft",
        "DE33100205000001194700",
        "EUR20",
        "",
        "",
        "Spende fuer Wikipedia",
    )
)
HOLDER, IBAN = "Wikimedia Foerdergesellschaft", "DE33100205000001194700"
TWENTY = Money(2000, "EUR")


def level_of(matrix: tuple[tuple[bool, ...], ...]) -> str:
    """The error correction level in the format bits beside the upper left finder pattern.

    ISO/IEC 18004: the first two of 15 bits, masked with 10: 01 L, 00 M, 11 Q, 10 H.
    """
    bits = (matrix[8][0] ^ True, matrix[8][1] ^ False)
    return {(False, True): "L", (False, False): "M", (True, True): "Q", (True, False): "H"}[bits]


def test_published_payload_makes_a_code_of_version_six_and_level_m() -> None:
    matrix = epc_matrix(PUBLISHED)
    assert len(PUBLISHED.encode()) == 97
    assert len(matrix) == len(matrix[0]) == 17 + 4 * 6
    assert level_of(matrix) == "M"


def test_published_payload_makes_the_modules_that_the_library_makes_for_it() -> None:
    code = helpers.make_epc_qr(
        name=HOLDER, iban=IBAN, amount=20, text="Spende fuer Wikipedia", encoding="iso-8859-1"
    )
    assert code.designator == "6-M"
    assert epc_matrix(PUBLISHED) == tuple(tuple(map(bool, row)) for row in code.matrix)


def test_our_payload_is_the_published_one_but_for_character_set_and_cents() -> None:
    lines = epc_payload(HOLDER, IBAN, TWENTY, text="Spende fuer Wikipedia").split("\n")
    assert lines == [
        *("BCD", "002", "1", "SCT", "", HOLDER, IBAN),
        *("EUR20.00", "", "", "Spende fuer Wikipedia"),
    ]
    published = PUBLISHED.split("\n")
    assert [place for place in range(11) if lines[place] != published[place]] == [2, 7]


def test_payload_with_reference_has_no_empty_lines_after_it() -> None:
    payload = epc_payload(
        HOLDER, "de33 1002 0500 0001 1947 00", Money(12345, "EUR"), reference="RF18 5390 0754 7034"
    )
    # 95 bytes: the same example with a reference, recomputed
    assert payload.split("\n")[7:] == ["EUR123.45", "", "RF18539007547034"]
    assert len(payload.encode()) == 95


def test_payload_with_a_bank_code_and_letters_beyond_ascii() -> None:
    payload = epc_payload("Pa\u0302tisserie Éloïse", "BE72000000001616", TWENTY, bic="bpotbeb1")
    assert payload == "BCD\n002\n1\nSCT\nBPOTBEB1\nPâtisserie Éloïse\nBE72000000001616\nEUR20.00"


@pytest.mark.parametrize(
    ("cents", "right"),
    [(0, False), (1, True), (99_999_999_999, True), (100_000_000_000, False), (-500, False)],
)
def test_amount_is_one_cent_to_the_most_a_transfer_takes(cents: int, right: bool) -> None:
    # EPC069-12: 0.01 to 999999999.99
    problems = epc_problems(HOLDER, IBAN, Money(cents, "EUR"))
    assert [problem.where for problem in problems] == ([] if right else ["amount"])


@pytest.mark.parametrize(
    ("cents", "written"), [(1, "EUR0.01"), (105, "EUR1.05"), (99_999_999_999, "EUR999999999.99")]
)
def test_amount_is_written_with_a_point_and_two_digits(cents: int, written: str) -> None:
    assert epc_payload(HOLDER, IBAN, Money(cents, "EUR")).split("\n")[7] == written


def test_payload_of_331_bytes_is_taken_and_makes_version_thirteen() -> None:
    # The most that EPC069-12 allows, and just what a version 13 code of level M holds.
    # Ten lines and "BCD", "002", "1", "SCT", the IBAN and "EUR20.00" are 50 bytes.
    name, text = "é" * 70, "é" * 1 + "x" * 139
    payload = epc_payload(name, IBAN, TWENTY, text=text)
    assert len(payload.encode()) == 331
    matrix = epc_matrix(payload)
    assert len(matrix) == 69
    assert level_of(matrix) == "M"

    (problem,) = epc_problems(name, IBAN, TWENTY, text="é" * 2 + "x" * 138)
    assert problem.where == "text"
    assert "332 bytes" in problem.says
    with pytest.raises(ValueError, match="version 13"):
        epc_matrix(payload + "x")


def test_payload_beyond_any_code_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        epc_matrix("x" * 3000)


WRONG = [
    ({"name": ""}, "name", "missing"),
    ({"name": "   "}, "name", "missing"),
    ({"name": "x" * 71}, "name", "71 characters"),
    ({"name": "Rosa\nDE00"}, "name", "one line"),
    ({"name": "Rosa\u2028DE00"}, "name", "one line"),
    ({"iban": ""}, "iban", "check its digits"),
    ({"iban": "DE34100205000001194700"}, "iban", "check its digits"),
    ({"iban": "DE3310020500000119470"}, "iban", "check its digits"),
    ({"iban": "CH93 0076 2011 6238 5295 7"}, "bic", "needs its BIC"),
    ({"bic": "ABCDE"}, "bic", "8 or 11"),
    ({"amount": Money(2000, "USD")}, "amount", "USD"),
    ({"reference": "RF17539007547034"}, "reference", "check digits"),
    ({"reference": "RF18539007547034", "text": "Deposit"}, "text", "has both"),
    ({"text": "x" * 141}, "text", "141 characters"),
    ({"text": "Deposit\r\nEUR1"}, "text", "one line"),
]


@pytest.mark.parametrize(("change", "where", "words"), WRONG)
def test_each_rule_of_the_payment_code_says_what_is_wrong(
    change: dict, where: str, words: str
) -> None:
    values = {"name": HOLDER, "iban": IBAN, "amount": TWENTY, **change}
    (problem,) = epc_problems(**values)
    assert problem.where == where
    assert words in problem.says
    with pytest.raises(PayloadRefused, match=words) as refused:
        epc_payload(**values)
    assert refused.value.problems == (problem,)


def test_all_that_is_wrong_with_a_payment_code_is_said_at_once() -> None:
    problems = epc_problems("", "DE00", Money(0, "EUR"), reference="RF00", text="x" * 200, bic="?")
    assert {problem.where for problem in problems} == {
        *("name", "iban", "amount", "reference", "text", "bic")
    }


def test_lengths_of_name_and_text_at_their_most_are_taken() -> None:
    assert epc_problems("x" * 70, IBAN, TWENTY, text="x" * 140) == ()
    assert epc_problems("x", IBAN, TWENTY) == ()
    # the usual published Swiss example number, with a bank code
    assert epc_problems("x", "CH93 0076 2011 6238 5295 7", TWENTY, bic="POFICHBEXXX") == ()


# Examples of the SWIFT IBAN registry (ISO 13616), from memory, and the same with two digits swapped.
@pytest.mark.parametrize(
    ("iban", "wrong"),
    [
        ("DE89 3704 0044 0532 0130 00", "DE89 3704 0044 0532 0310 00"),
        ("FR14 2004 1010 0505 0001 3M02 606", "FR14 2004 1010 0505 0001 3M20 606"),
        ("NL91 ABNA 0417 1643 00", "NL91 ABNA 0471 1643 00"),
        ("BE68 5390 0754 7034", "BE68 5390 0745 7034"),
        ("AT61 1904 3002 3457 3201", "AT61 1904 3002 3475 3201"),
        ("IE29 AIBK 9311 5212 3456 78", "IE29 AIBK 9311 5212 3456 87"),
    ],
)
def test_account_numbers_of_the_registry_are_taken_and_slips_are_not(iban: str, wrong: str) -> None:
    assert epc_problems(HOLDER, iban, TWENTY) == ()
    assert [one.where for one in epc_problems(HOLDER, wrong, TWENTY)] == ["iban"]


def test_code_is_the_same_each_time_and_has_its_three_finder_patterns() -> None:
    matrix = epc_matrix(epc_payload(HOLDER, IBAN, TWENTY, reference="RF18539007547034"))
    assert matrix == epc_matrix(epc_payload(HOLDER, IBAN, TWENTY, reference="RF18539007547034"))
    finder = np.array(segno.make_micro("1").matrix, dtype=bool)[:7, :7]
    modules = np.array(matrix)
    for corner in (modules[:7, :7], modules[:7, -7:], modules[-7:, :7]):
        assert (corner == finder).all()
    assert not (modules[-7:, -7:] == finder).all()


@pytest.mark.parametrize(
    ("total", "share", "deposit"),
    [
        (Money(158_550, "USD"), "0.5", 79_275),
        (Money(101, "USD"), "0.5", 51),  # half up
        (Money(99_999, "USD"), "0.25", 25_000),
        (Money(10_001, "JPY"), "0.3", 3_000),
        (Money(12_345, "KWD"), "1", 12_345),
        (Money(12_345, "EUR"), "0", 0),
        (Money(0, "EUR"), "0.5", 0),
    ],
)
def test_deposit_is_its_share_rounded_once_half_up(total: Money, share: str, deposit: int) -> None:
    assert deposit_of(total, Decimal(share)) == Money(deposit, total.currency)


@pytest.mark.parametrize("share", ["-0.01", "1.01", "50"])
def test_deposit_share_outside_nothing_to_all_is_refused(share: str) -> None:
    with pytest.raises(ValueError, match="0 to 1"):
        deposit_of(TWENTY, Decimal(share))


@given(some.integers(0, 10**9), some.decimals(0, 1, places=4))
def test_deposit_and_balance_add_up_to_the_total(minor: int, share: Decimal) -> None:
    total = Money(minor, "EUR")
    deposit = deposit_of(total, share)
    assert 0 <= deposit.minor <= total.minor
    assert deposit + (total - deposit) == total


@pytest.mark.parametrize(
    ("days", "hand_over", "due"),
    [
        (7, date(2027, 6, 19), date(2027, 5, 8)),
        (0, date(2027, 6, 19), date(2027, 5, 1)),
        (7, date(2027, 5, 8), date(2027, 5, 8)),
        (7, date(2027, 5, 7), date(2027, 5, 7)),
        (7, date(2027, 5, 1), date(2027, 5, 1)),
        (7, date(2027, 4, 1), date(2027, 5, 1)),  # hand-over already past: at once
    ],
)
def test_deposit_is_due_some_days_after_the_quote_but_not_after_hand_over(
    days: int, hand_over: date, due: date
) -> None:
    assert deposit_due(date(2027, 5, 1), days, hand_over) == due


@pytest.mark.parametrize(
    ("days_before", "not_before", "due"),
    [
        (14, date(2027, 5, 1), date(2027, 6, 5)),
        (0, date(2027, 5, 1), date(2027, 6, 19)),
        (-3, date(2027, 5, 1), date(2027, 6, 19)),
        (14, date(2027, 6, 5), date(2027, 6, 5)),
        (14, date(2027, 6, 6), date(2027, 6, 6)),
        (14, date(2027, 6, 19), date(2027, 6, 19)),
        (14, date(2027, 6, 25), date(2027, 6, 25)),  # hand-over already past: at once
    ],
)
def test_balance_is_due_before_hand_over_but_not_before_today(
    days_before: int, not_before: date, due: date
) -> None:
    assert balance_due(date(2027, 6, 19), days_before, not_before) == due
