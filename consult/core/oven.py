"""Which pans go into the oven together, and how often is it filled?"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from consult.core.shapes import extent_mm
from shop.core.catalogue import Shape
from shop.core.policies import Kitchen

# Air between pans, their rims included: common practice, no source.
GAP_MM = 25.0
HOW = (
    "Pans lie in rows on each shelf, the deepest first; a cleverer hand may fit more. No more of one"
    " pan at once than the shop owns, and one heat a load."
)


@dataclass(frozen=True, slots=True)
class ToBake:
    """One layer in its pan. `owned` pans of that kind can be in the oven at once."""

    what: str  # "10 in round, 2 in deep"
    of: str  # "base tier, vanilla"
    shape: Shape
    size_mm: float
    width_mm: float | None
    celsius: int
    owned: int = 1


@dataclass(frozen=True, slots=True)
class OvenLoad:
    """What bakes at the same time, at one heat: pans by name, of what, and how many."""

    celsius: int
    pans: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True, slots=True)
class OvenLoads:
    """All loads in order. `too_large` are pans that no shelf takes; they are in no load."""

    loads: tuple[OvenLoad, ...]
    too_large: tuple[str, ...]


class _Shelf:
    """Rows of pans on one shelf, filled from the left."""

    def __init__(self, wide: float, deep: float) -> None:
        self._wide, self._deep = wide, deep
        self._rows: list[list[float]] = []  # how far each is filled, and how deep it is

    def takes(self, along: float, across: float) -> bool:
        """Whether there was room; then the pan lies there. A pan may be turned a quarter."""
        for wide, deep in ((along, across), (across, along)):
            for row in self._rows:
                if row[0] + GAP_MM + wide <= self._wide and deep <= row[1]:
                    row[0] += GAP_MM + wide
                    return True
            used = sum(row[1] + GAP_MM for row in self._rows)
            if wide <= self._wide and used + deep <= self._deep:
                self._rows.append([wide, deep])
                return True
        return False


def oven_loads(pans: Sequence[ToBake], kitchen: Kitchen) -> OvenLoads:
    """The loads that bake all pans, filled greedily one after the other (`HOW`).

    Round pans count as the square about them, so a load may hold less than it could, never more.
    """
    measured = [(pan, extent_mm(pan.shape, pan.size_mm, pan.width_mm)) for pan in pans]
    fits = [
        one for one in measured if _Shelf(kitchen.oven_wide_mm, kitchen.oven_deep_mm).takes(*one[1])
    ]
    too_large = dict.fromkeys(pan.what for pan, _ in measured if (pan, _) not in fits)
    waiting = sorted(fits, key=lambda one: (-one[0].celsius, -min(one[1]), -max(one[1]), one[0].of))
    loads: list[OvenLoad] = []
    while waiting:
        celsius = waiting[0][0].celsius
        shelves = [
            _Shelf(kitchen.oven_wide_mm, kitchen.oven_deep_mm)
            for _ in range(max(kitchen.oven_shelves, 1) * max(kitchen.oven_loads, 1))
        ]
        used: Counter[str] = Counter()
        inside: list[ToBake] = []
        left = []
        for pan, extent in waiting:
            is_free = pan.celsius == celsius and used[pan.what] < max(pan.owned, 1)
            if is_free and any(shelf.takes(*extent) for shelf in shelves):
                used[pan.what] += 1
                inside.append(pan)
            else:
                left.append((pan, extent))
        waiting = left
        counted = Counter((pan.what, pan.of) for pan in inside)
        loads.append(OvenLoad(celsius, tuple((*key, times) for key, times in counted.items())))
    return OvenLoads(tuple(loads), tuple(too_large))
