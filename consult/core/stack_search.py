"""Which stacks are worth offering? The Pareto front of every stack that stands and feeds, exactly.

A stack is built from the base up. Two beginnings with the same top pan, servings, height and
display tiers can be finished in exactly the same ways, so only those that no other beats in both
price and bench time are carried on. Nothing is guessed: the front found is that of every stack.

Of stacks with equal values one is kept: that of the lower cake price (where the total's own steps
make two totals equal), then with fewest kitchen cakes, fewest tiers, the wider base, and fewest
changes of shape from tier to tier.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Protocol, TypeVar

import numpy as np

from consult.core import shapes
from consult.core.design import Kind
from consult.core.stack_rules import TierOption
from consult.core.stack_walk import Entries, Numbers, Pieces, Walk

_MINUTES = 1 << 20  # room for minutes below the price in one sorting number
_CHANGES = 1 << 8  # room for changes of shape below the rank of the base

_Ranked = TypeVar("_Ranked", str, float)


class StackCosts(Protocol):
    """What a stack costs the client and the bench, in parts that only add. None is negative.

    `level` counts from the base, 0. Prices are whole minor units before `total`.
    """

    def tier(self, option: TierOption, level: int, is_top: bool, kind: Kind) -> tuple[int, int]:
        """Price and minutes of one tier where it stands."""

    def join(self, level: int) -> tuple[int, int]:
        """Price and minutes of setting the tier of that level on the one below."""

    def once(self) -> tuple[int, int]:
        """Price and minutes that come once an order."""

    def kitchen(self, option: TierOption) -> tuple[int, int]:
        """Price and minutes of one kitchen cake."""

    def total(self, price_minor: int) -> int:
        """The quoted total for a cake price: never less for a higher price."""


@dataclass(frozen=True, slots=True)
class Found:
    """A stack of the front: its tiers from the base up as (option, kind), and what it comes to."""

    tiers: tuple[tuple[TierOption, Kind], ...]
    kitchen: TierOption | None
    kitchen_count: int
    servings: int
    total: int  # quoted, minor units
    minutes: int


def _front_in_groups(group: Numbers, price: Numbers, minutes: Numbers, tie: Numbers) -> Numbers:
    """Rows that no other row of their group equals or beats in both; of equals the lowest `tie`."""
    if not len(group):
        return np.zeros(0, dtype=np.int64)
    order = np.lexsort((tie, price * _MINUTES + minutes, group))
    sorted_group, sorted_minutes = group[order], minutes[order]
    starts = np.empty(len(order), dtype=bool)
    starts[0] = True
    starts[1:] = sorted_group[1:] != sorted_group[:-1]
    # Each group lies below the one before, so one running minimum serves them all.
    lowered = sorted_minutes - np.cumsum(starts) * _MINUTES
    least = np.minimum.accumulate(lowered)
    kept = np.empty(len(order), dtype=bool)
    kept[0] = True
    kept[1:] = lowered[1:] < least[:-1]
    return order[kept]


def _front(columns: Sequence[Numbers], *ties: Numbers) -> Numbers:
    """Rows that no other row equals or beats in every column (all: less is better), best first.

    Of equal rows the one lowest in `ties` is kept, the first of them counting most.
    """
    order = np.lexsort((*reversed(ties), *reversed(columns)))
    points = np.stack([column[order] for column in columns])
    kept: list[int] = []
    left = np.arange(points.shape[1])
    # What beats a row comes before it in this order, so the first row left is always on the front.
    while len(left):
        first = left[0]
        kept.append(int(first))
        left = left[1:]
        beaten = (points[:, left] >= points[:, first : first + 1]).all(axis=0)
        left = left[~beaten]
    return order[np.array(kept, dtype=np.int64)]


@dataclass
class _Whole:
    """Whole stacks, one a row, as columns."""

    level: Numbers  # of the top tier
    row: Numbers  # of the beginning it stands on
    entry: Numbers  # the top tier
    servings: Numbers
    height: Numbers
    price: Numbers
    minutes: Numbers
    tie: Numbers
    kitchen: Numbers  # number of the kitchen option, -1 for none
    cakes: Numbers

    def columns(self) -> list[Numbers]:
        return [getattr(self, each.name) for each in fields(self)]

    def at(self, rows: Numbers) -> "_Whole":
        return _Whole(*(column[rows] for column in self.columns()))

    @classmethod
    def none(cls) -> "_Whole":
        return cls(*(np.zeros(0, dtype=np.int64) for _ in fields(cls)))


def _together(parts: Sequence[_Whole]) -> _Whole:
    columns = zip(*(part.columns() for part in parts), strict=True)
    return _Whole(*(np.concatenate(column) for column in columns))


class _Search:
    """The walk with prices and minutes: what `front` runs."""

    def __init__(self, pieces: Pieces, costs: StackCosts) -> None:
        self.pieces, self.costs, self.walk = pieces, costs, Walk(pieces)
        self.bodies: list[tuple[Numbers, Numbers]] = []  # by level: (row of the level below, entry)
        self.shape_of = _ranks([str(outline[0]) for outline in pieces.outlines])
        self.base_rank = _ranks([-max(shapes.extent_mm(*each)) for each in pieces.outlines])

    def costed(self, entries: Entries, picked: Numbers, level: int) -> tuple[Numbers, Numbers]:
        """Price and minutes of each picked entry at that level; each is asked for once."""
        is_top = entries is self.walk.top
        table = np.zeros((2, len(entries.options)), dtype=np.int64)
        join = self.costs.join(level) if level else (0, 0)
        used = np.zeros(len(entries.options), dtype=bool)
        used[picked] = True
        for at in np.flatnonzero(used):
            price, minutes = self.costs.tier(entries.options[at], level, is_top, entries.kinds[at])
            table[:, at] = price + join[0], minutes + join[1]
        return table[0, picked], table[1, picked]

    def ties(self, tie: Numbers, below: Numbers, pan: Numbers, level: int) -> Numbers:
        """Lower is kept of equals: the wider base, then fewer changes of shape."""
        if not level:
            return self.base_rank[pan] * _CHANGES
        changed: Numbers = (self.shape_of[below] != self.shape_of[pan]).astype(np.int64)
        return tie + changed

    def whole(self) -> _Whole:
        """Whole stacks, less those beaten by one of as many tiers, servings and as tall."""
        begun = self.walk.board()
        price = minutes = tie = np.zeros(1, dtype=np.int64)
        parts = [_Whole.none()]
        for level in range(self.pieces.most):
            for entries in (self.walk.top, self.walk.body):
                rows, picked, higher = self.walk.on(begun, entries, level)
                more = self.costed(entries, picked, level)
                up_price, up_minutes = price[rows] + more[0], minutes[rows] + more[1]
                up_tie = self.ties(tie[rows], begun.pan[rows], higher.pan, level)
                kept = _front_in_groups(
                    higher.alike(whole=entries is self.walk.top), up_price, up_minutes, up_tie
                )
                rows, picked, higher = rows[kept], picked[kept], higher.at(kept)
                up_price, up_minutes, up_tie = up_price[kept], up_minutes[kept], up_tie[kept]
                if entries is self.walk.top:
                    none = np.zeros_like(kept)
                    parts.append(
                        _Whole(
                            none + level, rows, picked, higher.servings, higher.height,
                            up_price, up_minutes, up_tie, none - 1, none,
                        )
                    )  # fmt: skip
            self.bodies.append((rows, picked))
            begun, price, minutes, tie = higher, up_price, up_minutes, up_tie
        return _together(parts)

    def filled_up(self, whole: _Whole) -> _Whole:
        """Stacks that feed, and those that do not with the fewest kitchen cakes of each pan."""
        need = self.pieces.need
        parts = [whole.at(np.flatnonzero(whole.servings >= need))]
        short = whole.at(np.flatnonzero(whole.servings < need))
        for number, option in enumerate(self.pieces.kitchen):
            price, minutes = self.costs.kitchen(option)
            cakes = -(-(need - short.servings) // option.servings)
            parts.append(
                _Whole(
                    short.level, short.row, short.entry, short.servings + cakes * option.servings,
                    short.height, short.price + cakes * price, short.minutes + cakes * minutes,
                    short.tie, np.full_like(cakes, number), cakes,
                )
            )  # fmt: skip
        return _together(parts)

    def front(self) -> tuple[Found, ...]:
        whole = self.filled_up(self.whole())
        tie = (whole.cakes * _CHANGES + whole.level) * _MINUTES * _CHANGES + whole.tie
        group = whole.servings * (int(whole.height.max(initial=0)) + 1) + whole.height
        kept = _front_in_groups(group, whole.price, whole.minutes, tie)
        whole, tie = whole.at(kept), tie[kept]
        # Cake prices first: the total never falls as they rise, so nothing of the front is lost.
        kept = _front((whole.servings, whole.price, whole.minutes, -whole.height), tie)
        whole, tie = whole.at(kept), tie[kept]
        once = self.costs.once()
        totals = [self.costs.total(int(price) + once[0]) for price in whole.price]
        total = np.array(totals, dtype=np.int64)
        columns = (whole.servings, total, whole.minutes, -whole.height)
        return tuple(
            self.found(whole, int(row), totals[row]) for row in _front(columns, whole.price, tie)
        )

    def found(self, whole: _Whole, row: int, total: int) -> Found:
        """One row with its tiers, followed down to the base."""
        once = self.costs.once()
        level, below, entry = (int(c[row]) for c in (whole.level, whole.row, whole.entry))
        tiers = [(self.walk.top.options[entry], self.walk.top.kinds[entry])]
        for rows, picked in reversed(self.bodies[:level]):
            entry = int(picked[below])
            tiers.append((self.walk.body.options[entry], self.walk.body.kinds[entry]))
            below = int(rows[below])
        number = int(whole.kitchen[row])
        return Found(
            tiers=tuple(reversed(tiers)),
            kitchen=None if number < 0 else self.pieces.kitchen[number],
            kitchen_count=int(whole.cakes[row]),
            servings=int(whole.servings[row]),
            total=total,
            minutes=int(whole.minutes[row]) + once[1],
        )


def front(pieces: Pieces, costs: StackCosts) -> tuple[Found, ...]:
    """The Pareto front over surplus, quoted total and minutes (less is better) and height (more).

    The same values as trying every stack, each set of values once. Prices must stay below
    8 x 10^12 minor units and minutes below 2^20, which no cake comes near.
    """
    return _Search(pieces, costs).front() if pieces.options else ()


def _ranks(values: Sequence[_Ranked]) -> Numbers:
    """Each value's place among the distinct ones, lowest first; equal values share it."""
    places = {value: place for place, value in enumerate(sorted(set(values)))}
    return np.array([places[value] for value in values], dtype=np.int64)
