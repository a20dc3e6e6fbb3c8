"""Who may come in? Closed by default, wrong tries in words, guessers stopped, roles kept."""

import pytest
from django.conf import settings
from django.contrib.auth.hashers import identify_hasher
from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.urls import get_resolver

from shop.access import owner_only
from shop.models import Person
from shop.models.person import Role
from shop.sample import SAMPLE_PEOPLE


def test_a_stranger_is_sent_to_the_log_in_page(cyril, db):
    answer = cyril.get("/account/")

    assert answer.status_code == 302
    assert answer.url == "/log-in/?next=/account/"


def addresses_without_arguments():
    """Paths of all views that can be asked for as they are."""

    def walk(patterns, before):
        for entry in patterns:
            route = before + str(entry.pattern)
            if hasattr(entry, "url_patterns"):
                yield from walk(entry.url_patterns, route)
            elif "<" not in route:
                yield "/" + route

    return sorted(set(walk(get_resolver().url_patterns, "")))


MEANT_OPEN = {
    "/log-in/", "/manifest.webmanifest", "/robots.txt", "/check-a-paper/",
    "/inquire/", "/inquire/sent/",
    # By a private link only: without one they say that nothing is here.
    "/for-you/designs/", "/for-you/sheet/", "/for-you/pay/",
}  # fmt: skip


def test_every_page_is_closed_unless_meant_to_be_open(cyril, db):
    found = addresses_without_arguments()
    opened = [
        p for p in found if not cyril.get(p).headers.get("Location", "").startswith("/log-in/")
    ]

    assert "/account/" in found
    assert set(opened) - MEANT_OPEN == set()


def test_logging_in_opens_the_pages_and_logging_out_shuts_them(cyril, ben):
    answer = cyril.post(
        "/log-in/", {"username": " BEN@example.org", "password": "eleven cake boards"}
    )
    assert (answer.status_code, answer.url) == (302, "/")
    assert "Ben Tollak" in cyril.get("/account/").content.decode()

    cyril.post("/log-out/")
    assert cyril.get("/account/").status_code == 302


def test_wrong_words_are_refused_in_words_and_the_address_is_kept(cyril, ben):
    answer = cyril.post("/log-in/", {"username": "ben@example.org", "password": "no"})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "do not belong together" in page
    assert 'value="ben@example.org"' in page
    assert "<title>Error: Log in" in page
    assert 'value="no"' not in page


def test_each_empty_answer_is_named_beside_its_field(cyril, db):
    page = cyril.post("/log-in/", {"username": "", "password": ""}).content.decode()

    assert (
        page.count("Type the e-mail address you log in with.") == 2
    )  # in the summary, by the field
    assert 'id="id_username_error"' in page
    assert 'aria-invalid="true"' in page
    assert 'aria-describedby="id_username_error"' in page


def test_somebody_who_left_cannot_log_in(cyril, ben):
    ben.is_active = False
    ben.save(update_fields=["is_active"])

    cyril.post("/log-in/", {"username": "ben@example.org", "password": "eleven cake boards"})

    assert cyril.get("/account/").status_code == 302


def test_a_guesser_is_stopped_even_with_the_right_password_at_last(cyril, ben):
    spellings = ["ben@example.org", "BEN@example.org", "ben@Example.org "] * 3
    answers = [
        cyril.post("/log-in/", {"username": spelling, "password": "a guess"}).status_code
        for spelling in spellings[: settings.AXES_FAILURE_LIMIT]
    ]
    assert answers == [422] * (settings.AXES_FAILURE_LIMIT - 1) + [429]

    right = {"username": "ben@example.org", "password": "eleven cake boards"}
    answer = cyril.post("/log-in/", right)
    assert answer.status_code == 429
    assert "quarter of an hour" in answer.content.decode()


def test_a_guesser_elsewhere_does_not_lock_the_shops_own_tablet_out(cyril, ben):
    for _ in range(settings.AXES_FAILURE_LIMIT):
        cyril.post(
            "/log-in/",
            {"username": "ben@example.org", "password": "a guess"},
            REMOTE_ADDR="203.0.113.9",
        )

    right = {"username": "ben@example.org", "password": "eleven cake boards"}
    assert cyril.post("/log-in/", right).status_code == 302


def test_pasting_and_password_managers_are_welcome(cyril, db):
    page = cyril.get("/log-in/").content.decode()

    assert 'autocomplete="username"' in page
    assert 'autocomplete="current-password"' in page
    assert "onpaste" not in page


def test_a_new_password_needs_twelve_characters(as_ben, ben):
    def change(new):
        return as_ben.post(
            "/account/",
            {"old_password": "eleven cake boards", "new_password1": new, "new_password2": new},
        )

    assert change("short one").status_code == 422
    ben.refresh_from_db()
    assert ben.check_password("eleven cake boards")

    assert change("one dowel per four inches").status_code == 302
    ben.refresh_from_db()
    assert ben.check_password("one dowel per four inches")
    assert as_ben.get("/account/").status_code == 200  # still logged in here


def test_passwords_are_kept_with_argon2(ben, settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    ben.set_password("eleven cake boards")

    assert identify_hasher(ben.password).algorithm == "argon2"


@pytest.mark.django_db
def test_an_address_belongs_to_one_person_however_it_is_written(ben):
    with pytest.raises(IntegrityError), transaction.atomic():
        Person.objects.create(email="BEN@example.org", name="Another Ben")
    assert Person.objects.get_by_natural_key(" Ben@Example.org ") == ben


@pytest.mark.django_db
def test_nobody_has_a_role_that_does_not_exist():
    with pytest.raises(IntegrityError), transaction.atomic():
        Person.objects.create(email="a@example.org", name="A", role="baker")


def test_only_the_owner_passes_an_owners_page(rosa, ben, rf):
    @owner_only
    def takings(request):
        return "the takings"

    def asked_by(person):
        request = rf.get("/takings/")
        request.user = person
        return takings(request)

    assert asked_by(rosa) == "the takings"
    for stranger in (ben, AnonymousUser()):
        with pytest.raises(PermissionDenied):
            asked_by(stranger)


def test_the_sample_people_can_have_their_passwords():
    assert {person.role for person in SAMPLE_PEOPLE} == set(Role.values)
    for person in SAMPLE_PEOPLE:
        validate_password(person.password, Person(email=person.email, name=person.name))
