"""What does a signature cover? A fingerprint of the sheet, when it stops holding, and a record that shows tampering."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from consult.core.design import Problem
from consult.core.sheet import DesignSheet
from consult.core.strokes import EMPTY, Strokes
from shop.core.book import canonical_json, digest

FIRST = ""  # what the first entry of a record follows
LONGEST_NAME = 200  # characters; our own bound, no source


def fingerprint(sheet: DesignSheet) -> str:
    """SHA-256 (FIPS 180-4) of the sheet's canonical JSON, as 64 hex digits.

    Anything a client agrees to is in the sheet, so any change of it gives another fingerprint.
    """
    return digest(sheet)


def covers(signed: str, sheet: DesignSheet) -> bool:
    """Whether a signature on that fingerprint holds for this very sheet."""
    return bool(signed) and signed == fingerprint(sheet)


def shown_fingerprint(whole: str) -> str:
    """The first 16 digits in blocks of four, for people to compare: "3F2A 91BC 04DE 77A1"."""
    short = whole[:16].upper()
    return " ".join(short[at : at + 4] for at in range(0, len(short), 4))


def chain(previous: str, entry: Mapping[str, Any]) -> str:
    """The hash of a record's entry: SHA-256 over the hash before it and the entry's canonical JSON.

    `previous` is FIRST or 64 hex digits and the JSON begins with a brace, so no two pairs read alike.
    """
    return hashlib.sha256((previous + canonical_json(dict(entry))).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Link:
    """One entry of a record as it was kept, with the hash before it and its own."""

    entry: Mapping[str, Any]
    previous: str
    hash: str


def verify_chain(entries: Iterable[Link]) -> int | None:
    """The place (0 first) of the first entry that was changed, moved or lost its neighbour; None if whole.

    Entries cut off the end leave a whole, shorter record: compare its last hash with one kept elsewhere.
    """
    previous = FIRST
    for place, link in enumerate(entries):
        if link.previous != previous or link.hash != chain(previous, link.entry):
            return place
        previous = link.hash
    return None


def signature_problems(
    *,
    name: str,
    strokes: Strokes | None,
    typed: bool,
    agreed: bool,
    shown_fingerprint: str,
    current_fingerprint: str,
) -> tuple[Problem, ...]:
    """Everything that stands in the way of a signature, each by its field; empty when it may be taken.

    What it asks for is what makes a simple electronic signature (UETA 1999 s.2; Regulation (EU)
    910/2014 Art. 3(10)): a mark or a typed name, put to exactly what was shown, by a named person
    who says that they mean to sign. A typed name is the mark of whoever chose not to draw.
    """
    problems = []
    if not name.strip():
        problems.append(Problem("name", "Please give the name of the person who signs."))
    elif len(name) > LONGEST_NAME:
        problems.append(Problem("name", f"A name has at most {LONGEST_NAME} letters here."))
    if not typed and (strokes is None or not strokes.lines):
        problems.append(EMPTY)
    if not agreed:
        problems.append(
            Problem(
                "agreed", "Please tick that you agree to this sheet; without it nothing is signed."
            )
        )
    if not shown_fingerprint or shown_fingerprint != current_fingerprint:
        problems.append(
            Problem(
                "sheet",
                "The sheet was changed after it was shown. Please read it again, then sign.",
            )
        )
    return tuple(problems)
