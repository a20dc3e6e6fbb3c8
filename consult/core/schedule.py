"""When is each task done, back from hand-over? And where a date cannot be held, what breaks it?"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from consult.core.design import Brief
from consult.core.job import Job, Step, job_of
from consult.core.schedule_problem import (
    SLOT,
    Question,
    Sitting,
    clock,
    late_by,
    question_of,
    slots_of,
)
from consult.core.solving import EFFORT, Plan, solved
from consult.core.stack_rules import tier_name
from consult.core.timeline import DATES_SHOWN, day_words, not_open_for
from consult.core.work import Work
from shop.core.book import ShopBook
from shop.core.measures import minutes_written

DAYS_TRIED = 60  # days on from the date asked for, in which the next dates that hold are looked for


@dataclass(frozen=True, slots=True)
class Entry:
    """One task on the day: local times without a zone, as on the shop's clock.

    `hands_on` minutes from `starts`; `ends` is when the hands are free again, on a grid of five minutes.
    `waiting` minutes follow, in `machine`: "oven", "fridge" or "" for a rack or the air. `why` is how
    the minutes come about and what it has waited for. `tier` counts from the base, 0.
    """

    what: str
    starts: datetime
    ends: datetime
    hands_on: int
    waiting: int
    machine: str
    why: str
    tier: int | None = None


@dataclass(frozen=True, slots=True)
class Schedule:
    """The order of work by the clock, or why there is none.

    `holds` is None without a date. `breaks_on` names the task that cannot be done in time. `days` are
    the hands-on minutes by day. `proved`: no order of work begins the baking later.
    """

    holds: bool | None
    entries: tuple[Entry, ...]
    says: str
    breaks_on: str = ""
    next_dates: tuple[date, ...] = ()
    days: tuple[tuple[date, int], ...] = ()
    proved: bool = False


def minutes_by_day(entries: Sequence[Entry]) -> tuple[tuple[date, int], ...]:
    """Hands-on minutes by day, earliest first: what a confirmed order takes of each day."""
    by_day: dict[date, int] = {}
    for entry in entries:
        if entry.hands_on:
            by_day[entry.starts.date()] = by_day.get(entry.starts.date(), 0) + entry.hands_on
    return tuple(sorted(by_day.items()))


def schedule_of(
    brief: Brief, book: ShopBook, work: Work, today: date, booked: Mapping[date, int]
) -> Schedule:
    """The work of the brief laid back from hand-over; `booked` are other orders' minutes by day.

    `work` is that of `work_of`. Without a time of hand-over it is the first hour the shop hands over.
    It is finished the evening before where it can be, else on the same morning, and says so.
    """
    on = brief.event.on
    if on is None:
        return Schedule(None, (), "No date yet.")
    job = job_of(brief, book, work)
    lead = max((-(-step.elapsed // (24 * 60)) for step in job.steps if step.ahead), default=0)
    closed = not_open_for(on, lead, book, today)
    if closed:
        breaks = _slowest(job) if lead and not not_open_for(on, 0, book, today) else ""
        return _no(closed, breaks, _next_dates(job, brief, book, today, booked, on), today)
    if not job.steps:
        return Schedule(True, (), f"{day_words(on, today)} holds.", proved=True)
    until = _hand_over(brief, on, book)
    for evening in (True, False):
        question = question_of(job, until, book, today, booked, evening=evening)
        plan = solved(question.problem)
        if plan.found:
            return _laid(job, question, plan, today, evening=evening)
    says, breaks = _what_breaks(job, until, brief, book, today, booked)
    return _no(says, breaks, _next_dates(job, brief, book, today, booked, on), today)


def _hand_over(brief: Brief, on: date, book: ShopBook) -> datetime:
    at = brief.hand_over.at or clock(book.policies.hours.hand_over_from, time(9))
    return datetime.combine(on, at)


# --- a date that holds ---


def _laid(job: Job, question: Question, plan: Plan, today: date, *, evening: bool) -> Schedule:
    frame, reasons = question.frame, _reasons(job)
    parts = [
        _entry(sitting, frame.time(start), reasons)
        for sitting, start in zip(question.sittings, plan.starts, strict=True)
    ]
    after = frame.until
    for step in job.steps:
        if step.by == "after":
            parts.append(_entry(Sitting(step, step.hands_on, True), after, reasons))
            after = parts[-1].ends
    entries = tuple(_joined(sorted(parts, key=lambda entry: (entry.starts, entry.ends))))
    words = day_words(frame.until.date(), today)
    fresh = [
        start
        for sitting, start in zip(question.sittings, plan.starts, strict=True)
        if sitting.step.fresh
    ]
    begins = frame.time(min(fresh or plan.starts))
    says = f"{words} holds: begun on {day_words(begins.date(), today)} at {begins:%H:%M}"
    says += ", finished the evening before." if evening else ", finished on the same morning."
    return Schedule(True, entries, says, "", (), minutes_by_day(entries), plan.proved)


def _reasons(job: Job) -> dict[int, str]:
    """What each step waits for and why, where there is more to say than the order."""
    said: dict[int, list[str]] = {}
    for wait in job.waits:
        if wait.why != "in this order":
            reasons = said.setdefault(wait.after, [])
            if wait.why not in reasons:
                reasons.append(wait.why)
    return {number: "; ".join(reasons) for number, reasons in said.items()}


def _entry(sitting: Sitting, starts: datetime, reasons: Mapping[int, str]) -> Entry:
    step = sitting.step
    why = "; ".join(word for word in (step.why, reasons.get(step.number, "")) if word)
    return Entry(
        what=step.what,
        starts=starts,
        ends=starts + timedelta(minutes=slots_of(sitting.minutes) * SLOT),
        hands_on=sitting.minutes,
        waiting=step.elapsed if sitting.is_last else 0,
        machine=step.machine if sitting.is_last else "",
        why=why,
        tier=step.tier,
    )


def _joined(entries: Sequence[Entry]) -> Iterator[Entry]:
    """Sittings of one task that follow each other are one entry."""
    held: Entry | None = None
    for entry in entries:
        same = held and (held.what, held.tier, held.why) == (entry.what, entry.tier, entry.why)
        if held and same and held.ends == entry.starts and not held.waiting:
            held = Entry(
                held.what, held.starts, entry.ends, held.hands_on + entry.hands_on,
                entry.waiting, entry.machine, held.why, held.tier,
            )  # fmt: skip
            continue
        if held:
            yield held
        held = entry
    if held:
        yield held


# --- a date that does not hold ---


def _no(says: str, breaks_on: str, following: tuple[date, ...], today: date) -> Schedule:
    names = [day_words(day, today) for day in following]
    if not names:
        more = f"No date in the next {DAYS_TRIED} days holds."
    elif len(names) == 1:
        more = f"The next date that holds: {names[0]}."
    else:
        more = f"The next dates that hold: {', '.join(names[:-1])} and {names[-1]}."
    return Schedule(False, (), f"{says} {more}", breaks_on, following)


def _slowest(job: Job) -> str:
    """What dries longest."""
    return max((step for step in job.steps if step.ahead), key=lambda step: step.elapsed).what


def _named(step: Step, brief: Brief, book: ShopBook) -> str:
    """The task, with its tier where it has one."""
    if step.tier is None or step.ahead:
        return step.what
    return f"{step.what} ({tier_name(brief.design.tiers[step.tier], book.identity.units)})"


def _what_breaks(
    job: Job, until: datetime, brief: Brief, book: ShopBook, today: date,
    booked: Mapping[date, int],
) -> tuple[str, str]:  # fmt: skip
    """The task that breaks the date, in a sentence and by its words."""
    words = f"{day_words(until.date(), today)} does not hold"
    question = question_of(job, until, book, today, booked, evening=False, in_time=False)
    plan = solved(question.problem, any_plan=True)
    if not plan.found:
        if plan.stuck is None:
            return f"{words}: {minutes_written(job.hands_on)} do not fit before it.", ""
        step = question.sittings[plan.stuck].step
        takes = minutes_written(step.hands_on + (step.elapsed if step.attended else 0))
        says = f"{words}: {_named(step, brief, book)} takes {takes} in one go, and no day has room."
        return says, step.what
    late = late_by(question, plan)
    if not late:
        return f"{words}: {minutes_written(job.hands_on)} do not fit before it.", ""
    _, sitting, starts = late[0]
    name, due = _named(sitting.step, brief, book), day_words(starts.date(), today)
    if sitting.step.ahead:
        days = -(-sitting.step.elapsed // (24 * 60))
        dry = "1 day" if days == 1 else f"{days} days"
        return f"{words}: {name} needs {dry} to dry and would have been due on {due}.", name
    if starts.date() < question.frame.tomorrow:
        return f"{words}: {name} would have been due on {due}.", sitting.step.what
    days = book.policies.hours.bake_days_before
    on = "working day" if days == 1 else "working days"
    says = f"{words}: {name} would be due on {due}, and a cake is begun {days} {on} before at most."
    return says, sitting.step.what


def _next_dates(
    job: Job, brief: Brief, book: ShopBook, today: date, booked: Mapping[date, int], after: date
) -> tuple[date, ...]:
    found: list[date] = []
    lead = max((-(-step.elapsed // (24 * 60)) for step in job.steps if step.ahead), default=0)
    day = max(after, today)
    for _ in range(DAYS_TRIED):
        day += timedelta(days=1)
        if not not_open_for(day, lead, book, today) and _holds(
            job, brief, book, today, booked, day
        ):
            found.append(day)
        if len(found) == DATES_SHOWN:
            break
    return tuple(found)


def _holds(
    job: Job, brief: Brief, book: ShopBook, today: date, booked: Mapping[date, int], day: date
) -> bool:
    """Whether the same solver finds an order of work for that day, whatever its quality."""
    until = _hand_over(brief, day, book)
    for evening in (True, False):
        question = question_of(job, until, book, today, booked, evening=evening)
        if not question.problem.activities:
            return True
        if solved(question.problem, EFFORT // 4, any_plan=True).found:
            return True
    return False
