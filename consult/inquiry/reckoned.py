"""What does the page reckon while it is filled in? Remembered, and only so often: a flood burns nothing."""

import calendar
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache

from django.http import HttpRequest
from django.utils import timezone

from consult import limits
from consult.core.design import Brief
from consult.core.inquiring import DayStands, PriceRange, days_standing, price_range
from consult.finding import Edition, bench_minutes_booked, on_these_hours
from shop.core.book import ShopBook, digest
from shop.finding import open_hours_now
from shop.models import Shop, current_book

# Sums that were not made before, a minute: of one household, and of all. One takes a few tenths of a second.
MOST_OF_ONE, MOST_OF_ALL, WITHIN = 40, 90, 60
BOOK_HOLDS = 5  # seconds that the shop's book is taken as read: it is eighteen queries
MONTHS_AHEAD = 24


class TooOften(Exception):
    """So many new sums were asked for that this one is left for later."""


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asks. Counts only where a sum has to be made; not part of what is remembered."""

    allows: Callable[[], bool] = field(compare=False)

    @classmethod
    def of(cls, request: HttpRequest) -> "Asker":
        who = limits.neighbourhood(limits.address_of(request))

        def allows() -> bool:
            return limits.allowed(
                "inquiry sums", who, most=MOST_OF_ONE, seconds=WITHIN
            ) and limits.allowed("inquiry sums", "all", most=MOST_OF_ALL, seconds=WITHIN)

        return cls(allows)


def edition_now() -> Edition:
    """The shop's book as it is just now, with the hours it keeps. NoShopYet where there is none."""
    row = tuple(Shop.objects.values_list().first() or ())
    digest_now, book = _book_of(tuple(map(str, row)), int(time.monotonic() // BOOK_HOLDS))
    book = on_these_hours(digest_now, book, open_hours_now())
    return Edition(digest_now, book.policies.hours, book)


@lru_cache(maxsize=2)
def _book_of(row: tuple[str, ...], moment: int) -> tuple[str, ShopBook]:
    book = current_book()
    return digest(book), book


def range_for(brief: Brief, edition: Edition, today: date, asker: Asker) -> PriceRange | None:
    """The range of prices for an inquiry. TooOften when too many new ones were asked for."""
    brief = replace(brief, hand_over=replace(brief.hand_over, place=""))
    return _range(edition, brief, today, asker)


@lru_cache(maxsize=512)
def _range(edition: Edition, brief: Brief, today: date, asker: Asker) -> PriceRange | None:
    if not asker.allows():
        raise TooOften
    return price_range(brief, edition.book, today)


@dataclass(frozen=True, slots=True)
class Day:
    on: date
    stands: DayStands
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class Month:
    """A month as the page shows it; "" for a way that leads nowhere."""

    name: str
    this: str
    earlier: str
    later: str
    weeks: tuple[tuple[Day | None, ...], ...]
    free: int  # days


def month_named(wanted: str, other: date, today: date) -> date:
    """The first day of the month to show: the one asked for as "2027-05", else that of the other day."""
    last = _moved(today, MONTHS_AHEAD)
    try:
        first = date.fromisoformat(f"{wanted[:7]}-01")
    except ValueError:
        first = other.replace(day=1)
    return min(max(first, today.replace(day=1)), last)


def month_for(
    first: date, chosen: date | None, brief: Brief, edition: Edition, asker: Asker
) -> Month:
    """Which days of the month the shop can still take this cake on. TooOften when too much was asked for."""
    today = timezone.localdate()
    booked = tuple(sorted(bench_minutes_booked().items()))
    # the day asked for changes nothing about the others; neither does who asks, nor where it goes
    asked = replace(brief, event=replace(brief.event, on=None, occasion=""))
    asked = replace(asked, hand_over=replace(brief.hand_over, place=""))
    stands = _standing(edition, asked, today, booked, first, asker)
    weeks = tuple(
        tuple(
            Day(day, stands[day], day == chosen) if day.month == first.month else None
            for day in week
        )
        for week in calendar.Calendar().monthdatescalendar(first.year, first.month)
    )
    earlier, later = _moved(first, -1), _moved(first, 1)
    return Month(
        name=f"{first:%B %Y}",
        this=f"{first:%Y-%m}",
        earlier=f"{earlier:%Y-%m}" if earlier >= today.replace(day=1) else "",
        later=f"{later:%Y-%m}" if later <= _moved(today, MONTHS_AHEAD) else "",
        weeks=weeks,
        free=list(stands.values()).count(DayStands.FREE),
    )


@lru_cache(maxsize=512)
def _standing(
    edition: Edition,
    brief: Brief,
    today: date,
    booked: tuple[tuple[date, int], ...],
    first: date,
    asker: Asker,
) -> dict[date, DayStands]:
    if not asker.allows():
        raise TooOften
    last = first.replace(day=calendar.monthrange(first.year, first.month)[1])
    return days_standing(first, last, brief, edition.book, today, dict(booked))


def _moved(day: date, months: int) -> date:
    """The first day of the month so many further on."""
    at = day.year * 12 + day.month - 1 + months
    return date(at // 12, at % 12 + 1, 1)
