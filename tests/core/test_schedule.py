"""Does the clock's order of work keep waits and hours, and say truly which task breaks a date?"""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core.design import Brief, ChosenDecoration, HandOver
from consult.core.job import job_of
from consult.core.schedule import Entry, minutes_by_day, schedule_of
from consult.core.schedule_problem import question_of, sittings_of
from consult.core.solving import solved
from consult.core.work import work_of
from consult.core.working_days import calendar_of, open_minutes
from shop.core.catalogue import BenchTask, Driver
from shop.sample_setup import sample_book
from tests.makers import make_book, make_brief, make_design

BOOK = sample_book()  # Tuesday to Friday 8 h from 08:00, Saturday 6 h
TODAY = date(2027, 3, 3)
SATURDAY = date(2027, 5, 15)
FRIDAY, THURSDAY = SATURDAY - timedelta(days=1), SATURDAY - timedelta(days=2)


def a_brief(tiers=(12, 9, 6), *, finish="", decorations=(), **more):
    design = make_design(tiers, flavour="", filling="", finish=finish, decorations=decorations)
    return make_brief(design=design, **more)


def a_schedule(brief=None, *, book=BOOK, today=TODAY, booked=None):
    brief = brief or a_brief()
    return schedule_of(brief, book, work_of(brief, book), today, booked or {})


def with_kitchen(**changes):
    policies = BOOK.policies
    return replace(BOOK, policies=replace(policies, kitchen=replace(policies.kitchen, **changes)))


def with_hours(**changes):
    policies = BOOK.policies
    return replace(BOOK, policies=replace(policies, hours=replace(policies.hours, **changes)))


def named(schedule, what):
    return [entry for entry in schedule.entries if entry.what == what]


BRIEFS = st.builds(
    a_brief,
    st.sampled_from([(6,), (8, 6), (12, 9, 6), (14, 12, 9, 6)]),
    finish=st.sampled_from([finish.code for finish in BOOK.finishes]),
    decorations=st.lists(
        st.builds(
            ChosenDecoration,
            st.sampled_from([thing.code for thing in BOOK.decorations]),
            st.integers(1, 3),
            st.sampled_from([None, 0, 1]),
        ),
        max_size=3,
    ),
    delivery_km=st.sampled_from([None, 15]),
)
BOOKED = st.dictionaries(
    st.dates(date(2027, 5, 3), SATURDAY), st.sampled_from([60, 240, 480]), max_size=6
)


@settings(max_examples=25, deadline=None)
@given(BRIEFS, BOOKED, st.sampled_from([1, 2]))
def test_schedule_keeps_hours_hands_and_every_minute(brief, booked, hands):
    book = with_kitchen(hands=hands)
    work = work_of(brief, book)
    found = schedule_of(brief, book, work, TODAY, booked)
    if not found.holds:
        assert found.entries == ()
        assert found.says.startswith("Sat 15 May")
        return
    to_do = work.hands_on - 50  # the talk with the client, the sketch and its sums are done
    assert sum(entry.hands_on for entry in found.entries) == to_do
    assert sum(minutes for _, minutes in found.days) == to_do
    road = ("Drive there", "Drive back", "Set up at the venue", "Dowel and stack")
    bench = [entry for entry in found.entries if entry.hands_on and entry.what not in road]
    for entry in bench:
        day = entry.starts.date()
        opens = datetime.combine(day, time(8))
        closes = opens + timedelta(minutes=open_minutes(day, book.policies.hours) // hands)
        assert opens <= entry.starts < entry.ends <= closes, entry
    for day in {entry.starts.date() for entry in bench}:
        used = sum(entry.hands_on for entry in bench if entry.starts.date() == day)
        assert used <= open_minutes(day, book.policies.hours) - booked.get(day, 0)
    for entry in found.entries:
        at_once = [o for o in found.entries if o.starts <= entry.starts < o.ends]
        assert len(at_once) <= hands, entry


@settings(max_examples=25, deadline=None)
@given(BRIEFS, BOOKED)
def test_schedule_keeps_every_wait_of_the_job_in_minutes(brief, booked):
    job = job_of(brief, BOOK, work_of(brief, BOOK))
    calendar = calendar_of(BOOK, TODAY, booked)
    question = question_of(job, datetime.combine(SATURDAY, time(14)), calendar)
    plan = solved(question.problem)
    if not plan.found:
        return
    starts, ends = {}, {}
    for sitting, start in zip(question.sittings, plan.starts, strict=True):
        number, begins = sitting.step.number, question.frame.time(start)
        starts.setdefault(number, begins)
        ends[number] = max(ends.get(number, begins), begins + timedelta(minutes=sitting.minutes))
    for wait in job.waits:
        between = starts[wait.after] - ends[wait.before]
        assert between >= timedelta(minutes=wait.least), wait
        if wait.most is not None:  # hands are given whole slots of five minutes
            assert between <= timedelta(minutes=wait.most + 5), wait
    for step in job.steps:
        if step.is_laid:
            done = ends[step.number] + timedelta(minutes=step.elapsed)
            assert done <= datetime.combine(SATURDAY, time(14)) + timedelta(minutes=5), step


def test_cake_is_finished_the_evening_before_and_boxed_on_the_day():
    found = a_schedule()
    assert found.holds
    assert found.says.endswith("finished the evening before.")
    assert {e.what for e in found.entries if e.starts.date() == SATURDAY} == {
        "Box and pack the kit"
    }
    coats = named(found, "Vanilla buttercream, smooth")
    assert len(coats) == 3
    assert {entry.starts.date() for entry in coats} == {FRIDAY}


def test_delivery_ends_with_set_up_at_the_hour_agreed_and_the_way_back_after():
    found = a_schedule(a_brief(delivery_km=20))  # 14:00
    [set_up], [back] = named(found, "Set up at the venue"), named(found, "Drive back")
    assert set_up.ends == back.starts == datetime(2027, 5, 15, 14)
    [there] = named(found, "Drive there")
    assert there.ends <= set_up.starts <= there.ends + timedelta(minutes=15)


def test_finishing_on_the_same_morning_only_where_there_is_no_other_way_and_it_says_so():
    brief = a_brief((6,))
    full = {THURSDAY: 480, date(2027, 5, 12): 480}
    found = a_schedule(brief, booked={**full, FRIDAY: 0})
    assert found.says.endswith("finished the evening before.")
    found = a_schedule(brief, booked={**full, FRIDAY: 400})  # 80 min are enough to bake
    assert found.holds
    assert found.says.endswith("finished on the same morning.")


def test_oven_takes_only_what_fits_in():
    found = a_schedule(book=with_kitchen(oven_shelves=1))
    baked = sorted(named(found, "Bake"), key=lambda entry: entry.starts)
    assert [entry.machine for entry in baked] == ["oven"] * 3
    twelve = next(entry for entry in baked if entry.tier == 0)  # fills the one shelf
    for other in baked:
        if other is not twelve:
            apart = abs((other.ends - twelve.ends).total_seconds()) / 60
            assert apart >= 45


def test_peonies_that_would_be_late_break_the_date_and_are_named():
    brief = a_brief(decorations=[ChosenDecoration("sugar-peony", 3, 2)])
    assert a_schedule(brief, today=date(2027, 5, 5)).holds
    found = a_schedule(brief, today=date(2027, 5, 8))
    assert found.holds is False
    assert found.breaks_on == "Sugar peony, wired"
    assert found.says.startswith(
        "Sat 15 May does not hold: Sugar peony, wired needs 5 days to dry and would have been due on"
    )
    assert len(found.next_dates) == 3
    assert found.next_dates[0] > SATURDAY


def test_next_dates_do_hold():
    brief = a_brief(decorations=[ChosenDecoration("sugar-peony", 3, 2)])
    for day in a_schedule(brief, today=date(2027, 5, 8)).next_dates:
        later = replace(brief, event=replace(brief.event, on=day))
        assert a_schedule(later, today=date(2027, 5, 8)).holds


def test_date_before_the_pieces_could_dry_names_them():
    brief = a_brief(decorations=[ChosenDecoration("sugar-peony", 1, 2)])
    found = a_schedule(brief, today=SATURDAY - timedelta(days=5))
    assert (found.holds, found.breaks_on) == (False, "Sugar peony, wired")
    assert "5 days away" in found.says


def test_full_week_breaks_the_date_at_the_task_that_falls_before_the_baking_days():
    booked = {SATURDAY - timedelta(days=days): 470 for days in range(1, 5)}
    found = a_schedule(booked=booked)
    assert found.holds is False
    assert found.breaks_on
    assert "a cake is begun 3 working days before at most" in found.says
    assert found.next_dates


def test_task_longer_than_a_day_in_one_go_is_named():
    carved = BenchTask(
        "carve", "Carve the cake", Driver.PER_TIER, Decimal(0), Decimal(600), "eaten", 0, "Cool"
    )
    found = a_schedule(a_brief((8,)), book=replace(BOOK, tasks=(*BOOK.tasks, carved)))
    assert (found.holds, found.breaks_on, found.next_dates) == (False, "Carve the cake", ())
    assert "takes 10 h in one go, and no day has room" in found.says
    assert found.says.endswith("No date in the next 60 days holds.")


def test_hand_painting_longer_than_a_day_is_done_in_sittings():
    book = with_hours(bench_minutes=(0, 120, 120, 120, 120, 120, 0), bake_days_before=9)
    brief = a_brief((9,), finish="painted-fondant", on=date(2027, 5, 14))
    painted = named(a_schedule(brief, book=book), "Fondant, hand painted")
    assert sum(entry.hands_on for entry in painted) > 120
    assert len({entry.starts.date() for entry in painted}) > 1


def test_sittings_add_up_to_their_step():
    job = job_of(
        brief := a_brief(decorations=[ChosenDecoration("sugar-rose", 20)]),
        BOOK,
        work_of(brief, BOOK),
    )
    for step in job.steps:
        sittings = sittings_of(step)
        assert sum(one.minutes for one in sittings) == step.hands_on
        assert [one.is_last for one in sittings] == [False] * (len(sittings) - 1) + [True]


@pytest.mark.parametrize(
    ("on", "says"),
    [
        (date(2027, 3, 2), "Tue 2 Mar is past."),
        (date(2027, 5, 16), "Sun 16 May: the shop is closed."),
        (
            date(2027, 3, 6),
            "Sat 6 Mar is 3 days away; the shop takes orders with 4 days of notice.",
        ),
    ],
)
def test_days_that_are_out_of_the_question_say_why(on, says):
    found = a_schedule(a_brief(on=on))
    assert (found.holds, found.breaks_on) == (False, "")
    assert found.says.startswith(says)
    assert len(found.next_dates) == 3


def test_half_filled_briefs_never_raise():
    briefs = (Brief(), a_brief(()), a_brief(on=None), replace(a_brief(), hand_over=HandOver()))
    books = (BOOK, make_book(), replace(BOOK, tasks=()), with_kitchen(opens="", fridge_places=0))
    for brief in briefs:
        for book in books:
            found = a_schedule(brief, book=book)
            assert found.says
            assert (found.holds is None) == (brief.event.on is None)


def test_minutes_by_day_add_up_the_hands():
    noon = datetime(2027, 5, 14, 12)
    entries = (
        Entry("One", noon, noon, 10, 0, "", ""),
        Entry("Two", noon, noon, 5, 60, "oven", ""),
        Entry("Three", noon + timedelta(days=1), noon, 7, 0, "", ""),
        Entry("Dry", noon + timedelta(days=2), noon, 0, 60, "", ""),
    )
    assert minutes_by_day(entries) == ((FRIDAY, 15), (SATURDAY, 7))
    found = a_schedule()
    assert found.days == minutes_by_day(found.entries)


def test_same_brief_has_the_same_schedule():
    assert a_schedule() == a_schedule()
