"""How many stacks stand, what is the most they feed, and what to loosen when none does?"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import numpy as np

from consult.core.design import Brief
from consult.core.servings import servings_needed
from consult.core.stack_rules import heights_of
from consult.core.stack_walk import Numbers, Pieces, Walk, pieces_of
from shop.core.book import ShopBook


def _grouped(groups: Numbers) -> tuple[Numbers, Numbers]:
    """First row of each group, and the group's number of each row."""
    # numpy.unique does the same, but its first call takes a tenth of a second to load more of numpy.
    order = np.argsort(groups, kind="stable")
    starts = np.ones(len(order), dtype=bool)
    starts[1:] = groups[order][1:] != groups[order][:-1]
    group = np.empty(len(order), dtype=np.int64)
    group[order] = np.cumsum(starts) - 1
    return order[starts], group


def how_many(pieces: Pieces) -> int:
    """All stacks that stand and feed, none left out and none listed.

    A stack that needs kitchen cakes counts once for each pan they may be baked in.
    """
    if not pieces.options:
        return 0
    walk = Walk(pieces, cap=pieces.need)  # beyond the need, more servings change nothing
    begun, ways = walk.board(), np.ones(1, dtype=np.int64)
    count = 0
    for level in range(pieces.most):
        rows, _, whole = walk.on(begun, walk.top, level)
        fed = whole.servings >= pieces.need
        count += int(ways[rows][fed].sum()) + len(pieces.kitchen) * int(ways[rows][~fed].sum())
        rows, _, higher = walk.on(begun, walk.body, level)
        first, group = _grouped(higher.alike())
        summed = np.zeros(len(first), dtype=np.int64)
        np.add.at(summed, group, ways[rows])
        begun, ways = higher.at(first), summed
    return count


def most_fed(pieces: Pieces) -> int | None:
    """The most counted servings of any stack that stands, without kitchen cakes; None if none does."""
    if not pieces.options:
        return None
    walk = Walk(replace(pieces, need=0, kitchen=()))
    begun, most = walk.board(), None
    for level in range(pieces.most):
        _, _, whole = walk.on(begun, walk.top, level)
        if len(whole.servings):
            most = max(most or 0, int(whole.servings.max()))
        _, _, higher = walk.on(begun, walk.body, level)
        # Of beginnings that differ only in servings the fullest is enough.
        fullest = higher.at(np.argsort(-higher.servings, kind="stable"))
        kept, _ = _grouped(replace(fullest, servings=np.zeros_like(fullest.servings)).alike())
        begun = fullest.at(kept)
    return most


def _feeds(brief: Brief, book: ShopBook) -> bool:
    """Whether any stack stands and, with kitchen cakes if allowed, reaches the need."""
    pieces = pieces_of(brief, book)
    most = most_fed(pieces)
    return most is not None and (most >= pieces.need or bool(pieces.kitchen))


Loosen = Callable[[Brief], Brief]


def _limit(**changes: Any) -> Loosen:
    return lambda brief: replace(brief, limits=replace(brief.limits, **changes))


def _ways_to_loosen(brief: Brief, book: ShopBook) -> dict[str, Loosen]:
    """What the client could give way in, gentlest first: in words, and how the brief changes."""
    limits, shop = brief.limits, book.policies.stacks
    ways: dict[str, Loosen] = {}
    if not limits.kitchen_cake:
        ways["a kitchen cake"] = _limit(kitchen_cake=True)
    if limits.most_tiers is not None and limits.most_tiers < shop.most_tiers:
        ways["more tiers"] = _limit(most_tiers=None)
    if limits.fewest_tiers > 1:
        ways["fewer tiers"] = _limit(fewest_tiers=1)
    if limits.shapes:
        ways["other shapes"] = _limit(shapes=())
    if limits.sizes_mm:
        ways["other pan sizes"] = _limit(sizes_mm=())
    if set(heights_of(brief, book)) != set(shop.heights_mm):
        ways["the shop's own tier heights"] = _limit(heights_mm=())
    if limits.display_tiers:
        ways["no display tiers"] = _limit(display_tiers=0)
    if brief.need.keep_top:
        ways["the top tier to be cut too"] = lambda kept: replace(
            kept, need=replace(kept.need, keep_top=False)
        )
    return ways


def _either(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def why_none(brief: Brief, book: ShopBook) -> str:
    """Why no stack is offered and what to loosen, as one sentence; "" when some stack is.

    Each thing it says would help has been tried, by itself, on the same search.
    """
    need = servings_needed(brief.need, book).count
    if need < 1:
        return "Say how many guests there are, and the stacks follow."
    if _feeds(brief, book):
        return ""
    return f"{_what_is_wrong(brief, book, need)}; {_what_helps(brief, book)}."


def _what_is_wrong(brief: Brief, book: ShopBook, need: int) -> str:
    pieces = pieces_of(brief, book)
    if not pieces.options:
        return "No pan on the shelf is of the shapes and sizes asked for"
    if pieces.most < pieces.fewest:
        return f"At least {_tiers(pieces.fewest)} are asked for and {pieces.most} is the most"
    most = most_fed(pieces)
    if most is not None:
        return f"The largest stack of your pans feeds {most} of the {need} to be fed"
    if pieces.fewest > 1 and most_fed(replace(pieces, fewest=1)) is not None:
        return f"No stack of {_tiers(pieces.fewest)} or more stands in your pans"
    if pieces.display_tiers and most_fed(replace(pieces, display_tiers=0)) is not None:
        return f"No stack with {pieces.display_tiers} of its tiers for display stands in your pans"
    return "No tier asked for fits the shop's widest board and tallest stack"


def _tiers(count: int) -> str:
    return "1 tier" if count == 1 else f"{count} tiers"


def _what_helps(brief: Brief, book: ShopBook) -> str:
    ways = _ways_to_loosen(brief, book)

    def enough(chosen: Iterable[str]) -> bool:
        loosened = brief
        for words in chosen:
            loosened = ways[words](loosened)
        return _feeds(loosened, book)

    alone = [words for words in ways if enough([words])]
    if alone:
        return f"allow {_either(alone)}"
    if not enough(ways):
        return "nothing the client could loosen is enough: it takes larger pans or wider limits"
    together = list(ways)
    for words in reversed(ways):
        without = [each for each in together if each != words]
        together = without if enough(without) else together
    return f"allow {' and '.join(together)} together"


def how_many_stand(brief: Brief, book: ShopBook) -> int:
    """All stacks that stand in the shop's pans and feed this brief's guests; 0 while it has none."""
    pieces = pieces_of(brief, book)
    return how_many(pieces) if pieces.need >= 1 else 0
