"""Does every plan keep its waits, hours, hands and places, and begin as late as it may?"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core.solving import Activity, Bench, Link, Problem, has_plan, solved
from tests.core.problem_makers import a_problem, broken

MORNING, EVENING = Bench(8, 20, 12), Bench(104, 116, 12)


def one(hands=2, *, last=116, first=0, **more):
    return Activity(hands, first, last, **more)


def plan(*activities, links=(), benches=(MORNING, EVENING), hands=1, **machines):
    return solved(Problem(activities, links, benches, hands, machines))


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 10**9))
def test_every_wait_hour_hand_and_place_is_kept(seed):
    problem = a_problem(seed)
    found = solved(problem)
    if found.found:
        assert broken(problem, found) == []
        fresh = [s for s, a in zip(found.starts, problem.activities, strict=True) if a.fresh]
        assert found.earliest == min(fresh or found.starts) <= found.latest_possible
    else:
        assert found.starts == ()


def test_the_check_of_a_plan_sees_each_kind_of_fault():
    problem = Problem(
        (one(2), one(2, elapsed=3, machine="oven", places=1), one(1, elapsed=3, machine="oven", places=1)),
        (Link(0, 1, 4, 6),), (Bench(8, 20, 4), EVENING), 1, {"oven": 1},
    )  # fmt: skip
    fine = solved(problem)
    assert broken(problem, fine) == []

    def faults(*starts):
        return broken(problem, type(fine)(starts, 0, 0, proved=False))

    assert any("hands" in fault for fault in faults(104, 110, 110))
    assert any("oven" in fault for fault in faults(104, 110, 112))
    assert any("wait" in fault for fault in faults(104, 113, 115))
    assert any("hours" in fault for fault in faults(30, 110, 115))
    assert any("bench" in fault for fault in faults(8, 14, 18))
    assert any("limits" in fault for fault in faults(108, 114, 116))


def test_work_is_done_as_late_as_it_may_be():
    assert plan(one(2)).starts == (114,)


def test_tasks_of_one_pair_of_hands_stand_one_behind_the_other():
    found = plan(one(2), one(3))
    assert (found.earliest, found.proved) == (111, True)
    assert max(found.starts) - min(found.starts) in (2, 3)


def test_two_pairs_of_hands_work_side_by_side():
    assert plan(one(2), one(2), hands=2, benches=(MORNING, Bench(104, 116, 24))).starts == (
        114,
        114,
    )


def test_least_wait_may_pass_overnight():
    found = plan(one(2), one(2, elapsed=0), links=(Link(0, 1, 20),))
    assert found.starts == (18, 114)  # the wait of 20 slots does not fit into one day
    assert found.proved


def test_longest_wait_pulls_the_later_task_to_an_earlier_day():
    both = (one(10), one(4))
    assert plan(*both, links=(Link(0, 1, 0, 0),)).starts == ()  # 14 slots in one go fit on no day
    found = plan(one(8), one(4), links=(Link(0, 1, 0, 0),))
    assert found.starts == (104, 112)


def test_oven_is_never_left_alone_at_night():
    found = plan(one(2, elapsed=5, machine="oven", places=1, attended=True), oven=1)
    assert found.starts == (109,)
    chilled = plan(one(2, elapsed=5, machine="fridge", places=1), fridge=1)
    assert chilled.starts == (114,)


def test_oven_with_two_places_takes_two_and_not_three():
    cake = one(1, elapsed=4, machine="oven", places=1, attended=True)
    assert sorted(plan(cake, cake, oven=2).starts) == [110, 111]
    third = plan(cake, cake, cake, oven=2)
    assert third.earliest == 107  # in the oven from 108 to 112, when the third goes in


def test_what_is_booked_on_a_day_is_not_free():
    found = plan(one(3), one(3), benches=(MORNING, Bench(104, 116, 4)))
    assert sorted(start < 100 for start in found.starts) == [False, True]
    assert found.earliest == 17


def test_the_road_is_not_bound_to_bench_hours():
    assert plan(one(4, last=140, anywhere=True)).starts == (136,)


def test_pieces_that_are_not_fresh_do_not_count_for_the_start():
    found = plan(one(2), one(2, last=20, fresh=False))
    assert (found.starts, found.earliest) == ((114, 18), 114)


def test_task_longer_than_any_day_is_named():
    found = plan(one(2), one(13))
    assert (found.found, found.proved, found.stuck) == (False, True, 1)


def test_too_much_work_for_the_hands_has_no_plan():
    found = plan(*[one(5)] * 5)  # 25 slots of work, 24 of hands
    assert (found.found, found.proved) == (False, True)


def test_nothing_to_do_is_no_plan():
    assert solved(Problem((), (), ())).starts == ()


def test_more_places_than_the_machine_has_is_never_asked():
    with pytest.raises(ValueError, match="places"):
        plan(one(1, elapsed=2, machine="oven", places=2), oven=1)
    with pytest.raises(ValueError, match="link"):
        plan(one(1), links=(Link(0, 7, 0),))


def test_same_problem_has_the_same_plan():
    for seed in range(20):
        assert solved(a_problem(seed)) == solved(a_problem(seed))


def test_the_quick_question_has_the_answer_of_the_whole_search():
    answers = []
    for seed in range(300):
        problem = a_problem(seed)
        answers.append(has_plan(problem, 100))
        assert answers[-1] == solved(problem, 100).found, seed
    assert set(answers) == {True, False}  # both kinds are among them


def test_nothing_to_lay_always_has_a_plan():
    assert has_plan(Problem((), (), ()))
