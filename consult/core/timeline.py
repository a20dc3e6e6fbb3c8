"""Can we take this date? From the order of work itself: a plan that holds it, or what breaks it and what does hold.

What the panel says, the days an order books, the calendar and the order of work by the clock all ask
`order_of_work`, so none of them can disagree with another.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from consult.core.design import Brief
from consult.core.job import Job, Step, job_of
from consult.core.schedule_problem import Question, Sitting, clock, late_by, question_of
from consult.core.solving import Plan, Problem, has_plan, solved
from consult.core.stack_rules import tier_name
from consult.core.work import Work
from consult.core.working_days import (
    Calendar,
    calendar_of,
    day_words,
    days_counted,
    not_open_for,
    open_minutes,
    weekday,
)
from shop.core.book import ShopBook
from shop.core.measures import minutes_written

DATES_SHOWN = 3  # next dates that hold
DAYS_TRIED = 60  # days on from the date asked for, in which they are looked for
EFFORT = (
    1000  # of the solver, the same wherever a date is asked about, so that the answer is the same
)


@dataclass(frozen=True, slots=True)
class DateAnswer:
    """Whether a date holds, and why. `days` are (day, minutes this cake takes, minutes then left).

    `breaks_on` names the task that cannot be done in time; `next_dates` are the first that hold.
    """

    holds: bool | None  # None: no date yet
    says: str
    days: tuple[tuple[date, int, int], ...] = ()
    next_dates: tuple[date, ...] = ()
    breaks_on: str = ""


@dataclass(frozen=True, slots=True)
class OrderOfWork:
    """A plan that holds a date; `evening`: finished on the working day before, not the same morning."""

    question: Question
    plan: Plan
    evening: bool

    def starts(self) -> Iterator[tuple[Sitting, datetime]]:
        """Each sitting with the time it begins, those after hand-over apart."""
        for sitting, start in zip(self.question.sittings, self.plan.starts, strict=True):
            yield sitting, self.question.frame.time(start)


def hand_over_of(brief: Brief, on: date, book: ShopBook) -> datetime:
    """When the cake is handed over on that day: without an hour agreed, the first the shop has."""
    at = brief.hand_over.at or clock(book.policies.hours.hand_over_from, time(9))
    return datetime.combine(on, at)


# What is asked again and again while a consultation's other answers are kept is remembered by all that
# it depends on. The same question always has the same answer, so forgetting one costs time and no more.


@lru_cache(maxsize=64)
def order_of_work(job: Job, until: datetime, calendar: Calendar) -> OrderOfWork | None:
    """The job laid back from hand-over: finished the evening before where it can be, else that morning.

    None where no plan is found. A job with nothing to lay has an empty plan.
    """
    for evening in (True, False):
        question = question_of(job, until, calendar, evening=evening)
        plan = solved(question.problem, EFFORT)
        if plan.found or not question.sittings:
            return OrderOfWork(question, plan, evening)
    return None


def holds_on(day: date, job: Job, at: time, calendar: Calendar) -> bool:
    """Whether `order_of_work` has a plan for hand-over at that hour of the day, and the shop is open for it."""
    return not not_open_for(day, job.lead_days, calendar) and _has_plan(
        job, datetime.combine(day, at), calendar
    )


@lru_cache(maxsize=4096)
def _has_plan(job: Job, until: datetime, calendar: Calendar) -> bool:
    for evening in (True, False):
        problem = question_of(job, until, calendar, evening=evening).problem
        if _is_solved(_Like(problem)):
            return True
    return False


@dataclass(frozen=True, slots=True)
class _Like:
    """A problem by its values: in a quiet calendar, that of one Saturday is that of the next."""

    problem: Problem

    def __hash__(self) -> int:
        return hash((self.problem.activities, self.problem.benches))


@lru_cache(maxsize=1024)
def _is_solved(like: _Like) -> bool:
    """Whether the solver finds a plan, be it the best or not."""
    return has_plan(like.problem, EFFORT)


def date_answer(
    brief: Brief, book: ShopBook, work: Work, today: date, booked: Mapping[date, int]
) -> DateAnswer:
    """Whether the cake of the brief can be made for its day, in the trade's words.

    `work` is that of `work_of`; `booked` is what other orders take of the bench, minutes by day.
    """
    on = brief.event.on
    if on is None:
        return DateAnswer(None, "No date yet.")
    job, calendar = job_of(brief, book, work), calendar_of(book, today, booked)
    until, words = hand_over_of(brief, on, book), day_words(on, today)
    closed = not_open_for(on, job.lead_days, calendar)
    if closed:
        only_dries = job.lead_days and not not_open_for(on, 0, calendar)
        return _no(closed, _slowest(job) if only_dries else "", job, until, calendar)
    order = order_of_work(job, until, calendar)
    if order is None:
        says, breaks = _what_breaks(job, until, calendar, brief, book)
        return _no(f"{words} does not hold: {says}", breaks, job, until, calendar)
    days = _with_what_is_left(days_of(job, order), calendar)
    if not days:
        return DateAnswer(True, f"{words} holds.")
    return DateAnswer(True, f"{words} holds: {_fit(days, on, today)}.", days)


def days_of(job: Job, order: OrderOfWork) -> tuple[tuple[date, int], ...]:
    """The minutes of hands by day, earliest first: what is done after hand-over counts to that day."""
    by_day: dict[date, int] = {}
    for sitting, begins in order.starts():
        if sitting.minutes:
            by_day[begins.date()] = by_day.get(begins.date(), 0) + sitting.minutes
    after = sum(step.hands_on for step in job.steps if step.by == "after")
    if after:
        last = order.question.frame.until.date()
        by_day[last] = by_day.get(last, 0) + after
    return tuple(sorted(by_day.items()))


def _with_what_is_left(
    days: tuple[tuple[date, int], ...], calendar: Calendar
) -> tuple[tuple[date, int, int], ...]:
    booked = dict(calendar.booked)
    return tuple(
        (day, used, max(open_minutes(day, calendar.hours) - booked.get(day, 0) - used, 0))
        for day, used in days
    )


def _fit(days: tuple[tuple[date, int, int], ...], on: date, today: date) -> str:
    """ "9 h 30 min fit on Thu and Fri, and 15 min on the day"."""
    last = sum(used for day, used, _ in days if day == on)
    before = [day for day, _, _ in days if day != on]
    if not before:
        return f"{minutes_written(last)} fit on the day"
    minutes = minutes_written(sum(used for day, used, _ in days if day != on))
    says = f"{minutes} fit on {_on_days(before, on, today)}"
    return f"{says}, and {minutes_written(last)} on the day" if last else says


def _on_days(days: list[date], hand_over: date, today: date) -> str:
    """Days in a row: "Thu and Fri"; with their dates when they are more than six days before."""
    near = all((hand_over - day).days < 7 for day in days)
    names = [weekday(day) if near else day_words(day, today) for day in days]
    if len(names) > 4:
        return f"{len(names)} days from {names[0]} to {names[-1]}"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


# --- a date that does not hold ---


def _no(says: str, breaks_on: str, job: Job, until: datetime, calendar: Calendar) -> DateAnswer:
    following = next_dates(job, until, calendar)
    names = [day_words(day, calendar.today) for day in following]
    if not names:
        more = f"No date in the next {DAYS_TRIED} days holds."
    elif len(names) == 1:
        more = f"The next date that holds: {names[0]}."
    else:
        more = f"The next dates that hold: {', '.join(names[:-1])} and {names[-1]}."
    return DateAnswer(False, f"{says} {more}", (), following, breaks_on)


@lru_cache(maxsize=512)
def next_dates(job: Job, until: datetime, calendar: Calendar) -> tuple[date, ...]:
    """The first dates after that hand-over (and after today) that hold at the same hour."""
    found: list[date] = []
    first = max(until.date(), calendar.today)
    for ahead in range(1, DAYS_TRIED + 1):
        day = first + timedelta(days=ahead)
        if holds_on(day, job, until.time(), calendar):
            found.append(day)
        if len(found) == DATES_SHOWN:
            break
    return tuple(found)


def _slowest(job: Job) -> str:
    """What dries longest."""
    return max((step for step in job.steps if step.ahead), key=lambda step: step.elapsed).what


@dataclass(frozen=True, slots=True)
class _Break:
    """The step that breaks a date, and when it would have been due; without that, no day has room for it."""

    step: Step
    due: datetime | None = None


@lru_cache(maxsize=512)
def _break(job: Job, until: datetime, calendar: Calendar) -> _Break | None:
    """What is late, laid as if there had been time enough; None where it is the whole and no one step."""
    question = question_of(job, until, calendar, evening=False, in_time=False)
    plan = solved(question.problem, EFFORT, any_plan=True)
    if not plan.found:
        return None if plan.stuck is None else _Break(question.sittings[plan.stuck].step)
    late = late_by(question, plan)
    return _Break(late[0][1].step, late[0][2]) if late else None


def _what_breaks(
    job: Job, until: datetime, calendar: Calendar, brief: Brief, book: ShopBook
) -> tuple[str, str]:
    """The task that breaks the date, in a sentence and by its words."""
    found = _break(job, until, calendar)
    if found is None:
        return f"{minutes_written(job.to_do)} do not fit before it.", ""
    step, name = found.step, _named(found.step, brief, book)
    if found.due is None:
        takes = minutes_written(step.hands_on + (step.elapsed if step.attended else 0))
        return f"{name} takes {takes} in one go, and no day has room.", step.what
    due = day_words(found.due.date(), calendar.today)
    if step.ahead:
        dry = days_counted(-(-step.elapsed // (24 * 60)))
        return f"{name} needs {dry} to dry and would have been due on {due}.", step.what
    if found.due.date() <= calendar.today:
        return f"{name} would have been due on {due}.", step.what
    days = calendar.hours.bake_days_before
    on = "working day" if days == 1 else "working days"
    says = f"{name} would be due on {due}, and a cake is begun {days} {on} before at most."
    return says, step.what


def _named(step: Step, brief: Brief, book: ShopBook) -> str:
    """The task, with its tier where it has one."""
    if step.tier is None or step.ahead:
        return step.what
    return f"{step.what} ({tier_name(brief.design.tiers[step.tier], book.identity.units)})"


# --- a month, and the days an order books ---


def free_days(
    first: date,
    last: date,
    brief: Brief,
    book: ShopBook,
    work: Work,
    today: date,
    booked: Mapping[date, int],
) -> dict[date, bool]:
    """For each day from `first` to `last`, whether the cake of the brief holds for it."""
    job, calendar = job_of(brief, book, work), calendar_of(book, today, booked)
    return dict(_free_days(first, last, job, hand_over_of(brief, first, book).time(), calendar))


@lru_cache(maxsize=64)
def _free_days(
    first: date, last: date, job: Job, at: time, calendar: Calendar
) -> tuple[tuple[date, bool], ...]:
    days = (first + timedelta(days=ahead) for ahead in range((last - first).days + 1))
    return tuple((day, holds_on(day, job, at, calendar)) for day in days)


def booking(
    brief: Brief, book: ShopBook, work: Work, today: date, booked: Mapping[date, int]
) -> tuple[tuple[date, int], ...]:
    """The minutes an order takes by day, earliest first: those of its order of work.

    All that is still to do is always laid. What does not hold is laid as if nothing else were booked, and
    where that has no plan either onto the working days left, the rest onto the last of them: the days
    are then seen to be overfull. () without a date.
    """
    on = brief.event.on
    if on is None:
        return ()
    job, calendar = job_of(brief, book, work), calendar_of(book, today, booked)
    until = hand_over_of(brief, on, book)
    for tried in (calendar, replace(calendar, booked=())):
        order = order_of_work(job, until, tried)
        if order is not None:
            return days_of(job, order)
    return _overfull(job.to_do, on, calendar)


def _overfull(minutes: int, on: date, calendar: Calendar) -> tuple[tuple[date, int], ...]:
    """Minutes on the working days that are left before a day, latest first, each as full as it goes."""
    booked, laid = dict(calendar.booked), dict[date, int]()
    left = (on - calendar.today).days - 1
    days = [on - timedelta(days=back) for back in range(1, max(left, 0) + 1)]
    working = [day for day in days if open_minutes(day, calendar.hours)]
    for day in working[: calendar.hours.bake_days_before]:
        used = min(max(open_minutes(day, calendar.hours) - booked.get(day, 0), 0), minutes)
        minutes -= used
        if used:
            laid[day] = used
    if minutes:
        last = working[0] if working else max(on - timedelta(days=1), calendar.today)
        laid[last] = laid.get(last, 0) + minutes
    return tuple(sorted(laid.items()))
