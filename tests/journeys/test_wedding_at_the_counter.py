"""A wedding for 150, from the first word at the counter to the confirmed order: one story on a tablet."""

import re

import pytest

from consult.actions.sheets import sheet_value
from consult.core.palette import name_of
from consult.finding import consultation_at_hand
from consult.models import BenchDay, Sheet, Signature, State
from shop.core.measures import minutes_written
from tests.consultations import a_saturday
from tests.journeys.counter import (
    BEN,
    being_kept,
    beside,
    cards,
    choose,
    draw_signature,
    figure,
    lead_on,
    log_in,
    named,
    open_consultation,
    paper,
    say_event,
    say_servings,
    servings_so_far,
    tiers_on,
    turn_to,
)
from tests.pictures import ROSE, cake, written

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

CLIENTS = "Mara Lindqvist and Joel Adeyemi"
NOTES = "Ivory cloth on the table. The band plays until ten."


def test_wedding_for_150_is_agreed_signed_and_confirmed(open_page):
    page = open_page("tablet")
    log_in(page, BEN)
    pk = open_consultation(page)
    design_the_cake(page)
    on_page = read_the_sheet(page, pk)
    sign_in_the_clients_hands(page)
    take_the_tablet_back(page)
    ask_for_the_deposit(page, on_page)
    the_same_on_page_in_the_row_and_on_paper(page, pk, on_page)
    assert page.complaints == []


def design_the_cake(page):
    say_event(
        page,
        client=CLIENTS,
        email="mara@example.org",
        occasion="wedding",
        on=a_saturday(),
        at="15:30",
        delivered_km=12,
        venue="The old boathouse, Alder Ferry",
        free_of=["peanut"],
        notes=NOTES,
    )
    lead_on(page, "servings")
    say_servings(page, guests=150)
    lead_on(page, "tiers")

    assert cards(page).count() >= 3
    with being_kept(page):
        cards(page, "Closest fit").click()
    assert cards(page, "chosen").count() == 1
    servings = servings_so_far(page)
    with being_kept(page):
        named(page, f"height_{tiers_on(page) - 1}").select_option(label="6 in")
    assert servings_so_far(page) >= servings
    lead_on(page, "flavours")

    named(page, "flavour_0").select_option("hazelnut-brown-butter")
    named(page, "filling_0").select_option("fig-jam")
    named(page, "flavour_1").select_option("lemon-poppy-seed")
    named(page, "filling_1").select_option("raspberry-jam")
    lead_on(page, "finishes")

    named(page, "finish_0").select_option("white-fondant")
    choose(page, "colour_0", "pale sage")
    named(page, "finish_1").select_option("combed-buttercream")
    choose(page, "colour_1", "ivory")
    lead_on(page, "decorations")

    with being_kept(page):
        page.get_by_role("button", name="Sugar rose, wired").click()
    with being_kept(page):
        page.get_by_role("button", name="Pearl border, royal icing").click()
    named(page, "count_0").fill("5")
    named(page, "note_0").fill("in a crescent at the front")
    named(page, "tier_1").select_option(label="the whole cake")
    lead_on(page, "photos")

    with being_kept(page):
        page.get_by_label("Pictures from this device").set_input_files(
            {
                "name": "invitation.jpg",
                "mimeType": "image/jpeg",
                "buffer": written(cake(), "JPEG", quality=95),
            }
        )
    rose = name_of("#{:02x}{:02x}{:02x}".format(*ROSE))
    with being_kept(page):
        colours = page.get_by_role("group", name="Colours in this picture")
        colours.get_by_role("button", name=rose, exact=True).click()
    assert colours.get_by_role("button", name=f"{rose}, on the cake").is_visible()
    page.get_by_label("Caption").fill("Their invitation")
    lead_on(page, "sheet")

    turn_to(page, "finishes")
    with being_kept(page):
        choose(page, "colour_2", rose)
    turn_to(page, "sheet")


def read_the_sheet(page, pk):
    """What the client is shown; the hours stand beside it and are the shop's own."""
    at = consultation_at_hand(pk)
    assert beside(page, "Bench hours") == minutes_written(at.reckoning.work.hands_on)
    read = page.get_by_role("main").inner_text()
    on_page = {
        "total": figure(page, "Total"),
        "deposit": figure(page, "Deposit to hold the date"),
        "balance": figure(page, "Balance"),
        "read": read,
    }
    assert on_page["total"] == beside(page, "Quote")
    assert on_page["deposit"] == beside(page, "Deposit to hold the date")
    for words in (CLIENTS, "old boathouse", "Hazelnut and brown butter", "Fig jam", NOTES):
        assert words in read
    assert minutes_written(at.reckoning.work.hands_on) not in read
    page.get_by_role("button", name="Make the sheet for signing").click()
    page.wait_for_url("**/signing/")
    return on_page


def sign_in_the_clients_hands(page):
    page.get_by_role("button", name="Hand over to client").click()
    page.get_by_role("heading", name="Your design sheet").wait_for()
    assert page.get_by_role("navigation").count() == 0
    page.get_by_label("Your full name").fill("Mara Lindqvist")
    draw_signature(page)
    named(page, "agreed").check()
    page.get_by_role("button", name="Order with obligation to pay").click()
    page.get_by_text("Thank you. Please hand the tablet back.").wait_for()


def take_the_tablet_back(page):
    page.goto("/")
    assert page.url.endswith("/signing/"), "the desk is shut while the client has the tablet"
    page.get_by_role("link", name="Back to the shop").click()
    page.get_by_label("Password").fill(BEN.password)
    page.get_by_role("button", name="Take the tablet back").click()
    page.get_by_role("link", name="Next: deposit").click()
    page.wait_for_url("**/deposit/")


def ask_for_the_deposit(page, on_page):
    page.get_by_role("button", name="Ask for the deposit").click()
    page.get_by_role("heading", name="Note the deposit").wait_for()
    assert on_page["deposit"] in page.get_by_role("main").inner_text()
    page.get_by_label("By", exact=True).select_option("card in the shop")
    with being_kept(page):
        page.get_by_role("button", name="Mark as received").click()
    page.get_by_text("the order is confirmed").wait_for()
    assert figure(page, "Received so far") == on_page["deposit"]


def the_same_on_page_in_the_row_and_on_paper(page, pk, on_page):
    at = consultation_at_hand(pk)
    kept = Sheet.objects.get(consultation=at.row)
    sheet, locale = sheet_value(kept), at.book.identity.locale
    asked = paper(page, "The deposit request as PDF")
    turn_to(page, "signing")
    signed = paper(page, "The signed sheet as PDF")
    read = page.get_by_role("main").inner_text()

    assert at.row.state == State.CONFIRMED
    assert Signature.objects.get().name == "Mara Lindqvist"
    # The talk with the client is work too, but it is done before the bench is booked.
    talk = next(task for task in at.reckoning.work.tasks if task.what.startswith("Consultation"))
    booked = sum(day.minutes for day in BenchDay.objects.all())
    assert booked == at.reckoning.work.hands_on - talk.hands_on
    for amount, key in (
        (sheet.total, "total"),
        (sheet.deposit, "deposit"),
        (sheet.balance, "balance"),
    ):
        assert amount.written(locale) == on_page[key]
        assert on_page[key] in signed
        assert on_page[key] in asked
    assert sheet.guests == 150
    assert sheet.servings >= sheet.need >= 150
    assert {"egg", "milk", "wheat"} < set(sheet.contains)
    for paper_or_page in (read, signed):
        assert sheet.need_why in paper_or_page
        assert re.search(rf"\b{sheet.servings}\b", paper_or_page)
        for words in (
            CLIENTS, "Mara Lindqvist", "Ben Tollak", NOTES, "Their invitation",
            "in a crescent at the front", ", ".join(sheet.contains), ", ".join(sheet.may_contain),
            sheet.avoid_words, *(tier.cake for tier in sheet.tiers), *(tier.finish for tier in sheet.tiers),
        ):  # fmt: skip
            assert words in paper_or_page, words
    assert [tier.finish.rsplit(", ", 1)[-1] for tier in sheet.tiers[:3]] == [
        "pale sage", "ivory", name_of("#{:02x}{:02x}{:02x}".format(*ROSE)),
    ]  # fmt: skip
    assert minutes_written(at.reckoning.work.hands_on) not in signed
    assert CLIENTS in asked
    assert kept.deposit.reference in asked.replace(" ", "")
