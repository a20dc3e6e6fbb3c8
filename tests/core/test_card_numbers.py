"""Is a card's number told from other numbers that people type?"""

import pytest

from consult.core.card_numbers import holds_card_number, luhn_holds

# Numbers that payment firms publish for trying out; none is anybody's card (from memory, right by Luhn).
CARDS = (
    "4111111111111111", "5555555555554444", "378282246310005", "6011111111111117",
    "30569309025904", "4222222222222", "6304000000000000000",
)  # fmt: skip


def test_the_published_worked_example_of_the_formula_holds():
    # ISO/IEC 7812-1's formula; 7992739871 with check digit 3 is its usual published example.
    assert [digit for digit in "0123456789" if luhn_holds("7992739871" + digit)] == ["3"]


@pytest.mark.parametrize("card", CARDS)
@pytest.mark.parametrize(
    "typed", ["{0}", "card {0} please", "{1}", "{2}", "Visa{0}exp12/27", "{1} 12/27 123"]
)
def test_a_card_number_is_found_however_it_is_typed(card, typed):
    spaced = " ".join(card[at : at + 4] for at in range(0, len(card), 4))
    assert holds_card_number(typed.format(card, spaced, spaced.replace(" ", "-")))


def test_digits_of_other_scripts_are_digits():
    full_width = "".join(chr(0xFF10 + int(digit)) for digit in CARDS[0])
    arabic = "".join(chr(0x0660 + int(digit)) for digit in CARDS[0])
    assert holds_card_number(full_width)
    assert holds_card_number(arabic)


@pytest.mark.parametrize(
    "typed",
    [
        "", "cash", "bank transfer on 2027-05-15 at 14:30", "order 2027-0142, 515.00 of 1,030.00",
        "+44 20 7946 0958", "RF18 5390 0754 7034", "DE89 3704 0044 0532 0130 00",
        "GB82 WEST 1234 5698 7654 32", "4111 1111 1111 1112", "000000000000000000",
        "BE72000000001616",
    ],
)  # fmt: skip
def test_other_numbers_are_left_alone(typed):
    assert not holds_card_number(typed)
