"""Bots, floods, strangers, photos that are none, drafts: what keeps an inquiry safe, and the shop from it."""

import io
import logging
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.utils import timezone

from consult import store
from consult.actions import inquiries, sweeping
from consult.inquiry import reckoned
from consult.models import Consultation, Entry, Inquiry, InquiryDraft, Message, Photo, Tally
from consult.photos import MOST_BYTES
from shop.models.sealed import SealedRow
from tests.inquiry.asking import URL, answers, errors_in, send, stamped
from tests.steps.test_photos import picture
from tests.trust.test_words import Harmless
from tests.trust.together import together
from tests.trust.words import NAUGHTY, WITH_NUL

pytestmark = pytest.mark.django_db


# --- who is not let through ---


def test_a_field_that_people_do_not_see_must_stay_empty(cyril):
    answer = send(cyril, website="https://example.org")
    assert answer.status_code == 422
    assert not Consultation.objects.exists()
    assert not InquiryDraft.objects.exists()


@pytest.mark.parametrize("stamp", ["", "forged", 1, 49 * 60 * 60])
def test_a_page_that_was_not_open_for_some_seconds_is_asked_to_look_again(cyril, stamp):
    answer = send(cyril, opened=stamped(stamp) if isinstance(stamp, int) else stamp)
    assert answer.status_code == 422
    assert b"Please look it over and send it again" in answer.content
    assert b"Apricot and honey." in answer.content
    assert not Consultation.objects.exists()


def test_a_form_from_elsewhere_is_refused(cyril):
    browser = Client(enforce_csrf_checks=True)
    assert browser.post(URL, {**answers(), "send": "yes"}).status_code == 403
    assert not InquiryDraft.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_of_thirty_at_once_from_one_place_exactly_ten_pass():
    page = answers()

    def ask(number):
        browser = Client()
        said = {**page, "once": f"key-{number}", "client_email": f"a{number}@example.org"}
        return lambda: browser.post(URL, {**said, "send": "yes"}).status_code

    outcomes = together([ask(number) for number in range(30)])
    assert sorted(outcomes) == [303] * inquiries.MOST_OF_ONE + [429] * 20
    assert Consultation.objects.count() == inquiries.MOST_OF_ONE


def test_one_too_many_loses_nothing_and_others_go_on(cyril, monkeypatch):
    monkeypatch.setattr(inquiries, "MOST_OF_ONE", 4)
    for number in range(4):
        assert send(Client(), once=f"k{number}").status_code == 303
    refused = send(cyril, once="last")
    assert refused.status_code == 429
    assert b"Apricot and honey." in refused.content
    elsewhere = Client(REMOTE_ADDR="198.51.100.7")
    assert send(elsewhere, once="other").status_code == 303
    assert Message.objects.filter(kind="inquiry_copy").count() == inquiries.MOST_COPIES
    assert b"No copy goes out" in elsewhere.get("/inquire/sent/").content
    assert all("127.0.0.1" not in tally.key for tally in Tally.objects.all())


def test_a_flood_of_new_sums_is_not_worked_out(cyril, monkeypatch):
    monkeypatch.setattr(reckoned, "MOST_OF_ONE", 3)
    made = []
    for guests in ("31", "32", "33", "31"):
        page = cyril.post(URL, answers(guests=guests), headers={"hx-request": "true"})
        made.append((b"A guide, not a quote" in page.content, page.status_code))
    # the first had its price and its month; the second its price; the fourth is remembered
    assert made == [(True, 200), (True, 200), (False, 200), (True, 200)]
    assert send(cyril, guests="34").status_code == 303
    assert Inquiry.objects.get().price_from_minor is None


def test_a_stranger_sees_no_inquiry_but_their_own(cyril):
    cyril.post(URL, {**answers(), "photos": [picture()]})
    draft = InquiryDraft.objects.get()
    thumbnail = draft.photos[0]["thumbnail"]
    assert cyril.get(f"/inquire/pictures/{thumbnail}.jpg").status_code == 200
    other = Client()
    assert other.get(f"/inquire/pictures/{thumbnail}.jpg").status_code == 404
    assert b"Ann Okafor" not in other.get(URL).content
    send(cyril)
    pk = Consultation.objects.get().pk
    assert other.get("/inquire/sent/")["Location"] == URL
    for browser in (other, cyril):
        assert browser.get(f"/consultations/{pk}/").status_code == 302
        assert "/log-in/" in browser.get(f"/consultations/{pk}/")["Location"]
    assert cyril.get(f"/inquire/pictures/{thumbnail}.jpg").status_code == 404


# --- drafts ---


def test_a_draft_outlives_a_reload_and_is_known_by_a_cookie_no_script_reads(cyril):
    cyril.post(URL, answers(client_name="Ann Okafor"))
    cookie = cyril.cookies["inquiry"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    draft = InquiryDraft.objects.get()
    assert cookie.value not in (draft.token_sha256, str(draft.answers))
    page = cyril.get(URL).content.decode()
    for words in ("Ann Okafor", "Wild flowers down one side.", 'value="70"', "Marsh End"):
        assert words in page
    assert "(optional)" in page
    assert errors_in(cyril.get(URL)) == set()


def test_what_is_half_typed_is_kept_as_typed_and_said_beside_its_field(cyril):
    cyril.post(URL, {"guests": "seventy", "client_email": "ann@"})
    page = cyril.get(URL)
    assert errors_in(page) == {"guests", "client_email"}
    assert b'value="seventy"' in page.content


def test_too_many_drafts_are_not_begun_and_the_page_goes_on(cyril, monkeypatch):
    monkeypatch.setattr("consult.inquiry.drafts.MOST_NEW", 1)
    cyril.post(URL, answers())
    other = Client()
    page = other.post(URL, answers(client_name="Ben Oduya"))
    assert page.status_code == 200
    assert b"Ben Oduya" in page.content
    assert InquiryDraft.objects.count() == 1
    assert send(other).status_code == 303


def test_htmx_gets_the_fields_alone_and_when_they_were_kept(cyril):
    answer = cyril.post(URL, answers(), headers={"hx-request": "true"})
    assert answer.status_code == 200
    assert b"<main" not in answer.content
    assert "Kept " in answer["HX-Trigger"]
    sent = cyril.post(URL, {**answers(), "send": "yes"}, headers={"hx-request": "true"})
    assert (sent.status_code, sent["HX-Redirect"]) == (204, "/inquire/sent/")


def test_a_draft_is_erased_on_request_and_after_two_days(cyril, media):
    cyril.post(URL, {**answers(), "photos": [picture()]})
    cyril.post(URL, {"forget": "yes"})
    assert not InquiryDraft.objects.exists()
    assert not [path for path in media.rglob("*") if path.is_file()]
    cyril.post(URL, {**answers(), "photos": [picture()]})
    assert sweeping.sweep() == (0, 0)
    InquiryDraft.objects.update(changed_at=timezone.now() - timedelta(hours=49))
    assert b"Ann Okafor" not in cyril.get(URL).content
    assert sweeping.sweep() == (1, 0)
    assert not [path for path in media.rglob("*") if path.is_file()]


# --- photos ---


def thirty(number):
    return picture(f"#{number * 30 + 20:02X}6B59", name=f"wish-{number}.png")


def test_the_seventh_photo_is_refused_by_name_and_six_are_kept(cyril):
    answer = cyril.post(URL, {**answers(), "photos": [thirty(number) for number in range(7)]})
    assert answer.status_code == 422
    assert b"wish-6.png: There is room for 6 photos" in answer.content
    assert len(InquiryDraft.objects.get().photos) == 6
    first = InquiryDraft.objects.get().photos[0]["sha256"]
    cyril.post(URL, {**answers(), "take_off": first})
    cyril.post(URL, {**answers(), "camera": [thirty(6)]})
    kept = [photo["sha256"] for photo in InquiryDraft.objects.get().photos]
    assert len(kept) == 6
    assert first not in kept


def test_a_text_named_jpg_is_refused_and_keeps_nothing_else_out(cyril):
    text = SimpleUploadedFile("wish.jpg", b"a cake with figs", content_type="image/jpeg")
    answer = cyril.post(URL, {**answers(), "photos": [text, picture()], "send": "yes"})
    assert answer.status_code == 422
    assert b"wish.jpg: This file is not a picture" in answer.content
    assert b"Apricot and honey." in answer.content
    assert len(InquiryDraft.objects.get().photos) == 1
    assert not Consultation.objects.exists()


def test_sixty_megabytes_are_dropped_as_they_arrive_and_the_words_are_kept(cyril):
    large = SimpleUploadedFile("wall.jpg", b"\xff\xd8\xff" + bytes(60 * 2**20))
    answer = cyril.post(URL, {**answers(), "photos": [large, picture()]})
    assert answer.status_code == 422
    assert f"wall.jpg is larger than the {MOST_BYTES // 2**20} MB".encode() in answer.content
    draft = InquiryDraft.objects.get()
    assert draft.answers["client_name"] == ["Ann Okafor"]
    assert len(draft.photos) == 1


def test_more_files_than_are_read_lose_nothing_that_was_kept(cyril):
    cyril.post(URL, answers())
    files = [io.BytesIO(b"x") for _ in range(14)]
    answer = cyril.post(URL, {**answers(), "photos": files})
    assert answer["Location"] == "/inquire/?too_much=yes"
    page = cyril.get(answer["Location"]).content
    assert b"more than can be sent at once" in page
    assert b"Ann Okafor" in page


# --- what is erased, and what is never written down ---


def test_an_inquiry_that_led_to_nothing_is_erased_with_all_that_hangs_on_it(
    cyril, shop, media, settings
):
    cyril.post(URL, {**answers(), "photos": [picture()]})
    send(cyril)
    row = Consultation.objects.get()
    old = timezone.now() - timedelta(days=30 * shop.inquiry_kept_months + 1)
    assert sweeping.sweep() == (0, 0)
    Consultation.objects.update(changed_at=old, state="consultation")
    assert sweeping.sweep() == (0, 0)  # it was taken up
    Consultation.objects.update(state="declined")
    assert sweeping.sweep() == (0, 1)
    for model in (Consultation, Inquiry, Entry, Photo, Message):
        assert not model.objects.exists()
    assert not [path for path in media.rglob("*") if path.is_file()]
    send(cyril, once="again")
    entry = Entry.objects.get()
    with pytest.raises(SealedRow):
        entry.delete()
    with pytest.raises(Exception, match="written once"), connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {Entry._meta.db_table}")
    assert row.pk


def test_a_picture_that_another_order_shows_is_kept(cyril):
    cyril.post(URL, {**answers(), "photos": [picture()]})
    send(cyril)
    other = Client()
    other.post(URL, {**answers(), "photos": [picture()]})
    other.post(URL, {"forget": "yes"})
    assert store.fetch(Photo.objects.get().sha256)


def test_nothing_of_a_client_is_in_the_log(cyril, caplog, capsys):
    caplog.set_level(logging.INFO)
    send(cyril, opened="")
    send(cyril, guests="x")
    send(cyril)
    cyril.get("/inquire/sent/")
    said = caplog.text + capsys.readouterr().err
    assert "/inquire/" in said  # a refusal is logged, by its address alone
    for words in ("Okafor", "ann@example.org", "boathouse", "555-0199", "Apricot"):
        assert words not in said


TEXTS = ("occasion", "place", "wishes", "client_name", "client_phone")


def test_whatever_is_typed_is_kept_as_typed_or_refused_in_words(cyril, as_rosa, monkeypatch):
    monkeypatch.setattr(inquiries, "MOST_OF_ONE", 10_000)
    monkeypatch.setattr(inquiries, "MOST_OF_ALL", 10_000)
    kept = 0
    for number, word in enumerate([*NAUGHTY[::15], *WITH_NUL]):
        said = dict.fromkeys(TEXTS, word)
        answer = send(cyril, once=f"n{number}", **said)
        if answer.status_code == 422:
            assert Harmless(answer.content.decode()).runs == []
            wrong = errors_in(answer)
            assert wrong, word[:40]
            said |= dict.fromkeys(wrong & set(TEXTS), "fine")
            answer = send(cyril, once=f"m{number}", **said)
        assert answer.status_code == 303, (word[:40], answer.status_code)
        row = Consultation.objects.latest("pk")
        typed = said["occasion"].replace("\0", "").strip()
        assert row.occasion == typed
        kept += 1
        if number % 6 == 0:
            for browser, path in (
                (cyril, "/inquire/sent/"),
                (as_rosa, f"/consultations/{row.pk}/"),
            ):
                assert Harmless(browser.get(path).content.decode()).runs == []
    assert kept > 8
