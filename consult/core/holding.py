"""Which of several choices would break the date? Asked of the order of work, as seldom as can be."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from consult.core import choices
from consult.core.adding import Adding, coating
from consult.core.design import Brief
from consult.core.job import job_of
from consult.core.reckoning import restacked
from consult.core.stacks import Stack
from consult.core.timeline import DateAnswer, hand_over_of, holds_on
from consult.core.work import work_of
from consult.core.working_days import Calendar, not_open_for
from shop.core.book import ShopBook

# One part of so many of the minutes that are left on one day is taken to fit without asking: a wide
# margin of our own, since the waits between tasks take room too.
FITS_UNASKED = 4

# Minutes that any coat may set without making a date harder to hold: each tier chills about so long before
# it is stacked in any case (common practice, no source).
SETS_ANYWAY = 60

# What makes a date hard to hold, each more the harder: minutes of hands first, then others that the
# choices compared differ in. One load is within another where no part of it is more.
Load = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Tried:
    """A brief as it would be with a choice made, and its load."""

    brief: Brief
    load: Load


@dataclass(frozen=True, slots=True)
class Coat:
    """One finish on one tier: what it comes to, and whether the date would no longer hold."""

    finish: str
    adding: Adding
    breaks: bool


def is_within(load: Load, other: Load) -> bool:
    """Whether nothing of it is more than of the other."""
    return all(mine <= theirs for mine, theirs in zip(load, other, strict=True))


def that_break(
    tried: Sequence[Tried], book: ShopBook, calendar: Calendar, held: Load | None = None
) -> frozenset[int]:
    """The places of those whose date does not hold; none where the shop takes nothing for that day.

    `held` is a load that is known to hold. The hardest is asked first, then the easiest: what is
    within one that holds is taken to hold, and what one that breaks is within is taken to break.
    """
    on = tried[0].brief.event.on if tried else None
    if on is None or not_open_for(on, 0, calendar):
        return frozenset()
    holding = [] if held is None else [held]
    breaking: list[Load] = []
    broken = set()
    hardest = sorted(range(len(tried)), key=lambda at: -tried[at].load[0])
    for at in dict.fromkeys((hardest[0], hardest[-1], *hardest)):
        one = tried[at]
        if any(is_within(one.load, load) for load in holding):
            continue
        if not any(is_within(load, one.load) for load in breaking):
            if _holds(one.brief, on, book, calendar):
                holding.append(one.load)
                continue
            breaking.append(one.load)
        broken.add(at)
    return frozenset(broken)


def _holds(brief: Brief, on: date, book: ShopBook, calendar: Calendar) -> bool:
    job = job_of(brief, book, work_of(brief, book))
    return holds_on(on, job, hand_over_of(brief, on, book).time(), calendar)


def spare_minutes(answer: DateAnswer) -> int:
    """More minutes of hands that fit without asking: a share of what is left on the emptiest of its days."""
    return max((left for _, _, left in answer.days), default=0) // FITS_UNASKED


def coats_on(
    brief: Brief, book: ShopBook, answer: DateAnswer, calendar: Calendar
) -> tuple[tuple[Coat, ...], ...]:
    """For each tier, base first, every finish of the book as it would be there.

    `answer` is that of the brief. Where its date does not hold anyway no finish is said to break it:
    that would blame the finish.
    """
    return tuple(_coats(level, brief, book, answer, calendar) for level in _levels(brief))


def _levels(brief: Brief) -> range:
    return range(len(brief.design.tiers))


def _coats(
    level: int, brief: Brief, book: ShopBook, answer: DateAnswer, calendar: Calendar
) -> tuple[Coat, ...]:
    addings = [coating(finish.code, level, brief, book) for finish in book.finishes]
    broken: frozenset[int] = frozenset()
    if answer.holds:
        now = choices.finish_of(brief.design.tiers[level], book)
        held = _coat_load(now.code, coating(now.code, level, brief, book), book)
        spare = spare_minutes(answer)
        tried = [
            Tried(_coated(brief, level, finish.code), _coat_load(finish.code, one, book))
            for finish, one in zip(book.finishes, addings, strict=True)
        ]
        room = (held[0] + spare, held[1], held[2] + spare)
        broken = that_break(tried, book, calendar, room)
    return tuple(
        Coat(finish.code, one, at in broken)
        for at, (finish, one) in enumerate(zip(book.finishes, addings, strict=True))
    )


def _coat_load(finish: str, one: Adding, book: ShopBook) -> Load:
    """Minutes of hands, minutes it sets, and what must be done in one go: painting may be left and gone on with."""
    painted = book.finish(finish).texture == "painted"
    return one.minutes, max(one.waiting, SETS_ANYWAY), 0 if painted else one.minutes


def _coated(brief: Brief, level: int, finish: str) -> Brief:
    tiers = list(brief.design.tiers)
    tiers[level] = replace(tiers[level], finish=finish)
    return replace(brief, design=replace(brief.design, tiers=tuple(tiers)))


def stack_load(stack: Stack) -> Load:
    """Minutes of hands, how many tiers, and the widest of them in millimetres: what the oven must take."""
    widest = max((tier.size_mm for tier in stack.tiers), default=0.0)
    cakes = sum(cake.count for cake in stack.kitchen_cakes)
    return stack.minutes, len(stack.tiers) + cakes, round(widest)


def stacks_that_break(
    stacks: Sequence[Stack], brief: Brief, book: ShopBook, calendar: Calendar
) -> frozenset[int]:
    """The places of the stacks on which the brief's date would not hold."""
    return that_break(
        [
            Tried(
                replace(brief, design=restacked(brief.design, stack.tiers, stack.kitchen_cakes)),
                stack_load(stack),
            )
            for stack in stacks
        ],
        book,
        calendar,
    )
