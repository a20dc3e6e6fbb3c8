"""The search against trying every stack, over shelves, limits and costs drawn at random."""

import itertools
import random
from dataclasses import dataclass

from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core import shapes
from consult.core.design import Kind
from consult.core.servings import counted_servings, servings_needed
from consult.core.stacks import (
    StackChoice,
    how_many_stand,
    kitchen_options,
    named,
    options_of,
    stack_problems,
    stacks,
    why_none,
)
from shop.core.catalogue import Shape
from tests.core.stack_makers import INCH, a_brief, a_pan, stack_shop

# Drawn widely; a run of this file takes a few seconds.
THOROUGHLY = settings(max_examples=80, deadline=None)


@dataclass(frozen=True)
class RandomCosts:
    """Any costs at all for a tier where it stands, a join, a kitchen cake; and a total in steps."""

    seed: int
    most: int
    least: int
    round_to: int

    def _drawn(self, *what):
        drawn = random.Random(repr((self.seed, *what)))
        return drawn.randint(0, self.most), drawn.randint(0, self.most)

    def tier(self, option, level, is_top, kind):
        return self._drawn("tier", option.pan_name, option.height_mm, level, is_top, kind.value)

    def join(self, level):
        return self._drawn("join", level)

    def once(self):
        return self._drawn("once")

    def kitchen(self, option):
        return self._drawn("kitchen", option.pan_name)

    def total(self, price_minor):
        return max(self.least, -(-price_minor // self.round_to) * self.round_to)


def ways_up(brief, book):
    """Every stack of tiers that stands, each as a tuple of (option, kind), tried one by one."""
    limits = book.policies.stacks
    most = min(limits.most_tiers, brief.limits.most_tiers or limits.most_tiers)
    options = options_of(brief, book)

    def may_stand(below, above):
        step = shapes.steps(*below.outline, *above.outline)
        return step.narrowest_mm >= limits.ledge_mm - 0.1 and (
            step.widest_mm <= limits.widest_step_mm + 0.1
        )

    def higher(stack):
        yield stack
        if len(stack) < most:
            for option in options:
                if may_stand(stack[-1], option):
                    yield from higher((*stack, option))

    for base in options:
        board = max(shapes.extent_mm(*base.outline)) + 2 * limits.board_margin_mm
        if board > limits.widest_board_mm + 0.1:
            continue
        for stack in higher((base,)):
            tall = sum(option.height_mm for option in stack)
            if len(stack) >= brief.limits.fewest_tiers and tall <= limits.tallest_mm + 0.1:
                yield from with_kinds(stack, brief)


def with_kinds(stack, brief):
    body = (Kind.EATEN, Kind.DISPLAY)
    top = (Kind.KEPT,) if brief.need.keep_top else body
    for kinds in itertools.product(*[body] * (len(stack) - 1), top):
        if kinds.count(Kind.DISPLAY) == brief.limits.display_tiers:
            yield tuple(zip(stack, kinds, strict=True))


def every_stack(brief, book, costs):
    """What each stack that stands and feeds comes to: (surplus, total, minutes, height)."""
    need = servings_needed(brief.need, book).count
    for stack in ways_up(brief, book):
        servings = sum(option.servings for option, kind in stack if kind is Kind.EATEN)
        parts = [costs.once()]
        for level, (option, kind) in enumerate(stack):
            parts.append(costs.tier(option, level, level == len(stack) - 1, kind))
            parts += [costs.join(level)] if level else []
        tall = round(sum(option.height_mm for option, _ in stack), 3)
        fillings = [(servings, parts)]
        if servings < need:
            fillings = []
            for cake in kitchen_options(brief, book):
                count = -(-(need - servings) // cake.servings)
                filled = servings + count * cake.servings
                fillings.append((filled, parts + [costs.kitchen(cake)] * count))
        for fed, all_parts in fillings:
            price, minutes = (sum(column) for column in zip(*all_parts, strict=True))
            yield fed - need, costs.total(price), minutes, tall


def beats(one, other):
    return one != other and all(
        a <= b for a, b in zip((*one[:3], -one[3]), (*other[:3], -other[3]), strict=True)
    )


def front_of(values):
    front = []
    for one in sorted(set(values), key=lambda value: (*value[:3], -value[3])):
        if not any(beats(other, one) for other in front):
            front.append(one)
    return set(front)


SHELF_SHAPES = (Shape.ROUND, Shape.SQUARE, Shape.HEXAGON, Shape.RECTANGLE)
HEIGHTS_MM = (63.5, 76.2, 101.6, 127.0, 152.4)


@st.composite
def shelves(draw):
    """Up to six pans of up to three shapes, some lent out."""
    return tuple(
        a_pan(shape, size, size * 0.75 if shape is Shape.RECTANGLE else None, owned)
        for shape, size, owned in draw(
            st.lists(
                st.tuples(
                    st.sampled_from(SHELF_SHAPES),
                    st.integers(4, 14),
                    st.sampled_from((1, 1, 1, 2, 0)),
                ),
                min_size=3,
                max_size=6,
                unique_by=lambda pan: pan[:2],
            )
        )
    )


@st.composite
def shops(draw):
    return stack_shop(
        draw(shelves()),
        ledge_mm=draw(st.sampled_from((0.0, 12.7, 25.4))),
        widest_step_mm=draw(st.sampled_from((76.2, 200.0, 200.0))),
        most_tiers=draw(st.sampled_from((2, 3, 3, 4))),
        tallest_mm=draw(st.sampled_from((254.0, 330.2, 700.0, 700.0))),
        widest_board_mm=draw(st.sampled_from((406.4, 500.0, 500.0))),
        heights_mm=tuple(draw(st.sets(st.sampled_from(HEIGHTS_MM), min_size=1, max_size=3))),
    )


@st.composite
def briefs(draw):
    return a_brief(
        guests=draw(st.integers(1, 70)),
        keep_top=draw(st.sampled_from((False, False, True))),
        fewest_tiers=draw(st.sampled_from((1, 1, 1, 2, 3))),
        most_tiers=draw(st.sampled_from((None, None, 2, 3))),
        kitchen_cake=draw(st.booleans()),
        display_tiers=draw(st.sampled_from((0, 0, 0, 1, 1, 2))),
        shapes=draw(st.sampled_from(((), (), (), (Shape.ROUND, Shape.SQUARE)))),
        heights_mm=draw(st.sampled_from(((), (), (101.6,), (88.9, 114.3)))),
    )


COSTS = st.builds(
    RandomCosts,
    seed=st.integers(0, 10**6),
    most=st.sampled_from((0, 3, 40, 5000)),  # few figures make many ties
    least=st.sampled_from((0, 50, 4000)),
    round_to=st.sampled_from((1, 25)),
)


def values(stack):
    return (stack.surplus, stack.price.minor, stack.minutes, stack.height_mm)


@THOROUGHLY
@given(briefs(), shops(), COSTS)
def test_front_is_that_of_trying_every_stack(brief, book, costs):
    offered = stacks(brief, book, costs)
    tried = list(every_stack(brief, book, costs))
    assert sorted(map(values, offered)) == sorted(front_of(tried))
    assert how_many_stand(brief, book) == len(tried)
    assert bool(why_none(brief, book)) == (not tried)


@THOROUGHLY
@given(briefs(), shops(), COSTS)
def test_no_stack_offered_breaks_a_rule(brief, book, costs):
    offered = stacks(brief, book, costs)
    slice_size, need = book.slice("dessert"), servings_needed(brief.need, book).count
    for stack in offered:
        tiers = stack.tiers
        assert stack_problems(tiers, book) == ()
        shown = sum(tier.kind is Kind.DISPLAY for tier in tiers)
        assert shown == brief.limits.display_tiers
        kept = [tier for tier in tiers if tier.kind is Kind.KEPT]
        assert kept == ([tiers[-1]] if brief.need.keep_top else [])
        assert len(tiers) >= brief.limits.fewest_tiers
        counted = sum(counted_servings(tier, slice_size) for tier in tiers)
        if not stack.kitchen_cakes:
            assert stack.servings == counted
        assert stack.servings >= need > counted - stack.surplus - 1
        assert stack.surplus == stack.servings - need


@THOROUGHLY
@given(briefs(), shops(), COSTS)
def test_names_go_to_the_best_of_every_stack(brief, book, costs):
    tried = list(every_stack(brief, book, costs))
    names = named(stacks(brief, book, costs))
    assert set(names) == (set(StackChoice) if tried else set())
    for choice, stack in names.items():
        at = tuple(StackChoice).index(choice)
        best = max if choice is StackChoice.TALLEST else min
        assert values(stack)[at] == best(value[at] for value in tried)


def test_a_stack_tried_by_hand_is_the_one_tried_here():
    """Guards the trying itself: two rounds, one height, counted out on paper."""
    book = stack_shop([a_pan(Shape.ROUND, 6), a_pan(Shape.ROUND, 8)], most_tiers=3)
    found = [
        [round(option.size_mm / INCH) for option, _ in stack]
        for stack in ways_up(a_brief(guests=5), book)
    ]
    assert sorted(found) == [[6], [8], [8, 6]]
