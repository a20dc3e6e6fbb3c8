"""Is there a plan that begins later? A search by branch and bound over who comes before whom.

At each node every activity stands as late as the waits and the orders decided so far allow. Where more
stand at one time than there are hands or places for, one of them must end before another begins, and
where a day has more work than free hands, one must move to an earlier day: those are the branches.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from consult.core.solving_axis import NO_ROOM, Axis

DEEPEST = 600  # decisions on one path, well within Python's own depth of calls


@dataclass(frozen=True, slots=True)
class _Order:
    """A decision: `other` starts at least `gap` after `one`."""

    one: int
    other: int
    gap: int


@dataclass(frozen=True, slots=True)
class _By:
    """A decision: the activity starts no later than the slot."""

    one: int
    slot: int


_Decision = _Order | _By
_Bounds = tuple[list[int], list[int]]


class Search:
    """`best` is the plan found that begins later than `start`, [] for none."""

    def __init__(self, axis: Axis, limit: int, start: int) -> None:
        self.axis, self.limit, self.start = axis, limit, start
        self.best: list[int] = []
        self.left = 0
        self.takers = {name: self._takers(name) for name in ("", *axis.problem.machines)}

    def run(self, nodes: int) -> bool:
        """Search at most so many nodes; whether it ended by itself, so that nothing better exists."""
        self.left = nodes
        bounds = self._begin_after(list(self.axis.earliest), list(self.axis.latest))
        if bounds is None:
            return True
        return self._below(bounds, 0)

    def _begin_after(self, earliest: list[int], latest: list[int]) -> _Bounds | None:
        """Bounds under which all fresh work begins later than the best so far; None for no room."""
        changed = []
        for at in self.axis.fresh:
            if earliest[at] <= self.start:
                slot = self.axis.up(at, self.start + 1)
                if slot is None or slot > latest[at]:
                    return None
                earliest[at] = slot
                changed.append(at)
        if changed and self.axis.spread(earliest, latest, changed) != NO_ROOM:
            return None
        return earliest, latest

    def _below(self, bounds: _Bounds, depth: int) -> bool:
        """Whether everything below the node has been seen."""
        self.left -= 1
        if self.left < 0 or depth > DEEPEST:
            return False
        raised = self._begin_after(*bounds)
        if raised is None or not self.axis.hands_suffice(*raised):
            return True
        earliest, latest = raised
        decisions = self._choices(latest)
        if decisions is None:
            self.best, self.start = list(latest), self.axis.first_fresh(latest)
            return True
        complete = True
        for decision, child in self._children(decisions, earliest, latest):
            if self.start >= self.limit:
                return True
            if self.axis.first_fresh(child[1]) <= self.start:
                continue
            if isinstance(decision, _Order):
                self.axis.add_arc(decision.one, decision.other, decision.gap)
            complete = self._below(child, depth + 1) and complete
            if isinstance(decision, _Order):
                self.axis.drop_arc(decision.one, decision.other)
            if self.left < 0:
                return False
        return complete

    def _children(
        self, decisions: Sequence[_Decision], earliest: list[int], latest: list[int]
    ) -> Iterator[tuple[_Decision, _Bounds]]:
        """Bounds after each decision that leaves room, the most promising first."""
        found = []
        for decision in decisions:
            low, high = list(earliest), list(latest)
            if isinstance(decision, _By):
                slot = self.axis.down(decision.one, decision.slot)
                if slot is None or slot < low[decision.one]:
                    continue
                high[decision.one] = slot
                room = self.axis.spread(low, high, (decision.one,))
            else:
                self.axis.add_arc(decision.one, decision.other, decision.gap)
                room = self.axis.spread(low, high, (decision.one, decision.other))
                self.axis.drop_arc(decision.one, decision.other)
            if room == NO_ROOM:
                found.append((self.axis.first_fresh(high), sum(high), decision, (low, high)))
        found.sort(key=lambda row: (-row[0], -row[1]))
        for _, _, decision, bounds in found:
            yield decision, bounds

    # --- what cannot stay as it is ---

    def _choices(self, starts: list[int]) -> list[_Decision] | None:
        """Every way out of the last clash of the plan; None where there is no clash."""
        worst: tuple[int, list[int], str] | None = None
        for name, limit in (("", self.axis.problem.hands), *self.axis.problem.machines.items()):
            clash = self._clash(name, limit, starts)
            if clash is not None and (worst is None or clash[0] > worst[0]):
                worst = (*clash, name)
        if worst is not None:
            _, clashing, name = worst
            return [
                self._order(name, one, other)
                for one in clashing
                for other in clashing
                if one != other
            ]
        return self._overfull(starts)

    def _interval(self, name: str, at: int, start: int) -> tuple[int, int, int]:
        one = self.axis.activities[at]
        if name == "":
            return start, start + one.hands, 1
        end = start + one.hands
        return end, end + one.elapsed, one.places

    def _takers(self, name: str) -> list[int]:
        """The activities that need it at all; none where there is always room for all of them."""
        limit = self.axis.problem.hands if name == "" else self.axis.problem.machines[name]
        takers = [
            at
            for at, one in enumerate(self.axis.activities)
            if (one.hands if name == "" else one.machine == name and one.elapsed)
        ]
        wanted = sum(self._interval(name, at, 0)[2] for at in takers)
        return takers if wanted > limit else []

    def _clash(self, name: str, limit: int, starts: list[int]) -> tuple[int, list[int]] | None:
        """The last slot at which too much stands, and as few of those as are too many."""
        taken = [(*self._interval(name, at, starts[at]), at) for at in self.takers[name]]
        taken.sort(key=lambda row: (-row[0], row[3]))
        for number, (begins, _, _, _) in enumerate(taken):
            # Those that begin later are before it in the list; two that begin together are both seen.
            there = [row for row in taken[number:] if begins < row[1]]
            if sum(row[2] for row in there) <= limit:
                continue
            # The largest first, so that few are too many; less branching.
            there.sort(key=lambda row: (-row[2], -row[0], row[3]))
            few, total = [], 0
            for row in there:
                few.append(row[3])
                total += row[2]
                if total > limit:
                    break
            return begins, few
        return None

    def _order(self, name: str, one: int, other: int) -> _Order:
        """`one` is done with the hands or the machine before `other` begins with it."""
        first, second = self.axis.activities[one], self.axis.activities[other]
        if name == "":
            return _Order(one, other, first.hands)
        return _Order(one, other, first.hands + first.elapsed - second.hands)

    def _overfull(self, starts: list[int]) -> list[_Decision] | None:
        """For the last bench with more work than free hands: one of it moves to an earlier day."""
        axis = self.axis
        on: list[list[int]] = [[] for _ in axis.benches]
        for at, one in enumerate(axis.activities):
            if one.hands and not one.anywhere:
                on[axis.bench_of(starts[at])].append(at)
        for number in range(len(on) - 1, -1, -1):
            bench, there = axis.benches[number], on[number]
            if sum(axis.activities[at].hands for at in there) <= bench.free:
                continue
            there.sort(key=lambda at: (-axis.activities[at].hands, at))
            few, total = [], 0
            for at in there:
                few.append(at)
                total += axis.activities[at].hands
                if total > bench.free:
                    break
            return [_By(at, bench.opens - 1) for at in few]
        return None
