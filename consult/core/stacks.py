"""Which tier combinations meet the count? The best of every stack that stands, ranked, with reasons."""

from collections.abc import Sequence
from dataclasses import dataclass

from consult.core.design import Brief, KitchenCake, StackChoice, Tier
from consult.core.servings import Needed, servings_needed
from consult.core.stack_counts import how_many_stand, why_none
from consult.core.stack_rules import (
    TierOption,
    board_mm,
    kitchen_options,
    options_of,
    stack_problems,
    tier_name,
)
from consult.core.stack_search import Found, StackCosts, front
from consult.core.stack_walk import pieces_of
from shop.core.book import ShopBook
from shop.core.measures import length, minutes_written
from shop.core.money import Money

__all__ = [
    "Stack",
    "StackCosts",
    "TierOption",
    "board_mm",
    "chosen",
    "for_one_page",
    "how_many_stand",
    "kitchen_options",
    "named",
    "options_of",
    "stack_problems",
    "stacks",
    "tier_name",
    "why_none",
]


@dataclass(frozen=True, slots=True)
class Stack:
    """A stack worth offering. `tiers` from base to top, without flavours and finishes.

    `servings` are those counted, kitchen cakes included; `price` is the quoted total; `minutes`
    are hands-on. `why` starts with what it is named for, then says more in words.
    """

    tiers: tuple[Tier, ...]
    kitchen_cakes: tuple[KitchenCake, ...]
    servings: int
    surplus: int
    price: Money
    minutes: int
    height_mm: float
    why: tuple[StackChoice | str, ...] = ()

    @property
    def named(self) -> tuple[StackChoice, ...]:
        """What it is named for; empty for most."""
        return tuple(reason for reason in self.why if isinstance(reason, StackChoice))


# What each name looks at first, and what settles a tie, in order. Less is better throughout (the
# height is taken below zero), and no two stacks of a front are equal in all four.
_SURPLUS, _PRICE, _MINUTES, _HEIGHT = range(4)
_LOOKS_AT = {
    StackChoice.CLOSEST_FIT: (_SURPLUS, _PRICE, _MINUTES, _HEIGHT),
    StackChoice.LOWEST_PRICE: (_PRICE, _SURPLUS, _MINUTES, _HEIGHT),
    StackChoice.LEAST_BENCH_TIME: (_MINUTES, _PRICE, _SURPLUS, _HEIGHT),
    StackChoice.TALLEST: (_HEIGHT, _PRICE, _SURPLUS, _MINUTES),
}


def _values(stack: Stack) -> tuple[float, float, float, float]:
    return (stack.surplus, stack.price.minor, stack.minutes, -stack.height_mm)


def named(offered: Sequence[Stack]) -> dict[StackChoice, Stack]:
    """The stack of each name; empty when none is offered. One stack may have several names."""
    if not offered:
        return {}
    return {
        choice: min(offered, key=lambda stack: tuple(_values(stack)[at] for at in order))
        for choice, order in _LOOKS_AT.items()
    }


def chosen(offered: Sequence[Stack], choice: StackChoice) -> Stack:
    """The stack of that name. Raises ValueError when none is offered: ask `why_none` first."""
    if not offered:
        raise ValueError("No stack is offered, so none can be chosen.")
    return named(offered)[choice]


def _shares(offered: Sequence[Stack]) -> dict[Stack, tuple[float, ...]]:
    """Each value of each stack as a share of the way from the best offered (0) to the worst (1)."""
    columns = list(zip(*(_values(stack) for stack in offered), strict=True))
    ends = [(min(column), max(column)) for column in columns]
    return {
        stack: tuple(
            (value - best) / (worst - best) if worst > best else 0.0
            for value, (best, worst) in zip(_values(stack), ends, strict=True)
        )
        for stack in offered
    }


def _ranked(offered: Sequence[Stack], brief: Brief) -> list[Stack]:
    """The named ones in the order of the names, then by how near to the best in all four at once.

    The score adds the four shares of `_shares`, each counting alike. A stack over the client's
    budget comes after those within it.
    """
    first = list(dict.fromkeys(named(offered).values()))
    shares, budget = _shares(offered), brief.limits.budget

    def score(stack: Stack) -> tuple[bool, float, tuple[float, ...]]:
        over = budget is not None and stack.price.minor > budget.minor
        return over, sum(shares[stack]), _values(stack)

    taken = set(first)
    return first + sorted((stack for stack in offered if stack not in taken), key=score)


def stacks(brief: Brief, book: ShopBook, costs: StackCosts) -> tuple[Stack, ...]:
    """Every stack worth offering, best first: the Pareto front of all that stand and feed.

    No other stack has as little surplus, as low a total, as little bench time and is as tall. The
    named ones come first. Empty when none stands and feeds (`why_none` says why) and while there
    are no guests.
    """
    pieces = pieces_of(brief, book)
    needed = servings_needed(brief.need, book)
    if needed.count < 1:
        return ()
    bare = [_stack(found, needed, book) for found in front(pieces, costs)]
    if not bare:
        return ()
    names = named(bare)
    return tuple(_with_reasons(stack, names, needed, book) for stack in _ranked(bare, brief))


def _stack(found: Found, needed: Needed, book: ShopBook) -> Stack:
    tiers = tuple(
        Tier(option.shape, option.size_mm, option.height_mm, option.width_mm, kind)
        for option, kind in found.tiers
    )
    cakes: tuple[KitchenCake, ...] = ()
    if found.kitchen is not None:
        pan = found.kitchen
        cakes = (
            KitchenCake(pan.shape, pan.size_mm, pan.height_mm, pan.width_mm, found.kitchen_count),
        )
    return Stack(
        tiers=tiers,
        kitchen_cakes=cakes,
        servings=found.servings,
        surplus=found.servings - needed.count,
        price=Money(found.total, book.currency),
        minutes=found.minutes,
        height_mm=round(sum(tier.height_mm for tier in tiers), 3),
    )


def _with_reasons(
    stack: Stack, names: dict[StackChoice, Stack], needed: Needed, book: ShopBook
) -> Stack:
    closest = names[StackChoice.CLOSEST_FIT]
    why: list[StackChoice | str] = [choice for choice, best in names.items() if best == stack]
    over = "just" if not stack.surplus else f"{stack.surplus} over"
    why.append(f"{over} the {needed.count} {'serving' if needed.count == 1 else 'servings'} needed")
    if stack.price.minor < closest.price.minor:
        less = (closest.price - stack.price).written(book.identity.locale)
        why.append(f"{less} less than the closest fit")
    if stack.minutes < closest.minutes:
        less = minutes_written(closest.minutes - stack.minutes)
        why.append(f"{less} less bench time than the closest fit")
    if stack.height_mm > closest.height_mm:
        more = length(stack.height_mm - closest.height_mm, book.identity.units)
        why.append(f"{more} taller than the closest fit")
    return Stack(
        stack.tiers, stack.kitchen_cakes, stack.servings, stack.surplus, stack.price,
        stack.minutes, stack.height_mm, tuple(why),
    )  # fmt: skip


def for_one_page(offered: Sequence[Stack], most: int = 9) -> tuple[Stack, ...]:
    """A spread of what is offered, few enough for one page, in the order of `stacks`.

    The named ones, then from the better half the one least like those already shown, again and
    again: unlike in the four values and in the pans used.
    """
    shown = list(dict.fromkeys(named(offered).values()))[:most]
    shares = _shares(offered)
    better = list(offered[: max(most, (len(offered) + 1) // 2)])
    pans = {stack: _pans(stack) for stack in (*shown, *better)}

    def unlike(one: Stack, other: Stack) -> float:
        apart = sum(abs(a - b) for a, b in zip(shares[one], shares[other], strict=True))
        return apart + len(pans[one] ^ pans[other]) / len(pans[one] | pans[other])

    # How unlike each is to the one shown that it is most like.
    left = {
        stack: min(unlike(stack, other) for other in shown)
        for stack in better
        if stack not in shown
    }
    while left and len(shown) < most:
        # Of equals `max` takes the first, which is the better ranked.
        pick = max(left, key=lambda stack: left[stack])
        shown.append(pick)
        del left[pick]
        left = {stack: min(least, unlike(stack, pick)) for stack, least in left.items()}
    return tuple(stack for stack in offered if stack in shown)


def _pans(stack: Stack) -> set[tuple[str, float, float | None]]:
    return {(tier.shape.value, tier.size_mm, tier.width_mm) for tier in stack.tiers}
