"""From an inquiry on a phone to a cancelled order: the client at home, the shop at its tablet, papers on both sides."""

import re
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from consult.actions.money import ledger_of
from consult.actions.sheets import sheet_value
from consult.finding import consultation_at_hand
from consult.models import Consultation, Message, Sheet, State
from consult.posting.carrying import from_folder
from consult.sealing import Verdict, check
from consult.store import fetch
from shop.core.money import Money
from tests.consultations import a_saturday
from tests.journeys.counter import (
    ROSA,
    at_rest,
    being_kept,
    cards,
    choose,
    draw_signature,
    lead_on,
    log_in,
    named,
    turn_to,
)
from tests.papers import words_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

CLIENT = "Oriel Tanaka-Voss"
ADDRESS = "oriel@example.org"
WISHES = "Pears and something green. No fondant roses, please."


def test_client_asks_chooses_signs_changes_and_cancels_from_home(open_page, media):
    phone, counter = open_page("phone"), open_page("tablet")
    log_in(counter, ROSA)
    ask_for_a_cake(phone)
    pk = take_the_inquiry_up(counter)
    make_two_designs(counter, pk)
    choose_the_second(phone, counter, pk)
    first = make_and_send_the_sheet(counter, pk)
    read_and_sign(phone, pk, first, drawn=True)
    note_the_deposit(counter, pk)
    confirmed_with_copies_for_both(pk)
    second = come_to_more_guests(counter, pk)
    read_and_sign(phone, pk, second, drawn=False)
    both_contracts_are_sealed_and_whole(pk)
    cancel_by_the_schedule(counter, pk)
    give_back_what_is_over(counter, pk)
    the_papers_say_what_the_ledger_says(pk)
    assert phone.complaints == []
    assert counter.complaints == []


# --- the client asks ---


def ask_for_a_cake(phone):
    phone.goto("/inquire/")
    phone.get_by_label("Occasion").fill("anniversary")
    named(phone, "guests").fill("60")
    named(phone, "event_on").fill(str(a_saturday()))
    phone.get_by_label("Wishes").fill(WISHES)
    choose(phone, "avoid", "peanut")
    phone.get_by_label("Your name").fill(CLIENT)
    with being_kept(phone):
        phone.get_by_label("E-mail").fill(ADDRESS)
        phone.get_by_label("Phone").focus()
    price = phone.get_by_role("region", name="What it may cost")
    assert "A guide, not a quote" in price.inner_text()
    phone.wait_for_timeout(4_000)  # what is sent sooner than a person can fill it in is not taken
    phone.get_by_role("button", name="Send the inquiry").click()
    phone.get_by_role("heading", name="Thank you, your inquiry is with us").wait_for()
    assert Consultation.objects.get().number in phone.get_by_role("main").inner_text()


def take_the_inquiry_up(counter):
    counter.goto("/")
    counter.get_by_role("link", name=re.compile(CLIENT)).first.click()
    counter.get_by_role("heading", name="New inquiry").wait_for()
    said = counter.get_by_role("main").inner_text()
    assert WISHES in said
    assert ADDRESS in said
    counter.get_by_role("button", name="Take it up").click()
    counter.wait_for_load_state()
    row = Consultation.objects.get()
    assert (row.state, row.guests, row.event_on) == (State.CONSULTATION, 60, a_saturday())
    assert row.avoid == ["peanut"]
    return row.pk


# --- the shop designs ---


def make_two_designs(counter, pk):
    counter.goto(f"/consultations/{pk}/event/")
    counter.get_by_label("Hand-over time").fill("14:00")
    lead_on(counter, "servings")
    lead_on(counter, "tiers")
    with being_kept(counter):
        cards(counter, "Closest fit").click()
    lead_on(counter, "flavours")
    lead_on(counter, "finishes")
    lead_on(counter, "decorations")
    counter.goto(f"/consultations/{pk}/")
    counter.get_by_role("button", name="Put a second design beside it").click()
    counter.wait_for_load_state()
    counter.goto(f"/consultations/{pk}/decorations/")
    with being_kept(counter):
        counter.get_by_role("button", name="Pearl border, royal icing").click()
    at = consultation_at_hand(pk)
    assert at.row.chosen_letter == "B"
    assert len(at.design.decorations) == 1


def last_link(kind):
    """Where the private link of the last message of that kind leads."""
    call_command("post", verbosity=0)
    message = Message.objects.filter(kind=kind, to=ADDRESS).first()
    assert message, f"no {kind} was written"
    text, _html = from_folder(message)
    return re.search(r"/for-you/[\w-]+/", text).group(0)


def send(counter, pk, fold):
    counter.goto(f"/consultations/{pk}/")
    counter.get_by_text(fold, exact=True).click()
    part = counter.locator("details[open]").filter(has_text=fold)
    assert part.get_by_label("To", exact=True).input_value() == ADDRESS
    part.get_by_role("button", name="Send", exact=True).click()
    counter.get_by_text(f"Written to {ADDRESS}.").wait_for()


def choose_the_second(phone, counter, pk):
    send(counter, pk, "Send designs to choose from")
    phone.goto(last_link("designs_to_choose"))
    assert "/for-you/designs/" in phone.url, "the secret is gone from the address"
    total = consultation_at_hand(pk).reckoning.quote.total.written("en_US")
    assert total in phone.get_by_role("article", name="Design B").inner_text()
    phone.get_by_role("button", name="Choose design B").click()
    phone.get_by_text("You chose design B.").wait_for()
    counter.goto(f"/consultations/{pk}/")
    counter.get_by_role("heading", name="The client has answered").wait_for()
    counter.get_by_role("button", name="Seen to").first.click()
    counter.get_by_text("Seen to.", exact=True).wait_for()


def make_and_send_the_sheet(counter, pk):
    counter.goto(f"/consultations/{pk}/sheet/")
    counter.get_by_role("button", name="Make the sheet for signing").click()
    counter.wait_for_url("**/signing/")
    send(counter, pk, "Send the sheet to sign")
    return Sheet.objects.filter(consultation=pk).last()


# --- the client signs ---


def read_and_sign(phone, pk, row, *, drawn):
    sheet = sheet_value(row)
    total = sheet.total.written(sheet.locale)
    phone.goto(last_link("sheet_to_sign"))
    phone.get_by_role("heading", name="Your design sheet").wait_for()
    read = phone.get_by_role("main").inner_text()
    assert row.fingerprint[:12] in re.sub(r"\W", "", read).lower()
    for words in (total, CLIENT, *row.changes):
        assert words in read
    phone.get_by_label("Your full name").fill(CLIENT)
    if drawn:
        draw_signature(phone)
    else:
        phone.get_by_label("I sign by typing my name").check()
    phone.get_by_role("radio", name="No, I do not").check()
    named(phone, "agreed").check()
    phone.get_by_role("button", name=f"Order with obligation to pay — {total}").click()
    phone.get_by_role("heading", name="Thank you. It is signed.").wait_for()
    row.refresh_from_db()
    assert row.signature.name == CLIENT
    assert row.signature.photo_permission is False
    assert row.signature.link is not None
    assert row.signature.witness is None
    href = phone.get_by_role("link", name="The signed agreement (PDF)").get_attribute("href")
    contract = phone.request.get(href).body()
    assert contract == fetch(row.contract.pdf_sha256), "the client has the very file the shop has"
    words = words_of(contract)
    for said in (CLIENT, total, sheet.number, "peanut", row.signature.signed_at_local):
        assert said in words, said


def note_the_deposit(counter, pk):
    counter.goto(f"/consultations/{pk}/money/")
    due = ledger_of(Consultation.objects.get(pk=pk)).dues[0]
    assert counter.get_by_label("Amount received").input_value() == str(due.amount)
    counter.get_by_role("button", name="Mark as received").click()
    counter.get_by_text("The payment is noted, with its receipt.").wait_for()


def confirmed_with_copies_for_both(pk):
    row = Consultation.objects.get(pk=pk)
    assert row.state == State.CONFIRMED
    shop = row.book().identity.email
    copies = {message.to for message in Message.objects.filter(kind="signed_copy")}
    assert copies == {ADDRESS, shop}
    kinds = set(Message.objects.filter(to=ADDRESS).values_list("kind", flat=True))
    assert {"inquiry_copy", "designs_to_choose", "sheet_to_sign", "signed_copy", "receipt"} <= kinds


# --- the count changes ---


def come_to_more_guests(counter, pk):
    counter.goto(f"/consultations/{pk}/servings/")
    counter.get_by_role("button", name="Start a new revision").click()
    counter.wait_for_load_state()
    turn_to(counter, "servings")
    with being_kept(counter):
        named(counter, "guests").fill("84")
        counter.keyboard.press("Tab")
    lead_on(counter, "tiers")
    with being_kept(counter):
        cards(counter, "Closest fit").click()
    # A tier that is new has nothing in and on it yet.
    lead_on(counter, "flavours")
    lead_on(counter, "finishes")
    lead_on(counter, "decorations")
    at_rest(counter)
    row = make_and_send_the_sheet(counter, pk)
    assert row.revision == 2
    assert any("60" in words and "84" in words for words in row.changes), row.changes
    return row


def both_contracts_are_sealed_and_whole(pk):
    for sheet in Sheet.objects.filter(consultation=pk):
        pdf = fetch(sheet.contract.pdf_sha256)
        assert check(pdf).verdict is Verdict.UNTOUCHED
        middle = len(pdf) // 2
        changed = pdf[:middle] + bytes([pdf[middle] ^ 1]) + pdf[middle + 1 :]
        assert check(changed).verdict is not Verdict.UNTOUCHED


# --- it comes to nothing ---


def cancel_by_the_schedule(counter, pk):
    counter.goto(f"/consultations/{pk}/money/")
    counter.get_by_role("link", name="Cancel the order").click()
    counter.get_by_role("radio", name="the client").check()
    counter.get_by_label("Why").fill("They marry at sea instead.")
    counter.get_by_role("button", name="See what it comes to").click()
    counter.get_by_role("button", name="Cancel the order for good").click()
    counter.wait_for_url("**/money/")
    row = Consultation.objects.get(pk=pk)
    assert row.state == State.CANCELLED
    assert not row.bench.exists()
    total = sheet_value(row.sheets.last()).total
    notice = row.event_on - timezone.localdate()
    steps = sorted(row.book().policies.agreement.cancelling, key=lambda step: -step.days_before)
    share = next(s.share for s in steps if notice >= timedelta(days=s.days_before))
    assert row.cancellation.kept_minor == total.times(share).minor
    received = sum(payment.amount_minor for payment in row.payments.all())
    assert row.cancellation.back_minor == received - row.cancellation.kept_minor > 0


def give_back_what_is_over(counter, pk):
    back = ledger_of(Consultation.objects.get(pk=pk)).over
    counter.goto(f"/consultations/{pk}/money/")
    counter.get_by_role("link", name="Give money back").click()
    assert counter.get_by_label("Amount given back").input_value() == str(back)
    counter.get_by_role("button", name="Mark as given back").click()
    counter.get_by_text("The refund is noted, with its receipt.").wait_for()


def the_papers_say_what_the_ledger_says(pk):
    row = Consultation.objects.get(pk=pk)
    ledger = ledger_of(row)
    currency = ledger.charged.currency
    assert ledger.open == ledger.over == Money.zero(currency)
    cancellation, refund = row.cancellation, row.refunds.get()
    statement = words_of(fetch(cancellation.pdf_sha256))
    for minor in (cancellation.kept_minor, cancellation.back_minor):
        assert Money(minor, currency).written("en_US") in statement
    receipt = words_of(fetch(refund.receipt.pdf_sha256))
    assert refund.amount.written("en_US") in receipt
    assert CLIENT in receipt
    paid = row.payments.get()
    assert paid.amount.written("en_US") in words_of(fetch(paid.receipt.pdf_sha256))
    assert paid.amount_minor - refund.amount_minor == cancellation.kept_minor
