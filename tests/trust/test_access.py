"""Who gets in where? Every address, read and sent to, by a stranger, staff, the owner and a handed-over tablet."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.conftest import logged_in
from tests.consultations import make_consultation
from tests.steps.test_photos import add, picture
from tests.trust.access import ACCESS, BY_LINK, EVERYBODY, IN_HAND, OWNER
from tests.trust.stage import (
    PAPER,
    addresses,
    path_of,
    post,
    quoted_with_picture,
    signed_with_deposit,
)

pytestmark = pytest.mark.django_db
METHODS = ("GET", "POST")


def test_every_address_stands_in_the_matrix_and_no_other_does():
    found = {address.name for address in addresses()}
    assert "" not in found, "an address without a name"
    assert found == set(ACCESS)


def ask(browser, method, path):
    return browser.generic(
        method, path, "", "application/x-www-form-urlencoded", REMOTE_ADDR="127.0.0.1"
    )


def outcome(answer, path, sheet_path):
    """What became of it, in one word."""
    where = answer.headers.get("Location", "")
    if answer.status_code == 302 and where == f"/log-in/?next={path}":
        return "asked to log in"
    if answer.status_code == 403:
        return "refused"
    if answer.status_code == 405:
        return "not so"
    if answer.status_code == 302 and where == sheet_path and path != sheet_path:
        return "led back to the sheet"
    if answer.status_code == 404 and b"This link no longer opens anything" in answer.content:
        return "nothing there"
    assert answer.status_code in (200, 302, 409, 422), (answer.status_code, path)
    return "let in"


def expected(who, methods, method, asks):
    may = method in methods
    if who == EVERYBODY:
        return "let in" if may else "not so"
    if who == BY_LINK:
        return "nothing there" if may else "not so"
    if asks == "stranger":
        return "asked to log in"
    if asks == "staff" and who == OWNER:
        return "refused"
    return "let in" if may else "not so"


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("asks", ["stranger", "staff", "owner"])
def test_each_cell_of_the_matrix(shop, rosa, ben, as_rosa, method, asks):
    row = signed_with_deposit(as_rosa, rosa)
    wrong = []
    for address in addresses():
        browser = Client() if asks == "stranger" else logged_in(ben if asks == "staff" else rosa)
        path = path_of(address, row)
        who, methods = ACCESS[address.name]
        got = outcome(ask(browser, method, path), path, "")
        if got != expected(who, methods, method, asks):
            wrong.append((address.name, method, asks, got))
    assert wrong == []


@pytest.mark.parametrize("method", METHODS)
def test_a_handed_over_tablet_opens_its_one_sheet_and_nothing_else(
    shop, rosa, ben, as_rosa, method
):
    row = quoted_with_picture(as_rosa, rosa)
    sheet = reverse("consult:signing", args=[row.pk])
    wrong = []
    for person in (rosa, ben):
        browser = logged_in(person)
        browser.post(reverse("consult:hand_over", args=[row.pk]))
        for address in addresses():
            path = path_of(address, row)
            who, methods = ACCESS[address.name]
            got = outcome(ask(browser, method, path), path, sheet)
            open_to_it = who == IN_HAND or address.name == "manifest"
            want = "led back to the sheet"
            if open_to_it:
                want = "let in" if method in methods else "not so"
            if got != want:
                wrong.append((address.name, method, person.name, got))
    assert wrong == []


def test_a_handed_over_tablet_opens_nothing_of_another_client(shop, rosa, as_rosa):
    other = quoted_with_picture(as_rosa, rosa, client_name="Quilla Marsh")
    row = quoted_with_picture(as_rosa, rosa)
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    for address in addresses():
        if "pk" not in address.takes or not address.name.startswith("consult:"):
            continue
        for method in METHODS:
            answer = ask(as_rosa, method, path_of(address, other))
            assert answer.status_code == 302, address.name
            assert answer["Location"] == reverse("consult:signing", args=[row.pk])
            assert b"Quilla" not in answer.content


def test_a_picture_of_another_client_is_not_had_by_ones_own_address(shop, rosa, as_rosa):
    row, other = make_consultation(rosa), make_consultation(rosa, client_name="Quilla Marsh")
    add(as_rosa, row, picture("#2F6F4F"))
    add(as_rosa, other, picture("#C0392B"))
    theirs = other.photos.get()
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    for sha256 in (theirs.sha256, theirs.thumbnail_sha256):
        assert as_rosa.get(reverse("consult:picture", args=[row.pk, sha256])).status_code == 404
    mine = row.photos.get().sha256
    assert as_rosa.get(reverse("consult:picture", args=[row.pk, mine])).status_code == 200


def test_an_id_that_is_nobodys_is_not_found_however_large(shop, as_rosa):
    huge = (0, 999_999, 2**63, 10**30)
    for address in addresses():
        if "pk" not in address.takes or ACCESS[address.name][0] == EVERYBODY:
            continue
        for pk in huge:
            given = {"pk": pk, "revision": pk, "place": pk, "sha256": "0" * 64, "name": PAPER}
            path = reverse(address.name, kwargs={name: given[name] for name in address.takes})
            method = ACCESS[address.name][1][0]
            answer = ask(as_rosa, method, path)
            # the way back to the shop asks for a password, whatever the number
            wanted = 200 if address.name == "consult:take_back" else 404
            assert answer.status_code == wanted, (address.name, pk)


def test_staff_cannot_make_themselves_the_owner(shop, ben, as_ben):
    said = {"old_password": "eleven cake boards", "new_password1": "one dowel per four inches",
            "new_password2": "one dowel per four inches", "role": "owner", "is_active": "on",
            "name": "Rosa Abara", "email": "rosa@example.org", "is_superuser": "on"}  # fmt: skip
    assert as_ben.post("/account/", said).status_code == 302
    ben.refresh_from_db()
    assert (ben.role, ben.name, ben.email) == ("staff", "Ben Tollak", "ben@example.org")


def test_a_step_takes_no_price_state_or_number_from_whoever_posts(shop, rosa, ben, as_ben):
    row = make_consultation(rosa)
    before = (row.number, row.state, row.edition_id, row.opened_by_id, row.chosen_letter)
    post(
        as_ben, "event", row,
        {"hand_over_how": "collection", "client_name": "Ann Okafor", "number": "2026-9999",
         "state": "confirmed", "edition": "1", "opened_by": "1", "chosen_letter": "C",
         "total": "1.00", "deposit": "0", "price_per_serving": "0"},
    )  # fmt: skip
    row.refresh_from_db()
    assert row.revision == 2
    assert (row.number, row.state, row.edition_id, row.opened_by_id, row.chosen_letter) == before


def test_the_shops_own_figures_are_shown_to_nobody_but_the_owner(shop, rosa, as_rosa, as_ben):
    """What an hour earns and what a cake costs the shop stay with the owner."""
    row = quoted_with_picture(as_rosa, rosa)
    for address in addresses():
        if address.name.startswith("consult:") and "GET" in ACCESS[address.name][1]:
            page = as_ben.get(path_of(address, row)).content.decode("utf-8", "replace").lower()
            for word in ("profit", "margin", "overhead", "earned an hour", "ingredients cost"):
                assert word not in page, (address.name, word)
