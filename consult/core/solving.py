"""When can each task begin, as late as may be? Work laid back from its end, hands and machines shared.

Time is in whole slots from some beginning. Nothing here knows of cakes: activities take one pair of
hands in one go, within the hours of a bench day, then perhaps a machine with nobody there. What is
looked for is the plan whose fresh work begins latest. A plan found always keeps every wait, hour and
place; `proved` says whether none begins later, or, with no plan, that there is none.

First a bound, from the waits, the hours and the hands alone; then plans laid from the end, in several
orders of importance; then, where the best of them is below the bound, a search by branch and bound
that gives up after `effort` activities, counted at each node. The same problem always has the same answer.
"""

from random import Random

from consult.core.solving_axis import NO_ROOM, Axis
from consult.core.solving_laying import Laying, pushed_on
from consult.core.solving_problem import Activity, Bench, Link, Plan, Problem
from consult.core.solving_search import Search

__all__ = ["EFFORT", "Activity", "Bench", "Link", "Plan", "Problem", "solved"]

EFFORT = 2000  # activities times nodes of the search, in a page's answer
TRIES = 24  # orders of importance tried, the first ones by rule and the rest shuffled
URGED = 12  # times that what found no room is moved up, while there is no plan
SHUFFLES = (4, 10, 25, 60)  # by what part of the time in question the shuffled orders are shifted
WITHOUT_A_PLAN = 20  # so many times the effort before a plan is given up


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
    limit = _latest_possible(axis)
    best = _laid(axis, limit, any_plan=any_plan)
    start = axis.first_fresh(best) if best else -1
    complete = bool(best) and start >= limit
    if not complete and not (best and any_plan):
        nodes = (effort if best else effort * WITHOUT_A_PLAN) // len(problem.activities)
        search = Search(axis, limit, start)
        complete = search.run(nodes)
        best = search.best or best
    if not best:
        return Plan((), 0, limit, proved=complete)
    best = pushed_on(axis, best)
    start = axis.first_fresh(best)
    return Plan(tuple(best), start, start if complete else limit, proved=complete)


def _checked(problem: Problem) -> None:
    count = len(problem.activities)
    for link in problem.links:
        if not (0 <= link.before < count and 0 <= link.after < count):
            raise ValueError("A link names an activity that is not there.")
    for activity in problem.activities:
        if activity.machine and activity.places > problem.machines.get(activity.machine, 0):
            raise ValueError("An activity needs more places than its machine has.")


def _latest_possible(axis: Axis) -> int:
    """The latest first fresh start that the waits, hours and hands do not rule out."""
    low = axis.first_fresh(axis.earliest)
    high = axis.first_fresh(axis.latest)
    while low < high:
        middle = (low + high + 1) // 2
        if axis.ruled_out(middle):
            high = middle - 1
        else:
            low = middle
    return low


def _laid(axis: Axis, limit: int, *, any_plan: bool) -> list[int]:
    """The best plan of several orders of importance; [] when none comes out whole."""
    laying, shuffle = Laying(axis), Random(1)
    earliest = axis.earliest_if(limit) or axis.earliest
    by_need = [float(at) for at in earliest]
    by_end = [float(at + one.hands) for at, one in zip(axis.latest, axis.activities, strict=True)]
    both = [a + b for a, b in zip(by_need, by_end, strict=True)]
    spread = max(by_end[at] for at in axis.fresh) - min(by_need[at] for at in axis.fresh)
    best: list[int] = []
    best_keys, value = both, (-1, 0, 0)
    for number in range(TRIES):
        if number < 3:
            keys = (both, by_need, by_end)[number]
        else:
            much = spread / SHUFFLES[number % len(SHUFFLES)]
            keys = [key + shuffle.gauss(0.0, much) for key in best_keys]
        starts = laying.laid(keys)
        if not starts and not best:
            starts, keys = _urged(laying, keys, spread)
        if not starts:
            continue
        worth = axis.worth(starts)
        if worth > value:
            best, best_keys, value = starts, keys, worth
        if any_plan or (value[0] >= limit and number >= 2):
            break
    return best


def _urged(laying: Laying, keys: list[float], spread: float) -> tuple[list[int], list[float]]:
    """The same order of importance, with what found no room moved up in it, again and again."""
    for _ in range(URGED):
        for at in laying.chain_of(laying.failed):
            keys = [key + spread / 8 if at == one else key for one, key in enumerate(keys)]
        starts = laying.laid(keys)
        if starts:
            return starts, keys
    return [], keys
