"""The way in: a link is exchanged for a narrow session, and looking changes nothing."""

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from consult.actions import links
from consult.models import (
    PrivateLink,
    Remark,
)
from tests.actions.test_links import designs_sent, quoted, sheet_sent
from tests.client_pages.at_home import DESIGNS, PAY, SHEET, opened, said
from tests.consultations import make_consultation

pytestmark = pytest.mark.django_db


# --- the way in ---


def test_a_link_is_exchanged_for_an_address_without_a_secret(rosa):
    row = make_consultation(rosa)
    token = designs_sent(row, rosa)[1]
    answer = Client().get(links.path_of(token))
    assert (answer.status_code, answer["Location"]) == (303, DESIGNS)
    assert answer["Referrer-Policy"] == "no-referrer"
    assert token not in answer.content.decode()


@pytest.mark.parametrize("page", [DESIGNS, SHEET, PAY])
def test_the_clean_address_alone_opens_nothing(page, rosa, as_rosa):
    designs_sent(make_consultation(rosa), rosa)
    for browser in (Client(), as_rosa):
        assert browser.get(page).status_code == 404
    assert Client().get(page, {"link": PrivateLink.objects.get().pk}).status_code == 404


def test_every_answer_is_kept_by_nobody_and_found_by_no_search(rosa):
    row = quoted(rosa)
    browser = opened(sheet_sent(row, rosa))
    answers = [
        browser.get(SHEET),
        browser.get(reverse("consult:for_you_paper", args=["design-sheet"])),
        browser.get(links.path_of("A" * 43)),
        Client().get(links.path_of(sheet_sent(row, rosa))),
    ]
    for answer in answers:
        assert answer["Cache-Control"] == "private, no-store"
        assert "noindex" in answer["X-Robots-Tag"]
        assert answer["Referrer-Policy"] in ("no-referrer", "same-origin")
    assert browser.get("/robots.txt").content.decode() == "User-agent: *\nDisallow: /for-you/\n"


def test_looking_changes_nothing_but_when_it_was_looked_at(rosa):
    row = make_consultation(rosa)
    token = designs_sent(row, rosa)[1]
    revision, entries = row.revision, row.record.count()
    browser = opened(token)
    link = PrivateLink.objects.get()
    assert (
        link.first_used_at is None
    )  # whoever looks at links in mail for their reader has not opened it
    browser.head(DESIGNS)
    link.refresh_from_db()
    assert link.first_used_at is None
    browser.get(DESIGNS)
    link.refresh_from_db()
    assert link.first_used_at is not None
    row.refresh_from_db()
    assert (row.revision, row.record.count()) == (revision, entries)
    assert not Remark.objects.exists()


def test_a_session_that_was_planted_before_gets_nothing(rosa):
    """Session fixation: the session of before the exchange is not the one that has the link."""
    token = designs_sent(make_consultation(rosa), rosa)[1]
    victim = Client()
    session = victim.session
    session["planted"] = "yes"
    session.save()
    planted = session.session_key
    victim.cookies[settings.SESSION_COOKIE_NAME] = planted
    opened(token, victim)
    assert victim.cookies[settings.SESSION_COOKIE_NAME].value != planted
    thief = Client()
    thief.cookies[settings.SESSION_COOKIE_NAME] = planted
    assert thief.get(DESIGNS).status_code == 404
    assert victim.get(DESIGNS).status_code == 200


def test_opening_a_link_logs_nobody_in_and_out(rosa, as_rosa):
    token = designs_sent(make_consultation(rosa), rosa)[1]
    assert opened(token).get("/").status_code == 302
    opened(token, as_rosa)
    assert as_rosa.get("/").status_code == 200
    assert as_rosa.get(DESIGNS).status_code == 200


def test_two_clients_links_in_one_browser_stay_apart(rosa):
    first, other = make_consultation(rosa), make_consultation(rosa, client_name="Quilla Marsh")
    browser = opened(designs_sent(first, rosa)[1])
    opened(designs_sent(other, rosa)[1], browser)
    mine = PrivateLink.objects.get(consultation=first)
    assert b"Quilla Marsh" in browser.get(DESIGNS).content
    assert b"Ann Okafor" in browser.get(DESIGNS, {"link": mine.pk}).content
    browser.post(DESIGNS, said(mine, words="for Ann's cake"))
    assert Remark.objects.get().consultation == first
