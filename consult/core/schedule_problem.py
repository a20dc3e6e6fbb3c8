"""How is a cake's order of work laid on the shop's days? Its network as a problem for the solver, and back."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from consult.core.job import Job, Step
from consult.core.solving import Activity, Bench, Link, Plan, Problem
from consult.core.working_days import Calendar, open_minutes
from shop.core.policies import OpenHours

SLOT = 5  # minutes; hands are given whole slots, which leaves some slack between small tasks
A_DAY = 24 * 60 // SLOT
# What may be interrupted is done in sittings of an hour, or of two where it takes more than a day.
SITTING, LONG_SITTING = 60, 120
# Pieces that dry are begun up to three weeks before they must be ready (common practice, no source).
DAYS_AHEAD = 21


@dataclass(frozen=True, slots=True)
class Frame:
    """The days in question: slot 0 is midnight at the start of `first`. `until` is hand-over.

    `tomorrow` is the first day that can be worked: nobody knows how much of today is gone.
    """

    first: date
    until: datetime
    tomorrow: date

    @property
    def end(self) -> int:
        """The slot of hand-over."""
        return self.slot(self.until)

    def slot(self, at: datetime) -> int:
        since = at - datetime.combine(self.first, time())
        return int(since.total_seconds()) // (60 * SLOT)

    def time(self, slot: int) -> datetime:
        return datetime.combine(self.first, time()) + timedelta(minutes=slot * SLOT)

    def days(self) -> Iterator[date]:
        for number in range((self.until.date() - self.first).days + 1):
            yield self.first + timedelta(days=number)


@dataclass(frozen=True, slots=True)
class Sitting:
    """One go at a step: `minutes` of hands, and whether it is the last."""

    step: Step
    minutes: int
    is_last: bool


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of the solver, with what each activity is a part of."""

    frame: Frame
    problem: Problem
    sittings: tuple[Sitting, ...]
    releases: tuple[int, ...]  # the first slot each may really begin at, however early it was laid


def clock(text: str, otherwise: time = time(8)) -> time:
    """A time of day as the shop wrote it, "08:00"; what is no time gives the other."""
    try:
        return time.fromisoformat(text)
    except ValueError:
        return otherwise


def slots_of(minutes: int) -> int:
    """Whole slots that hold so many minutes."""
    return -(-minutes // SLOT)


def sittings_of(step: Step) -> list[Sitting]:
    """A step in one go, or in sittings where it may be interrupted; their minutes are the step's."""
    sitting = SITTING if step.hands_on <= 8 * SITTING else LONG_SITTING
    if not step.in_sittings or step.hands_on <= sitting:
        return [Sitting(step, step.hands_on, True)]
    count = -(-step.hands_on // sitting)
    rest = step.hands_on - (count - 1) * sitting
    minutes = [rest] + [sitting] * (count - 1)
    return [Sitting(step, part, at + 1 == count) for at, part in enumerate(minutes)]


def benches_of(frame: Frame, calendar: Calendar) -> Iterator[Bench]:
    """The bench days. A day's minutes are those of all hands together, so two pairs take half as long."""
    kitchen, hours, booked = calendar.kitchen, calendar.hours, dict(calendar.booked)
    for day in frame.days():
        minutes = open_minutes(day, hours)
        if not minutes:
            continue
        opens = frame.slot(datetime.combine(day, clock(kitchen.opens)))
        midnight = frame.slot(datetime.combine(day, time())) + A_DAY
        closes = min(opens + minutes // max(kitchen.hands, 1) // SLOT, midnight)
        free = max(minutes - booked.get(day, 0), 0) // SLOT
        yield Bench(opens, closes, free)


def started_on(until: date, count: int, hours: OpenHours) -> date:
    """The working day, so many before a day, on which a cake may be started at the earliest."""
    day, left = until, count
    for _ in range(180):
        if left <= 0:
            break
        day -= timedelta(days=1)
        left -= bool(open_minutes(day, hours))
    return day


def question_of(
    job: Job,
    hand_over: datetime,
    calendar: Calendar,
    *,
    evening: bool = True,
    in_time: bool = True,
) -> Question:
    """The problem of making it for then.

    `evening`: it is finished on the working day before, never on the same morning (a decorator's
    forum post, 2012). Not `in_time`: as if there had been time enough, to see what would be late.
    """
    until = hand_over.date()
    on_cake = max((step.elapsed // (24 * 60) for step in job.steps if not step.ahead), default=0)
    lead = job.lead_days
    hours = calendar.hours
    started = started_on(until - timedelta(days=on_cake), hours.bake_days_before, hours)
    first = min(until - timedelta(days=DAYS_AHEAD + lead), started)
    tomorrow = calendar.today + timedelta(days=1)
    frame = Frame(max(first, tomorrow) if in_time else first, hand_over, tomorrow)
    benches = tuple(benches_of(frame, calendar))
    night = frame.slot(datetime.combine(until, time()))
    finished = max((bench.closes for bench in benches if bench.closes <= night), default=night)
    finished = finished if evening else frame.end
    sittings = [sitting for step in job.steps if step.is_laid for sitting in sittings_of(step)]
    at_work = frame.slot(datetime.combine(tomorrow, time()))
    start = max(frame.slot(datetime.combine(started, time())), at_work)
    releases = tuple(start if one.step.fresh else at_work for one in sittings)
    activities = tuple(
        _activity(one, frame, finished, release if in_time else 0)
        for one, release in zip(sittings, releases, strict=True)
    )
    kitchen = calendar.kitchen
    machines = {
        "oven": 1000 * max(kitchen.oven_shelves * kitchen.oven_loads, 1),
        "fridge": max(kitchen.fridge_places, 0),
    }
    links = tuple(_links(job, sittings))
    problem = Problem(activities, links, benches, max(kitchen.hands, 1), machines)
    return Question(frame, problem, tuple(sittings), releases)


def _activity(one: Sitting, frame: Frame, finished: int, release: int) -> Activity:
    step = one.step
    elapsed = slots_of(step.elapsed) if one.is_last else 0
    by = finished if step.by == "evening" else frame.end
    last = by - elapsed if step.ahead else min(by, frame.end - elapsed)
    return Activity(
        hands=slots_of(one.minutes),
        first=max(release, 0),
        last=last,
        elapsed=elapsed,
        machine=step.machine if one.is_last else "",
        places=step.places if one.is_last else 0,
        attended=step.attended and one.is_last,
        anywhere=step.on_road,
        fresh=step.fresh,
    )


def _links(job: Job, sittings: list[Sitting]) -> Iterator[Link]:
    first: dict[int, int] = {}
    last: dict[int, int] = {}
    for at, one in enumerate(sittings):
        number = one.step.number
        if number in last:
            yield Link(last[number], at, 0)
        first.setdefault(number, at)
        last[number] = at
    for wait in job.waits:
        if wait.before in last and wait.after in first:
            most = None if wait.most is None else wait.most // SLOT
            least = slots_of(wait.least)
            # Rounded to slots, a wait never asks more than it allows.
            most = None if most is None else max(most, least)
            yield Link(last[wait.before], first[wait.after], least, most)


def late_by(question: Question, plan: Plan) -> list[tuple[int, Sitting, datetime]]:
    """Of a plan that took no heed of the time left: what it begins too early, the worst first."""
    found = [
        (release - start, sitting, question.frame.time(start))
        for release, start, sitting in zip(
            question.releases, plan.starts, question.sittings, strict=True
        )
        if start < release
    ]
    return sorted(found, key=lambda row: (-row[0], row[1].step.number))
