"""On a phone: without script, and through a dead spot with nothing lost and nothing claimed that is not so."""

import pytest

from consult.models import Consultation, InquiryDraft
from tests.consultations import a_saturday
from tests.pictures import cake, written

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
FILE = {"name": "wish.jpg", "mimeType": "image/jpeg", "buffer": written(cake(), "JPEG")}


def test_an_inquiry_is_sent_without_script(open_page):
    page = open_page("phone", java_script_enabled=False)
    saturday = a_saturday()
    page.goto(f"/inquire/?month={saturday:%Y-%m}")
    page.fill("#id_occasion", "Silver wedding")
    page.fill("#id_guests", "70")
    page.set_input_files("#id_photos", FILE)
    page.get_by_role("button", name="See the price and the free days").click()
    page.get_by_text("A guide, not a quote").wait_for()
    assert page.locator("#photos img").count() == 1
    page.goto(f"/inquire/?month={saturday:%Y-%m}")
    page.locator(f"#day-{saturday.isoformat()}").focus()
    page.keyboard.press("Enter")
    page.get_by_text(": free").first.wait_for()
    assert page.input_value("#id_event_on") == saturday.isoformat()
    page.fill("#id_client_name", "Ann Okafor")
    page.fill("#id_client_email", "ann@example.org")
    page.wait_for_timeout(4_100)  # the page must have been open for four seconds
    page.get_by_role("button", name="Send the inquiry").click()
    page.get_by_text("Thank you").first.wait_for()
    row = Consultation.objects.get()
    assert (row.occasion, row.guests, row.event_on) == ("Silver wedding", 70, saturday)
    assert row.photos.count() == 1


def test_a_dead_spot_loses_neither_words_nor_photos(open_page):
    page = open_page("phone")
    page.goto("/inquire/")
    page.fill("#id_occasion", "Silver wedding")
    page.fill("#id_guests", "70")
    page.press("#id_guests", "Tab")
    page.get_by_text("A guide, not a quote").wait_for()
    page.locator("#kept", has_text="not sent yet").wait_for()
    assert page.evaluate("localStorage.getItem('inquiry')") is None  # acknowledged, so not kept

    page.route(
        "**/inquire/",
        lambda route: route.abort() if route.request.method == "POST" else route.continue_(),
    )
    page.fill("#id_wishes", "Apricot and honey")
    page.set_input_files("#id_photos", FILE)
    page.get_by_text("there is no connection").first.wait_for()
    assert page.locator("#unsent").is_visible()
    assert "Apricot" in page.evaluate("localStorage.getItem('inquiry')")
    assert "Apricot" not in str(InquiryDraft.objects.get().answers)

    page.unroute("**/inquire/")
    page.reload()
    page.locator("#photos img").wait_for()
    assert page.input_value("#id_wishes") == "Apricot and honey"
    page.wait_for_function("localStorage.getItem('inquiry') === null")
    page.locator("#kept", has_text="Kept ").wait_for()
    draft = InquiryDraft.objects.get()
    assert draft.answers["wishes"] == ["Apricot and honey"]
    assert len(draft.photos) == 1
    assert page.locator("#unsent").is_hidden()

    page.fill("#id_event_on", a_saturday().isoformat())
    page.fill("#id_client_name", "Ann Okafor")
    page.fill("#id_client_email", "ann@example.org")
    page.wait_for_timeout(4_100)
    page.get_by_role("button", name="Send the inquiry").dblclick()
    page.wait_for_url("**/inquire/sent/")
    assert Consultation.objects.count() == 1
    assert page.evaluate("localStorage.getItem('inquiry')") is None
    of_the_dead_spot = ("ERR_FAILED", "htmx:")
    assert [
        said for said in page.complaints if not any(word in said for word in of_the_dead_spot)
    ] == []
