"""The sheet by private link: read, signed once and by a living link, its papers, and what to pay."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from consult import store
from consult.actions import consultations, links
from consult.actions.keeping import Seen
from consult.core.design import Need
from consult.models import (
    Consultation,
    DepositAsked,
    PrivateLink,
    Sheet,
    Signature,
    State,
)
from consult.signing_form import SigningForm
from tests.actions.test_links import designs_sent, quoted, sheet_sent
from tests.client_pages.at_home import PAY, SHEET, mark, opened
from tests.consultations import keys, make_consultation
from tests.papers import words_of

pytestmark = pytest.mark.django_db


# --- the sheet ---


def test_a_sheet_is_signed_from_home_typed_and_without_script(rosa):
    row = quoted(rosa)
    browser = opened(sheet_sent(row, rosa))
    link = PrivateLink.objects.get()
    page = browser.get(SHEET).content.decode()
    total = Sheet.objects.get().body["total"]
    button = re.search(r'<button class="button button-wide">([^<]*)</button>', page)[1]
    assert button == f"Order with obligation to pay — ${total['amount']}"
    assert not re.search(r'name="photos"[^>]*checked', page)
    answer = browser.post(SHEET, mark(row, link, photos="no"))
    assert (answer.status_code, answer["Location"]) == (302, f"{SHEET}?link={link.pk}")
    again = browser.post(SHEET, mark(row, link, photos="yes"))
    assert (again.status_code, again["Location"]) == (302, answer["Location"])
    signature = Signature.objects.get()
    assert (signature.link, signature.witness, signature.how) == (
        link,
        None,
        "typed by private link",
    )
    assert signature.photo_permission is False
    row.refresh_from_db()
    assert row.state == State.SIGNED
    page = browser.get(SHEET).content.decode()
    assert "Thank you. It is signed." in page
    deposit = DepositAsked.objects.get()
    assert deposit.amount.written() in page
    for name in ("contract", "design-sheet", "deposit-request"):
        paper = browser.get(reverse("consult:for_you_paper", args=[name]))
        assert (paper.status_code, paper["Content-Type"]) == (200, "application/pdf")
        assert "Ann Okafor" in words_of(paper.content)
    assert row.messages.filter(kind="signed_copy").count() == 2


@pytest.mark.parametrize(("photos", "kept"), [("yes", True), ("no", False), ("", None)])
def test_the_word_on_photos_is_a_choice_of_its_own(photos, kept, rf):
    form = SigningForm({"typed": "on", "photos": photos}, consent="I agree.")
    assert form.is_valid()
    assert form.signer(rf.get("/"), witness=None).photo_permission is kept


def test_no_other_word_on_photos_is_taken_for_an_answer():
    assert not SigningForm({"typed": "on", "photos": "maybe"}, consent="I agree.").is_valid()


@pytest.mark.parametrize(
    "changes",
    [{"agreed": None}, {"name": ""}, {"typed": None}, {"shown": "0" * 64}, {"shown": None}],
)
def test_nothing_is_signed_while_anything_is_missing_or_another_sheet_was_shown(changes, rosa):
    row = quoted(rosa)
    browser = opened(sheet_sent(row, rosa))
    answer = browser.post(SHEET, mark(row, PrivateLink.objects.get(), **changes))
    assert answer.status_code == 422
    assert not Signature.objects.exists()


def test_who_holds_the_session_of_an_overtaken_sheet_is_told_that_a_newer_one_follows(rosa):
    row = quoted(rosa)
    token = sheet_sent(row, rosa)
    browser = opened(token)
    link = PrivateLink.objects.get()
    row.refresh_from_db()
    consultations.set_need(row, by=rosa, seen=Seen(row.revision), need=Need(12, "dessert"))
    for answer in (browser.get(SHEET), browser.post(SHEET, mark(row, link))):
        assert answer.status_code == 404
        assert "no longer the one to sign" in answer.content.decode()
    assert "no longer opens anything" in Client().get(links.path_of(token)).content.decode()
    assert not Signature.objects.exists()


def test_what_was_signed_at_the_counter_ends_the_link(rosa, as_rosa):
    row = quoted(rosa)
    browser = opened(sheet_sent(row, rosa))
    as_rosa.post(reverse("consult:signing", args=[row.pk]), mark(row, PrivateLink.objects.get()))
    assert Signature.objects.get().witness == rosa
    assert browser.get(SHEET).status_code == 404
    assert browser.post(SHEET, mark(row, PrivateLink.objects.get())).status_code == 404
    assert Signature.objects.count() == 1


def test_a_revoked_link_signs_nothing_though_its_page_is_open(rosa):
    row = quoted(rosa)
    browser = opened(sheet_sent(row, rosa))
    link = PrivateLink.objects.get()
    links.kill(link, by=rosa)
    assert browser.post(SHEET, mark(row, link)).status_code == 404
    assert not Signature.objects.exists()


def test_papers_and_pictures_of_others_are_not_there(rosa):
    other = quoted(rosa, client_name="Quilla Marsh")
    designs = opened(designs_sent(make_consultation(rosa), rosa)[1])
    paper = reverse("consult:for_you_paper", args=["design-sheet"])
    assert designs.get(paper).status_code == 404
    theirs = PrivateLink.objects.get(pk=_sheet_link(other, rosa))
    mine = opened(sheet_sent(quoted(rosa), rosa))
    asked = mine.get(paper, {"link": theirs.pk})
    assert "Quilla Marsh" not in words_of(asked.content)
    stored = store.keep(b"a picture of somebody else")
    picture = reverse("consult:for_you_picture", args=[stored])
    assert mine.get(picture).status_code == 404
    assert mine.get(reverse("consult:for_you_paper", args=["kitchen-sheet"])).status_code == 404


def _sheet_link(row, by):
    sheet_sent(row, by)
    return PrivateLink.objects.get(consultation=row).pk


# --- what to pay ---


def test_a_link_to_pay_shows_how_much_by_when_and_how(rosa, as_rosa):
    row = quoted(rosa)
    browser = opened(sheet_sent(row, rosa))
    browser.post(SHEET, mark(row, PrivateLink.objects.get()))
    as_rosa.post(
        reverse("consult:send", args=[row.pk]),
        {**keys(Consultation.objects.get(pk=row.pk)), "what": "pay", "to": "ann@example.org"},
    )
    message = row.messages.get(kind="to_pay")
    path = re.search(r"/for-you/[\w-]{43}/", links.uncovered(message.text))[0]
    payer = Client()
    assert payer.get(path)["Location"] == PAY
    page = payer.get(PAY).content.decode()
    deposit = DepositAsked.objects.get()
    assert deposit.amount.written() in page
    blocks = " ".join(deposit.reference[at : at + 4] for at in range(0, len(deposit.reference), 4))
    assert blocks in page
    assert payer.get(SHEET).status_code == 404
    assert payer.get(reverse("consult:for_you_paper", args=["contract"])).status_code == 200
