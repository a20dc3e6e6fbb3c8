"""A blocked or broken script stops nobody: from the first word to the deposit request with plain forms alone."""

import pytest

from consult.actions.sheets import sheet_value
from consult.models import Consultation, DepositAsked, Sheet, Signature, State
from tests.consultations import a_saturday
from tests.journeys.counter import (
    cards,
    choose,
    lead_on,
    log_in,
    named,
    open_consultation,
    paper,
    say_event,
    say_servings,
    tiers_on,
)
from tests.pictures import cake, written

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_anniversary_is_agreed_and_signed_without_script(open_page):
    page = open_page("tablet", java_script_enabled=False)
    log_in(page)
    open_consultation(page)
    say_event(
        page,
        client="Ada and Tom Pellerin",
        email="ada@example.org",
        occasion="anniversary",
        on=a_saturday(),
        free_of=["peanut"],
        notes="Forty years.",
    )
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text("Saved.").wait_for()
    lead_on(page, "servings")
    say_servings(page, guests=60)
    lead_on(page, "tiers")

    cards(page, "Closest fit").click()
    cards(page, "chosen").wait_for()
    top = tiers_on(page) - 1
    named(page, f"height_{top}").select_option(label="5 in")
    page.get_by_role("button", name="Keep this stack").click()
    page.get_by_text("Saved.").wait_for()
    lead_on(page, "flavours")
    named(page, "flavour_0").select_option("red-velvet")
    named(page, "filling_0").select_option("dark-ganache")
    page.get_by_role("button", name="All tiers like the base").click()
    page.get_by_text("Saved.").wait_for()
    lead_on(page, "finishes")
    choose(page, "colour_0", "sage")
    lead_on(page, "decorations")
    page.get_by_role("button", name="Piped buttercream rose").click()
    named(page, "count_0").fill("12")
    lead_on(page, "photos")
    page.get_by_label("Pictures from this device").set_input_files(
        {"name": "then.png", "mimeType": "image/png", "buffer": written(cake(), "PNG")}
    )
    page.get_by_role("button", name="Add the pictures").click()
    page.get_by_label("Caption").fill("Forty years ago")
    lead_on(page, "sheet")
    page.get_by_role("button", name="Make the sheet for signing").click()

    page.get_by_label("Your full name").fill("Ada Pellerin")
    named(page, "typed").check()
    named(page, "agreed").check()
    page.get_by_role("button", name="Order with obligation to pay").click()
    page.get_by_role("link", name="Next: deposit").click()
    page.get_by_role("button", name="Ask for the deposit").click()
    asked = paper(page, "The deposit request as PDF")

    sheet = sheet_value(Sheet.objects.get())
    assert (sheet.client_name, sheet.guests, sheet.notes) == (
        "Ada and Tom Pellerin", 60, "Forty years.",
    )  # fmt: skip
    assert {tier.cake for tier in sheet.tiers} == {"Red velvet, Dark chocolate ganache"}
    assert sheet.tiers[top].height == "5 in"
    assert sheet.tiers[0].finish.endswith(", sage")
    assert [(d.name, d.count) for d in sheet.decorations] == [("Piped buttercream rose", 12)]
    assert [photo.caption for photo in sheet.photos] == ["Forty years ago"]
    assert "peanut" in sheet.avoid_words
    assert (Signature.objects.get().name, Signature.objects.get().strokes) == ("Ada Pellerin", [])
    assert Consultation.objects.get().state == State.SIGNED
    assert DepositAsked.objects.get().reference in asked.replace(" ", "")
    assert page.complaints == []
