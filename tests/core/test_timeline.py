"""Does the shop take on only what it can make, and do the panel, the books and the kitchen say the same?"""

from dataclasses import replace
from datetime import date, time, timedelta
from random import Random

import pytest

from consult.core.design import ChosenDecoration
from consult.core.job import job_of
from consult.core.reckoning import reckon
from consult.core.schedule import schedule_of
from consult.core.timeline import (
    booking,
    date_answer,
    free_days,
    hand_over_of,
    next_dates,
    order_of_work,
)
from consult.core.work import Task, Work, work_of
from consult.core.working_days import calendar_of, open_minutes
from shop.core.policies import OpenHours
from shop.sample_setup import sample_book
from tests.makers import make_brief, make_design

# The sample shop's bench: nothing on Sunday and Monday, 8 h from Tuesday to Friday, 6 h on Saturday, from
# 08:00; baking starts at most 3 working days before. 15 May 2027 is a Saturday.
BOOK = sample_book()
TODAY = date(2027, 4, 1)
SATURDAY = date(2027, 5, 15)
FRIDAY, THURSDAY, WEDNESDAY = (SATURDAY - timedelta(days=days) for days in (1, 2, 3))
CASES = 160


def a_brief(tiers=(12, 9, 6), *, decorations=(), finish="", on=SATURDAY, **more):
    design = make_design(tiers, flavour="", filling="", finish=finish, decorations=decorations)
    return make_brief(design=design, on=on, **more)


def answer(brief=None, *, book=BOOK, today=TODAY, booked=None):
    brief = brief or a_brief()
    return date_answer(brief, book, work_of(brief, book), today, booked or {})


def kitchen(brief=None, *, book=BOOK, today=TODAY, booked=None):
    brief = brief or a_brief()
    return schedule_of(brief, book, work_of(brief, book), today, booked or {})


def books(brief=None, *, book=BOOK, today=TODAY, booked=None):
    brief = brief or a_brief()
    return booking(brief, book, work_of(brief, book), today, booked or {})


def with_policies(**changes):
    return replace(BOOK, policies=replace(BOOK.policies, **changes))


def with_hours(**changes):
    return with_policies(hours=replace(BOOK.policies.hours, **changes))


def to_do(brief):
    """Hands-on minutes but for the talk with the client, the sketch and its sums."""
    return work_of(brief, BOOK).hands_on - 50


# --- the panel says what the kitchen will do ---


def a_case(seed):
    """A random cake, shop and calendar, from empty to crowded, from weeks away to short notice."""
    chance = Random(seed)
    pans = sorted(chance.sample([5, 6, 7, 8, 9, 10, 12, 14], chance.randint(1, 4)), reverse=True)
    codes = [thing.code for thing in BOOK.decorations]
    decorations = [
        ChosenDecoration(chance.choice(codes), chance.randint(1, 4), chance.choice([None, 0, 1]))
        for _ in range(chance.choice([0, 1, 3, 7]))
    ]
    brief = a_brief(
        pans,
        decorations=decorations,
        finish=chance.choice([finish.code for finish in BOOK.finishes]),
        on=SATURDAY - timedelta(days=chance.randint(0, 6)),
        delivery_km=chance.choice([None, None, 15, 40]),
    )
    if chance.random() < 0.3:
        at = time(chance.choice([8, 10, 16]), 30)
        brief = replace(brief, hand_over=replace(brief.hand_over, at=at))
    book = with_policies(
        kitchen=replace(BOOK.policies.kitchen, hands=chance.choice([1, 1, 1, 2])),
        hours=replace(BOOK.policies.hours, bake_days_before=chance.choice([2, 3, 3, 4])),
    )
    crowd = chance.choice([(0,), (0, 0, 60, 200), (0, 120, 240, 300, 400, 480), (300, 400, 480)])
    booked = {SATURDAY + timedelta(days=ahead): chance.choice(crowd) for ahead in range(-21, 14)}
    return brief, book, chance.choice([TODAY, date(2027, 5, 4), date(2027, 5, 9)]), booked


def test_panel_and_kitchen_say_the_same_in_calendars_from_empty_to_crowded():
    seen = {True: 0, False: 0}
    for seed in range(CASES):
        brief, book, today, booked = a_case(seed)
        reckoned = reckon(brief, book, today, booked).date
        made = schedule_of(brief, book, work_of(brief, book), today, booked)
        assert reckoned.holds == made.holds, seed
        assert (reckoned.breaks_on, reckoned.next_dates) == (made.breaks_on, made.next_dates), seed
        if made.holds:
            days = tuple((day, used) for day, used, _ in reckoned.days)
            assert days == made.days == books(brief, book=book, today=today, booked=booked), seed
        else:
            assert reckoned.says == made.says, seed
            for day in reckoned.next_dates[:1]:
                later = replace(brief, event=replace(brief.event, on=day))
                assert kitchen(later, book=book, today=today, booked=booked).holds, seed
        seen[made.holds] += 1
    assert min(seen.values()) >= CASES // 5  # both kinds are among them


def test_no_day_between_is_left_out_of_the_next_dates():
    """Every day up to the last of the next dates, asked for by itself, is open just where it is one of them."""
    crowded = {THURSDAY + timedelta(days=ahead): 440 for ahead in range(-8, 12)}
    brief = a_brief()
    following = answer(brief, booked=crowded).next_dates
    assert len(following) == 3
    for ahead in range(1, (following[-1] - SATURDAY).days + 1):
        day = SATURDAY + timedelta(days=ahead)
        later = replace(brief, event=replace(brief.event, on=day))
        assert kitchen(later, booked=crowded).holds == (day in following), day


def test_crowded_week_breaks_the_date_at_the_same_task_for_client_and_kitchen():
    # An hour and a bit is free on each day: not enough for three tiers, though there are many such days.
    crowded = {SATURDAY - timedelta(days=days): 400 for days in range(1, 20)}
    panel, made = answer(booked=crowded), kitchen(booked=crowded)
    assert (panel.holds, made.holds) == (False, False)
    assert panel.says == made.says
    assert panel.breaks_on == made.breaks_on != ""
    assert "a cake is begun 3 working days before at most" in panel.says


def test_hours_that_would_do_do_not_hold_where_cooling_and_setting_need_more():
    """Friday has 8 h for 3 h of work; but baked at 8, cooled 3 h, filled, settled 2 h, chilled, coated: 16:00."""
    brief = a_brief((6,))
    brief = replace(brief, hand_over=replace(brief.hand_over, at=time(8, 10)))
    book = with_policies(least_notice_days=0)
    assert to_do(brief) < open_minutes(FRIDAY, book.policies.hours) / 2
    panel = answer(brief, book=book, today=THURSDAY)
    assert panel.holds is False
    assert panel.says == kitchen(brief, book=book, today=THURSDAY).says
    assert answer(brief, book=book, today=WEDNESDAY).holds is True


def test_lead_day_decoration_is_made_before_the_cake_and_breaks_a_date_too_near():
    brief = a_brief(decorations=[ChosenDecoration("sugar-peony", 3, 2)])
    far = answer(brief)
    assert far.holds
    assert far.days[0][0] <= SATURDAY - timedelta(days=5)  # a peony dries for five days
    near = answer(brief, today=date(2027, 5, 8))
    assert (near.holds, near.breaks_on) == (False, "Sugar peony, wired")
    assert near.says == kitchen(brief, today=date(2027, 5, 8)).says


def test_delivery_in_the_morning_is_finished_the_evening_before_and_driven_on_the_day():
    brief = a_brief(delivery_km=40)
    brief = replace(brief, hand_over=replace(brief.hand_over, at=time(9)))
    panel = answer(brief)
    assert panel.holds
    on_the_day = {entry.what for entry in kitchen(brief).entries if entry.starts.date() == SATURDAY}
    assert "Drive there" in on_the_day
    assert "Crumb coat" not in on_the_day
    assert panel.says.endswith(" on the day.")
    # With Thursday and Friday gone, a cake collected at noon can be finished in the morning, and this cannot.
    gone = dict.fromkeys((THURSDAY, FRIDAY), 480)
    assert answer(brief, booked=gone).holds is kitchen(brief, booked=gone).holds is False
    assert answer(booked=gone).holds is kitchen(booked=gone).holds is True


# --- what is said ---


def test_date_that_holds_is_said_with_its_days():
    found = answer()
    assert found.says == "Sat 15 May holds: 8 h 40 min fit on Thu and Fri, and 15 min on the day."
    assert [day for day, _, _ in found.days] == [THURSDAY, FRIDAY, SATURDAY]
    assert sum(used for _, used, _ in found.days) == to_do(a_brief())


def test_what_is_left_of_a_day_is_what_nobody_has_booked():
    for day, used, left in answer(booked={FRIDAY: 60}).days:
        taken = 60 if day == FRIDAY else 0
        assert left == open_minutes(day, BOOK.policies.hours) - used - taken


def test_talk_with_the_client_is_not_laid_into_the_baking_week():
    brief = a_brief()
    assert "Consultation, sketch and costing" in {task.what for task in work_of(brief, BOOK).tasks}
    assert "Consultation, sketch and costing" not in {one.what for one in kitchen(brief).entries}
    assert sum(minutes for _, minutes in books(brief)) == to_do(brief)


def test_days_further_back_are_said_with_their_dates():
    found = answer(a_brief((6,), decorations=[ChosenDecoration("sugar-peony", 1, 0)]))
    first = found.days[0][0]
    assert (SATURDAY - first).days >= 7
    assert f"fit on {first:%a} {first.day} {first:%b}" in found.says


def test_no_date_yet_is_no_answer():
    found = answer(a_brief(on=None))
    assert (found.holds, found.says) == (None, "No date yet.")
    assert books(a_brief(on=None)) == ()


def test_nothing_to_do_yet_holds_plainly():
    found = answer(a_brief(()))
    assert (found.holds, found.says, found.days) == (True, "Sat 15 May holds.", ())
    assert books(a_brief(())) == ()
    closed = answer(a_brief((), on=date(2027, 5, 16)))
    assert closed.next_dates == tuple(date(2027, 5, day) for day in (18, 19, 20))


def test_hand_over_on_a_closed_weekday_does_not_hold():
    found = answer(a_brief(on=date(2027, 5, 16)))
    assert found.holds is False
    assert found.says.startswith("Sun 16 May: the shop is closed. The next dates that hold: Tue 18")


def test_day_off_takes_no_work_and_no_hand_over():
    book = with_hours(closed_days=frozenset(("2027-05-14",)))
    assert FRIDAY not in {day for day, _, _ in answer(book=book).days}
    assert answer(a_brief(on=FRIDAY), book=book).holds is False


def test_today_is_not_counted_as_bench_time():
    book = with_policies(least_notice_days=0)
    assert answer(a_brief((6,)), book=book, today=FRIDAY).holds is False
    assert answer(a_brief((6,)), book=book, today=THURSDAY).holds is True


def test_shop_that_never_opens_has_no_date():
    found = answer(book=with_policies(hours=OpenHours((0, 0, 0, 0, 0, 0, 0))))
    assert found.holds is False
    assert found.says.endswith("No date in the next 60 days holds.")
    assert found.next_dates == ()


def test_single_next_date_is_said_as_one():
    # The shop works one more week in the year.
    off = {(SATURDAY + timedelta(days=ahead)).isoformat() for ahead in range(5, 120)}
    book = with_hours(closed_days=frozenset({SATURDAY.isoformat(), "2027-05-18", *off}))
    found = answer(a_brief((6,)), book=book)
    assert found.next_dates == (date(2027, 5, 19),)
    assert found.says.endswith("The next date that holds: Wed 19 May.")


def test_calendar_says_the_same_as_the_answer():
    booked = {FRIDAY: 480, THURSDAY: 300, WEDNESDAY: 310, date(2027, 5, 20): 480}
    brief = a_brief()
    first, last = date(2027, 5, 1), date(2027, 5, 31)
    month = free_days(first, last, brief, BOOK, work_of(brief, BOOK), TODAY, booked)
    assert (next(iter(month)), list(month)[-1]) == (first, last)
    for day, is_free in month.items():
        later = replace(brief, event=replace(brief.event, on=day))
        assert answer(later, booked=booked).holds is is_free, day
    assert set(month.values()) == {True, False}


def test_same_question_has_the_same_answer_after_others_were_asked():
    brief = a_brief(decorations=[ChosenDecoration("sugar-peony", 3, 2)])
    first = answer(brief)
    for function in (order_of_work, next_dates):
        function.cache_clear()
    assert answer(brief) == first


def test_answer_does_not_depend_on_prices_or_on_the_clients_name():
    brief = a_brief()
    work = work_of(brief, BOOK)
    calendar, until = calendar_of(BOOK, TODAY, {}), hand_over_of(brief, SATURDAY, BOOK)
    once = order_of_work(job_of(brief, BOOK, work), until, calendar)
    other = replace(
        brief, client=replace(brief.client, name="Otto Brandl"), notes="By the pear tree"
    )
    dearer = with_policies(minimum_order=BOOK.policies.price_per_serving)
    again = order_of_work(job_of(other, dearer, work), until, calendar_of(dearer, TODAY, {}))
    assert again is once  # remembered, not worked out again


# --- what an order books ---


def test_booked_days_are_those_of_the_order_of_work():
    assert books() == kitchen().days
    assert [day for day, _ in books()] == [THURSDAY, FRIDAY, SATURDAY]


def test_second_order_is_laid_round_the_first():
    first = dict(books(a_brief(on=FRIDAY)))
    second = books(booked=first)
    assert second == kitchen(booked=first).days
    for day, minutes in second:
        if day != SATURDAY:  # boxed on the day, also where the day is full
            assert first.get(day, 0) + minutes <= open_minutes(day, BOOK.policies.hours)


def test_booking_that_does_not_fit_shows_its_days_overfull():
    full = {SATURDAY - timedelta(days=days): 480 for days in range(1, 30)}
    assert answer(booked=full).holds is False
    laid = books(booked=full)
    assert laid == books()  # as if nothing else were booked
    assert any(
        full.get(day, 0) + used > open_minutes(day, BOOK.policies.hours) for day, used in laid
    )


def test_booking_that_could_never_be_made_in_time_is_laid_on_the_days_left():
    brief, today = a_brief((14, 12, 9, 6)), date(2027, 5, 13)  # Friday is the only day left
    laid = books(brief, today=today)
    assert laid == ((FRIDAY, to_do(brief)),)
    assert to_do(brief) > 480
    tomorrow = a_brief(on=today + timedelta(days=1))
    assert sum(used for _, used in books(tomorrow, today=today)) == to_do(tomorrow)


@pytest.mark.parametrize("minutes", [0, 45, 20_000])
def test_all_the_minutes_are_booked_whatever_they_are(minutes):
    brief = a_brief((6,))
    more = Task("Carve the cake", minutes, 0, "", 0, "bench")
    work = Work((*work_of(brief, BOOK).tasks, more))
    for today in (TODAY, FRIDAY, SATURDAY):
        laid = booking(brief, BOOK, work, today, {})
        assert sum(used for _, used in laid) == work.hands_on - 50
        assert all(used > 0 for _, used in laid)


def test_signed_orders_fill_the_days_until_one_more_does_not_hold():
    booked: dict[date, int] = {}
    for _ in range(3):
        for day, minutes in books(booked=booked):
            booked[day] = booked.get(day, 0) + minutes
    fourth = answer(booked=booked)
    assert fourth.holds is False
    assert fourth.says == kitchen(booked=booked).says
    assert answer(a_brief(on=fourth.next_dates[0]), booked=booked).holds is True
