"""Is the hand-over a calendar file as RFC 5545 has it, at the right hour, that moves one entry and never makes two?"""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.urls import reverse
from icalendar import Calendar

from consult import store
from consult.calendar_file import attached, hand_over_file
from consult.models import Consultation, State
from tests.consultations import make_consultation, make_edition
from tests.makers import make_book

pytestmark = pytest.mark.django_db


def handed_over_on(person, day, at=time(14, 0), zone="Europe/Berlin", **fields):
    row = make_consultation(person, on=day, hand_over_at=at, **fields)
    book = make_book(
        time_zone=zone, name="Hollin Lane; Cakes, größer", address="3 Mill Row\nHollin"
    )
    row.edition = make_edition(book)
    row.save()
    return row


def event_of(data):
    (event,) = Calendar.from_ical(data).walk("VEVENT")
    return event


def unfolded(data):
    """RFC 5545, 3.1: a line break and one space or tab are taken away."""
    return data.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode().split("\r\n")


@pytest.mark.parametrize(
    ("zone", "day", "in_utc"),
    [  # what each clock was set to on either side of its change: the IANA time zone database
        ("Europe/Berlin", date(2027, 3, 27), 13),
        ("Europe/Berlin", date(2027, 3, 28), 12),  # summer time since that morning
        ("America/New_York", date(2027, 11, 6), 18),
        ("America/New_York", date(2027, 11, 7), 19),  # and no longer since that one
        ("Pacific/Auckland", date(2028, 2, 29), 1),
        ("UTC", date(2027, 12, 31), 14),
    ],
)
def test_two_in_the_afternoon_is_two_by_the_shops_clock(rosa, zone, day, in_utc):
    event = event_of(hand_over_file(handed_over_on(rosa, day, zone=zone)))
    starts, ends = event["dtstart"].dt, event["dtend"].dt
    assert (starts.date(), starts.hour, starts.minute) == (day, 14, 0)
    assert starts.astimezone(UTC) == datetime(day.year, day.month, day.day, in_utc, tzinfo=UTC)
    assert ends - starts == timedelta(minutes=30)


def test_the_bytes_are_as_the_standard_has_them(rosa):
    long = "Großes Café „Zum süßen Eck“, Hof, dritte Tür; läuten \\ klopfen " * 3
    row = handed_over_on(rosa, date(2027, 5, 15), hand_over_how="delivery", place=long.strip())
    data = hand_over_file(row)
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert b"\r" not in data.replace(b"\r\n", b"")
    lines = data.split(b"\r\n")
    assert max(map(len, lines)) <= 75  # octets, without the break (3.1)
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        line.decode()  # no letter is cut in two where a line is folded
    assert event_of(data)["location"] == long.strip()
    words = unfolded(data)
    assert words[0] == "BEGIN:VCALENDAR"
    assert {"VERSION:2.0", "PRODID:-//Tierwright//Hand-over//EN"} <= set(words)
    assert [w for w in words if w.startswith("METHOD")] == []
    assert words.count("BEGIN:VEVENT") == 1
    for name in ("UID", "DTSTAMP", "SEQUENCE", "STATUS"):
        assert len([w for w in words if w.split(":")[0] == name]) == 1
    stamp = next(w for w in words if w.startswith("DTSTAMP:"))
    assert stamp.endswith("Z")
    # 3.3.11: backslash, semicolon and comma are escaped.
    location = next(w for w in words if w.startswith("LOCATION:"))
    assert "Eck“\\, Hof\\, dritte Tür\\; läuten \\\\ klopfen" in location


def test_each_time_zone_it_names_is_described_in_it(rosa):
    data = hand_over_file(handed_over_on(rosa, date(2027, 5, 15)))
    assert b"DTSTART;TZID=Europe/Berlin:20270515T140000\r\n" in data
    (zone,) = Calendar.from_ical(data).walk("VTIMEZONE")  # 3.2.19: there must be one
    assert zone["tzid"] == "Europe/Berlin"
    assert b"TZOFFSETTO:+0200" in data


def test_without_an_hour_it_is_the_whole_day(rosa):
    data = hand_over_file(handed_over_on(rosa, date(2028, 2, 29), at=None))
    assert b"DTSTART;VALUE=DATE:20280229\r\n" in data
    assert b"DTEND;VALUE=DATE:20280301\r\n" in data
    assert "The time is not agreed yet." in event_of(data)["description"]


def test_a_changed_hand_over_moves_the_same_entry(rosa):
    row = handed_over_on(rosa, date(2027, 5, 15))
    before = event_of(hand_over_file(row))
    Consultation.objects.filter(pk=row.pk).update(
        hand_over_at=time(16, 0), revision=row.revision + 1, client_name="Ann Lind"
    )
    row.refresh_from_db()
    after = event_of(hand_over_file(row))
    assert after["uid"] == before["uid"]
    assert after["sequence"] > before["sequence"]
    assert after["dtstart"].dt.hour == 16
    other = event_of(hand_over_file(handed_over_on(rosa, date(2027, 5, 15))))
    assert other["uid"] != before["uid"]
    assert hand_over_file(row) == hand_over_file(row)


@pytest.mark.parametrize(
    ("state", "says"),
    [
        (State.QUOTED, "TENTATIVE"),
        (State.SIGNED, "CONFIRMED"),
        (State.CONFIRMED, "CONFIRMED"),
        (State.CANCELLED, "CANCELLED"),
    ],
)
def test_it_says_how_sure_the_date_is(rosa, state, says):
    row = handed_over_on(rosa, date(2027, 5, 15), state=state)
    assert event_of(hand_over_file(row))["status"] == says


def test_it_is_attached_by_what_the_store_holds_and_not_without_a_date(rosa):
    row = handed_over_on(rosa, date(2027, 5, 15))
    (paper,) = attached(row)
    assert (paper.name, paper.type) == (f"hand-over-{row.number}.ics", "text/calendar")
    assert store.fetch(paper.sha256) == hand_over_file(row)
    row.event_on = None
    assert attached(row) == ()


def test_it_is_served_as_a_calendar_file_to_who_works_here(rosa, as_ben, cyril):
    row = handed_over_on(rosa, date(2027, 5, 15))
    url = reverse("consult:hand_over_calendar", args=[row.pk])
    answer = as_ben.get(url)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Content-Disposition"] == f'attachment; filename="hand-over-{row.number}.ics"'
    assert answer.content == hand_over_file(row)
    assert cyril.get(url).status_code == 302
    Consultation.objects.update(event_on=None)
    assert as_ben.get(url).status_code == 404
