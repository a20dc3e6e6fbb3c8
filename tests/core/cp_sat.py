"""What does OR-tools CP-SAT answer to the same problem? An exact solver, for tests and benchmarks alone."""

from dataclasses import dataclass

from ortools.sat.python import cp_model

from consult.core.solving import Problem


@dataclass(frozen=True)
class Exact:
    """`feasible` None: not settled within the limit. `earliest` of the plan found; `proved` the best."""

    feasible: bool | None
    earliest: int | None
    proved: bool
    starts: tuple[int, ...] = ()


def _ranges(problem, activity):
    """Start ranges within the hours, found anew from the problem's own words, a bench at a time."""
    length = activity.hands + (activity.elapsed if activity.attended else 0)
    last = activity.last - activity.hands
    if activity.anywhere or (not activity.hands and not activity.attended):
        return [(None, activity.first, last)] if activity.first <= last else []
    found = []
    for number, bench in enumerate(problem.benches):
        first, until = max(bench.opens, activity.first), min(bench.closes - length, last)
        if first <= until:
            found.append((number, first, until))
    return found


def exact(problem: Problem, seconds: float = 2.0) -> Exact:
    """The latest first fresh start, with one worker and a limit in the solver's own deterministic time."""
    model = cp_model.CpModel()
    starts, hands, machines = [], [], {name: [] for name in problem.machines}
    on_bench = {number: [] for number in range(len(problem.benches))}
    for at, one in enumerate(problem.activities):
        ranges = _ranges(problem, one)
        if not ranges:
            return Exact(False, None, proved=True)
        domain = cp_model.Domain.from_intervals([[a, b] for _, a, b in ranges])
        start = model.new_int_var_from_domain(domain, f"start{at}")
        starts.append(start)
        if one.hands:
            hands.append(model.new_fixed_size_interval_var(start, one.hands, f"hands{at}"))
            if ranges[0][0] is not None:
                where = []
                for number, first, until in ranges:
                    there = model.new_bool_var(f"on{at}_{number}")
                    model.add(start >= first).only_enforce_if(there)
                    model.add(start <= until).only_enforce_if(there)
                    on_bench[number].append(one.hands * there)
                    where.append(there)
                model.add_exactly_one(where)
        if one.machine and one.elapsed:
            interval = model.new_fixed_size_interval_var(start + one.hands, one.elapsed, f"in{at}")
            machines[one.machine].append((interval, one.places))
    model.add_cumulative(hands, [1] * len(hands), problem.hands)
    for name, laid in machines.items():
        model.add_cumulative([i for i, _ in laid], [p for _, p in laid], problem.machines[name])
    for number, bench in enumerate(problem.benches):
        model.add(sum(on_bench[number]) <= bench.free)
    for link in problem.links:
        end = starts[link.before] + problem.activities[link.before].hands
        model.add(starts[link.after] >= end + link.least)
        if link.most is not None:
            model.add(starts[link.after] <= end + link.most)
    fresh = [at for at, one in enumerate(problem.activities) if one.fresh]
    fresh = fresh or list(range(len(problem.activities)))
    horizon = max(one.last for one in problem.activities)
    earliest = model.new_int_var(min(one.first for one in problem.activities), horizon, "earliest")
    for at in fresh:
        model.add(earliest <= starts[at])
    model.maximize(earliest)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = seconds
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        found = tuple(solver.value(start) for start in starts)
        return Exact(True, min(found[at] for at in fresh), status == cp_model.OPTIMAL, found)
    return Exact(
        False if status == cp_model.INFEASIBLE else None, None, status == cp_model.INFEASIBLE
    )
