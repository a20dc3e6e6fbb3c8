"""Which beginnings of stacks may still stand and feed? The way up from the base board, tier by tier."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt

from consult.core.design import Brief, Kind
from consult.core.servings import servings_needed
from consult.core.stack_rules import (
    TOLERANCE_MM,
    Outline,
    TierOption,
    board_fits,
    kitchen_options,
    may_carry,
    most_tiers,
    options_of,
)
from shop.core.book import ShopBook
from shop.core.policies import StackLimits

Numbers = npt.NDArray[np.int64]

_NONE = -(10**9)  # servings of a way that does not exist
_MICRONS = 1000  # heights are added in whole thousandths of a millimetre, so that sums are exact


@dataclass(frozen=True)
class Pieces:
    """All that a stack may be built of, and what it must reach.

    Kitchen cakes, where allowed: a stack that does not feed alone is filled up by the fewest
    cakes, all from one pan, that reach the need; a stack that feeds alone takes none.
    """

    options: tuple[TierOption, ...]
    kitchen: tuple[TierOption, ...]
    need: int
    fewest: int
    most: int
    tallest_mm: float
    display_tiers: int
    keep_top: bool
    outlines: tuple[Outline, ...]
    carries: npt.NDArray[np.bool_]  # [pan below, pan above]; the last row is the base board

    @cached_property
    def pan_of(self) -> Numbers:
        """The outline's number of each option."""
        number = {outline: at for at, outline in enumerate(self.outlines)}
        return np.array([number[option.outline] for option in self.options], dtype=np.int64)

    @property
    def tallest(self) -> int:
        return round((self.tallest_mm + TOLERANCE_MM) * _MICRONS)


def pieces_of(brief: Brief, book: ShopBook) -> Pieces:
    """What the search may build with for this brief."""
    limits = book.policies.stacks
    options = options_of(brief, book)
    outlines = tuple(dict.fromkeys(option.outline for option in options))
    return Pieces(
        options=options,
        kitchen=kitchen_options(brief, book),
        need=servings_needed(brief.need, book).count,
        fewest=max(1, brief.limits.fewest_tiers),
        most=most_tiers(brief, book),
        tallest_mm=limits.tallest_mm,
        display_tiers=brief.limits.display_tiers,
        keep_top=brief.need.keep_top,
        outlines=outlines,
        carries=_carries(outlines, limits),
    )


# The same pans stand on the shelf from one page to the next.
@lru_cache(maxsize=64)
def _carries(outlines: tuple[Outline, ...], limits: StackLimits) -> npt.NDArray[np.bool_]:
    carries = np.zeros((len(outlines) + 1, len(outlines)), dtype=bool)
    for at, outline in enumerate(outlines):
        carries[-1, at] = board_fits(outline, limits)
        carries[at, :] = [may_carry(outline, above, limits) for above in outlines]
    carries.setflags(write=False)
    return carries


class Entries:
    """Tiers that may come next, as columns: the pan they need, height, servings, display or not."""

    def __init__(self, pieces: Pieces, kinds: Sequence[Kind]) -> None:
        count = len(pieces.options)
        heights = [round(option.height_mm * _MICRONS) for option in pieces.options]
        full = np.array([option.servings for option in pieces.options], dtype=np.int64)
        none = np.zeros(count, dtype=np.int64)
        self.kinds = [kind for kind in kinds for _ in range(count)]
        self.options = list(pieces.options) * len(kinds)
        self.pan = np.tile(pieces.pan_of, len(kinds))
        self.height = np.tile(np.array(heights, dtype=np.int64), len(kinds))
        self.servings = np.concatenate([full if kind is Kind.EATEN else none for kind in kinds])
        self.display = np.array([kind is Kind.DISPLAY for kind in self.kinds], dtype=np.int64)
        lists = [np.flatnonzero(row[self.pan]) for row in pieces.carries]
        self._follow = np.concatenate(lists)
        self._lengths = np.array([len(each) for each in lists], dtype=np.int64)
        self._starts = np.cumsum(self._lengths) - self._lengths

    def after(self, pans: Numbers) -> tuple[Numbers, Numbers]:
        """Each way on from each beginning: (row of `pans`, entry), all of them."""
        lengths = self._lengths[pans]
        rows = np.repeat(np.arange(len(pans)), lengths)
        within = np.arange(len(rows)) - np.repeat(np.cumsum(lengths) - lengths, lengths)
        return rows, self._follow[self._starts[pans][rows] + within]

    def best(self, pans: int) -> Numbers:
        """The most servings each pan gives here."""
        most = np.full(pans, _NONE, dtype=np.int64)
        np.maximum.at(most, self.pan, self.servings)
        return most


@dataclass
class Beginnings:
    """Beginnings of stacks, one a row: the pan on top, display tiers, servings and height so far."""

    pan: Numbers
    display: Numbers
    servings: Numbers
    height: Numbers

    def at(self, rows: Numbers) -> "Beginnings":
        """These rows alone."""
        return Beginnings(
            self.pan[rows], self.display[rows], self.servings[rows], self.height[rows]
        )

    def alike(self, whole: bool = False) -> Numbers:
        """One number for each row, the same where beginnings can be finished alike.

        `whole`: nothing comes on top any more, so the pan does not tell them apart.
        """
        tall = int(self.height.max(initial=0)) + 1
        feeds = int(self.servings.max(initial=0)) + 1
        shown = int(self.display.max(initial=0)) + 1
        pan = np.zeros_like(self.pan) if whole else self.pan
        same: Numbers = ((pan * shown + self.display) * feeds + self.servings) * tall + self.height
        return same


class Walk:
    """The way from the board up, level by level; the caller decides which beginnings to go on with.

    `cap`: servings beyond it are not told apart.
    """

    def __init__(self, pieces: Pieces, cap: int | None = None) -> None:
        shown = [Kind.DISPLAY] if pieces.display_tiers else []
        self.pieces = pieces
        self.cap = cap
        self.body = Entries(pieces, [Kind.EATEN, *shown])
        self.top = Entries(pieces, [Kind.KEPT] if pieces.keep_top else [Kind.EATEN, *shown])
        self.can_add = self._can_add()

    def board(self) -> Beginnings:
        """Nothing yet: the base board, which has the number after the last pan's."""
        nothing = np.zeros(1, dtype=np.int64)
        return Beginnings(nothing + len(self.pieces.outlines), nothing, nothing, nothing)

    def _can_add(self) -> list[Numbers]:
        """By tiers still allowed: the most servings that can come on each pan; _NONE if no tier can."""
        pans = len(self.pieces.outlines)
        body, top = self.body.best(pans), self.top.best(pans)
        add = [np.full(pans + 1, _NONE, dtype=np.int64)]
        for _ in range(self.pieces.most):
            way = np.maximum(top, body + add[-1][:pans])
            ways = np.where(self.pieces.carries, way, _NONE)
            add.append(ways.max(axis=1, initial=_NONE))
        return add

    def on(
        self, begun: Beginnings, entries: Entries, level: int
    ) -> tuple[Numbers, Numbers, Beginnings]:
        """All beginnings one tier higher that may still stand and feed: (row, entry, beginning)."""
        pieces, closing = self.pieces, entries is self.top
        rows, picked = entries.after(begun.pan)
        height = begun.height[rows] + entries.height[picked]
        display = begun.display[rows] + entries.display[picked]
        servings = begun.servings[rows] + entries.servings[picked]
        if self.cap is not None:
            servings = np.minimum(servings, self.cap)
        good = height <= pieces.tallest
        if closing:
            good &= level + 1 >= pieces.fewest
            good &= display == pieces.display_tiers
            if not pieces.kitchen:
                good &= servings >= pieces.need
        else:
            left = pieces.most - level - 1
            add = self.can_add[left][entries.pan[picked]]
            good &= display <= pieces.display_tiers
            good &= pieces.display_tiers - display <= left - int(pieces.keep_top)
            good &= add >= 0
            if not pieces.kitchen:
                good &= servings + add >= pieces.need
        kept = np.flatnonzero(good)
        rows, picked = rows[kept], picked[kept]
        higher = Beginnings(entries.pan[picked], display[kept], servings[kept], height[kept])
        return rows, picked, higher
