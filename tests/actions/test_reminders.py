"""Are clients reminded in time, once, with the right sums, by the shop's own clock, and only where it still matters?"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.actions.deposits import paid
from consult.actions.reminders import write_reminders
from consult.models import Consultation, Message, Payment, Sheet, State
from shop.actions import take_in_book
from shop.models import Shop
from shop.sample_setup import sample_book
from tests.consultations import keys
from tests.steps.test_signing import mark, quoted

pytestmark = pytest.mark.django_db
ZONE = ZoneInfo("America/New_York")


@pytest.fixture(autouse=True)
def shop(db):
    taken = take_in_book(sample_book(), is_sample=True)
    Shop.objects.update(time_zone=str(ZONE))
    return taken


def at(day, hour=10):
    return datetime(day.year, day.month, day.day, hour, tzinfo=ZONE)


def signed(browser, person):
    row = quoted(browser, person)
    browser.post(reverse("consult:signing", args=[row.pk]), mark())
    browser.post(reverse("consult:deposit", args=[row.pk]), keys(row))
    row.refresh_from_db()
    assert row.state == State.SIGNED
    Message.objects.all().delete()
    return row


def due_day(sheet, name):
    return date.fromisoformat(sheet.body[name])


def kinds():
    return sorted(Message.objects.values_list("kind", flat=True))


def test_a_quote_about_to_lapse_is_said_three_days_before_and_once(rosa, as_rosa):
    quoted(as_rosa, rosa)
    until = due_day(Sheet.objects.get(), "holds_until")
    assert write_reminders(at(until - timedelta(days=4))) == 0
    assert write_reminders(at(until - timedelta(days=3))) == 1
    for days in (3, 2, 1, 0, -1):
        assert write_reminders(at(until - timedelta(days=days))) == 0
    (message,) = Message.objects.all()
    assert message.kind == "quote_lapses"
    assert message.to == "ann@example.org"
    assert "Dear Ann Okafor," in message.text
    assert "Read the design sheet and sign it:\nhttp" in message.text


def test_a_quote_that_has_lapsed_or_was_changed_since_is_left_alone(rosa, as_rosa):
    row = quoted(as_rosa, rosa)
    until = due_day(Sheet.objects.get(), "holds_until")
    assert write_reminders(at(until + timedelta(days=1))) == 0
    Consultation.objects.filter(pk=row.pk).update(revision=row.revision + 1)
    assert write_reminders(at(until)) == 0


def test_the_deposit_is_reminded_of_with_what_is_still_to_pay(rosa, as_rosa):
    row = signed(as_rosa, rosa)
    sheet = Sheet.objects.get()
    asked = sheet.deposit
    Payment.objects.create(
        consultation=row, amount_minor=1_000, currency=asked.currency, means="cash",
        received_on=timezone.localdate(), noted_by=rosa, noted_at=timezone.now(),
    )  # fmt: skip
    assert write_reminders(at(asked.due_on - timedelta(days=4))) == 0
    assert write_reminders(at(asked.due_on - timedelta(days=3))) == 1
    assert write_reminders(at(asked.due_on)) == 0
    (message,) = Message.objects.all()
    still = asked.amount - paid(row)
    assert f"Still to pay: {still.written('en_US')}\n" in message.text
    assert "Received so far: $10.00\n" in message.text
    assert f"Reference: {asked.reference}\n" in message.text
    assert "is due by" in message.subject
    assert message.attached[0]["sha256"] == asked.pdf_sha256


def test_after_a_day_late_the_words_say_was_due(rosa, as_rosa):
    signed(as_rosa, rosa)
    due = Sheet.objects.get().deposit.due_on
    assert write_reminders(at(due + timedelta(days=1))) == 1
    assert Message.objects.get().subject.startswith("Your deposit was due on")


def test_the_balance_is_reminded_of_once_the_deposit_is_in_and_not_when_all_is_paid(rosa, as_rosa):
    row = signed(as_rosa, rosa)
    sheet = Sheet.objects.get()
    due = due_day(sheet, "balance_due")

    def pays(minor):
        Payment.objects.create(
            consultation=row, amount_minor=minor, currency="USD", means="cash",
            received_on=timezone.localdate(), noted_by=rosa, noted_at=timezone.now(),
        )  # fmt: skip

    pays(sheet.deposit.amount_minor)
    Consultation.objects.update(state=State.CONFIRMED)
    assert write_reminders(at(due - timedelta(days=6))) == kinds().count("count_to_confirm")
    write_reminders(at(due - timedelta(days=5)))
    (message,) = Message.objects.filter(kind="balance_due")
    total = sheet.body["total"]["amount"]
    assert f"Total: ${float(total):,.2f}\n" in message.text
    left = round(float(total) * 100) - sheet.deposit.amount_minor
    assert f"Balance to pay: ${left / 100:,.2f}\n" in message.text

    Message.objects.filter(kind="balance_due").delete()
    pays(left)
    write_reminders(at(due))
    assert "balance_due" not in kinds()


def test_the_guest_count_is_asked_for_before_the_day_the_owner_set(rosa, as_rosa):
    row = signed(as_rosa, rosa)
    Consultation.objects.update(state=State.CONFIRMED)
    days = row.book().policies.agreement.count_until_days
    until = row.event_on - timedelta(days=days)
    write_reminders(at(until - timedelta(days=8)))
    assert "count_to_confirm" not in kinds()
    write_reminders(at(until - timedelta(days=7)))
    write_reminders(at(until))
    assert kinds().count("count_to_confirm") == 1
    assert "It is made for 80 guests." in Message.objects.get(kind="count_to_confirm").text


@pytest.mark.parametrize("state", [State.CANCELLED, State.DECLINED, State.HANDED_OVER])
def test_nobody_is_reminded_of_what_is_over(rosa, as_rosa, state):
    row = signed(as_rosa, rosa)
    Consultation.objects.filter(pk=row.pk).update(state=state)
    sheet = Sheet.objects.get()
    count_by = row.event_on - timedelta(days=row.book().policies.agreement.count_until_days)
    days = [sheet.deposit.due_on, due_day(sheet, "balance_due"), count_by]
    assert [write_reminders(at(day)) for day in days] == [0, 0, 0]
    Consultation.objects.filter(pk=row.pk).update(state=State.SIGNED)
    assert write_reminders(at(days[0])) == 1  # which it would be, were it not over


def test_a_shop_that_sends_no_reminders_writes_none(rosa, as_rosa):
    quoted(as_rosa, rosa)
    until = due_day(Sheet.objects.get(), "holds_until")
    Shop.objects.update(sends_reminders=False)
    assert write_reminders(at(until)) == 0
    Shop.objects.update(sends_reminders=True)
    assert write_reminders(at(until)) == 1


def test_nobody_is_written_to_at_night_by_the_shops_own_clock(rosa, as_rosa):
    quoted(as_rosa, rosa)
    until = due_day(Sheet.objects.get(), "holds_until")
    assert write_reminders(at(until, hour=7)) == 0
    assert write_reminders(at(until, hour=20)) == 0
    assert write_reminders(at(until, hour=8)) == 1


@pytest.mark.parametrize(
    ("zone", "hour_utc", "days_on"),
    [
        ("Pacific/Auckland", 22, 1),  # already the next morning there (UTC+12, +13 in summer)
        ("America/Los_Angeles", 17, 0),  # the morning of the same day (UTC-8, -7 in summer)
    ],
)
def test_the_day_is_the_shops_own_wherever_the_computer_thinks_it_is(
    rosa, as_rosa, zone, hour_utc, days_on
):
    quoted(as_rosa, rosa)
    Shop.objects.update(time_zone=zone)
    until = due_day(Sheet.objects.get(), "holds_until")
    lapsed = until + timedelta(days=1 - days_on)
    last = lapsed - timedelta(days=1)

    def utc(day):
        return datetime(day.year, day.month, day.day, hour_utc, tzinfo=UTC)

    assert write_reminders(utc(lapsed)) == 0
    assert write_reminders(utc(last)) == 1
