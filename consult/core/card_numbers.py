"""Did somebody type the number of a payment card where words belong? Such a number is refused and never kept."""

import re
import unicodedata

FEWEST, MOST = (
    13,
    19,
)  # digits of a card's number (ISO/IEC 7812-1 allows up to 19; 13 from common practice)

_RUN = re.compile(r"\d(?:[ .\-/_]{0,2}\d)*")


def luhn_holds(digits: str) -> bool:
    """Whether the last digit is the check digit by the Luhn formula (ISO/IEC 7812-1, annex B)."""
    doubled = [
        sum(divmod(int(digit) * 2, 10)) if place % 2 else int(digit)
        for place, digit in enumerate(reversed(digits))
    ]
    return sum(doubled) % 10 == 0


def holds_card_number(text: str) -> bool:
    """Whether 13 to 19 digits that fit a card stand in the text, in groups or not, in any script's digits.

    An account number or reference (IBAN, ISO 11649) is none: two letters stand right before its digits and its
    own check digits are right.
    """
    plain = "".join(
        str(unicodedata.digit(letter)) if unicodedata.digit(letter, None) is not None else letter
        for letter in unicodedata.normalize("NFKC", text)
    )
    plain = re.sub(r"[\u00a0\u2007-\u2015\u202f]", " ", plain)
    return any(
        _is_card(run.group()) and not _is_account(plain[max(run.start() - 2, 0) : run.end()])
        for run in _RUN.finditer(plain)
    )


def _is_card(run: str) -> bool:
    """Whether whole groups that follow each other in the run make a card's number."""
    groups = re.findall(r"\d+", run)
    for first in range(len(groups)):
        digits = ""
        for group in groups[first:]:
            digits += group
            if len(digits) > MOST:
                break
            if len(digits) >= FEWEST and luhn_holds(digits) and len(set(digits)) > 1:
                return True
    return False


def _is_account(text: str) -> bool:
    """Two letters, two check digits and the rest, right modulo 97 (ISO 7064, MOD 97-10)."""
    compact = re.sub(r"[^A-Za-z0-9]", "", text).upper()
    if not re.fullmatch(r"[A-Z]{2}\d{2}[A-Z0-9]+", compact):
        return False
    return int("".join(str(int(one, 36)) for one in compact[4:] + compact[:4])) % 97 == 1
