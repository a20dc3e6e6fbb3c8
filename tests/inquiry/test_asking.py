"""From an empty page to the desk: what is asked, what is kept, what the shop and the client get."""

from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.core.design import HandOver, How
from consult.core.inquiring import brief_asked, price_range
from consult.models import Consultation, Inquiry, InquiryDraft, Message
from shop.actions.setup import change_shop, close_days
from shop.core.money import Money
from shop.models import current_book, current_shop
from tests.consultations import a_saturday, keys, make_consultation
from tests.inquiry.asking import URL, answers, errors_in, send
from tests.steps.test_photos import picture

pytestmark = pytest.mark.django_db


def page_of(answer):
    return unescape(answer.content.decode())


def range_now(**changes):
    """What the core itself says of the inquiry in `answers`."""
    book, said = current_book(), answers(**changes)
    away = HandOver(How.DELIVERY, None, 12) if said["hand_over_how"] == "delivery" else HandOver()
    brief = brief_asked(int(said["guests"]), said["slice"], away, a_saturday(), book)
    return price_range(brief, book, timezone.localdate())


def test_an_inquiry_reaches_the_shop_with_everything_filled_in(cyril):
    cyril.post(URL, {**answers(), "photos": [picture(), picture("#2F6F4F")]})
    answer = send(cyril)
    assert (answer.status_code, answer["Location"]) == (303, "/inquire/sent/")
    row = Consultation.objects.get()
    assert (row.state, row.opened_by, row.client_name) == ("inquiry", None, "Ann Okafor")
    assert (row.client_email, row.client_phone) == ("ann@example.org", "555-0199")
    assert (row.occasion, row.event_on, row.guests) == ("silver wedding", a_saturday(), 70)
    assert (row.hand_over_how, row.distance_km) == ("delivery", 12)
    assert row.place == "The old boathouse, Marsh End"
    assert (row.avoid, row.budget_minor) == (["hazelnut", "sesame"], 60_000)
    assert row.notes.splitlines() == ["Apricot and honey.", "Wild flowers down one side."]
    photos = list(row.photos.all())
    assert len(photos) == 2
    assert all(photo.swatches for photo in photos)
    entry = row.record.get()
    assert (entry.what, entry.says) == ("inquiry", "Inquiry from the client")
    assert "Ann Okafor" in entry.who_words
    assert not InquiryDraft.objects.exists()


def test_the_range_shown_and_kept_is_the_cores_own(cyril):
    prices = range_now()
    cyril.post(URL, answers())
    page = page_of(cyril.get(URL))
    assert prices.least.written() in page
    assert prices.most.written() in page
    for line in (*prices.plainest.lines, *prices.decorated.lines):
        assert line.what in page
        assert line.amount.written() in page
    send(cyril)
    kept = Inquiry.objects.get()
    assert Money(kept.price_from_minor, kept.currency) == prices.least
    assert Money(kept.price_to_minor, kept.currency) == prices.most


def test_both_sides_get_their_message(cyril):
    send(cyril)
    prices = range_now()
    copy, came = (Message.objects.get(kind=kind) for kind in ("inquiry_copy", "inquiry_came"))
    assert (copy.to, came.to) == ("ann@example.org", "hello@hollin.example")
    number = Consultation.objects.get().number
    for words in (number, "Apricot and honey.", prices.least.written(), prices.most.written()):
        assert words in copy.text
    assert "We keep what you write here" in copy.text
    assert "hazelnut" not in came.subject + copy.subject
    assert f"/consultations/{Consultation.objects.get().pk}/" in came.text


def test_thanks_show_the_number_and_a_reload_sends_nothing_again(cyril):
    send(cyril)
    for _ in range(2):
        page = page_of(cyril.get("/inquire/sent/"))
        assert Consultation.objects.get().number in page
        assert "ann@example.org" in page
    assert Message.objects.count() == 2


def test_a_double_tap_makes_one(cyril):
    said = answers()
    cyril.post(URL, said)
    token = cyril.cookies["inquiry"].value
    for _ in range(2):  # the second tap left before the first was answered
        cyril.cookies["inquiry"] = token
        answer = cyril.post(URL, {**said, "send": "yes"})
        assert (answer.status_code, answer["Location"]) == (303, "/inquire/sent/")
    assert Consultation.objects.count() == 1
    assert not InquiryDraft.objects.exists()
    assert send(cyril, once="key-2").status_code == 303
    assert Consultation.objects.count() == 2


def test_what_is_missing_is_said_beside_its_field_and_nothing_is_lost(cyril):
    answer = cyril.post(
        URL,
        {"wishes": "Plum & <b>sloe</b>", "guests": "lots", "budget": "much", "client_email": "ann@",
         "hand_over_how": "delivery", "avoid": ["egg"], "send": "yes"},
    )  # fmt: skip
    assert answer.status_code == 422
    wrong = {"occasion", "guests", "event_on", "place", "client_name", "client_email", "budget"}
    assert errors_in(answer) == wrong
    page = answer.content.decode()
    assert "Plum &amp; &lt;b&gt;sloe&lt;/b&gt;" in page
    assert 'value="lots"' in page
    assert 'value="egg" checked' in page or "checked" in page.split('value="egg"')[1][:60]
    assert not Consultation.objects.exists()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"guests": "0"}, "guests"),
        ({"guests": "2001"}, "guests"),
        ({"event_on": "2020-01-01"}, "event_on"),
        ({"event_on": "31 June 2031"}, "event_on"),
        ({"distance_km": "9999"}, "distance_km"),
        ({"budget": "-5"}, "budget"),
        ({"client_email": "ann at example"}, "client_email"),
        ({"wishes": "x" * 3_001}, "wishes"),
        ({"avoid": ["gravel"]}, "avoid"),
        ({"slice": "slab"}, "slice"),
    ],
)
def test_each_answer_that_cannot_be_is_refused_by_its_field(cyril, changes, field):
    answer = send(cyril, **changes)
    assert answer.status_code == 422
    assert errors_in(answer) == {field}


def test_a_budget_is_placed_in_the_range(cyril):
    prices = range_now()
    for budget, words in (
        (prices.least, "lies between the two"),
        (Money(prices.least.minor - 1, "USD"), "not even the plainest"),
        (Money(prices.most.minor + 1, "USD"), "room for more"),
    ):
        cyril.post(URL, answers(budget=str(budget)))
        assert words in page_of(cyril.get(URL))


# --- the days ---


def test_days_are_told_apart_in_words_and_a_free_one_fills_the_date(cyril):
    saturday = a_saturday()
    closed = saturday - timedelta(days=1)
    close_days(closed, last=closed)
    cyril.post(URL, answers(event_on=""))
    month = f"{saturday:%Y-%m}"
    turned = cyril.post(URL, {**answers(event_on=""), "month": month})
    assert turned["Location"] == f"/inquire/?month={month}#day"
    page = cyril.get(f"/inquire/?month={month}").content.decode()
    assert f'value="{saturday.isoformat()}" id="day-{saturday.isoformat()}"' in page
    if closed.month == saturday.month:
        assert f"<b>{closed.day}</b><small>closed</small>" in page
    picked = cyril.post(URL, {**answers(event_on=""), "pick": saturday.isoformat()})
    assert picked["Location"] == "/inquire/#day"
    page = cyril.get(URL).content.decode()
    assert f'value="{saturday.isoformat()}"' in page.split('name="event_on"')[1][:40]
    assert ": free</span>" in page
    assert "<small>chosen</small>" in page


def test_the_soonest_days_are_too_soon(cyril):
    change_shop(current_shop(), least_notice_days=60)
    page = cyril.get(f"/inquire/?month={timezone.localdate() + timedelta(days=31):%Y-%m}")
    assert b"<small>too soon</small>" in page.content


# --- the shop's side ---


def test_new_inquiries_stand_first_on_the_desk_with_a_chip(rosa, as_rosa, cyril):
    send(cyril)
    Consultation.objects.update(changed_at=timezone.now() - timedelta(days=3))
    make_consultation(rosa, client_name="Quilla Marsh")
    page = as_rosa.get("/").content.decode()
    assert page.index("Ann Okafor") < page.index("Quilla Marsh")
    assert page.count("new inquiry") == 1


def test_the_shop_reads_it_and_takes_it_up(as_rosa, cyril):
    cyril.post(URL, {**answers(), "photos": [picture()]})
    send(cyril)
    row = Consultation.objects.get()
    page = page_of(as_rosa.get(reverse("consult:overview", args=[row.pk])))
    prices = range_now()
    for words in ("Apricot and honey.", "hazelnut, sesame", prices.least.written(), "555-0199"):
        assert words in page
    assert row.photos.get().thumbnail_sha256 in page
    url = reverse("consult:answer_inquiry", args=[row.pk])
    assert as_rosa.post(url, {**keys(row), "take_up": "yes"}).status_code == 302
    row.refresh_from_db()
    assert row.state == "consultation"
    assert "The inquiry it came from" in page_of(as_rosa.get(f"/consultations/{row.pk}/"))
    for step in ("event", "servings", "tiers", "photos"):
        assert as_rosa.get(reverse(f"consult:{step}", args=[row.pk])).status_code == 200


@pytest.mark.parametrize("tell", [True, False])
def test_the_shop_declines_in_words(as_rosa, cyril, tell):
    send(cyril)
    row = Consultation.objects.get()
    said = {**keys(row), "decline": "yes", "why": "We are away that week.", "once": "no-1"}
    url = reverse("consult:answer_inquiry", args=[row.pk])
    for _ in range(2):
        as_rosa.post(url, {**said, **({"tell": "yes"} if tell else {})})
    row.refresh_from_db()
    assert row.state == "declined"
    assert row.record.last().says == "Declined: We are away that week."
    told = [message.text for message in Message.objects.filter(kind="inquiry_declined")]
    assert len(told) == tell
    assert all("We are away that week." in text for text in told)


def test_a_shop_that_takes_none_says_so_and_keeps_nothing(cyril):
    change_shop(current_shop(), takes_inquiries=False)
    assert b"555-0142" in cyril.get(URL).content
    assert send(cyril).status_code == 409
    assert not Consultation.objects.exists()
    assert not InquiryDraft.objects.exists()


def test_what_is_told_of_the_data_is_the_owners_and_kept_with_the_inquiry(cyril, as_rosa):
    assert b"erase all of it after 12 months" in cyril.get(URL).content
    page = as_rosa.get("/shop/inquiries/").content
    assert b"Starting text, not legal advice" in page
    words = "We at {shop} keep this for {months}. Ask: {contact}."
    said = {
        "takes_inquiries": "on",
        "inquiry_words": "Hello",
        "inquiry_kept_months": "6",
        "data_words": words,
    }
    assert as_rosa.post("/shop/inquiries/", said).status_code == 302
    told = f"We at {current_shop().name} keep this for 6 months. Ask: hello@hollin.example or 555-0142."
    assert told in page_of(cyril.get(URL))
    send(cyril)
    assert Inquiry.objects.get().told == told
    assert b"Starting text" not in as_rosa.get("/shop/inquiries/").content
