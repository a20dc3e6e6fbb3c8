"""A birthday for 25 that the client collects, agreed on a phone: nothing runs over the edge, a typed name signs."""

import re

import pytest

from consult.actions.sheets import sheet_value
from consult.finding import consultation_at_hand
from consult.models import DepositAsked, Sheet, Signature
from tests.consultations import a_saturday
from tests.journeys.counter import (
    being_kept,
    cards,
    choose,
    figure,
    lead_on,
    log_in,
    named,
    open_consultation,
    paper,
    runs_over,
    say_event,
    say_servings,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_birthday_for_25_is_agreed_on_a_phone(open_page):
    page = open_page("phone", device_scale_factor=3)
    log_in(page)
    assert runs_over(page) == 0
    pk = open_consultation(page)
    say_event(
        page,
        client="Iris Vandermeer",
        phone="555-0177",
        occasion="birthday",
        on=a_saturday(),
        at="10:30",
    )
    on_to(page, "servings")
    say_servings(page, guests=25)
    on_to(page, "tiers")
    with being_kept(page):
        cards(page, "Lowest price").click()
    the_bar_opens_to_the_cake_so_far(page)
    on_to(page, "flavours")
    named(page, "flavour_0").select_option("carrot-walnut")
    named(page, "filling_0").select_option("cream-cheese-icing")
    on_to(page, "finishes")
    named(page, "finish_0").select_option("rustic-buttercream")
    choose(page, "colour_0", "lemon")
    on_to(page, "decorations")
    with being_kept(page):
        page.get_by_role("button", name="Piped lettering, a line").click()
    named(page, "note_0").fill("Iris is nine")
    on_to(page, "photos")
    on_to(page, "sheet")
    total, deposit = figure(page, "Total"), figure(page, "Deposit to hold the date")
    page.get_by_role("button", name="Make the sheet for signing").click()
    page.wait_for_url("**/signing/")
    assert runs_over(page) == 0

    page.get_by_label("Your full name").fill("Paul Vandermeer")
    named(page, "typed").check()
    named(page, "agreed").check()
    page.get_by_role("button", name="Order with obligation to pay").click()
    page.get_by_text("Signed by Paul Vandermeer").wait_for()
    assert runs_over(page) == 0
    page.get_by_role("link", name="Next: deposit").click()
    page.get_by_role("button", name="Ask for the deposit").click()
    page.get_by_role("heading", name="Note the deposit").wait_for()
    assert runs_over(page) == 0

    sheet = sheet_value(Sheet.objects.get())
    locale = consultation_at_hand(pk).book.identity.locale
    asked = paper(page, "The deposit request as PDF")
    assert (sheet.total.written(locale), sheet.deposit.written(locale)) == (total, deposit)
    assert sheet.guests == 25
    assert sheet.servings >= 25
    assert {"wheat", "egg", "milk", "walnut"} <= set(sheet.contains)
    assert [(d.name, d.note) for d in sheet.decorations] == [
        ("Piped lettering, a line", "Iris is nine")
    ]
    assert Signature.objects.get().how == "typed at the counter"
    assert Signature.objects.get().strokes == []
    assert DepositAsked.objects.get().reference in asked.replace(" ", "")
    for words in (total, deposit, "Iris Vandermeer"):
        assert words in asked
    assert page.complaints == []


def on_to(page, step):
    """The step fits the phone, and so does the next one."""
    assert runs_over(page) == 0, page.url
    lead_on(page, step)
    assert runs_over(page) == 0, page.url


def the_bar_opens_to_the_cake_so_far(page):
    bar = page.locator("summary").filter(has_text=re.compile(r"\d+ of 25 servings"))
    box = bar.bounding_box()
    assert box["y"] + box["height"] == pytest.approx(844, abs=1), "it lies along the foot"
    heading = page.get_by_role("heading", name="The cake so far")
    assert not heading.is_visible()
    bar.tap()
    heading.wait_for()
    assert page.get_by_text("Bench hours").first.is_visible()
    assert runs_over(page) == 0
    bar.tap()
    heading.wait_for(state="hidden")
