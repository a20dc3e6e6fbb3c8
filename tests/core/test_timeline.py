"""Does the shop take on only what it can make in its hours?"""

import dataclasses
from datetime import date, timedelta

import pytest

from consult.core.timeline import booking, date_answer, day_words, free_days, next_dates
from shop.core.policies import OpenHours
from tests.small_shop import a_book

# The small shop's bench: nothing on Sunday and Monday, 8 h from Tuesday to Friday, 6 h on Saturday;
# baking starts at most 3 working days before. 15 May 2027 is a Saturday.
TODAY = date(2027, 4, 1)
SATURDAY = date(2027, 5, 15)
FRIDAY, THURSDAY, WEDNESDAY = (SATURDAY - timedelta(days=days) for days in (1, 2, 3))


def answer(hands_on, *, lead_days=0, on=SATURDAY, book=None, today=TODAY, booked=None, ahead=0):
    return date_answer(hands_on, lead_days, on, book or a_book(), today, booked or {}, ahead)


def with_hours(**changes):
    book = a_book()
    return a_book(hours=dataclasses.replace(book.policies.hours, **changes))


def test_work_is_laid_on_the_latest_days_first():
    found = answer(550)
    assert found.holds is True
    assert found.says == "Sat 15 May holds: 9 h 10 min fit on Thu and Fri."
    assert found.days == ((THURSDAY, 70, 410), (FRIDAY, 480, 0))
    assert found.next_dates == ()


@pytest.mark.parametrize(("minutes", "holds"), [(1439, True), (1440, True), (1441, False)])
def test_three_working_days_hold_twenty_four_hours_and_not_a_minute_more(minutes, holds):
    assert answer(minutes).holds is holds


def test_what_is_booked_is_not_free():
    booked = {FRIDAY: 480, THURSDAY: 300, WEDNESDAY: 310}
    found = answer(550, booked=booked)
    assert found.holds is False
    assert found.says == (
        "9 h 10 min do not fit before Sat 15 May: 3 h 20 min are short. "
        "The next dates that hold: Wed 19 May, Thu 20 May and Fri 21 May."
    )
    assert found.days == ((WEDNESDAY, 170, 0), (THURSDAY, 180, 0))
    assert found.next_dates == (date(2027, 5, 19), date(2027, 5, 20), date(2027, 5, 21))


def test_next_dates_do_hold():
    booked = {FRIDAY: 480, THURSDAY: 300, WEDNESDAY: 310}
    for day in answer(550, booked=booked).next_dates:
        assert answer(550, booked=booked, on=day).holds


def test_overfull_day_takes_nothing_and_gives_nothing_back():
    assert answer(480, booked={FRIDAY: 900}).days == ((THURSDAY, 480, 0),)


def test_no_date_yet_is_no_answer():
    found = answer(550, on=None)
    assert (found.holds, found.says) == (None, "No date yet.")


def test_past_day_does_not_hold():
    found = answer(60, on=TODAY - timedelta(days=1))
    assert found.holds is False
    assert found.says.startswith("Wed 31 Mar is past. The next dates that hold: ")


def test_hand_over_on_a_closed_weekday_does_not_hold():
    found = answer(60, on=date(2027, 5, 16))
    assert found.holds is False
    assert found.says.startswith("Sun 16 May: the shop is closed. The next dates that hold: Tue 18")


def test_day_off_takes_no_work_and_no_hand_over():
    book = with_hours(closed_days=frozenset(("2027-05-14",)))
    assert answer(500, book=book).days == ((WEDNESDAY, 20, 460), (THURSDAY, 480, 0))
    assert answer(60, book=book, on=FRIDAY).holds is False


@pytest.mark.parametrize(("notice", "holds"), [(6, False), (7, True), (8, True)])
def test_least_notice_is_kept(notice, holds):
    # The small shop asks for 7 days; every day looked at here is one it is open on.
    found = answer(60, today=date(2027, 5, 13) - timedelta(days=notice), on=date(2027, 5, 13))
    assert found.holds is holds


def test_short_notice_is_said_in_days():
    found = answer(60, today=date(2027, 5, 12))
    assert found.says.startswith("Sat 15 May is 3 days away; the shop takes orders with 7 days")


@pytest.mark.parametrize(("days", "holds"), [(13, False), (14, False), (15, True)])
def test_dried_pieces_need_their_days_after_they_are_made(days, holds):
    found = answer(60, lead_days=14, today=SATURDAY - timedelta(days=days))
    assert found.holds is holds
    if not holds:
        assert "the dried pieces need 14 days after they are made" in found.says


def test_dried_pieces_are_made_before_the_baking_days():
    # 20 h in all: 12 h of sugar flowers, dry 14 days before, leave 8 h for the last three days.
    found = answer(1800, lead_days=14, ahead=720)
    assert found.holds is True
    assert sum(used for _, used, _ in found.days) == 1800
    early = [day for day, _, _ in found.days if day < SATURDAY - timedelta(days=14)]
    assert early == [date(2027, 4, 29), date(2027, 4, 30)]
    assert answer(1800, lead_days=14).holds is False


def test_days_further_back_are_said_with_their_dates():
    found = answer(600, lead_days=14, ahead=480)
    assert found.says == "Sat 15 May holds: 10 h fit on Fri 30 Apr and Fri 14 May."


def test_dried_pieces_and_the_cake_never_share_the_same_minutes():
    # Pieces that need no drying may lie on the baking days too: 21 h of cake and 2 h of pieces.
    found = answer(1380, lead_days=0, ahead=120)
    assert found.days == ((WEDNESDAY, 420, 60), (THURSDAY, 480, 0), (FRIDAY, 480, 0))
    laid = booking(1380, SATURDAY, a_book(), {}, lead_days=0, made_ahead=120)
    assert laid == ((WEDNESDAY, 420), (THURSDAY, 480), (FRIDAY, 480))


def test_today_is_not_counted_as_bench_time():
    book = a_book()
    book = dataclasses.replace(
        book, policies=dataclasses.replace(book.policies, least_notice_days=0)
    )
    assert answer(480, book=book, today=FRIDAY).holds is False
    assert answer(480, book=book, today=THURSDAY).days == ((FRIDAY, 480, 0),)


def test_nothing_to_do_yet_holds_plainly():
    found = answer(0)
    assert (found.holds, found.says, found.days) == (True, "Sat 15 May holds.", ())


def test_shop_that_never_opens_has_no_date():
    never = a_book(hours=OpenHours((0, 0, 0, 0, 0, 0, 0)))
    found = answer(60, book=never)
    assert found.holds is False
    assert found.says.endswith("No date in the next 180 days holds.")
    assert found.next_dates == ()


def test_calendar_says_the_same_as_the_answer():
    booked = {FRIDAY: 480, THURSDAY: 300, WEDNESDAY: 310}
    first, last = date(2027, 5, 1), date(2027, 5, 31)
    calendar = free_days(first, last, 550, a_book(), TODAY, booked)
    assert next(iter(calendar)) == first
    assert list(calendar)[-1] == last
    assert calendar == {day: answer(550, booked=booked, on=day).holds for day in calendar}
    assert True in calendar.values()
    assert calendar[SATURDAY] is False


def test_next_dates_are_as_many_as_asked_for():
    assert len(next_dates(60, 0, 0, SATURDAY, a_book(), TODAY, {}, most=5)) == 5


def test_booking_lays_all_the_minutes_on_days():
    assert booking(550, SATURDAY, a_book(), {}) == ((THURSDAY, 70), (FRIDAY, 480))


def test_second_order_is_laid_round_the_first():
    first = dict(booking(550, SATURDAY, a_book(), {}))
    assert booking(500, SATURDAY, a_book(), first) == ((WEDNESDAY, 90), (THURSDAY, 410))


def test_booking_that_does_not_fit_shows_on_the_last_day():
    laid = booking(1500, SATURDAY, a_book(), {})
    assert laid == ((WEDNESDAY, 480), (THURSDAY, 480), (FRIDAY, 540))
    assert sum(minutes for _, minutes in laid) == 1500


def test_two_signed_orders_fill_the_days_so_that_a_third_does_not_hold():
    booked = {}
    for hands_on in (700, 700):
        for day, minutes in booking(hands_on, SATURDAY, a_book(), booked):
            booked[day] = booked.get(day, 0) + minutes
    assert answer(40, booked=booked).holds is True
    assert answer(41, booked=booked).holds is False


def test_year_is_said_when_it_is_not_this_one():
    assert day_words(SATURDAY, date(2026, 11, 2)) == "Sat 15 May 2027"
    assert day_words(SATURDAY, TODAY) == "Sat 15 May"
