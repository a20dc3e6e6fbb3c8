"""What is asked of the solver, and what does it answer? Activities, links, bench days and a plan, in slots."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Activity:
    """`hands` slots of one pair of hands, then `elapsed` slots in `places` of `machine` ("" for none).

    It begins at `first` or later, and the hands are done by `last`. `attended`: the elapsed slots end
    within the hours of the same day. `anywhere`: not bound to a bench's hours, as on the road.
    """

    hands: int
    first: int
    last: int
    elapsed: int = 0
    machine: str = ""
    places: int = 0
    attended: bool = False
    anywhere: bool = False
    fresh: bool = True


@dataclass(frozen=True, slots=True)
class Link:
    """From the end of the hands on `before` to the start of `after`: at least, and at most, slots."""

    before: int
    after: int
    least: int
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Bench:
    """One day at the bench: open from slot to slot, and `free` slots of hands left by other orders."""

    opens: int
    closes: int
    free: int


@dataclass(frozen=True, slots=True)
class Problem:
    """What must be laid. Benches are in order of time and apart; machines by their places."""

    activities: tuple[Activity, ...]
    links: tuple[Link, ...]
    benches: tuple[Bench, ...]
    hands: int = 1
    machines: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Plan:
    """`starts` by activity; empty when no plan is found. `earliest` is the first fresh start.

    `latest_possible`: no plan at all has a later first fresh start. `stuck`: an activity that has no
    room however the rest is laid, where that alone shows there is no plan.
    """

    starts: tuple[int, ...]
    earliest: int
    latest_possible: int
    proved: bool
    stuck: int | None = None

    @property
    def found(self) -> bool:
        return bool(self.starts)
