"""In which order is one tier made? The steps of a job and the waits between them, tier by tier.

Every hands-on minute of `work_of` is in one step. What follows a step without hands (the oven, the
fridge, drying) is the step's own `elapsed`. A wait counts from the end of the hands on one step to the
start of the next, in minutes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from consult.core import choices
from consult.core.design import Brief, Tier
from consult.core.job_roles import (
    BATTER_WAITS,
    BEFORE_IT_SETS,
    CHAIN,
    FILLED_WITHIN,
    LEAST_CHILL_TO_DRIP,
    LEAST_CHILL_TO_STACK,
    LEAST_COOL,
    LEAST_SETTLE,
    TURNED_OUT_WITHIN,
    Role,
    oven_minutes,
    role_of,
)
from consult.core.work import Task
from shop.core.book import ShopBook
from shop.core.catalogue import Decoration, Driver, Finish
from shop.core.policies import Kitchen

DAY = 24 * 60
SHELF = 1000  # one oven shelf, in parts

# Pressed into a coat that sets, by how the drawing shows it.
_PRESSED_ON = frozenset({"pearls"})


@dataclass(frozen=True, slots=True)
class Step:
    """One task of the bench or the road. `tier` counts from the base, 0; None is the whole order.

    `machine` is where its `elapsed` minutes pass: "oven", "fridge" or "" for a rack, and `places` how
    much of it: parts of an oven shelf (1000 is one), or fridge places. `attended`: somebody must be
    there when they end. `on_road`: not at the bench, so not bound to its hours. `by`: "evening" (done
    the evening before), "hand-over", "after" it, or "before" (done already when the order is given).
    `ahead`: pieces that are made and dry on their own. `fresh`: cake and icing, to be made as late as may
    be. `in_sittings`: it may be interrupted.
    """

    number: int
    what: str
    tier: int | None
    role: Role
    hands_on: int
    elapsed: int
    why: str
    machine: str = ""
    places: int = 0
    attended: bool = False
    on_road: bool = False
    by: str = "evening"
    ahead: bool = False
    fresh: bool = True
    in_sittings: bool = False

    @property
    def is_laid(self) -> bool:
        """Whether it is still to be done, and before hand-over."""
        return self.by not in ("before", "after")


@dataclass(frozen=True, slots=True)
class Wait:
    """From the end of the hands on step `before` to the start of `after`: minutes, and the reason."""

    before: int
    after: int
    least: int
    most: int | None
    why: str


@dataclass(frozen=True, slots=True)
class Job:
    """The network of one order: steps by their number, and every wait between them."""

    steps: tuple[Step, ...]
    waits: tuple[Wait, ...]

    @property
    def hands_on(self) -> int:
        """Minutes of hands: those of the work it was made from."""
        return sum(step.hands_on for step in self.steps)

    @property
    def to_do(self) -> int:
        """Minutes of hands still to come once the order is given."""
        return sum(step.hands_on for step in self.steps if step.by != "before")

    @property
    def lead_days(self) -> int:
        """Days that the slowest of the pieces made ahead dry, rounded up."""
        return max((-(-step.elapsed // DAY) for step in self.steps if step.ahead), default=0)


def oven_places(tier: Tier, pans: int, kitchen: Kitchen) -> int:
    """Parts of a shelf (1000 is one) that so many pans of the tier's outline take in this oven.

    Pans stand in rows beside each other; one that is larger than the shelf takes all of it.
    """
    long, short = tier.size_mm, tier.width_mm or tier.size_mm
    wide, deep = kitchen.oven_wide_mm, kitchen.oven_deep_mm
    on_shelf = max(
        int(wide // one) * int(deep // other) for one, other in ((long, short), (short, long))
    )
    return -(-SHELF * pans // max(on_shelf, 1))


class Making:
    """The network while it is put together."""

    def __init__(self, brief: Brief, book: ShopBook) -> None:
        self.brief, self.book, self.kitchen = brief, book, book.policies.kitchen
        self.steps: list[Step] = []
        self.waits: list[Wait] = []
        self.chosen = {
            thing.name: thing
            for thing in (book.decoration(one.what) for one in brief.design.decorations)
        }
        self.bench = {task.name: task for task in book.tasks}
        self.shelves = SHELF * max(self.kitchen.oven_shelves * self.kitchen.oven_loads, 1)

    def add(self, task: Task, role: Role, **more: Any) -> Step:
        """A step of that task; `more` are fields of Step by their names."""
        elapsed = more.pop("elapsed", task.waiting)
        step = Step(
            len(self.steps), task.what, task.tier, role, task.hands_on,
            elapsed, task.why, **more,
        )  # fmt: skip
        self.steps.append(step)
        return step

    def change(self, step: Step, **more: Any) -> Step:
        self.steps[step.number] = replace(
            step,
            **more,
        )
        return self.steps[step.number]

    def wait(
        self, before: Step, after: Step, least: int = 0, why: str = "", most: int | None = None
    ) -> None:
        before = self.steps[before.number]  # as it is now: its chill may have moved on
        least = max(least, before.elapsed if not before.ahead else 0)
        self.waits.append(Wait(before.number, after.number, least, most, why or "in this order"))

    def applies_to(self, task: Task) -> str:
        known = self.bench.get(task.what)
        return known.applies_to if known else task.kind

    # --- one tier, or a batch of kitchen cakes ---

    def tier(self, tasks: Sequence[Task], tier: Tier, alike: int = 1) -> dict[Role, list[Step]]:
        """Steps of one tier from batter to final coat, by role; `alike` of them made together."""
        made: dict[Role, list[Step]] = {}
        others: list[tuple[int, Step]] = []
        for at, task in enumerate(tasks):
            if task.kind in ("decoration", "join", "order", "delivery"):
                continue
            coat = task.kind == "finish" or (task.kind == "kitchen cake" and task is tasks[-1])
            role = Role.FINISH if coat else role_of(task.what, "eaten")
            step = self._placed(self.add(task, role), tier, alike)
            if role in (Role.OTHER, Role.SIDE):
                others.append((at, step))
            made.setdefault(role, []).append(step)
        chain = [step for role in CHAIN for step in made.get(role, [])]
        for before, after in pairwise(chain):
            self._chained(before, after, tier)
        self._far_waits(made)
        coated = [s for s in chain if s.role in (Role.FILL, Role.CRUMB, Role.FINISH)][:1]
        for side in (Role.TIER_BOARD, Role.ICING):
            for step in made.get(side, []):
                for first in coated:
                    self.wait(step, first, why="it is needed there")
        for at, step in others:
            self._fitted(at, step, tasks, chain)
        return made

    def _placed(self, step: Step, tier: Tier, alike: int) -> Step:
        """The step with what happens after the hands: the oven, the rack, the fridge."""
        more: dict[str, Any] = {
            "elapsed": step.elapsed // alike,
            "fresh": tier.is_cake and step.role not in (Role.TIER_BOARD, Role.SIDE),
            "in_sittings": alike > 1 and step.role not in (Role.MIX, Role.BAKE),
        }
        if step.role is Role.BAKE:
            baked = oven_minutes(tier)
            with_cooling = "cool" in step.what.lower()
            minutes = baked if with_cooling else max(baked, step.elapsed // alike)
            layers = 2 * alike  # a tier is baked as two layers
            wanted = oven_places(tier, layers, self.kitchen)
            loads = -(-wanted // self.shelves)
            more |= {
                "elapsed": minutes * loads,
                "machine": "oven",
                "places": min(wanted, self.shelves),
                "attended": True,
            }
        elif step.role is Role.CRUMB and step.elapsed:
            more |= {"machine": "fridge", "places": min(alike, self.kitchen.fridge_places)}
        elif step.role is Role.FINISH:
            more |= self._setting(step, tier, alike)
        return self.change(step, **more)

    def _setting(self, step: Step, tier: Tier, alike: int) -> dict[str, object]:
        finish = choices.finish_of(tier, self.book)
        minutes = step.elapsed // alike
        if len(self.brief.design.tiers) > 1 and step.tier is not None:
            minutes = max(minutes, LEAST_CHILL_TO_STACK)
        painted = {"in_sittings": True} if finish.texture == "painted" else {}
        if finish.lead_days:
            return {"elapsed": max(minutes, finish.lead_days * DAY), **painted}
        if finish.kind == "fondant" or not minutes:  # fondant sweats in the cold (common practice)
            return {"elapsed": minutes, **painted}
        places = min(alike, self.kitchen.fridge_places)
        return {"elapsed": minutes, "machine": "fridge", "places": places, **painted}

    def _chained(self, before: Step, after: Step, tier: Tier) -> None:
        """One step straight on the last, with the wait that this pair needs."""
        least, most, why = before.elapsed, None, "in this order"
        if (before.role, after.role) == (Role.MIX, Role.BAKE):
            most, why = BATTER_WAITS, "batter is baked at once (common practice, no source)"
        elif before.role is Role.BAKE and after.role is Role.COOL:
            most = least + TURNED_OUT_WITHIN
            why = "turned out within 15 min of the oven (common practice, no source)"
        elif before.role is Role.BAKE and after.role is not Role.BAKE:
            cooling = self._cooling(before, tier)
            least, why = least + cooling, f"{cooling} min to cool"
        elif before.role is Role.COOL and after.role is not Role.COOL:
            least, why = max(least, LEAST_COOL), "2 h to cool at least (a decorator's page)"
        elif before.role is Role.CRUMB:
            why = "chill 15 to 30 min (a decorator's page)"
        elif before.role is Role.FILL and after.role is Role.FINISH:
            least = max(least, LEAST_SETTLE)
            why = "settle 2 h at least, better overnight (a decorator's post, 2012)"
        self.wait(before, after, least, why, most)

    def _cooling(self, baked: Step, tier: Tier) -> int:
        """Minutes on the rack where the shop counts baking and cooling as one task."""
        said = next((t.waiting_minutes for t in self.book.tasks if t.name == baked.what), 0)
        return max(said - oven_minutes(tier), LEAST_COOL)

    def _far_waits(self, made: dict[Role, list[Step]]) -> None:
        for baked in made.get(Role.BAKE, [])[-1:]:
            for filled in made.get(Role.FILL, [])[:1]:
                why = "filled within two days of baking (a county fair's rule for freshness)"
                self.wait(baked, filled, 0, why, FILLED_WITHIN)
        for filled in made.get(Role.FILL, [])[-1:]:
            for coat in made.get(Role.FINISH, [])[:1]:
                if made.get(Role.CRUMB):
                    why = "settle 2 h at least, better overnight (a decorator's post, 2012)"
                    self.wait(filled, coat, LEAST_SETTLE, why)

    def _fitted(self, at: int, step: Step, tasks: Sequence[Task], chain: Sequence[Step]) -> None:
        """A task the trade has no word for: after what the shop says, before what follows in its list."""
        after = self.bench[step.what].after if step.what in self.bench else ""
        for before in chain:
            if after and before.what.lower().startswith(after.lower()):
                self.wait(before, step, why=f"after: {after}")
        if step.role is Role.SIDE:
            return
        names = [task.what for task in tasks[at + 1 :]]
        following = next((s for name in names for s in chain if s.what == name), None)
        if following is not None:
            self.wait(step, following, why="before it in the shop's list")

    # --- decorations ---

    def decoration(
        self, task: Task, thing: Decoration, coats: Sequence[Step], finish: Finish | None
    ) -> Step:
        """A decoration: pieces made ahead, or on the tier whose coat is given."""
        dry = max(task.waiting, thing.lead_days * DAY)
        if thing.lead_days and thing.rate.driver in (Driver.PER_PIECE, Driver.PER_CAKE):
            return self.add(
                task, Role.DECORATE, elapsed=dry, ahead=True, fresh=False, in_sittings=True
            )
        step = self.add(task, Role.DECORATE, elapsed=dry, in_sittings=task.hands_on > 4 * 60)
        if thing.symbol == "drip" and dry:
            step = self.change(step, machine="fridge", places=1)
        for coat in (self.steps[coat.number] for coat in coats):
            soft = finish is not None and finish.kind != "fondant"
            if thing.symbol in _PRESSED_ON and soft:
                step = self._pressed_on(coat, step)
            else:
                own = finish.rate.waiting_minutes if finish else 0
                sets = max(own, LEAST_CHILL_TO_DRIP if soft else 0)
                why = "on a coat that has set in the cold (common practice, no source)"
                self.waits.append(Wait(coat.number, step.number, sets, None, why))
        return step

    def _pressed_on(self, coat: Step, step: Step) -> Step:
        """What is pressed on comes before the coat sets, so the chill moves behind it."""
        why = "pressed on before the coat sets (common practice, no source)"
        self.waits.append(Wait(coat.number, step.number, 0, BEFORE_IT_SETS, why))
        self.change(coat, elapsed=0, machine="", places=0)
        chilled = max(step.elapsed, coat.elapsed)
        return self.change(step, elapsed=chilled, machine=coat.machine, places=coat.places)
