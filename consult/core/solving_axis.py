"""Where on the time axis may an activity begin? Its hours and waits, and what they alone rule out."""

from bisect import bisect_right
from collections.abc import Sequence

from consult.core.solving_problem import Activity, Problem

NO_ROOM = -1  # of a search for an activity: none is without room


class Axis:
    """A problem made ready: for each activity the starts its hours allow, and the earliest and latest
    of them by the waits (`narrowed`)."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.activities = problem.activities
        self.benches = problem.benches
        self.opens = [bench.opens for bench in problem.benches]
        self._whole = [0]  # slots of hands on all benches before that number
        for bench in problem.benches:
            length = bench.closes - bench.opens
            self._whole.append(self._whole[-1] + min(length * problem.hands, bench.free))
        self.ranges = [self._allowed(one) for one in problem.activities]
        self.range_starts = [[first for first, _ in ranges] for ranges in self.ranges]
        self.fresh = [at for at, one in enumerate(problem.activities) if one.fresh]
        self.fresh = self.fresh or list(range(len(problem.activities)))
        count = len(problem.activities)
        # start of j >= start of i + gap, kept at both ends
        self.after: list[list[tuple[int, int]]] = [[] for _ in range(count)]  # i: (j, gap)
        self.before: list[list[tuple[int, int]]] = [[] for _ in range(count)]  # j: (i, gap)
        for link in problem.links:
            hands = problem.activities[link.before].hands
            self.add_arc(link.before, link.after, hands + link.least)
            if link.most is not None:
                self.add_arc(link.after, link.before, -hands - link.most)
        self.earliest: list[int] = []
        self.latest: list[int] = []
        self.at_bench = [
            (at, one.hands)
            for at, one in enumerate(problem.activities)
            if one.hands and not one.anywhere
        ]
        self.forwards = self._in_order()
        self.backwards = self.forwards[::-1]
        self.begins = min((ranges[0][0] for ranges in self.ranges if ranges), default=0)

    def add_arc(self, one: int, other: int, gap: int) -> None:
        """From now on `other` starts at least `gap` after `one`."""
        self.after[one].append((other, gap))
        self.before[other].append((one, gap))

    def drop_arc(self, one: int, other: int) -> None:
        """Take back the last arc added between the two."""
        self.after[one].pop()
        self.before[other].pop()

    def _allowed(self, one: Activity) -> list[tuple[int, int]]:
        """Ranges of starts, first to last, within the benches' hours and its own limits."""
        if one.anywhere or not (one.hands or one.attended):
            return [(one.first, one.last - one.hands)] if one.first <= one.last - one.hands else []
        length = one.hands + (one.elapsed if one.attended else 0)
        found = []
        for bench in self.benches:
            first = max(bench.opens, one.first)
            last = min(bench.closes - length, one.last - one.hands)
            if first <= last and one.hands <= bench.free:
                found.append((first, last))
        return found

    def down(self, activity: int, slot: int) -> int | None:
        """The latest start allowed that is not after the slot."""
        at = bisect_right(self.range_starts[activity], slot) - 1
        return None if at < 0 else min(slot, self.ranges[activity][at][1])

    def up(self, activity: int, slot: int) -> int | None:
        """The earliest start allowed that is not before the slot."""
        ranges = self.ranges[activity]
        at = bisect_right(self.range_starts[activity], slot) - 1
        if at >= 0 and slot <= ranges[at][1]:
            return slot
        return ranges[at + 1][0] if at + 1 < len(ranges) else None

    def bench_of(self, slot: int) -> int:
        """The number of the last bench that opens at or before the slot; -1 before the first."""
        return bisect_right(self.opens, slot) - 1

    def narrowed(self) -> int:
        """Set `earliest` and `latest` by hours and waits; the activity that has no room, or NO_ROOM."""
        for at, ranges in enumerate(self.ranges):
            if not ranges:
                return at
        self.earliest = [ranges[0][0] for ranges in self.ranges]
        self.latest = [ranges[-1][1] for ranges in self.ranges]
        return self.spread(self.earliest, self.latest, range(len(self.ranges)))

    def spread(self, earliest: list[int], latest: list[int], changed: Sequence[int]) -> int:
        """Carry changed bounds along every arc, in place; the activity left without room, or NO_ROOM."""
        waiting = set(changed)
        while waiting:
            for other in self.backwards:
                if other not in waiting:
                    continue
                waiting.discard(other)
                top = latest[other]
                for one, gap in self.before[other]:
                    if top - gap < latest[one]:
                        slot = self.down(one, top - gap)
                        if slot is None or slot < earliest[one]:
                            return one
                        latest[one] = slot
                        waiting.add(one)
        waiting = set(changed)
        while waiting:
            for one in self.forwards:
                if one not in waiting:
                    continue
                waiting.discard(one)
                bottom = earliest[one]
                for other, gap in self.after[one]:
                    if bottom + gap > earliest[other]:
                        slot = self.up(other, bottom + gap)
                        if slot is None or slot > latest[other]:
                            return other
                        earliest[other] = slot
                        waiting.add(other)
        return NO_ROOM

    def _in_order(self) -> list[int]:
        """The activities with what comes first first, as far as the links have such an order."""
        follows: list[list[int]] = [[] for _ in self.activities]
        before = [0] * len(self.activities)
        for link in self.problem.links:
            follows[link.before].append(link.after)
            before[link.after] += 1
        order = [at for at, count in enumerate(before) if not count]
        for at in order:
            for other in follows[at]:
                before[other] -= 1
                if not before[other]:
                    order.append(other)
        return order + [at for at, count in enumerate(before) if count > 0]

    def earliest_if(self, start: int) -> list[int] | None:
        """Earliest starts when no fresh activity begins before `start`; None where waits rule it out."""
        earliest, latest = list(self.earliest), list(self.latest)
        for at in self.fresh:
            slot = self.up(at, max(start, earliest[at]))
            if slot is None or slot > latest[at]:
                return None
            earliest[at] = slot
        if self.spread(earliest, latest, self.fresh) != NO_ROOM:
            return None
        return earliest

    def ruled_out(self, start: int) -> bool:
        """Whether waits, hours and hands alone say that fresh work cannot all begin at `start` or later."""
        earliest = self.earliest_if(start)
        return earliest is None or not self.hands_suffice(earliest, self.latest)

    def hands_suffice(self, earliest: Sequence[int], latest: Sequence[int]) -> bool:
        """Whether between any two benches there are hands for what must be done between them."""
        opens = self.opens
        bound = [
            (
                bisect_right(opens, latest[at]), bisect_right(opens, earliest[at]), hands,
                earliest[at], latest[at] + hands,
            )
            for at, hands in self.at_bench
        ]  # fmt: skip
        bound.sort()
        latest_of_all = max((row[4] for row in bound), default=0)
        for first in {row[1] for row in bound}:
            need, since, until, last = 0, latest_of_all, 0, -1
            for row in bound:
                if row[1] < first:
                    continue
                if row[0] != last and need and need > self._hands_between(since, until):
                    return False
                last, _, hands, begins, ends = row
                need += hands
                since = begins if begins < since else since
                until = ends if ends > until else until
            if need > self._hands_between(since, until):
                return False
        return True

    def _hands_between(self, since: int, until: int) -> int:
        """Slots of hands that all benches have between two slots."""
        first, last = max(self.bench_of(since), 0), self.bench_of(until - 1)
        if last <= first:
            return self._hands_on(first, since, until)
        between = self._whole[last] - self._whole[first + 1]
        return between + self._hands_on(first, since, until) + self._hands_on(last, since, until)

    def _hands_on(self, number: int, since: int, until: int) -> int:
        bench = self.benches[number]
        length = min(bench.closes, until) - max(bench.opens, since)
        return min(max(length, 0) * self.problem.hands, bench.free)

    def first_fresh(self, starts: Sequence[int]) -> int:
        """The first start of fresh work; of all work where nothing is fresh."""
        return min(starts[at] for at in self.fresh)

    def worth(self, starts: Sequence[int]) -> tuple[int, int, int]:
        """What a plan is worth, more is better: later fresh start, fewer days, later starts."""
        days = {
            self.bench_of(start)
            for start, one in zip(starts, self.activities, strict=True)
            if one.hands and not one.anywhere
        }
        return self.first_fresh(starts), -len(days), sum(starts)
