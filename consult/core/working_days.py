"""Which days does the shop work, and what of them is still free? And how is a day said?"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from shop.core.book import ShopBook
from shop.core.policies import Kitchen, OpenHours

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class Calendar:
    """All of a shop that an order of work depends on, beside the work itself.

    `booked` are the bench minutes that other orders take, by day, from tomorrow on: nobody knows how
    much of today is gone.
    """

    hours: OpenHours
    kitchen: Kitchen
    least_notice_days: int
    today: date
    booked: tuple[tuple[date, int], ...] = ()


def calendar_of(book: ShopBook, today: date, booked: Mapping[date, int]) -> Calendar:
    """The book's days as they are today; `booked` other orders' minutes by day."""
    policies = book.policies
    ahead = tuple(sorted((day, minutes) for day, minutes in booked.items() if day > today))
    return Calendar(policies.hours, policies.kitchen, policies.least_notice_days, today, ahead)


def weekday(day: date) -> str:
    """ "Sat"."""
    return _DAYS[day.weekday()]


def day_words(day: date, today: date) -> str:
    """A day as the shop says it: "Sat 15 May", with the year when it is not this one."""
    words = f"{weekday(day)} {day.day} {_MONTHS[day.month - 1]}"
    return words if day.year == today.year else f"{words} {day.year}"


def days_counted(count: int) -> str:
    """ "1 day", "2 days"."""
    return "1 day" if count == 1 else f"{count} days"


def open_minutes(day: date, hours: OpenHours) -> int:
    """Bench minutes of a day before anything is booked; 0 when the shop is closed."""
    return 0 if day.isoformat() in hours.closed_days else hours.bench_minutes[day.weekday()]


def not_open_for(hand_over: date, lead_days: int, calendar: Calendar) -> str:
    """Why a date cannot be taken whatever is booked; "" when it can.

    `lead_days` is how long the slowest pieces dry once they are made.
    """
    today, left = calendar.today, (hand_over - calendar.today).days
    words, least = day_words(hand_over, today), calendar.least_notice_days
    if left < 0:
        return f"{words} is past."
    if not open_minutes(hand_over, calendar.hours):
        return f"{words}: the shop is closed."
    if left < least:
        return (
            f"{words} is {days_counted(left)} away; the shop takes orders with "
            f"{days_counted(least)} of notice."
        )
    if left <= lead_days:
        return (
            f"{words} is {days_counted(left)} away, but the dried pieces need "
            f"{days_counted(lead_days)} after they are made."
        )
    return ""
