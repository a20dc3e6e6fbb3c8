"""Whatever is typed wrongly is said beside its field and at the top, and nothing else that was typed is lost."""

import re

import pytest
from playwright.sync_api import expect

from consult.core.design import ChosenDecoration
from consult.models import Consultation, Photo, Signature
from shop.models import Person
from shop.sample_setup import sample_book
from tests.consultations import a_saturday, make_consultation
from tests.journeys.counter import (
    BEN,
    ROSA,
    at_rest,
    being_kept,
    choose,
    named,
    open_consultation,
    say_event,
)
from tests.makers import make_design
from tests.pictures import cake, written

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

REFUSED = "Failed to load resource: the server responded with a status of 422"


@pytest.fixture
def row():
    design = make_design(
        flavour="vanilla-butter-cake",
        filling="fig-jam",
        finish="smooth-buttercream",
        decorations=[ChosenDecoration("piped-rose", 7, 2)],
    )
    return make_consultation(
        Person.objects.get(email=ROSA.email), book=sample_book(), design=design
    )


@pytest.fixture
def page(open_page):
    page = open_page("tablet", person=Person.objects.get(email=BEN.email))
    page.set_default_timeout(8000)
    yield page
    assert [words for words in page.complaints if REFUSED not in words] == []


def on_step(page, row, step):
    page.goto(f"/consultations/{row.pk}/{step}/")


def refused(page, field, says):
    """The sentence stands beside the field, the summary has the focus, and its link leads into the field."""
    summary = page.get_by_role("alert").filter(has_text=says)
    expect(summary).to_be_focused()
    box = page.locator(f"#div_id_{field}")
    assert box.get_by_text(says).is_visible()
    first = named(page, field).first
    assert first.get_attribute("aria-invalid") == "true"
    assert f"id_{field}_error" in first.get_attribute("aria-describedby")
    summary.get_by_role("link", name=says).click()
    expect(first).to_be_focused()


@pytest.mark.parametrize("guests", ["0", "5000", "many"])
def test_guests_out_of_bounds_are_refused_and_the_rest_stays(page, row, guests):
    on_step(page, row, "servings")
    choose(page, "slice", page.locator("label", has_text="Party").inner_text())
    named(page, "spare").fill("6")
    named(page, "guests").fill(guests)
    named(page, "guests").blur()

    refused(page, "guests", "Type a whole number from 1 to 2000.")
    assert named(page, "guests").input_value() == guests
    assert named(page, "spare").input_value() == "6"
    assert page.get_by_role("radio", name=re.compile("Party")).is_checked()
    kept = Consultation.objects.get()
    assert kept.guests == 80
    named(page, "guests").fill("120")
    with being_kept(page):
        named(page, "guests").blur()
    kept.refresh_from_db()
    assert (kept.guests, kept.spare, kept.slice) == (120, 6, "party")
    assert page.get_by_role("alert").count() == 0


def test_day_that_is_past_is_refused_and_the_rest_stays(page, row):
    on_step(page, row, "event")
    page.get_by_label("Venue or address").fill("The old boathouse")
    named(page, "notes").fill("No lilies.")
    page.get_by_label("Date of the event").fill("2020-05-16")
    page.get_by_label("Date of the event").blur()

    refused(page, "event_on", "That day is past. Choose today or a later day.")
    assert named(page, "event_on").input_value() == "2020-05-16"
    assert named(page, "place").input_value() == "The old boathouse"
    assert named(page, "notes").input_value() == "No lilies."
    assert Consultation.objects.get().event_on == a_saturday()


def test_text_named_as_a_picture_is_refused_by_name(page, row):
    on_step(page, row, "photos")
    pictures = page.get_by_label("Pictures from this device")
    with being_kept(page):
        pictures.set_input_files(
            {"name": "cake.png", "mimeType": "image/png", "buffer": written(cake(), "PNG")}
        )
    with being_kept(page):
        page.get_by_label("Caption").fill("Her mother's cake")
        page.get_by_label("Caption").blur()
    pictures.set_input_files(
        {"name": "wish.jpg", "mimeType": "image/jpeg", "buffer": b"a cake with figs"}
    )

    summary = page.get_by_role("alert").filter(has_text="wish.jpg: ")
    expect(summary).to_be_focused()
    assert page.get_by_label("Caption").input_value() == "Her mother's cake"
    assert Photo.objects.count() == 1


def test_missing_signature_is_said_with_all_else_that_is_missing(page, row):
    on_step(page, row, "sheet")
    page.get_by_role("button", name="Make the sheet for signing").click()
    page.get_by_role("button", name="Hand over to client").click()
    page.get_by_label("Your full name").fill("Ann Okafor")
    page.get_by_role("button", name="Order with obligation to pay").click()

    refused(page, "typed", "sign in the box")
    assert page.locator("#div_id_agreed").get_by_text("without it nothing is signed").is_visible()
    assert page.get_by_label("Your full name").input_value() == "Ann Okafor"
    assert page.title().startswith("Error: ")
    assert not Signature.objects.exists()


# --- answers that are on their way ---


def slowed(page, milliseconds):
    """Every answer to what is sent comes back so much later: a slow line in a back room."""

    def pass_on(route):
        if route.request.method == "POST":
            page.wait_for_timeout(milliseconds)
        route.continue_()

    page.route("**/consultations/**", pass_on)


def test_what_is_typed_while_an_answer_is_on_its_way_loses_no_character(page, row):
    words = "Gluten in the base tier is fine; the aunt from Ostend brings her own fork and knife."
    on_step(page, row, "event")
    slowed(page, 700)
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        named(page, "place").fill("The old boathouse")
        named(page, "notes").click()
        page.keyboard.type(words, delay=25)
    assert named(page, "notes").input_value() == words
    expect(named(page, "notes")).to_be_focused()
    page.keyboard.type(" End.")
    at_rest(page)
    named(page, "notes").blur()
    expect(page.get_by_role("status").filter(has_text="Saved")).to_be_visible()
    wait_until(page, lambda: Consultation.objects.get().notes == words + " End.")
    assert Consultation.objects.get().place == "The old boathouse"


def test_what_was_typed_before_the_answer_came_is_sent_without_another_key(page, row):
    on_step(page, row, "event")
    slowed(page, 700)
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        named(page, "place").fill("The old boathouse")
        named(page, "notes").click()
        page.wait_for_timeout(350)  # the place is under way by now
        page.keyboard.type("No lilies.")
    at_rest(page)
    named(page, "notes").blur()
    wait_until(page, lambda: Consultation.objects.get().notes == "No lilies.")


def test_colour_ticked_while_another_is_on_its_way_is_the_colour_kept(page, row):
    """The colours in use move to the front of the list, so the same place in it is another colour then."""
    on_step(page, row, "finishes")
    slowed(page, 700)
    choose(page, "colour_0", "pale sage")
    page.wait_for_timeout(350)
    choose(page, "colour_1", "ivory")

    def colours():
        return [tier["colour_name"] for tier in row.designs.get().body["tiers"]]

    wait_until(page, lambda: colours()[:2] == ["pale sage", "ivory"])


def test_two_tiers_changed_by_hand_one_after_the_other_both_stay(page, row):
    on_step(page, row, "tiers")
    slowed(page, 700)
    named(page, "height_0").select_option(label="5 in")
    page.wait_for_timeout(350)
    named(page, "height_1").select_option(label="6 in")

    def heights():
        return [round(tier["height_mm"] / 25.4) for tier in row.designs.get().body["tiers"]]

    wait_until(page, lambda: heights() == [5, 6, 4])


def test_enter_in_a_field_keeps_the_answer_and_presses_no_other_button(page, row):
    on_step(page, row, "decorations")
    with being_kept(page):
        named(page, "count_0").fill("9")
        page.keyboard.press("Enter")
    wait_until(page, lambda: [d["count"] for d in row.designs.get().body["decorations"]] == [9])
    page.wait_for_timeout(600)
    assert [d["count"] for d in row.designs.get().body["decorations"]] == [9]
    assert page.url.endswith("/decorations/")


def wait_until(page, holds, *, seconds=8):
    for _ in range(seconds * 10):
        if holds():
            return
        page.wait_for_timeout(100)
    assert holds()


def test_summary_of_what_is_wrong_does_not_tear_away_who_types_on(page, row):
    on_step(page, row, "servings")
    slowed(page, 500)
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        named(page, "guests").fill("0")
        named(page, "spare").click()
        page.keyboard.press("End")
    page.keyboard.type("12")
    at_rest(page)
    expect(page.get_by_role("alert")).to_be_visible()
    page.keyboard.type("5")
    expect(named(page, "spare")).to_be_focused()
    assert named(page, "spare").input_value() == "0125"


def test_shop_closed_hour_is_refused_for_a_new_client(page):
    open_consultation(page)
    say_event(page, client="Noor Haldane", occasion="graduation", on=a_saturday(), at="03:00")
    page.get_by_role("button", name="Next: servings").click()
    refused(page, "hand_over_at", "The shop hands cakes over from 09:00 to 17:00.")
    assert named(page, "client_name").input_value() == "Noor Haldane"
