"""Problems for the solver's tests: random ones in the shape of a cake's work, and a check of any plan."""

from random import Random

from consult.core.solving import Activity, Bench, Link, Plan, Problem

SLOTS_A_DAY = 96  # quarters of an hour, as in no shop but small enough to be settled exactly


def a_problem(seed: int) -> Problem:
    """A few chains of tasks as tiers have them, some tied by longest waits, on a few days."""
    chance = Random(seed)
    days = chance.randint(2, 4)
    benches = tuple(_bench(day, chance) for day in range(days))
    end = days * SLOTS_A_DAY
    activities: list[Activity] = []
    links: list[Link] = []
    for _ in range(chance.randint(1, 3)):
        before = None
        for _ in range(chance.randint(2, 5)):
            at = len(activities)
            activities.append(_activity(chance, end))
            if before is not None:
                least = activities[before].elapsed + chance.choice([0, 0, 0, 2, 8])
                most = chance.choice([None, None, None, least, least + 1, least + 4, least + 40])
                links.append(Link(before, at, least, most))
            before = at
    for _ in range(chance.randint(0, 3)):
        one, other = sorted(chance.sample(range(len(activities)), 2))
        least = chance.choice([0, 3, 10])
        links.append(Link(one, other, least, chance.choice([None, None, least + 60])))
    return Problem(
        tuple(activities), tuple(links), benches, chance.choice([1, 1, 1, 2]),
        {"oven": chance.randint(1, 3), "fridge": chance.randint(1, 2)},
    )  # fmt: skip


def _bench(day: int, chance: Random) -> Bench:
    opens = day * SLOTS_A_DAY + 32
    length = chance.choice([12, 20, 32])
    return Bench(opens, opens + length, chance.choice([length, length, max(length - 8, 4)]))


def _activity(chance: Random, end: int) -> Activity:
    hands = chance.choice([0, 1, 1, 2, 3, 5])
    machine = chance.choice(["", "", "oven", "fridge"])
    elapsed = chance.choice([1, 3, 6]) if machine else chance.choice([0, 0, 0, 8])
    return Activity(
        hands=hands,
        first=0,
        last=end - chance.choice([0, 0, 0, 30]),
        elapsed=elapsed,
        machine=machine,
        places=1 if machine else 0,
        attended=machine == "oven",
        anywhere=chance.random() < 0.05,
        fresh=chance.random() < 0.85,
    )


def broken(problem: Problem, plan: Plan) -> list[str]:
    """Every rule of the problem that the plan breaks, found slot by slot."""
    wrong = []
    for at, one in enumerate(problem.activities):
        start, end = plan.starts[at], plan.starts[at] + one.hands
        if start < one.first or end > one.last:
            wrong.append(f"{at} outside its own limits")
        until = end + one.elapsed if one.attended else end
        bound = (one.hands or one.attended) and not one.anywhere
        if bound and not any(b.opens <= start and until <= b.closes for b in problem.benches):
            wrong.append(f"{at} outside the hours")
    for link in problem.links:
        wait = plan.starts[link.after] - (
            plan.starts[link.before] + problem.activities[link.before].hands
        )
        if wait < link.least or (link.most is not None and wait > link.most):
            wrong.append(f"wait {link.before} to {link.after} is {wait}")
    return wrong + _over(problem, plan)


def _over(problem: Problem, plan: Plan) -> list[str]:
    hands: dict[int, int] = {}
    machines: dict[tuple[str, int], int] = {}
    by_bench: dict[int, int] = {}
    for one, start in zip(problem.activities, plan.starts, strict=True):
        for slot in range(start, start + one.hands):
            hands[slot] = hands.get(slot, 0) + 1
        for slot in range(start + one.hands, start + one.hands + one.elapsed):
            if one.machine:
                machines[one.machine, slot] = machines.get((one.machine, slot), 0) + one.places
        if not one.anywhere:
            for number, bench in enumerate(problem.benches):
                if one.hands and bench.opens <= start < bench.closes:
                    by_bench[number] = by_bench.get(number, 0) + one.hands
    wrong = [f"{n} pairs of hands at {slot}" for slot, n in hands.items() if n > problem.hands]
    wrong += [
        f"{count} in the {name} at {slot}"
        for (name, slot), count in machines.items()
        if count > problem.machines[name]
    ]
    return wrong + [
        f"{used} slots on bench {number}"
        for number, used in by_bench.items()
        if used > problem.benches[number].free
    ]
