"""How is work laid from its end? One activity after another, each as late as hands and places allow."""

from collections.abc import Sequence

from consult.core.solving_axis import Axis

REPAIRS = (
    6  # how often an activity may have to be laid again, on average, before a plan is given up
)

Interval = tuple[int, int, int]  # from slot, to slot, how much


class Places:
    """Who is where: the hands, the machines and each bench's free slots, as laid so far.

    One pair of hands is a whole number with a bit for each slot, which is quick to look through; more
    hands, and machines, are intervals.
    """

    def __init__(self, axis: Axis) -> None:
        self.axis = axis
        self.limits = {"": axis.problem.hands, **axis.problem.machines}
        self.laid: dict[str, dict[int, Interval]] = {name: {} for name in self.limits}
        self.used = [0] * len(axis.benches)
        self.one_pair = axis.problem.hands == 1
        self.busy = 0  # the slots of the one pair of hands, counted from the axis' first

    def put(self, at: int, start: int) -> None:
        one = self.axis.activities[at]
        end = start + one.hands
        if one.hands:
            if self.one_pair:
                self.busy |= ((1 << one.hands) - 1) << (start - self.axis.begins)
            else:
                self.laid[""][at] = (start, end, 1)
            if not one.anywhere:
                self.used[self.axis.bench_of(start)] += one.hands
        if one.machine and one.elapsed:
            self.laid[one.machine][at] = (end, end + one.elapsed, one.places)

    def take(self, at: int, start: int) -> None:
        """Take back what was put."""
        one = self.axis.activities[at]
        if one.hands:
            if self.one_pair:
                self.busy ^= ((1 << one.hands) - 1) << (start - self.axis.begins)
            else:
                del self.laid[""][at]
            if not one.anywhere:
                self.used[self.axis.bench_of(start)] -= one.hands
        if one.machine and one.elapsed:
            del self.laid[one.machine][at]

    def latest(self, at: int, slot: int) -> int | None:
        """The latest start at or before the slot at which there is room for it."""
        one, axis = self.axis.activities[at], self.axis
        on_machine = one.machine and one.elapsed
        start = axis.down(at, slot)
        while start is not None:
            end = start + one.hands
            earlier = start
            if one.hands:
                full = self._busy(start, end) if self.one_pair else self._full("", start, end, 1)
                if full is not None:
                    earlier = full - one.hands
                elif not one.anywhere:
                    bench = axis.bench_of(start)
                    if self.used[bench] + one.hands > axis.benches[bench].free:
                        earlier = axis.benches[bench].opens - 1
            if on_machine:
                full = self._full(one.machine, end, end + one.elapsed, one.places)
                if full is not None:
                    earlier = min(earlier, full - one.hands - one.elapsed)
            if earlier == start:
                return start
            start = axis.down(at, earlier)
        return None

    def _busy(self, since: int, until: int) -> int | None:
        """As `_full`, of one pair of hands."""
        begins = self.axis.begins
        there = (self.busy >> (since - begins)) & ((1 << (until - since)) - 1)
        if not there:
            return None
        until = since + there.bit_length() - begins
        idle = ~self.busy & ((1 << until) - 1)
        return idle.bit_length() + begins

    def _full(self, name: str, since: int, until: int, more: int) -> int | None:
        """The last slot, going back from `until`, by which it must end as `more` finds no room there."""
        laid = self.laid[name]
        room = self.limits[name] - more
        if not laid and room >= 0:
            return None
        over = [one for one in laid.values() if one[0] < until and since < one[1]]
        if sum([one[2] for one in over]) <= room:
            return None
        # What is there changes only where an interval begins, so the starts are all that count.
        for begins in sorted({max(one[0], since) for one in over}, reverse=True):
            if sum([one[2] for one in over if one[0] <= begins < one[1]]) > room:
                return begins
        return None


class Laying:
    """Plans laid from the end by order of importance. A wait that cannot be kept lays its end again."""

    def __init__(self, axis: Axis) -> None:
        self.axis = axis
        count = len(axis.activities)
        self.failed = 0
        self.floor = axis.earliest  # no activity is laid before its own
        self.later: list[set[int]] = [set() for _ in range(count)]
        self.earlier: list[set[int]] = [set() for _ in range(count)]
        for link in axis.problem.links:
            self.later[link.before].add(link.after)
            self.earlier[link.after].add(link.before)

    def laid(self, keys: Sequence[float]) -> list[int]:
        """Starts, those with the greater key laid first of what may be; [] when it does not work out.

        `failed` then is the activity that found no room.
        """
        axis, places = self.axis, Places(self.axis)
        count = len(axis.activities)
        caps, starts = list(axis.latest), [-1] * count
        rank = [0] * count
        for place, at in enumerate(sorted(range(count), key=lambda one: (keys[one], -one))):
            rank[at] = place
        left = set(range(count))
        waits = [
            len(later) for later in self.later
        ]  # of what comes after, how much is not laid yet
        ready = {at for at in left if not waits[at]}
        repairs = REPAIRS * count
        while left:
            if not ready:
                return []
            at = max(ready, key=rank.__getitem__)
            most = min(
                [caps[at]]
                + [starts[other] - gap for other, gap in axis.after[at] if other not in left]
            )
            start = places.latest(at, most)
            self.failed = at
            if start is None or start < self.floor[at]:
                return []
            too_late = [
                (other, start - gap)
                for other, gap in axis.before[at]
                if other not in left and starts[other] + gap > start
            ]
            if not too_late:
                starts[at] = start
                places.put(at, start)
                left.discard(at)
                ready.discard(at)
                for other in self.earlier[at]:
                    waits[other] -= 1
                    if not waits[other]:
                        ready.add(other)
                continue
            repairs -= 1
            for other, cap in too_late:
                caps[other] = min(caps[other], cap)
                self._take_back(other, left, starts, places)
            waits = [len(later & left) for later in self.later]
            ready = {one for one in left if not waits[one]}
            self.failed = too_late[0][0]
            if repairs < 0 or any(caps[other] < self.floor[other] for other, _ in too_late):
                return []
        return starts

    def chain_of(self, at: int) -> set[int]:
        """The activity and all that come after it, which must be laid before it is."""
        found, waiting = set(), [at]
        while waiting:
            one = waiting.pop()
            if one not in found:
                found.add(one)
                waiting += self.later[one]
        return found

    def _take_back(self, at: int, left: set[int], starts: list[int], places: Places) -> None:
        """Unlay an activity and what was laid because of it."""
        waiting = [at]
        while waiting:
            one = waiting.pop()
            if one in left:
                continue
            places.take(one, starts[one])
            left.add(one)
            waiting += self.earlier[one]


def pushed_on(axis: Axis, starts: Sequence[int]) -> list[int]:
    """The same plan with each activity as late as the others let it, latest first, and no worse."""
    places = Places(axis)
    for at, start in enumerate(starts):
        places.put(at, start)
    now = list(starts)
    for _ in range(3):
        moved = False
        for at in sorted(range(len(now)), key=lambda one: (-now[one], one)):
            places.take(at, now[at])
            most = min([axis.latest[at]] + [now[other] - gap for other, gap in axis.after[at]])
            slot = places.latest(at, most)
            if slot is not None and slot > now[at]:
                now[at], moved = slot, True
            places.put(at, now[at])
        if not moved:
            break
    return now if axis.worth(now) >= axis.worth(starts) else list(starts)
