"""What each finish and each stack would come to, and on which the date no longer holds."""

from dataclasses import replace
from datetime import timedelta

import pytest

from consult.core.adding import coating, more_inside
from consult.core.holding import Tried, coats_on, is_within, stacks_that_break, that_break
from consult.core.job import job_of
from consult.core.quote import quote_of
from consult.core.reckoning import reckon, restacked, stack_costs
from consult.core.stacks import for_one_page, stacks
from consult.core.timeline import hand_over_of, holds_on
from consult.core.work import work_of
from consult.core.working_days import calendar_of
from shop.core.catalogue import Driver, Finish
from tests import invented_shop
from tests.makers import TODAY, WEDDING_DAY, make_book, make_brief, make_rate, make_recipe

PAINTED = Finish(
    "painted", "hand-painted fondant", "fondant", "painted", make_recipe(fondant=1000),
    make_rate(Driver.PER_AREA, "13.5", "9", minutes_once="85", price_once="40", waiting=60),
    lead_days=1,
)  # fmt: skip
LACE = Finish(
    "lace", "fondant, lace stencil", "fondant", "stencil", make_recipe(fondant=1000),
    make_rate(Driver.PER_AREA, "6", "3", minutes_once="50", price_once="18", waiting=30),
)  # fmt: skip
BOOK = make_book(finishes=(*invented_shop.finishes(), LACE, PAINTED))


def booked(minutes):
    """So many minutes of other orders on each of the three weeks' days before the wedding."""
    return {WEDDING_DAY - timedelta(days=back): minutes for back in range(21)}


def with_finish(brief, level, code):
    tiers = list(brief.design.tiers)
    tiers[level] = replace(tiers[level], finish=code)
    return replace(brief, design=replace(brief.design, tiers=tuple(tiers)))


def holds(brief, calendar):
    """The order of work asked outright, nothing left out."""
    job = job_of(brief, BOOK, work_of(brief, BOOK))
    return holds_on(WEDDING_DAY, job, hand_over_of(brief, WEDDING_DAY, BOOK).time(), calendar)


@pytest.mark.parametrize("code", [finish.code for finish in BOOK.finishes])
@pytest.mark.parametrize("level", [0, 2])
def test_a_finish_comes_to_what_the_quote_and_the_hours_change_by(code, level):
    brief = make_brief()
    said = coating(code, level, brief, BOOK)
    now = coating("smooth", level, brief, BOOK)
    other = with_finish(brief, level, code)
    more = work_of(other, BOOK).hands_on - work_of(brief, BOOK).hands_on
    assert said.minutes - now.minutes == more
    lines, before = (
        [line.amount.minor for line in quote_of(one, BOOK, TODAY).lines if line.kind == "tier"]
        for one in (other, brief)
    )
    assert said.price.minor - now.price.minor == lines[level] - before[level]


def test_a_flavour_comes_to_what_the_tiers_line_grows_by():
    brief = make_brief()
    dear = next(flavour for flavour in BOOK.flavours if flavour.price_per_serving)
    tiers = (replace(brief.design.tiers[0], flavour=dear.code), *brief.design.tiers[1:])
    other = replace(brief, design=replace(brief.design, tiers=tiers))
    after, before = (quote_of(one, BOOK, TODAY).lines[0].amount for one in (other, brief))
    assert more_inside(dear, 0, brief, BOOK) == after - before


@pytest.mark.parametrize("minutes", [0, 240, 300, 330])
def test_a_finish_is_said_to_break_the_date_exactly_where_the_order_of_work_has_no_plan(minutes):
    brief, taken = make_brief(), booked(minutes)
    answer = reckon(brief, BOOK, TODAY, taken).date
    calendar = calendar_of(BOOK, TODAY, taken)
    assert answer.holds
    found = coats_on(brief, BOOK, answer, calendar)
    for level, coats in enumerate(found):
        for coat in coats:
            assert coat.breaks is not holds(with_finish(brief, level, coat.finish), calendar)


def test_a_full_week_cannot_bear_a_painted_base_and_an_empty_one_can():
    brief = make_brief()
    broken = {}
    for minutes in (0, 300):
        taken = booked(minutes)
        answer = reckon(brief, BOOK, TODAY, taken).date
        coats = coats_on(brief, BOOK, answer, calendar_of(BOOK, TODAY, taken))[0]
        broken[minutes] = {coat.finish for coat in coats if coat.breaks}
    assert broken[0] == set()
    assert "painted" in broken[300]
    assert "smooth" not in broken[300]


def test_no_finish_is_blamed_for_a_date_that_does_not_hold_anyway():
    taken = booked(10_000)
    answer = reckon(make_brief(), BOOK, TODAY, taken).date
    assert answer.holds is False
    coats = coats_on(make_brief(), BOOK, answer, calendar_of(BOOK, TODAY, taken))
    assert not any(coat.breaks for tier in coats for coat in tier)


@pytest.mark.parametrize("minutes", [0, 390, 405, 410, 10_000])
def test_a_stack_is_said_to_break_the_date_exactly_where_the_order_of_work_has_no_plan(minutes):
    brief, taken = make_brief(), booked(minutes)
    calendar = calendar_of(BOOK, TODAY, taken)
    shown = for_one_page(stacks(brief, BOOK, stack_costs(brief, BOOK, TODAY)))
    assert len(shown) > 3
    broken = stacks_that_break(shown, brief, BOOK, calendar)
    for at, stack in enumerate(shown):
        design = restacked(brief.design, stack.tiers, stack.kitchen_cakes)
        assert (at in broken) is not holds(replace(brief, design=design), calendar)
    if minutes == 10_000:
        assert len(broken) == len(shown)


def test_nothing_is_said_of_a_day_the_shop_is_closed():
    sunday = make_brief(on=WEDDING_DAY + timedelta(days=1))
    calendar = calendar_of(BOOK, TODAY, {})
    assert BOOK.policies.hours.bench_minutes[6] == 0
    assert that_break([Tried(sunday, (10_000,))], BOOK, calendar) == frozenset()


def test_a_load_is_within_another_where_no_part_of_it_is_more():
    assert is_within((60, 10), (60, 20))
    assert not is_within((60, 30), (90, 20))
