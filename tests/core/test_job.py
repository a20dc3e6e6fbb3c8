"""Is the order of work that of the bench, with every minute in it and a reason for every wait?"""

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core.design import ChosenDecoration, Kind, KitchenCake
from consult.core.job import Role, job_of, oven_places
from consult.core.job_roles import oven_minutes, role_of
from consult.core.work import work_of
from shop.core.catalogue import BenchTask, Driver, Shape
from shop.core.policies import Kitchen
from shop.sample_setup import sample_book
from tests.makers import INCH, make_book, make_brief, make_design, make_tier

BOOK = sample_book()


def a_job(tiers=(12, 9, 6), *, finish="", decorations=(), book=BOOK, delivery_km=None, **changes):
    design = make_design(
        tiers, flavour="", filling="", finish=finish, decorations=decorations, **changes
    )
    brief = make_brief(design=design, delivery_km=delivery_km)
    return job_of(brief, book, work_of(brief, book))


def step(job, role, tier=0):
    [found] = [s for s in job.steps if s.role is role and s.tier == tier]
    return found


def wait(job, before, after):
    found = [w for w in job.waits if (w.before, w.after) == (before.number, after.number)]
    assert found, (before.what, after.what)
    return max(found, key=lambda w: w.least)


def follows(job, before, after):
    """Whether one comes after the other by the waits, directly or through others."""
    seen, waiting = set(), [before.number]
    while waiting:
        at = waiting.pop()
        seen.add(at)
        waiting += [w.after for w in job.waits if w.before == at and w.after not in seen]
    return after.number in seen


@pytest.mark.parametrize(
    ("words", "applies_to", "role"),
    [
        ("Mix batter and prepare pans", "eaten", Role.MIX),
        ("Bake and cool", "eaten", Role.BAKE),
        ("Cool, wrap and chill", "eaten", Role.COOL),
        ("Level and split", "eaten", Role.LEVEL),
        ("Fill and stack the layers", "eaten", Role.FILL),
        ("Make filling and icing", "eaten", Role.ICING),
        ("Crumb coat", "every", Role.CRUMB),
        ("Cut and glue its board", "every", Role.TIER_BOARD),
        ("Dowel and stack", "join", Role.JOIN),
        ("Anything", "join", Role.JOIN),
        ("Cover the board", "order", Role.DRUM),
        ("Box and pack the kit", "order", Role.BOX),
        ("Order, shop and weigh out", "order", Role.WEIGH),
        ("Costing and ordering", "order", Role.WEIGH),
        ("Consultation, sketch and costing", "order", Role.TALK),
        ("Design and costing", "order", Role.TALK),
        ("Set up at the venue", "delivery", Role.SET_UP),
        ("Wash up", "eaten", Role.SIDE),
        ("Reserve, about 15 % of the work", "eaten", Role.SIDE),
        ("Soak with syrup", "eaten", Role.OTHER),
    ],
)
def test_parts_are_known_by_the_shops_own_words(words, applies_to, role):
    assert role_of(words, applies_to) is role


# Gisslen, Professional Cooking, Table 32.1: baking times of high-fat layers, 6, 8, 10 and 12 in.
@pytest.mark.parametrize(("inches", "minutes"), [(6, 18), (8, 25), (10, 35), (12, 35)])
def test_oven_minutes_are_the_textbooks(inches, minutes):
    assert oven_minutes(make_tier(inches)) == minutes


def test_oven_minutes_between_and_beyond_the_table():
    assert (oven_minutes(make_tier(4)), oven_minutes(make_tier(9))) == (18, 30)
    assert oven_minutes(make_tier(16)) > 35


def test_pans_share_a_shelf_as_they_fit_side_by_side():
    kitchen = Kitchen(oven_wide_mm=600, oven_deep_mm=400)
    assert oven_places(make_tier(6), 2, kitchen) == 334  # 3 x 2 pans of 152 mm on a shelf
    assert oven_places(make_tier(9), 2, kitchen) == 1000  # 2 x 1 of 229 mm
    assert oven_places(make_tier(12), 2, kitchen) == 2000  # one a shelf
    assert oven_places(make_tier(18), 1, kitchen) == 1000  # too large: it takes the shelf alone
    oblong = make_tier(13, shape=Shape.RECTANGLE, width_mm=9 * INCH)
    assert oven_places(oblong, 2, kitchen) == 1000  # turned, two of 229 x 330 mm


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_every_minute_of_the_work_is_in_one_step(data):
    book = data.draw(st.sampled_from([BOOK, make_book()]))
    decorations = data.draw(
        st.lists(
            st.builds(
                ChosenDecoration,
                st.sampled_from([thing.code for thing in book.decorations]),
                st.integers(1, 5),
                st.sampled_from([None, 0, 1]),
            ),
            max_size=4,
        )
    )
    sizes = data.draw(st.sampled_from([(), (6,), (9, 6), (12, 9, 6), (14, 12, 9, 6)]))
    design = make_design(
        sizes,
        flavour="",
        filling="",
        finish=data.draw(st.sampled_from([finish.code for finish in book.finishes])),
        decorations=decorations if sizes else (),
        kitchen_cakes=data.draw(
            st.sampled_from([(), (KitchenCake(Shape.RECTANGLE, 330, 76, 229, count=3),)])
        ),
    )
    brief = make_brief(design=design, delivery_km=data.draw(st.sampled_from([None, 12])))
    work = work_of(brief, book)
    job = job_of(brief, book, work)
    assert job.hands_on == work.hands_on == sum(s.hands_on for s in job.steps)
    numbers = [s.number for s in job.steps]
    assert numbers == list(range(len(numbers)))
    for each in job.waits:
        assert each.before in numbers and each.after in numbers  # noqa: PT018  one fact, two ends
        assert each.least >= 0 and (each.most is None or each.most >= each.least)  # noqa: PT018  the same
        assert each.why
        assert not follows(job, job.steps[each.after], job.steps[each.before])  # no circle


def test_tier_goes_from_batter_to_coat_in_order():
    job = a_job((8,))
    chain = (Role.MIX, Role.BAKE, Role.COOL, Role.LEVEL, Role.FILL, Role.CRUMB, Role.FINISH)
    steps = [step(job, role) for role in chain]
    for before, after in pairwise(steps):
        assert wait(job, before, after).least >= before.elapsed
    assert follows(job, step(job, Role.ICING), step(job, Role.FILL))
    assert follows(job, step(job, Role.TIER_BOARD), step(job, Role.FILL))


def test_waits_are_those_of_the_trade():
    job = a_job((8,))
    mixed, baked, cooled = (step(job, role) for role in (Role.MIX, Role.BAKE, Role.COOL))
    levelled, filled, crumbed, coat = (
        step(job, role) for role in (Role.LEVEL, Role.FILL, Role.CRUMB, Role.FINISH)
    )
    assert wait(job, mixed, baked).most == 15
    assert (wait(job, baked, cooled).least, wait(job, baked, cooled).most) == (45, 60)
    assert wait(job, cooled, levelled).least == 180  # the shop's own; two hours at least
    assert wait(job, baked, filled).most == 2 * 24 * 60  # Nebraska Extension: two days
    assert wait(job, filled, coat).least == 120  # settle two hours at least
    assert wait(job, crumbed, coat).least == 25
    assert (baked.machine, baked.attended, crumbed.machine) == ("oven", True, "fridge")


def test_cooling_is_never_less_than_two_hours():
    tasks = tuple(
        replace(task, waiting_minutes=30) if task.code == "cool" else task for task in BOOK.tasks
    )
    job = a_job((8,), book=replace(BOOK, tasks=tasks))
    assert wait(job, step(job, Role.COOL), step(job, Role.LEVEL)).least == 120


def test_baking_and_cooling_as_one_task_are_told_apart():
    job = a_job((8,), book=make_book())  # "Bake and cool", 220 min
    baked = step(job, Role.BAKE)
    assert (baked.machine, baked.elapsed) == ("oven", 25)
    assert wait(job, baked, step(job, Role.LEVEL)).least == 220


def test_tiers_chill_three_quarters_of_an_hour_before_they_are_stacked():
    job = a_job()
    for level in (1, 2):
        for below in (level - 1, level):
            joined = step(job, Role.JOIN, level)
            assert wait(job, step(job, Role.FINISH, below), joined).least >= 45
    assert follows(job, step(job, Role.JOIN, 1), step(job, Role.JOIN, 2))


def decorated(job, what, tier):
    [found] = [s for s in job.steps if s.what == what and s.tier == tier]
    return found


def test_drip_goes_on_a_chilled_coat_and_before_stacking():
    job = a_job(decorations=[ChosenDecoration("chocolate-drip", 1, 0)])
    drip = decorated(job, "Chocolate drip", 0)
    assert wait(job, step(job, Role.FINISH), drip).least >= 30
    assert follows(job, drip, step(job, Role.JOIN, 1))


def test_border_hides_the_seam_so_it_comes_after_stacking():
    job = a_job(decorations=[ChosenDecoration("shell-border")])
    assert follows(job, step(job, Role.JOIN, 1), decorated(job, "Piped shell border", 1))


def test_pearls_are_pressed_in_before_the_coat_sets():
    pearls = replace(BOOK.decorations[0], code="pearls", name="Sugar pearls", symbol="pearls")
    book = replace(BOOK, decorations=(*BOOK.decorations, pearls))
    job = a_job((9, 6), book=book, decorations=[ChosenDecoration("pearls", 1, 0)])
    coat, put_on = step(job, Role.FINISH), decorated(job, "Sugar pearls", 0)
    assert wait(job, coat, put_on).most == 15
    assert (coat.elapsed, put_on.elapsed, put_on.machine) == (0, 45, "fridge")
    assert wait(job, put_on, step(job, Role.JOIN, 1)).least == 45
    hard = a_job(
        (9, 6), book=book, finish="white-fondant", decorations=[ChosenDecoration("pearls", 1, 0)]
    )
    assert wait(hard, step(hard, Role.FINISH), decorated(hard, "Sugar pearls", 0)).most is None


def test_fondant_is_kept_out_of_the_fridge():
    coat = step(a_job((9, 6), finish="white-fondant"), Role.FINISH)
    assert (coat.machine, coat.elapsed) == ("", 45)


def test_dried_pieces_are_made_apart_and_dry_for_their_lead_days():
    job = a_job(decorations=[ChosenDecoration("sugar-peony", 2, 2)])
    [peony] = [s for s in job.steps if s.ahead]
    assert (peony.elapsed, peony.fresh, peony.in_sittings) == (5 * 24 * 60, False, True)
    [box] = [s for s in job.steps if s.role is Role.BOX]
    assert wait(job, peony, box).least == 5 * 24 * 60
    assert "5 days" in wait(job, peony, box).why


def test_what_is_piped_on_the_tier_and_dries_a_day_holds_up_the_stacking():
    job = a_job(decorations=[ChosenDecoration("brush-embroidery", 1, 0)])
    piped = decorated(job, "Brush embroidery", 0)
    assert not piped.ahead
    assert wait(job, piped, step(job, Role.JOIN, 1)).least == 24 * 60


def test_four_tiers_are_delivered_in_parts_and_joined_at_the_venue():
    job = a_job((14, 12, 9, 6), delivery_km=12)
    # The support plan sends each tier in a box of its own, so none is joined before the drive.
    assert [step(job, Role.JOIN, level).on_road for level in (1, 2, 3)] == [True, True, True]
    last = step(job, Role.JOIN, 1)
    there = next(s for s in job.steps if s.what == "Drive there")
    [box] = [s for s in job.steps if s.role is Role.BOX]
    assert follows(job, box, there)
    assert wait(job, there, last).most == 15
    collected = a_job((14, 12, 9, 6))
    assert not any(s.on_road for s in collected.steps)


def test_half_the_drive_comes_after_hand_over():
    job = a_job(delivery_km=20)
    there, back = (s for s in job.steps if s.role is Role.DRIVE)
    assert (there.by, back.by) == ("hand-over", "after")
    assert there.hands_on - back.hands_on in (0, 1)


def test_display_tier_is_not_baked_and_not_fresh():
    job = a_job((12, make_tier(9, kind=Kind.DISPLAY)))
    on_it = [s for s in job.steps if s.tier == 1]
    assert not any(s.fresh for s in on_it if s.role in (Role.FINISH, Role.CRUMB))
    assert not any(s.role in (Role.MIX, Role.BAKE) for s in on_it)


def test_kitchen_cakes_bake_in_as_many_loads_as_the_oven_needs():
    cakes = (KitchenCake(Shape.RECTANGLE, 330, 76, 229, count=4),)
    job = a_job((), kitchen_cakes=cakes)
    [baked] = [s for s in job.steps if s.role is Role.BAKE]
    # 8 layers, two on a shelf, two shelves: two loads of the shop's 45 minutes.
    assert (baked.elapsed, baked.places) == (90, 2000)


def test_task_the_trade_has_no_word_for_keeps_its_place_in_the_shops_list():
    syrup = BenchTask(
        "soak", "Soak with syrup", Driver.PER_TIER, Decimal(0), Decimal(5), "eaten", 0, "Level"
    )
    at = next(n for n, task in enumerate(BOOK.tasks) if task.code == "torte")
    tasks = (*BOOK.tasks[: at + 1], syrup, *BOOK.tasks[at + 1 :])
    job = a_job((8,), book=replace(BOOK, tasks=tasks))
    soaked = decorated(job, "Soak with syrup", 0)
    assert follows(job, step(job, Role.LEVEL), soaked)
    assert follows(job, soaked, step(job, Role.FILL))


def test_washing_up_holds_up_no_coat():
    wash = BenchTask(
        "wash", "Wash up", Driver.PER_TIER, Decimal(0), Decimal(15), "eaten", 0, "Level and split"
    )
    tasks = (*(task for task in BOOK.tasks if task.name != "Wash up"), wash)
    job = a_job((8,), book=replace(BOOK, tasks=tasks))
    washed = decorated(job, "Wash up", 0)
    assert follows(job, step(job, Role.LEVEL), washed)
    assert not follows(job, washed, step(job, Role.FINISH))
    assert not washed.fresh


def test_no_cake_is_no_job():
    assert a_job(()).steps == ()


def test_talk_with_the_client_is_work_that_is_done_and_waits_for_nothing():
    job = a_job(delivery_km=15)
    [talk] = [step for step in job.steps if step.role is Role.TALK]
    assert (talk.hands_on, talk.by, talk.is_laid) == (50, "before", False)
    assert job.to_do == job.hands_on - 50
    assert all(talk.number not in (one.before, one.after) for one in job.waits)
