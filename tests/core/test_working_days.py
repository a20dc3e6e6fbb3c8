"""Which days does the shop take an order for, and are they said as the shop says them?"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from consult.core.working_days import calendar_of, day_words, not_open_for, open_minutes
from tests.small_shop import a_book

# The small shop's bench: nothing on Sunday and Monday, 8 h from Tuesday to Friday, 6 h on Saturday; it
# asks for 7 days of notice. 15 May 2027 is a Saturday.
TODAY = date(2027, 4, 1)
SATURDAY = date(2027, 5, 15)


def why_not(on, *, lead_days=0, today=TODAY, **hours):
    book = a_book()
    book = a_book(hours=replace(book.policies.hours, **hours))
    return not_open_for(on, lead_days, calendar_of(book, today, {}))


def test_year_is_said_when_it_is_not_this_one():
    assert day_words(SATURDAY, date(2026, 11, 2)) == "Sat 15 May 2027"
    assert day_words(SATURDAY, TODAY) == "Sat 15 May"


def test_ordinary_day_is_open():
    assert why_not(SATURDAY) == ""


def test_past_day_is_past():
    assert why_not(TODAY - timedelta(days=1)) == "Wed 31 Mar is past."


def test_closed_weekday_and_day_off_take_no_hand_over():
    assert why_not(date(2027, 5, 16)) == "Sun 16 May: the shop is closed."
    off = frozenset(("2027-05-15",))
    assert why_not(SATURDAY, closed_days=off) == "Sat 15 May: the shop is closed."
    assert open_minutes(SATURDAY, a_book().policies.hours) == 360


@pytest.mark.parametrize(("notice", "is_open"), [(6, False), (7, True), (8, True)])
def test_least_notice_is_kept(notice, is_open):
    # Every day looked at here is one the shop is open on.
    on = date(2027, 5, 13)
    assert (why_not(on, today=on - timedelta(days=notice)) == "") is is_open


def test_short_notice_is_said_in_days():
    says = why_not(SATURDAY, today=date(2027, 5, 12))
    assert says == "Sat 15 May is 3 days away; the shop takes orders with 7 days of notice."


@pytest.mark.parametrize(("days", "is_open"), [(13, False), (14, False), (15, True)])
def test_dried_pieces_need_their_days_after_they_are_made(days, is_open):
    says = why_not(SATURDAY, lead_days=14, today=SATURDAY - timedelta(days=days))
    assert (says == "") is is_open
    if not is_open:
        assert says.endswith("but the dried pieces need 14 days after they are made.")


def test_what_is_booked_today_or_before_is_no_longer_asked_for():
    booked = {TODAY: 60, TODAY - timedelta(days=1): 60, TODAY + timedelta(days=1): 30}
    assert calendar_of(a_book(), TODAY, booked).booked == ((TODAY + timedelta(days=1), 30),)
