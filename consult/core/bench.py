"""What does the kitchen need to know of one order? Amounts, supports and the order of work, joined."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from consult.core.design import Brief
from consult.core.quantities import Quantities, quantities_of
from consult.core.schedule import Entry, Schedule, schedule_of
from consult.core.support_values import Join, SupportPlan
from consult.core.supports import supports_of
from consult.core.work import Work
from shop.core.book import ShopBook
from shop.core.measures import length, minutes_written


@dataclass(frozen=True, slots=True)
class Bench:
    """Everything the bench works by."""

    quantities: Quantities
    supports: SupportPlan
    schedule: Schedule


def bench_of(
    brief: Brief, book: ShopBook, work: Work, today: date, booked: Mapping[date, int]
) -> Bench:
    """The bench's view of a brief; `work` is that of `work_of`, `booked` other orders' minutes by day."""
    return Bench(
        quantities_of(brief, book),
        supports_of(brief, book),
        schedule_of(brief, book, work, today, booked),
    )


def schedule_in_words(schedule: Schedule) -> tuple[tuple[str, str, str, str], ...]:
    """Each task as (what, starts, ends, hands) for a paper, in order."""
    return tuple(
        (_what(entry), _clock(entry.starts), _until(entry), _hands(entry))
        for entry in schedule.entries
    )


def _what(entry: Entry) -> str:
    return entry.what if entry.tier is None else f"Tier {entry.tier + 1}: {entry.what}"


def _clock(at: datetime) -> str:
    return f"{at:%a} {at.day} {at:%b}, {at:%H:%M}"


def _until(entry: Entry) -> str:
    same_day = entry.ends.date() == entry.starts.date()
    return f"{entry.ends:%H:%M}" if same_day else _clock(entry.ends)


def _hands(entry: Entry) -> str:
    said = [minutes_written(entry.hands_on)] if entry.hands_on else []
    if entry.waiting:
        where = f" in the {entry.machine}" if entry.machine else ""
        said.append(f"then {minutes_written(entry.waiting)}{where}")
    return ", ".join(said)


def supports_in_words(plan: SupportPlan) -> tuple[str, ...]:
    """One line a join for the kitchen sheet: how many, of what, how long."""
    return tuple(_join(join, plan) for join in plan.every_join)


def _join(join: Join, plan: SupportPlan) -> str:
    cut = f"{length(join.length_mm, plan.units)} ({join.length_mm:.0f} mm)"
    where = f"tier {join.stands_in}"
    if join.level:
        where += f", under the board of its level {join.level}"
    return f"In {where}: {join.count} {plan.rod_words}, each cut to {cut}."
