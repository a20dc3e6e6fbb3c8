"""Does the shop's book say all of itself as JSON, and is a wrong one refused by path?"""

import hashlib
import json
from dataclasses import replace
from decimal import Decimal

import pytest

from shop.core.book import (
    WrongBook,
    book_from_plain,
    canonical_json,
    digest,
    plain,
)
from shop.core.catalogue import RecipeLine
from shop.core.money import Money
from shop.sample_setup import sample_book


@pytest.fixture(params=[False, True], ids=["dollars", "euros"])
def book(request):
    return sample_book(euro=request.param)


def test_a_book_comes_back_from_its_json_the_same(book):
    read = book_from_plain(json.loads(canonical_json(book)))
    assert read == book
    assert canonical_json(read) == canonical_json(book)


def test_the_same_book_has_the_same_json_whatever_the_order_of_its_sets(book):
    substances = sorted(book.policies.may_contain, reverse=True)
    again = replace(book, policies=replace(book.policies, may_contain=frozenset(substances)))
    assert canonical_json(again) == canonical_json(book)


def test_its_digest_is_the_sha_256_of_its_json(book):
    assert digest(book) == hashlib.sha256(canonical_json(book).encode("utf-8")).hexdigest()


def test_one_changed_price_changes_the_digest(book):
    dearer = Money(book.policies.price_per_serving.minor + 1, book.currency)
    changed = replace(book, policies=replace(book.policies, price_per_serving=dearer))
    assert digest(changed) != digest(book)


def test_json_is_one_line_with_sorted_keys_and_letters_kept():
    # RFC 8785, sections 3.2.1 to 3.2.3: no white space, keys sorted, characters not escaped.
    line = RecipeLine("crème", Decimal("1.50"))
    assert canonical_json(line) == '{"grams":"1.50","ingredient":"crème"}'


def test_a_book_from_before_kitchen_cakes_had_a_price_charges_them_as_any_serving(book):
    raw = without(json.loads(canonical_json(book)), "policies", "kitchen_cake_share")
    assert book_from_plain(raw).policies.kitchen_cake_share == 1


def test_a_book_finds_things_by_their_code(book):
    assert book.slice("party").name == "Party slice"
    assert book.flavour("carrot-walnut").kind == "dense"
    assert book.ingredient("walnuts").contains == {"walnut"}
    assert book.decoration("sugar-peony").lead_days == 5
    with pytest.raises(KeyError):
        book.finish("velvet")


def without(raw, *path):
    """The raw book with one key taken out."""
    at = raw
    for step in path[:-1]:
        at = at[step]
    del at[path[-1]]
    return raw


def with_value(raw, value, *path):
    at = raw
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return raw


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda raw: without(raw, "terms"), "shop.terms: is missing"),
        (lambda raw: with_value(raw, {}, "pans"), "shop.pans: must be a list"),
        (lambda raw: with_value(raw, "two", "pans", 0, "owned"), "shop.pans[0].owned: must be int"),
        (lambda raw: with_value(raw, 1, "colour"), "shop.colour: is not known here"),
        (
            lambda raw: with_value(raw, "star", "pans", 3, "shape"),
            "shop.pans[3].shape: 'star' does not fit",
        ),
        (
            lambda raw: with_value(raw, "5.555", "policies", "price_per_serving", "amount"),
            "shop.policies.price_per_serving",
        ),
        (lambda raw: with_value(raw, [], "flavours"), "shop.flavours: needs at least one entry"),
        (
            lambda raw: with_value(raw, raw["slices"] * 2, "slices"),
            "shop.slices: has a code twice",
        ),
        (
            lambda raw: with_value(
                raw, "moonflour", "flavours", 0, "recipe", "lines", 0, "ingredient"
            ),
            "shop.flavours.vanilla-butter-cake: its recipe names 'moonflour'",
        ),
    ],
)
def test_a_wrong_book_is_refused_by_path(change, says):
    raw = json.loads(json.dumps(plain(sample_book())))
    with pytest.raises(WrongBook) as refused:
        book_from_plain(change(raw))
    assert says in str(refused.value)
