"""Designs by private link: looked at, spoken of, changed, chosen."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from consult.actions import consultations, remarks
from consult.actions.keeping import Seen
from consult.core.design import Need
from consult.models import (
    Consultation,
    PrivateLink,
    Remark,
)
from tests.actions.test_links import designs_sent
from tests.client_pages.at_home import DESIGNS, opened, said, three_designs

pytestmark = pytest.mark.django_db


# --- designs ---


def test_designs_are_shown_as_they_were_sent(rosa):
    row = three_designs(rosa)
    sent, token = designs_sent(row, rosa, words="Three ideas for you")
    browser = opened(token)
    before = browser.get(DESIGNS).content.decode()
    for letter in "ABC":
        assert f"Choose design {letter}" in before
        assert before.count(f'id="design{letter}-title"') == 1
    assert "Three ideas for you" in before
    total = remarks.offered_in(sent).designs[0].total.written()
    assert before.count(total) >= 3
    for word in ("Bench hours", "margin", "profit", "Consultations"):
        assert word not in before
    Consultation.objects.filter(pk=row.pk).update(edition=row.edition, guests=12)
    assert f"{remarks.offered_in(sent).guests} guests" in browser.get(DESIGNS).content.decode()


def test_a_remark_reaches_the_shop_its_record_and_its_mail(rosa, as_rosa):
    row = three_designs(rosa)
    browser = opened(designs_sent(row, rosa)[1])
    link = PrivateLink.objects.get()
    answer = browser.post(
        DESIGNS, said(link, kind="change", letter="B", words="Fewer roses <b>please</b>")
    )
    assert answer.status_code == 302
    remark = Remark.objects.get()
    assert (remark.kind, remark.letter, remark.by) == ("change", "B", None)
    entry = row.record.order_by("-place").first()
    assert "asks for a change of design B: Fewer roses" in entry.says
    assert entry.who_words == "Ann Okafor, by private link"
    message = row.messages.get(kind="remark_came")
    assert message.to == row.book().identity.email
    assert "Fewer roses" in message.text
    assert "the client has answered" in as_rosa.get("/").content.decode()
    overview = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert "Fewer roses &lt;b&gt;please&lt;/b&gt;" in overview
    settle = reverse("consult:settle_remark", args=[row.pk])
    as_rosa.post(settle, {"remark": remark.pk, "answer": "Seven, then."})
    as_rosa.post(settle, {"remark": remark.pk, "answer": "Seven, then."})
    assert "the client has answered" not in as_rosa.get("/").content.decode()
    page = browser.get(DESIGNS).content.decode()
    assert page.count("Seven, then.") == 1
    assert "seen by the shop" in page


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"kind": "comment"}, "Please write what you would like to say"),
        ({"kind": "choice"}, "Please say which design you choose"),
        ({"kind": "choice", "letter": "D"}, "That design was not sent"),
        ({"kind": "comment", "words": "x" * 2_001}, "more than fits"),
        ({"kind": "answer", "words": "as if I were the shop"}, "Not sent yet"),
    ],
)
def test_what_cannot_be_sent_is_said_and_nothing_is_kept(words, says, rosa):
    browser = opened(designs_sent(three_designs(rosa), rosa)[1])
    answer = browser.post(DESIGNS, said(PrivateLink.objects.get(), **words))
    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert not Remark.objects.exists()


def test_choosing_turns_the_consultation_and_may_be_thought_over(rosa):
    row = three_designs(rosa)
    browser = opened(designs_sent(row, rosa)[1])
    link = PrivateLink.objects.get()
    for place, letter in enumerate("ACB"):
        choice = said(link, kind="choice", letter=letter, once=f"tap {place}")
        assert browser.post(DESIGNS, choice).status_code == 302
        row.refresh_from_db()
        assert row.chosen_letter == letter
    assert Remark.objects.filter(kind="choice").count() == 3
    assert "You chose design B" in browser.get(DESIGNS).content.decode()


def test_a_choice_of_what_the_shop_has_changed_since_is_only_noted(rosa, as_rosa):
    row = three_designs(rosa)
    browser = opened(designs_sent(row, rosa)[1])
    row.refresh_from_db()
    consultations.set_need(row, by=rosa, seen=Seen(row.revision), need=Need(40, "dessert"))
    stood_at = row.chosen_letter
    browser.post(DESIGNS, said(PrivateLink.objects.get(), kind="choice", letter="A"))
    row.refresh_from_db()
    assert (row.chosen_letter, stood_at) == ("C", "C")
    assert Remark.objects.get().letter == "A"
    overview = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert "Something was changed here since the designs were sent" in overview


def test_one_tap_sent_twice_is_one_remark(rosa):
    browser = opened(designs_sent(three_designs(rosa), rosa)[1])
    link = PrivateLink.objects.get()
    for _ in range(3):
        assert browser.post(DESIGNS, said(link, words="Lovely")).status_code == 302
    assert Remark.objects.count() == 1
    other = browser.post(DESIGNS, said(link, words="Not so lovely"))
    assert other.status_code == 409
    assert Remark.objects.count() == 1


def test_a_forged_form_changes_nothing(rosa):
    token = designs_sent(three_designs(rosa), rosa)[1]
    browser = opened(token, Client(enforce_csrf_checks=True))
    link = PrivateLink.objects.get()
    assert browser.post(DESIGNS, said(link, words="forged")).status_code == 403
    page = browser.get(DESIGNS).content.decode()
    given = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]
    answer = browser.post(DESIGNS, {**said(link, words="mine"), "csrfmiddlewaretoken": given})
    assert answer.status_code == 302
    assert Remark.objects.get().words == "mine"
