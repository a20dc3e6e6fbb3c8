"""Do the minutes follow from the geometry and the choices, whole minutes for each task?"""

import math
from dataclasses import replace
from decimal import Decimal

import pytest

from consult.core.choices import coated_area_of, tier_of, units_in_words, units_of
from consult.core.design import Brief, ChosenDecoration, Design, Kind, KitchenCake
from consult.core.work import driving_minutes, pieces_made, work_of
from shop.core.catalogue import BenchTask, Driver, Shape
from shop.core.measures import Units
from tests.makers import INCH, make_book, make_brief, make_design, make_rate, make_tier


def named(work, what, tier="any"):
    return [t for t in work.tasks if t.what == what and tier in ("any", t.tier)]


def bench(driver, applies_to, once="0", each="0", waiting=0):
    return BenchTask("it", "The task", driver, Decimal(once), Decimal(each), applies_to, waiting)


def book_with(task, **changes):
    return make_book(tasks=(task,), **changes)


def with_finish(rate):
    book = make_book(tasks=())
    return replace(book, finishes=(replace(book.finishes[0], rate=rate),))


@pytest.mark.parametrize(
    ("applies_to", "tiers_done"),
    [("eaten", [0, 2]), ("every", [0, 1, 2]), ("join", [1, 2])],
)
def test_bench_tasks_go_to_the_tiers_they_apply_to(applies_to, tiers_done):
    tiers = (12, make_tier(9, kind=Kind.DISPLAY), make_tier(6, kind=Kind.KEPT))
    work = work_of(make_brief(tiers=tiers), book_with(bench(Driver.PER_TIER, applies_to, each="7")))
    done = named(work, "The task")
    assert [task.tier for task in done] == tiers_done
    assert {task.hands_on for task in done} == {7}


def test_display_tier_is_not_baked_but_coated_and_decorated():
    tiers = (12, make_tier(9, kind=Kind.DISPLAY))
    brief = make_brief(tiers=tiers, decorations=[ChosenDecoration("pearl_border")])
    on_it = {task.what for task in work_of(brief, make_book()).tasks if task.tier == 1}
    assert on_it == {"Crumb coat", "Dowel and stack", "Swiss buttercream, smooth", "pearl border"}


def test_delivery_tasks_only_when_it_is_delivered():
    book = book_with(bench(Driver.PER_CAKE, "delivery", each="30"))
    assert not named(work_of(make_brief(), book), "The task")
    [task] = named(work_of(make_brief(delivery_km=1), book), "The task")
    assert (task.hands_on, task.tier) == (30, None)


def test_order_task_counted_by_the_tier_takes_its_once_only_once():
    book = book_with(bench(Driver.PER_TIER, "order", once="20", each="5"))
    minutes = [(t.tier, t.hands_on) for t in named(work_of(make_brief(), book), "The task")]
    assert minutes == [(None, 20), (0, 5), (1, 5), (2, 5)]


@pytest.mark.parametrize(
    ("kilometres", "speed", "minutes"),
    [
        ("0", "40", 0),
        ("20", "40", 60),  # half an hour there, half an hour back
        ("10", "48", 25),
        ("0.2", "48", 1),  # half a minute goes up
        ("0.19", "48", 0),  # a little less goes down
        ("20", "0", 0),  # no speed set: no time can be said
    ],
)
def test_driving_is_there_and_back(kilometres, speed, minutes):
    book = make_book()
    delivery = replace(book.policies.delivery, kilometres_an_hour=Decimal(speed))
    assert driving_minutes(make_brief(delivery_km=kilometres), make_book(delivery=delivery)) == (
        minutes
    )


def test_collected_cake_has_no_driving():
    assert driving_minutes(make_brief(), make_book()) == 0


def test_edge_work_grows_with_the_circumference():
    # 12 in round: pi x 30.48 cm = 95.76 cm; 0.8 min each 10 cm = 7.66, and 10 once.
    book = with_finish(make_rate(Driver.PER_EDGE, "0.8", minutes_once="10"))
    work = work_of(make_brief(tiers=(12,)), book)
    assert work.hands_on == 18
    assert work.tasks[0].why == "10 min once; 37.7 in (95.8 cm) edge, 0.8 min each 10 cm"


def test_area_work_grows_with_top_and_sides():
    # 10 in square, 4 in tall: 10 x 10 + 4 x 10 x 4 = 260 sq in = 1677.4 cm2.
    book = with_finish(make_rate(Driver.PER_AREA, "1"))
    tier = make_tier(10, shape=Shape.SQUARE)
    assert coated_area_of(tier) == pytest.approx(260 * INCH**2)
    assert work_of(make_brief(tiers=(tier,)), book).hands_on == 17


@pytest.mark.parametrize(("each", "minutes"), [("2.49", 2), ("2.5", 3), ("2.51", 3)])
def test_a_task_is_rounded_once_and_half_goes_up(each, minutes):
    book = with_finish(make_rate(Driver.PER_TIER, each))
    assert [task.hands_on for task in work_of(make_brief(), book).tasks] == [minutes] * 3


@pytest.mark.parametrize(
    ("count", "share", "made"),
    [(0, "0.1", 0), (1, "0.1", 2), (10, "0.1", 11), (11, "0.1", 13), (20, "0.1", 22), (7, "0", 7)],
)
def test_spare_pieces_are_made_in_addition_and_rounded_up(count, share, made):
    # One spare in ten: common practice, no source.
    assert pieces_made(count, Decimal(share)) == made


def test_spare_roses_take_time_and_are_said():
    work = work_of(make_brief(decorations=[ChosenDecoration("sugar_rose", 5, 2)]), make_book())
    [roses] = named(work, "sugar rose, wired")
    assert (roses.hands_on, roses.tier) == (6 * 45, 2)
    assert roses.why.endswith("(1 of them spare)")


def test_border_on_the_whole_cake_is_piped_on_every_tier_and_set_up_once():
    work = work_of(make_brief(decorations=[ChosenDecoration("pearl_border")]), make_book())
    edges = [math.pi * size * 2.54 for size in (12, 9, 6)]
    expected = [math.floor(0.7 * edge / 10 + (5 if at == 0 else 0) + 0.5)
                for at, edge in enumerate(edges)]  # fmt: skip
    assert [(t.tier, t.hands_on) for t in named(work, "pearl border")] == (
        list(enumerate(expected))
    )


def test_pieces_for_the_whole_cake_belong_to_no_tier():
    work = work_of(make_brief(decorations=[ChosenDecoration("topper", 2)]), make_book())
    assert [(t.tier, t.hands_on) for t in named(work, "wooden topper")] == [(None, 6)]


def test_decoration_above_the_stack_goes_on_the_top_tier():
    above = ChosenDecoration("gold_leaf", tier=4)
    assert tier_of(above, make_design().tiers) == 2
    work = work_of(make_brief(decorations=[above]), make_book())
    assert [task.tier for task in named(work, "gold leaf accents")] == [2]


@pytest.mark.parametrize(("asked", "tier"), [(None, None), (0, 0), (2, 2), (3, 2)])
def test_place_of_a_decoration_on_three_tiers(asked, tier):
    assert tier_of(ChosenDecoration("drip", tier=asked), make_design().tiers) == tier


def test_place_of_a_decoration_without_tiers_is_nowhere():
    assert tier_of(ChosenDecoration("drip", tier=1), ()) is None


def test_none_of_a_decoration_takes_no_time():
    book = make_book()
    none = make_brief(decorations=[ChosenDecoration("sugar_rose", 0, 1)])
    assert work_of(none, book) == work_of(make_brief(), book)


def test_two_kitchen_cakes_take_twice_one():
    book = make_book()

    def minutes(count):
        cake = KitchenCake(Shape.RECTANGLE, 13 * INCH, 4 * INCH, 9 * INCH, count)
        design = make_design(kitchen_cakes=(cake,))
        tasks = work_of(make_brief(design=design), book).tasks
        return sum(task.hands_on for task in tasks if task.kind == "kitchen cake")

    assert minutes(2) == 2 * minutes(1) > 0


def test_waiting_is_kept_apart_from_hands_on():
    work = work_of(make_brief(tiers=(8,)), make_book())
    assert work.waiting == 220 + 120 + 20 + 20
    assert work.hands_on == sum(task.hands_on for task in work.tasks)


def test_a_brief_without_a_cake_has_no_work():
    assert work_of(Brief(design=Design()), make_book()).tasks == ()


def test_a_shop_on_centimetres_reads_centimetres():
    units = units_of(Driver.PER_EDGE, make_tier(12), 0)
    assert units_in_words(Driver.PER_EDGE, units, Units.CENTIMETRES) == "95.8 cm edge"
    assert units_in_words(Driver.PER_PIECE, Decimal(1), Units.CENTIMETRES) == "1 piece"
    area = units_of(Driver.PER_AREA, make_tier(10, shape=Shape.SQUARE), 0)
    assert units_in_words(Driver.PER_AREA, area, Units.INCHES) == (
        "260 sq in (1677 cm²) of top and sides"
    )
