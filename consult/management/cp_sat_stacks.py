"""What does a general-purpose exact solver answer to the question of stacks? OR-tools CP-SAT, for the benchmark.

The same pans, rules and costs as our own search, as one model: which tier stands on which level. It is
asked for one named choice at a time, while our search gives all of them, and the whole front, at once.
"""

from dataclasses import dataclass
from time import perf_counter

from ortools.sat.python import cp_model

from consult.core.design import Kind, StackChoice
from consult.core.stack_walk import Pieces
from consult.core.stacks import StackCosts

MICRONS = 1000  # heights in whole thousandths of a millimetre


@dataclass(frozen=True)
class Proved:
    """The best value of one choice: servings over, total in minor units, minutes, or microns of height.

    `value` is None where no stack stands; `proved` False where the time ran out before the proof.
    """

    value: int | None
    proved: bool
    ms: float


class StackModel:
    """The model without its objective, made anew for each question."""

    def __init__(self, pieces: Pieces, costs: StackCosts) -> None:
        self.pieces, self.costs, self.model = pieces, costs, cp_model.CpModel()
        self.served: list = []
        self.tall: list = []
        self.price: list = []
        self.minutes: list = []
        self._build()

    def _build(self) -> None:
        pieces, model = self.pieces, self.model
        body, top = [], []
        for level in range(pieces.most):
            body.append([model.new_bool_var("") for _ in pieces.options])
            top.append([model.new_bool_var("") for _ in pieces.options])
            model.add_at_most_one([*body[level], *top[level]])
            self._costed(level, body[level], is_top=False)
            self._costed(level, top[level], is_top=True)
        model.add_exactly_one([one for level in top for one in level])
        model.add_exactly_one([*body[0], *top[0]])
        model.add(sum(body[-1]) == 0)
        model.add(sum(one for level in top[: pieces.fewest - 1] for one in level) == 0)
        for level in range(pieces.most):
            self._standing(level, body, top)
        for level in range(pieces.most - 1):  # a body carries something
            model.add(sum(body[level]) == sum(body[level + 1]) + sum(top[level + 1]))
        model.add(sum(self.served) >= pieces.need)
        model.add(sum(self.tall) <= pieces.tallest)

    def _costed(self, level: int, chosen: list, *, is_top: bool) -> None:
        join = self.costs.join(level) if level else (0, 0)
        for option, one in zip(self.pieces.options, chosen, strict=True):
            price, minutes = self.costs.tier(option, level, is_top, Kind.EATEN)
            self.served.append(option.servings * one)
            self.tall.append(round(option.height_mm * MICRONS) * one)
            self.price.append((price + join[0]) * one)
            self.minutes.append((minutes + join[1]) * one)

    def _standing(self, level: int, body: list, top: list) -> None:
        """What stands on a level is carried by what is below it, or by the base board."""
        pieces, carries, pan_of = self.pieces, self.pieces.carries, self.pieces.pan_of
        for pan in range(len(pieces.outlines)):
            here = [
                row[at]
                for row in (body[level], top[level])
                for at in range(len(pieces.options))
                if pan_of[at] == pan
            ]
            if level:
                below = [
                    body[level - 1][at] for at in range(len(pan_of)) if carries[pan_of[at], pan]
                ]
                self.model.add(sum(here) <= sum(below))
            elif not carries[-1, pan]:
                self.model.add(sum(here) == 0)


def best(
    pieces: Pieces, costs: StackCosts, choice: StackChoice, seconds: float, workers: int
) -> Proved:
    """The best value of that choice, with the time to build the model and to prove it."""
    started = perf_counter()
    asked = StackModel(pieces, costs)
    price, minutes = costs.once()
    objective = {
        StackChoice.CLOSEST_FIT: sum(asked.served),
        StackChoice.LOWEST_PRICE: sum(asked.price),
        StackChoice.LEAST_BENCH_TIME: sum(asked.minutes),
        StackChoice.TALLEST: -sum(asked.tall),
    }[choice]
    asked.model.minimize(objective)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(asked.model)
    ms = (perf_counter() - started) * 1000
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Proved(None, status == cp_model.INFEASIBLE, ms)
    found = round(solver.objective_value)
    value = {
        StackChoice.CLOSEST_FIT: found - pieces.need,
        StackChoice.LOWEST_PRICE: costs.total(found + price),
        StackChoice.LEAST_BENCH_TIME: found + minutes,
        StackChoice.TALLEST: -found,
    }[choice]
    return Proved(value, status == cp_model.OPTIMAL, ms)
