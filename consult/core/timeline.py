"""Can we take this date? The bench time a cake needs, laid on the working days before it, latest first."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from shop.core.book import ShopBook
from shop.core.measures import minutes_written
from shop.core.policies import OpenHours

DATES_SHOWN = 3  # next dates that hold
DAYS_SEARCHED = 180  # half a year on from the date asked for
# Pieces that dry can be made over this long before they must be ready: sugar flowers are begun two
# weeks and more ahead (common practice, no source).
DAYS_AHEAD = 21

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class DateAnswer:
    """Whether a date holds, and why. `days` are (day, minutes this cake takes, minutes then left)."""

    holds: bool | None  # None: no date yet
    says: str
    days: tuple[tuple[date, int, int], ...] = ()
    next_dates: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True)
class _Laid:
    """How far the work goes on the days: `short` minutes found no place."""

    days: tuple[tuple[date, int, int], ...]
    short: int


def day_words(day: date, today: date) -> str:
    """A day as the shop says it: "Sat 15 May", with the year when it is not this one."""
    words = f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"
    return words if day.year == today.year else f"{words} {day.year}"


def open_minutes(day: date, hours: OpenHours) -> int:
    """Bench minutes of a day before anything is booked; 0 when the shop is closed."""
    return 0 if day.isoformat() in hours.closed_days else hours.bench_minutes[day.weekday()]


def _working_days(before: date, count: int, hours: OpenHours) -> list[date]:
    """The last `count` working days before a day, latest first; fewer in a shop that hardly opens."""
    found: list[date] = []
    day = before
    for _ in range(DAYS_SEARCHED):
        day -= timedelta(days=1)
        if len(found) == count:
            break
        if open_minutes(day, hours):
            found.append(day)
    return found


def _lay(minutes: int, days: list[date], taken: Mapping[date, int], hours: OpenHours) -> _Laid:
    """Minutes on the days given, in their order, each as full as it goes."""
    laid = []
    for day in days:
        free = max(0, open_minutes(day, hours) - taken.get(day, 0))
        used = min(free, minutes)
        minutes -= used
        if used:
            laid.append((day, used, free - used))
    return _Laid(tuple(laid), minutes)


def _lay_all(
    hands_on: int, made_ahead: int, lead_days: int, hand_over: date, book: ShopBook,
    today: date, booked: Mapping[date, int],
) -> _Laid:  # fmt: skip
    """The dried pieces on the days before they must be ready, and the rest on the days before hand-over.

    Today is left out: nobody knows how much of it is gone.
    """
    hours = book.policies.hours
    cake = [day for day in _working_days(hand_over, hours.bake_days_before, hours) if day > today]
    rest = _lay(hands_on - made_ahead, cake, booked, hours)
    if not made_ahead:
        return _Laid(tuple(sorted(rest.days)), rest.short)
    taken = dict(booked)
    for day, used, _ in rest.days:
        taken[day] = taken.get(day, 0) + used
    ready = hand_over - timedelta(days=lead_days)
    early = [
        day
        for day in _working_days(ready, DAYS_AHEAD, hours)
        if day > today and day >= ready - timedelta(days=DAYS_AHEAD)
    ]
    pieces = _lay(made_ahead, early, taken, hours)
    return _Laid(_merged((*rest.days, *pieces.days)), rest.short + pieces.short)


def _merged(days: tuple[tuple[date, int, int], ...]) -> tuple[tuple[date, int, int], ...]:
    """Each day once, earliest first; what was laid on it later knows best what is left."""
    by_day: dict[date, tuple[int, int]] = {}
    for day, used, left in days:
        before, _ = by_day.get(day, (0, 0))
        by_day[day] = (before + used, left)
    return tuple((day, used, left) for day, (used, left) in sorted(by_day.items()))


def not_open_for(hand_over: date, lead_days: int, book: ShopBook, today: date) -> str:
    """Why a date cannot be taken whatever is booked; "" when it can."""
    policies, left = book.policies, (hand_over - today).days
    words = day_words(hand_over, today)
    if left < 0:
        return f"{words} is past."
    if not open_minutes(hand_over, policies.hours):
        return f"{words}: the shop is closed."
    if left < policies.least_notice_days:
        return (
            f"{words} is {_days(left)} away; the shop takes orders with "
            f"{_days(policies.least_notice_days)} of notice."
        )
    if left <= lead_days:
        return (
            f"{words} is {_days(left)} away, but the dried pieces need {_days(lead_days)} "
            "after they are made."
        )
    return ""


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _holds(
    hands_on: int, made_ahead: int, lead_days: int, day: date, book: ShopBook, today: date,
    booked: Mapping[date, int],
) -> bool:  # fmt: skip
    if not_open_for(day, lead_days, book, today):
        return False
    return not _lay_all(hands_on, made_ahead, lead_days, day, book, today, booked).short


def date_answer(
    hands_on_minutes: int,
    lead_days: int,
    hand_over: date | None,
    book: ShopBook,
    today: date,
    booked: Mapping[date, int],
    made_ahead: int = 0,
) -> DateAnswer:
    """Whether the cake can be made for that day, in the trade's words, with the days it would take.

    `made_ahead` are those of the hands-on minutes that go into pieces which then dry for `lead_days`;
    they may lie earlier than the shop's baking days. `booked` is what other orders take, by day.
    Nothing is done on the day of hand-over: a cake is finished the evening before (common practice,
    no source).
    """
    if hand_over is None:
        return DateAnswer(None, "No date yet.")
    words = day_words(hand_over, today)
    wanted = (hands_on_minutes, min(made_ahead, hands_on_minutes), lead_days)
    closed = not_open_for(hand_over, lead_days, book, today)
    if closed:
        following = next_dates(*wanted, hand_over, book, today, booked)
        return DateAnswer(False, f"{closed} {_following(following, today)}", (), following)
    laid = _lay_all(*wanted, hand_over, book, today, booked)
    needs = minutes_written(hands_on_minutes)
    if laid.short:
        following = next_dates(*wanted, hand_over, book, today, booked)
        short = minutes_written(laid.short)
        are = "is" if laid.short == 1 else "are"
        says = f"{needs} do not fit before {words}: {short} {are} short. {_following(following, today)}"
        return DateAnswer(False, says, laid.days, following)
    if not laid.days:
        return DateAnswer(True, f"{words} holds.", ())
    on = _on_days([day for day, _, _ in laid.days], hand_over, today)
    return DateAnswer(True, f"{words} holds: {needs} fit on {on}.", laid.days)


def _on_days(days: list[date], hand_over: date, today: date) -> str:
    """Days in a row: "Thu and Fri"; with their dates when they are more than six days before."""
    near = all((hand_over - day).days < 7 for day in days)
    names = [_DAYS[day.weekday()] if near else day_words(day, today) for day in days]
    if len(names) > 4:
        return f"{len(names)} days from {names[0]} to {names[-1]}"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _following(dates: tuple[date, ...], today: date) -> str:
    if not dates:
        return f"No date in the next {DAYS_SEARCHED} days holds."
    names = [day_words(day, today) for day in dates]
    if len(names) == 1:
        return f"The next date that holds: {names[0]}."
    return f"The next dates that hold: {', '.join(names[:-1])} and {names[-1]}."


def next_dates(
    hands_on: int,
    made_ahead: int,
    lead_days: int,
    after: date,
    book: ShopBook,
    today: date,
    booked: Mapping[date, int],
    most: int = DATES_SHOWN,
) -> tuple[date, ...]:
    """The first dates after `after` (and after today) that hold, at most `most` of them."""
    return tuple(_next_dates(hands_on, made_ahead, lead_days, after, book, today, booked, most))


def _next_dates(
    hands_on: int, made_ahead: int, lead_days: int, after: date, book: ShopBook, today: date,
    booked: Mapping[date, int], most: int,
) -> Iterator[date]:  # fmt: skip
    first = max(after, today)
    found = 0
    for ahead in range(1, DAYS_SEARCHED + 1):
        day = first + timedelta(days=ahead)
        if _holds(hands_on, made_ahead, lead_days, day, book, today, booked):
            found += 1
            yield day
            if found == most:
                return


def free_days(
    first: date,
    last: date,
    minutes: int,
    book: ShopBook,
    today: date,
    booked: Mapping[date, int],
    lead_days: int = 0,
    made_ahead: int = 0,
) -> dict[date, bool]:
    """For each day from `first` to `last`, whether a cake of that many bench minutes holds."""
    length = (last - first).days + 1
    days = (first + timedelta(days=at) for at in range(length))
    return {
        day: _holds(minutes, min(made_ahead, minutes), lead_days, day, book, today, booked)
        for day in days
    }


def booking(
    hands_on: int,
    hand_over: date,
    book: ShopBook,
    booked: Mapping[date, int],
    lead_days: int = 0,
    made_ahead: int = 0,
) -> tuple[tuple[date, int], ...]:
    """The minutes an order takes by day, earliest first, so that a confirmed order fills its days.

    All of it is always laid: what does not fit goes onto the last working day before hand-over, which
    is then seen to be overfull.
    """
    hours = book.policies.hours
    laid = _lay_all(
        hands_on, min(made_ahead, hands_on), lead_days, hand_over, book, date.min, booked
    )
    by_day = {day: used for day, used, _ in laid.days}
    if laid.short:
        last = next(iter(_working_days(hand_over, 1, hours)), hand_over - timedelta(days=1))
        by_day[last] = by_day.get(last, 0) + laid.short
    return tuple(sorted(by_day.items()))
