"""Does a signature hold for the sheet that was shown, and for no other?"""

import dataclasses
from datetime import date

import pytest

from consult.core.sheet import DesignSheet
from consult.core.signing import (
    FIRST,
    Link,
    chain,
    covers,
    fingerprint,
    shown_fingerprint,
    signature_problems,
    verify_chain,
)
from consult.core.strokes import Strokes
from shop.core.book import built, canonical_json, plain
from shop.core.measures import Units
from shop.core.money import Money
from shop.core.policies import Paper

DRAWN = Strokes((((0.1, 0.5), (0.6, 0.3)),))


def a_sheet(**changes):
    values = {
        "number": "2027-0142",
        "revision": 1,
        "guests": 150,
        "need": 150,
        "servings": 152,
        "height_mm": 304.8,
        "board_mm": 355.6,
        "event_on": date(2027, 5, 15),
        "deposit_due": date(2027, 1, 8),
        "balance_due": date(2027, 5, 1),
        "quoted_on": date(2027, 1, 1),
        "holds_until": date(2027, 1, 15),
        "total": Money(158550, "USD"),
        "deposit": Money(39638, "USD"),
        "balance": Money(118912, "USD"),
        "units": Units.INCHES,
        "paper": Paper.LETTER,
    }
    for field in dataclasses.fields(DesignSheet):
        if field.default is dataclasses.MISSING:
            values.setdefault(field.name, () if "tuple" in str(field.type) else "")
    return DesignSheet(**(values | changes))


def signed(**changes):
    given = {
        "name": "Ann Marlowe",
        "strokes": DRAWN,
        "typed": False,
        "agreed": True,
        "shown_fingerprint": "a" * 64,
        "current_fingerprint": "a" * 64,
    }
    return [problem.where for problem in signature_problems(**(given | changes))]


# Printed by GNU coreutils: printf '{}' | sha256sum, then the same of that hash and the entry's JSON.
FIRST_HASH = "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
SECOND_HASH = "edcead671eb0c179e1873be7bef9d4e75179ad7f38f63de50089cb2d660c196e"


def test_record_is_chained_by_plain_sha_256():
    assert chain(FIRST, {}) == FIRST_HASH
    assert chain(FIRST_HASH, {"says": "crème", "place": 1}) == SECOND_HASH


def test_same_sheet_has_the_same_fingerprint():
    assert fingerprint(a_sheet()) == fingerprint(a_sheet())
    assert len(fingerprint(a_sheet())) == 64


@pytest.mark.parametrize(
    "changes",
    [
        {"total": Money(158551, "USD")},
        {"event_on": date(2027, 5, 16)},
        {"notes": "No ribbon"},
        {"terms": "Other terms"},
        {"contains": ("milk",)},
        {"revision": 2},
    ],
    ids=["a cent more", "a day later", "a note", "other terms", "an allergen", "next revision"],
)
def test_any_change_of_the_sheet_ends_the_signature(changes):
    print_of = fingerprint(a_sheet())
    assert covers(print_of, a_sheet())
    assert not covers(print_of, a_sheet(**changes))


def test_nothing_signed_covers_nothing():
    assert not covers("", a_sheet())


def test_sheet_kept_as_json_and_read_back_keeps_its_fingerprint():
    again = built(DesignSheet, plain(a_sheet()), "sheet")
    assert canonical_json(again) == canonical_json(a_sheet())
    assert covers(fingerprint(a_sheet()), again)


def test_fingerprint_is_shown_in_blocks_that_can_be_read_aloud():
    assert shown_fingerprint("3f2a91bc04de77a1" + "0" * 48) == "3F2A 91BC 04DE 77A1"


def a_record(entries):
    links, previous = [], FIRST
    for entry in entries:
        links.append(Link(entry, previous, chain(previous, entry)))
        previous = links[-1].hash
    return links


SAID = [{"place": at, "says": f"change {at}"} for at in range(5)]


def test_untouched_record_is_whole():
    assert verify_chain(a_record(SAID)) is None
    assert verify_chain([]) is None


@pytest.mark.parametrize("place", range(5))
def test_changed_entry_is_found_where_it_is(place):
    record = a_record(SAID)
    record[place] = dataclasses.replace(record[place], entry={"place": place, "says": "nothing"})
    assert verify_chain(record) == place


@pytest.mark.parametrize("place", range(4))
def test_lost_entry_is_found_at_the_gap(place):
    record = a_record(SAID)
    del record[place]
    assert verify_chain(record) == place


def test_swapped_entries_are_found():
    record = a_record(SAID)
    record[2], record[3] = record[3], record[2]
    assert verify_chain(record) == 2


def test_entry_rewritten_with_its_own_hash_is_found_at_the_next():
    record = a_record(SAID)
    forged = {"place": 1, "says": "nothing"}
    record[1] = Link(forged, record[1].previous, chain(record[1].previous, forged))
    assert verify_chain(record) == 2


def test_order_of_keys_in_an_entry_does_not_matter():
    assert chain("0" * 64, {"a": 1, "b": 2}) == chain("0" * 64, {"b": 2, "a": 1})
    assert chain("0" * 64, {"a": 1}) != chain("1" * 64, {"a": 1})


def test_drawn_signature_is_taken():
    assert signed() == []


def test_typed_name_is_taken_for_whoever_cannot_draw():
    assert signed(strokes=None, typed=True) == []


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"name": "  "}, ["name"]),
        ({"name": "n" * 201}, ["name"]),
        ({"strokes": None}, ["strokes"]),
        ({"strokes": Strokes(())}, ["strokes"]),
        ({"agreed": False}, ["agreed"]),
        ({"current_fingerprint": "b" * 64}, ["sheet"]),
        ({"current_fingerprint": ""}, ["sheet"]),
        ({"shown_fingerprint": "", "current_fingerprint": ""}, ["sheet"]),
    ],
)
def test_signature_that_lacks_something_is_refused_beside_its_field(changes, where):
    assert signed(**changes) == where


def test_everything_missing_is_said_at_once():
    missing = signed(name="", strokes=None, agreed=False, shown_fingerprint="")
    assert missing == ["name", "strokes", "agreed", "sheet"]


def test_name_of_200_letters_is_still_taken():
    assert signed(name="n" * 200) == []
