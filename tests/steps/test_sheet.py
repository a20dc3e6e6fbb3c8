"""Step sheet: everything on one page, then the sheet for signing."""

from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.actions.sheets import sheet_value
from consult.core.design import Design
from consult.core.signing import fingerprint
from consult.models import Sheet, State
from tests.consultations import keys, make_consultation, make_edition
from tests.makers import make_book, usd
from tests.papers import words_of

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:sheet", args=[row.pk])


def test_what_is_still_open_is_listed_with_the_way_there(rosa, as_rosa):
    row = make_consultation(rosa, design=Design(), client_name="")
    html = as_rosa.get(url(row)).content.decode()
    assert "Make the sheet for signing" not in html
    assert "name is missing" in html
    assert f'href="{reverse("consult:tiers", args=[row.pk])}"' in html


def test_a_stack_that_feeds_too_few_makes_no_sheet(rosa, as_rosa):
    row = make_consultation(rosa, guests=400)
    answer = as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    assert answer.status_code == 422
    assert not Sheet.objects.exists()


def test_the_sheet_is_made_and_quoted_and_says_the_same_on_page_and_paper(rosa, as_rosa):
    row = make_consultation(rosa)
    page = as_rosa.get(url(row))
    total = page.context["sheet"].total.written()
    assert total in page.content.decode()
    answer = as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    assert answer["Location"] == reverse("consult:signing", args=[row.pk])
    row.refresh_from_db()
    made = Sheet.objects.get()
    assert row.state == State.QUOTED
    assert made.of_revision == row.revision
    paper = as_rosa.get(reverse("consult:design_sheet", args=[row.pk, 1]))
    words = words_of(paper.content)
    assert paper["Content-Type"] == "application/pdf"
    for said in (total, "Ann Okafor", "revision 1", made.fingerprint[:4].upper()):
        assert said.lower() in words.lower()


def test_the_kept_sheet_is_the_value_its_fingerprint_is_of(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    made = Sheet.objects.get()
    assert fingerprint(sheet_value(made)) == made.fingerprint


def test_a_change_after_the_sheet_was_made_asks_for_a_new_one(rosa, as_rosa):
    row = make_consultation(rosa)
    as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    row.refresh_from_db()
    as_rosa.post(
        reverse("consult:servings", args=[row.pk]),
        {"guests": "79", "slice": "dessert", "eating_percent": "100", **keys(row)},
    )
    signing = as_rosa.get(reverse("consult:signing", args=[row.pk])).content.decode()
    assert "Make the sheet first" in signing
    row.refresh_from_db()
    as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    assert [sheet.revision for sheet in Sheet.objects.all()] == [1, 2]


def test_a_price_changed_later_changes_nothing_that_was_quoted(rosa, as_rosa):
    row = make_consultation(rosa)
    before = as_rosa.get(url(row)).context["sheet"].total
    make_edition(make_book(price_per_serving=usd(99)))
    assert as_rosa.get(url(row)).context["sheet"].total == before


def test_a_cake_nobody_can_be_reached_for_makes_no_sheet(rosa, as_rosa):
    row = make_consultation(rosa, client_email="", client_phone="")
    answer = as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    assert answer.status_code == 422
    assert "phone number or an e-mail address" in answer.content.decode()
    assert not Sheet.objects.exists()


def test_notice_shorter_than_the_shop_takes_makes_no_sheet(rosa, as_rosa):
    row = make_consultation(rosa, on=timezone.localdate())
    answer = as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    assert answer.status_code == 422
    assert "too soon" in answer.content.decode()
    assert not Sheet.objects.exists()


def test_a_date_that_does_not_hold_is_taken_only_with_a_reason_on_the_record(rosa, as_rosa):
    book = make_book()
    shut = replace(book.policies.hours, bench_minutes=(1,) * 7)
    row = make_consultation(rosa, book=replace(book, policies=replace(book.policies, hours=shut)))
    answer = as_rosa.post(url(row), {"lead_on": "yes", **keys(row)})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "Say why" in html[html.index('id="id_despite_error"') :][:200]
    assert not Sheet.objects.exists()
    answer = as_rosa.post(
        url(row), {"lead_on": "yes", "despite": "Ben comes in on his day off", **keys(row)}
    )
    assert answer.status_code == 302
    assert row.record.filter(says__contains="Ben comes in on his day off").exists()


def test_what_no_font_can_print_is_said_before_signing(rosa, as_rosa):
    row = make_consultation(rosa, client_name="Enheduanna 𒂗𒃶", notes="Call \U00013000 first")
    html = as_rosa.get(url(row)).content.decode()
    assert "The client&#x27;s name holds 𒂗 𒃶, which no font here can print" in html
    assert "A note holds \U00013000, which no font" in html
    assert html.index("no font here can print") < html.index('class="sheet-read"')


def test_names_that_can_be_printed_are_not_warned_of(rosa, as_rosa):
    row = make_consultation(rosa, client_name="مريم Okafor 李")
    html = as_rosa.get(url(row)).content.decode()
    assert "no font here can print" not in html
    assert "<bdi>مريم Okafor 李</bdi>" in html
