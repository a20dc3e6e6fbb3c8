"""When can each task begin, as late as may be? Work laid back from its end, hands and machines shared.

Time is in whole slots from some beginning. Nothing here knows of cakes: activities take one pair of
hands in one go, within the hours of a bench day, then perhaps a machine with nobody there. What is
looked for is the plan whose fresh work begins latest. A plan found always keeps every wait, hour and
place; `proved` says whether none begins later, or, with no plan, that there is none.

First a bound, from the waits, the hours and the hands alone; then plans laid from the end, in a few
orders of importance; then, where the best of them is below the bound, plans that must begin later; then
a search by branch and bound that gives up after `effort` activities, counted at each node. The same
problem always has the same answer.
"""

from collections.abc import Sequence

from consult.core.solving_axis import NO_ROOM, Axis
from consult.core.solving_laying import Laying, pushed_on
from consult.core.solving_problem import Activity, Bench, Link, Plan, Problem
from consult.core.solving_search import Search

__all__ = ["EFFORT", "Activity", "Bench", "Link", "Plan", "Problem", "has_plan", "solved"]

EFFORT = 2000  # activities times nodes of the search, where no other is given
URGED = 12  # times that what found no room is moved up, while there is no plan
HALVED = 2  # times that a later beginning is asked for
URGED_AGAIN = 4  # times that what found no room is moved up, for that
WITHOUT_A_PLAN = 15_000  # the effort before a plan is given up, where there is none yet


def solved(problem: Problem, effort: int = EFFORT, *, any_plan: bool = False) -> Plan:
    """The plan whose first fresh start is as late as found, within so much effort of search.

    Ties: fewer bench days, then later starts. `any_plan` stops at the first plan found. Raises
    ValueError for an activity that needs more places than its machine has, or a link to an activity
    that is not there.
    """
    _checked(problem)
    if not problem.activities:
        return Plan((), 0, 0, proved=True)
    axis = Axis(problem)
    stuck = axis.narrowed()
    if stuck != NO_ROOM:
        return Plan((), 0, 0, proved=True, stuck=stuck)
    if not axis.hands_suffice(axis.earliest, axis.latest):
        return Plan((), 0, 0, proved=True)
    best = _simply(Laying(axis))
    start = axis.first_fresh(best) if best else axis.first_fresh(axis.earliest)
    limit = _latest_possible(axis, start)
    if not best or (start < limit and not any_plan):
        plans = (best, _laid(axis, limit, any_plan=any_plan))
        best = max((one for one in plans if one), key=axis.worth, default=[])
    start = axis.first_fresh(best) if best else -1
    complete = bool(best) and start >= limit
    if not complete and not (best and any_plan):
        nodes = (effort if best else max(effort, WITHOUT_A_PLAN)) // len(problem.activities)
        search = Search(axis, limit, start)
        complete = search.run(nodes)
        best = search.best or best
    if not best:
        return Plan((), 0, limit, proved=complete)
    best = pushed_on(axis, best)
    start = axis.first_fresh(best)
    return Plan(tuple(best), start, start if complete else limit, proved=complete)


def has_plan(problem: Problem, effort: int = EFFORT) -> bool:
    """Whether `solved` finds a plan within so much effort: quicker, as most often the first one laid will do."""
    _checked(problem)
    if not problem.activities:
        return True
    axis = Axis(problem)
    if axis.narrowed() != NO_ROOM or not axis.hands_suffice(axis.earliest, axis.latest):
        return False
    return bool(_simply(Laying(axis))) or solved(problem, effort, any_plan=True).found


def _simply(laying: Laying) -> list[int]:
    """The plan of the one order of importance that asks for no bound first; [] when it does not work out."""
    axis = laying.axis
    rows = zip(axis.earliest, axis.latest, axis.activities, strict=True)
    return laying.laid([low + high + one.hands for low, high, one in rows])


def _checked(problem: Problem) -> None:
    count = len(problem.activities)
    for link in problem.links:
        if not (0 <= link.before < count and 0 <= link.after < count):
            raise ValueError("A link names an activity that is not there.")
    for activity in problem.activities:
        if activity.machine and activity.places > problem.machines.get(activity.machine, 0):
            raise ValueError("An activity needs more places than its machine has.")


def _latest_possible(axis: Axis, low: int) -> int:
    """The latest first fresh start, `low` or later, that the waits, hours and hands do not rule out."""
    high = axis.first_fresh(axis.latest)
    if low < high and axis.ruled_out(low + 1):
        return low
    while low < high:
        middle = (low + high + 1) // 2
        if axis.ruled_out(middle):
            high = middle - 1
        else:
            low = middle
    return low


def _laid(axis: Axis, limit: int, *, any_plan: bool) -> list[int]:
    """The best plan of a few orders of importance; [] when none comes out whole."""
    laying = Laying(axis)
    by_end = [float(at + one.hands) for at, one in zip(axis.latest, axis.activities, strict=True)]
    by_need = [float(at) for at in axis.earliest_if(limit) or axis.earliest]
    both = [a + b for a, b in zip(by_need, by_end, strict=True)]
    spread = max(by_end[at] for at in axis.fresh) - min(by_need[at] for at in axis.fresh)
    best: list[int] = []
    value = (-1, 0, 0)
    for keys in (both, by_need, by_end):
        starts = laying.laid(keys)
        if not starts and not best:
            starts = _urged(laying, keys, spread, URGED)
        if starts and axis.worth(starts) > value:
            best, value = starts, axis.worth(starts)
            if any_plan or value[0] >= limit:
                return best
    return _later(laying, best, limit, by_end, spread) if best else []


def _later(
    laying: Laying, best: list[int], limit: int, by_end: Sequence[float], spread: float
) -> list[int]:
    """The plan, or one that begins later: half of what is left to the limit is asked for, and again."""
    axis, low, high = laying.axis, laying.axis.first_fresh(best), limit
    for _ in range(HALVED):
        if low >= high:
            break
        middle = (low + high + 1) // 2
        earliest = axis.earliest_if(middle)
        starts = []
        if earliest:
            laying.floor = earliest
            keys = [a + b for a, b in zip(earliest, by_end, strict=True)]
            starts = laying.laid(keys) or _urged(laying, keys, spread, URGED_AGAIN)
        if starts:
            best, low = starts, axis.first_fresh(starts)
        else:
            high = middle - 1
    return best


def _urged(laying: Laying, keys: Sequence[float], spread: float, times: int) -> list[int]:
    """The same order of importance, with what found no room moved up in it, again and again."""
    urged = list(keys)
    for _ in range(times):
        for at in laying.chain_of(laying.failed):
            urged[at] += spread / 8
        starts = laying.laid(urged)
        if starts:
            return starts
    return []
