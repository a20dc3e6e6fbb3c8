"""Guessing passwords: is it slowed down everywhere, does it tell nothing, and does a session end when it should?"""

import statistics
import time

import pytest
from django.conf import settings
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from shop.actions import give_new_password, let_go
from tests.consultations import make_consultation

pytestmark = pytest.mark.django_db
MOST = settings.AXES_FAILURE_LIMIT


class CountingHasher(Argon2PasswordHasher):
    """Argon2 as in the shop, counting how often it runs."""

    runs = 0

    def encode(self, password, salt):
        type(self).runs += 1
        return super().encode(password, salt)

    def verify(self, password, encoded):
        type(self).runs += 1
        return super().verify(password, encoded)


def log_in(browser, email, password="a guess", **extra):
    return browser.post("/log-in/", {"username": email, "password": password}, **extra)


def test_guesses_at_the_counter_are_slowed_down_like_those_at_the_door(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    back = reverse("consult:take_back", args=[row.pk])
    said = [as_rosa.post(back, {"password": f"guess {n}"}).status_code for n in range(MOST + 2)]
    assert said == [422] * (MOST - 1) + [429] * 3
    assert as_rosa.post(back, {"password": "a whisk and a bowl"}).status_code == 429
    assert as_rosa.get("/").status_code == 302
    assert as_rosa.get("/")["Location"] == reverse("consult:signing", args=[row.pk])


@pytest.mark.parametrize(
    "header", ["HTTP_X_FORWARDED_FOR", "HTTP_X_REAL_IP", "HTTP_FORWARDED", "HTTP_CLIENT_IP"]
)
def test_a_made_up_address_buys_no_more_guesses(ben, header):
    said = [
        log_in(Client(), "ben@example.org", **{header: f"198.51.100.{n}"}).status_code
        for n in range(MOST + 1)
    ]
    assert said == [422] * (MOST - 1) + [429] * 2


def test_an_unknown_address_is_answered_like_a_known_one(ben, settings):
    """The same words, the same status, one run of the hash for each, and about the same time."""
    name = f"{CountingHasher.__module__}.{CountingHasher.__qualname__}"
    settings.PASSWORD_HASHERS = [name]
    ben.set_password("eleven cake boards")
    ben.save()
    took = {"ben@example.org": [], "nobody@example.org": []}
    pages = {}
    log_in(Client(), "first@example.org")
    for number in range(MOST - 1):
        for email, times in took.items():
            CountingHasher.runs = 0
            started = time.perf_counter()
            answer = log_in(Client(), email, f"guess {number}")
            times.append(time.perf_counter() - started)
            assert answer.status_code == 422
            assert CountingHasher.runs == 1, email
            said = answer.content.decode().replace(email, "E-MAIL")
            pages[email] = said[: said.index("csrfmiddlewaretoken")] + said[said.index("</form>") :]
    known, unknown = took.values()
    assert pages["ben@example.org"] == pages["nobody@example.org"]
    assert 0.4 < statistics.median(known) / statistics.median(unknown) < 2.5


def test_somebody_who_left_is_answered_like_a_wrong_password(ben):
    pages = []
    for gone in (False, True):
        if gone:
            let_go(ben)
        password = "eleven cake boards" if gone else "a guess"
        answer = log_in(Client(), "ben@example.org", password)
        pages.append((answer.status_code, "do not belong together" in answer.content.decode()))
    assert pages == [(422, True)] * 2


def test_the_session_is_new_at_log_in_and_dies_at_log_out(ben):
    browser = Client()
    browser.cookies["session"] = "a" * 32  # a session fixed beforehand by somebody else
    log_in(browser, "ben@example.org", "eleven cake boards")
    kept = browser.cookies["session"]
    assert kept.value != "a" * 32
    assert kept["httponly"]
    assert kept["samesite"] == "Lax"
    assert kept["max-age"] == 12 * 60 * 60
    stolen = Client()
    stolen.cookies["session"] = kept.value
    assert stolen.get("/account/").status_code == 200
    browser.post("/log-out/")
    assert stolen.get("/account/").status_code == 302
    assert not Session.objects.filter(session_key=kept.value).exists()


@pytest.mark.parametrize("end", ["password", "let go"])
def test_a_new_password_or_leaving_ends_every_session(rosa, ben, end):
    browsers = [Client(), Client()]
    for browser in browsers:
        log_in(browser, "ben@example.org", "eleven cake boards")
        assert browser.get("/account/").status_code == 200
    if end == "password":
        give_new_password(ben, password="one dowel per four inches")
    else:
        let_go(ben)
    assert [browser.get("/account/").status_code for browser in browsers] == [302, 302]


def test_a_log_in_leads_to_no_other_site(ben):
    for wanted in (
        "https://elsewhere.example/",
        "//elsewhere.example",
        "/\\elsewhere.example",
        "javascript:x",
    ):
        said = {"username": "ben@example.org", "password": "eleven cake boards", "next": wanted}
        assert Client().post("/log-in/", said)["Location"] == "/"
