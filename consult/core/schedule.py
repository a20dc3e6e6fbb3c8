"""When is each task done, back from hand-over? And where a date cannot be held, what breaks it?"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from consult.core.design import Brief
from consult.core.job import Job, job_of
from consult.core.schedule_problem import SLOT, Sitting, slots_of
from consult.core.timeline import OrderOfWork, date_answer, hand_over_of, order_of_work
from consult.core.work import Work
from consult.core.working_days import calendar_of, day_words
from shop.core.book import ShopBook


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
    It is finished the evening before where it can be, else on the same morning, and says so. Whether it
    holds, what breaks it and which dates hold next are `date_answer`'s.
    """
    answer = date_answer(brief, book, work, today, booked)
    on = brief.event.on
    if on is None or not answer.holds:
        return Schedule(answer.holds, (), answer.says, answer.breaks_on, answer.next_dates)
    job, calendar = job_of(brief, book, work), calendar_of(book, today, booked)
    order = order_of_work(job, hand_over_of(brief, on, book), calendar)
    if order is None or not order.question.sittings:
        return Schedule(True, (), answer.says, proved=True)
    return _laid(job, order, today)


def _laid(job: Job, order: OrderOfWork, today: date) -> Schedule:
    frame, reasons, starts = order.question.frame, _reasons(job), tuple(order.starts())
    parts = [_entry(sitting, begins, reasons) for sitting, begins in starts]
    after = frame.until
    for step in job.steps:
        if step.by == "after":
            parts.append(_entry(Sitting(step, step.hands_on, True), after, reasons))
            after = parts[-1].ends
    entries = tuple(_joined(sorted(parts, key=lambda entry: (entry.starts, entry.ends))))
    words = day_words(frame.until.date(), today)
    fresh = [begins for sitting, begins in starts if sitting.step.fresh]
    begins = min(fresh or [begins for _, begins in starts])
    says = f"{words} holds: begun on {day_words(begins.date(), today)} at {begins:%H:%M}"
    says += ", finished the evening before." if order.evening else ", finished on the same morning."
    return Schedule(True, entries, says, "", (), minutes_by_day(entries), order.plan.proved)


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
