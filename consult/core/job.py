"""In which order is this cake made? Its tasks as a network, with the waits between them and why."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from consult.core import choices
from consult.core.design import Brief, How, Tier
from consult.core.job_roles import LEAST_CHILL_TO_STACK, Role, role_of
from consult.core.job_steps import Job, Making, Step, Wait, oven_places
from consult.core.supports import supports_of
from consult.core.work import Task, Work, kitchen_tasks
from shop.core.book import ShopBook
from shop.core.catalogue import Decoration, Driver

__all__ = ["Job", "Role", "Step", "Wait", "job_of", "oven_places"]

# Minutes at most between two tasks at the venue, and from arriving to the first (common practice).
AT_ONCE = 15
# Done on the chilled coat of a tier before it is stacked; what else goes on a tier comes after.
_ON_THE_COAT = frozenset({"drip", "lettering", "print", "leaf_metal", "pearls"})


@dataclass
class _Parts:
    """What is made so far, to tie the whole together."""

    coats: dict[int, list[Step]] = field(default_factory=dict)  # final coats by tier
    mixes: list[Step] = field(default_factory=list)
    before_join: dict[int, list[Step]] = field(default_factory=dict)
    after_join: dict[int | None, list[Step]] = field(default_factory=dict)
    joins: dict[int, list[Step]] = field(default_factory=dict)
    order: dict[Role, list[Step]] = field(default_factory=dict)
    set_up: list[Step] = field(default_factory=list)
    there: list[Step] = field(default_factory=list)


class _Whole(Making):
    """The tiers, the kitchen cakes, the whole order and the way there, tied together."""

    def __init__(self, brief: Brief, book: ShopBook) -> None:
        super().__init__(brief, book)
        self.parts = _Parts()
        # What travels in parts has each tier in a box of its own, and is joined where it is served.
        in_parts = (
            brief.hand_over.how is How.DELIVERY
            and len(brief.design.tiers) > 1
            and not supports_of(brief, book).travels_stacked
        )
        self.stacked_here = 1 if in_parts else len(brief.design.tiers)

    def job(self, work: Work) -> Job:
        tiers = self.brief.design.tiers
        for level, tier in enumerate(tiers):
            self._tier(level, tier, [task for task in work.tasks if task.tier == level])
        self._kitchen([task for task in work.tasks if task.kind == "kitchen cake"])
        for task in work.tasks:
            if task.tier is None and task.kind != "kitchen cake":
                self._of_the_order(task)
        self._tie()
        return Job(tuple(self.steps), tuple(self.waits))

    def _tier(self, level: int, tier: Tier, tasks: Sequence[Task]) -> None:
        made = self.tier(tasks, tier)
        self.parts.coats[level] = made.get(Role.FINISH, [])
        self.parts.mixes += made.get(Role.MIX, [])
        finish = choices.finish_of(tier, self.book)
        for task in tasks:
            if task.kind == "join":
                self._join(level, task)
            elif task.kind == "decoration":
                thing = self.chosen[task.what]
                step = self.decoration(task, thing, self.parts.coats[level], finish)
                if not step.ahead:
                    on_coat = thing.symbol in _ON_THE_COAT or thing.rate.driver is Driver.PER_AREA
                    where = self.parts.before_join if on_coat else self.parts.after_join
                    where.setdefault(level, []).append(step)
            elif task.kind in ("order", "delivery"):
                self._of_the_order(task)

    def _join(self, level: int, task: Task) -> None:
        step = self.add(task, Role.JOIN)
        if level >= self.stacked_here:
            step = self.change(step, on_road=True, by="hand-over", fresh=False)
        self.parts.joins.setdefault(level, []).append(step)

    def _kitchen(self, tasks: list[Task]) -> None:
        """Kitchen cakes, each batch as one tier; `work_of` gives their tasks one cake after another."""
        for cake in self.brief.design.kitchen_cakes:
            length = sum(1 for _ in kitchen_tasks(cake, self.brief, self.book))
            batch, tasks = tasks[:length], tasks[length:]
            made = self.tier(batch, choices.as_tier(cake), max(cake.count, 1))
            self.parts.mixes += made.get(Role.MIX, [])

    def _of_the_order(self, task: Task) -> None:
        if task.kind == "decoration":
            step = self.decoration(task, self._thing(task), [], None)
            if not step.ahead:
                self.parts.after_join.setdefault(None, []).append(step)
        elif task.kind == "delivery":
            self._road(task)
        else:
            role = role_of(task.what, "order")
            by = {Role.BOX: "hand-over", Role.TALK: "before"}.get(role, "evening")
            step = self.add(task, role, fresh=False, by=by)
            self.parts.order.setdefault(role, []).append(step)

    def _thing(self, task: Task) -> Decoration:
        return self.chosen[task.what]

    def _road(self, task: Task) -> None:
        """The way there is half of the drive; the way back comes after hand-over."""
        more = {"on_road": True, "fresh": False, "by": "hand-over"}
        if task.what in self.bench:
            self.parts.set_up.append(self.add(task, Role.SET_UP, **more))
            return
        there = -(-task.hands_on // 2)
        step = self.add(replace(task, what="Drive there", hands_on=there), Role.DRIVE, **more)
        self.parts.there.append(step)
        back = replace(task, what="Drive back", hands_on=task.hands_on - there)
        self.add(back, Role.DRIVE, **{**more, "by": "after"})

    # --- the whole tied together ---

    def _tie(self) -> None:
        self._first_things()
        here = [step for level in sorted(self.parts.joins) for step in self.parts.joins[level]]
        self._joins(here)
        self._after_joins([step for step in here if not step.on_road])
        boxes = self.parts.order.get(Role.BOX, [])
        self._boxed(boxes)
        self._way_there(boxes, [step for step in here if step.on_road])

    def _first_things(self) -> None:
        for first in self.parts.order.get(Role.WEIGH, []):
            for mixed in self.parts.mixes:
                self.wait(first, mixed, why="weighed out before it is mixed")
        boards = self.parts.order.get(Role.DRUM, [])
        first_join = [s for level in sorted(self.parts.joins)[:1] for s in self.parts.joins[level]]
        for board in boards:
            for join in first_join:
                self.wait(board, join, why="the base stands on it")

    def _joins(self, joins: list[Step]) -> None:
        for before, after in pairwise(joins):
            self.wait(before, after, why="stacked from the base up")
        for level, steps in self.parts.joins.items():
            for join in steps:
                for below in (level - 1, level):
                    self._ready_to_join(below, join)

    def _ready_to_join(self, level: int, join: Step) -> None:
        why = "chill at least 45 min before stacking (common practice, no source)"
        for coat in self.parts.coats.get(level, []):
            coat = self.steps[coat.number]  # pressed-on pieces may have taken its chill over
            self.wait(coat, join, LEAST_CHILL_TO_STACK, why)
        for step in self.parts.before_join.get(level, []):
            self.wait(step, join, why="done on the tier before it is stacked")

    def _after_joins(self, joins: list[Step]) -> None:
        """What goes on a tier once it stands: seams, flowers, toppers."""
        for level, steps in self.parts.after_join.items():
            own = joins if level is None else [j for j in joins if j.tier == level]
            for step in steps:
                for join in own[-1:]:
                    self.wait(join, step, why="put on once the tier stands")
                if level is None:
                    self._after_every_coat(step)

    def _after_every_coat(self, step: Step) -> None:
        for coats in self.parts.coats.values():
            for coat in coats:
                self.wait(self.steps[coat.number], step, why="put on the finished cake")

    def _boxed(self, boxes: list[Step]) -> None:
        """Boxed last: after everything made at the bench that nothing else waits for."""
        waited_for = {wait.before for wait in self.waits}
        venue = {wait.before for wait in self.waits if self.steps[wait.after].on_road}
        for box in boxes:
            for step in self.steps:
                if step.by == "before":
                    continue
                last = step.number not in waited_for or step.number in venue
                sets = step.elapsed and step.role in (Role.FINISH, Role.DECORATE)
                if (last or sets) and not step.on_road and step.role is not Role.BOX:
                    self.wait(step, box, step.elapsed, self._why_boxed(step))

    def _why_boxed(self, step: Step) -> str:
        if step.ahead:
            days = step.elapsed // (24 * 60)
            return f"dry before it travels: {days} days" if days else "dry before it travels"
        return "set before it is boxed"

    def _way_there(self, boxes: list[Step], joins: list[Step]) -> None:
        for drive in self.parts.there:
            for box in boxes:
                self.wait(box, drive, why="loaded before the drive")
        at_venue = [*joins, *self.parts.set_up]
        road = [*self.parts.there, *at_venue]
        for before, after in pairwise(road):
            self.wait(before, after, 0, "at once on arriving, the cake is out of the cold", AT_ONCE)
        for step in at_venue[:1] if not self.parts.there else []:
            for box in boxes:
                self.wait(box, step, why="boxed before it leaves")


def job_of(brief: Brief, book: ShopBook, work: Work) -> Job:
    """The order of work of one cake: `work` is that of `work_of` for the same brief and book."""
    return _Whole(brief, book).job(work)
