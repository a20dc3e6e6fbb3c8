"""A client at home: opens the link, looks, says something, chooses, signs, and sees what to pay."""

import re

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from consult import store
from consult.actions import consultations, links, remarks
from consult.actions.keeping import Seen
from consult.core.design import Need
from consult.models import (
    Consultation,
    DepositAsked,
    PrivateLink,
    Purpose,
    Remark,
    Sheet,
    Signature,
    State,
)
from consult.signing_form import SigningForm
from tests.actions.test_links import designs_sent, quoted, sheet_sent
from tests.conftest import logged_in
from tests.consultations import keys, make_consultation
from tests.papers import words_of
from tests.test_designs import copied

pytestmark = pytest.mark.django_db

DESIGNS, SHEET, PAY = (reverse(f"consult:for_you_{name}") for name in ("designs", "sheet", "pay"))


def opened(token, browser=None):
    browser = browser or Client()
    answer = browser.get(links.path_of(token))
    assert answer.status_code == 303, answer.content
    return browser


def three_designs(by):
    browser, row = logged_in(by), make_consultation(by)
    copied(browser, row)
    copied(browser, row)
    return row


def said(link, **words):
    return {"link": link.pk, "once": "one tap", "letter": "", "kind": "comment", **words}


def mark(row, link, **changes):
    shown = Sheet.objects.get(pk=link.sheet_id).fingerprint
    data = {"name": "Ann Okafor", "typed": "on", "agreed": "on", "shown": shown, "link": link.pk}
    return {key: value for key, value in {**data, **changes}.items() if value is not None}


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


# --- the shop's side ---


def test_designs_are_sent_from_the_overview_by_mail(rosa, as_rosa):
    row = three_designs(rosa)
    send = reverse("consult:send", args=[row.pk])
    data = {
        **keys(row, once="k"),
        "what": "designs",
        "letters": ["A", "C"],
        "words": "Look!",
        "to": "ann@example.org",
    }
    for _ in range(2):
        assert as_rosa.post(send, data).status_code == 302
    message = row.messages.get(kind="designs_to_choose")
    assert "Look!" in message.text
    link = PrivateLink.objects.get()
    assert (link.to, remarks.offered_in(link.designs).letters()) == ("ann@example.org", ("A", "C"))
    page = as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    assert ">sent</span>" in page
    as_rosa.post(reverse("consult:revoke_link", args=[row.pk]), {"link": link.pk})
    link.refresh_from_db()
    assert links.standing(link) is links.Standing.REVOKED
    assert (
        ">revoked</span>"
        in as_rosa.get(reverse("consult:overview", args=[row.pk])).content.decode()
    )


def test_without_an_address_the_link_is_shown_this_once(rosa, as_rosa):
    row = three_designs(rosa)
    send = reverse("consult:send", args=[row.pk])
    data = {**keys(row, once="k"), "what": "designs", "letters": ["A"], "to": ""}
    page = as_rosa.post(send, data)
    path = re.search(r"/for-you/[\w-]{43}/", page.content.decode())[0]
    assert 'class="qr"' in page.content.decode()
    assert "no-store" in page["Cache-Control"]
    assert Client().get(path).status_code == 303
    again = as_rosa.post(send, data)
    assert (again.status_code, PrivateLink.objects.count()) == (302, 1)
    assert path not in as_rosa.get(again["Location"]).content.decode()


@pytest.mark.parametrize(
    ("what", "says"),
    [
        ("sheet", "make the sheet first"),
        ("pay", "Nothing is signed yet"),
        ("designs", "Tick at least one design"),
        ("nothing", "Say what is to be sent"),
    ],
)
def test_what_cannot_be_sent_yet_is_said(what, says, rosa, as_rosa):
    row = make_consultation(rosa)
    send = reverse("consult:send", args=[row.pk])
    answer = as_rosa.post(send, {**keys(row), "what": what, "to": "ann@example.org"}, follow=True)
    assert says in answer.content.decode()
    assert not PrivateLink.objects.exists()
    assert not row.messages.exists()


def test_another_consultations_link_or_remark_is_not_touched(rosa, as_rosa):
    row, other = three_designs(rosa), make_consultation(rosa, client_name="Quilla Marsh")
    browser = opened(designs_sent(row, rosa)[1])
    link = PrivateLink.objects.get()
    browser.post(DESIGNS, said(link, words="Lovely"))
    as_rosa.post(reverse("consult:revoke_link", args=[other.pk]), {"link": link.pk})
    as_rosa.post(
        reverse("consult:settle_remark", args=[other.pk]), {"remark": Remark.objects.get().pk}
    )
    link.refresh_from_db()
    assert link.revoked_at is None
    assert Remark.objects.get().settled_at is None


def test_a_sheet_is_not_sent_twice_for_one_tap(rosa, as_rosa):
    row = quoted(rosa)
    send = reverse("consult:send", args=[row.pk])
    data = {**keys(row, once="k"), "what": "sheet", "to": "ann@example.org"}
    assert [as_rosa.post(send, data).status_code for _ in range(2)] == [302, 302]
    assert row.messages.filter(kind="sheet_to_sign").count() == 1
    assert PrivateLink.objects.filter(purpose=Purpose.SHEET).count() == 1
