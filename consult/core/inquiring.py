"""What can an inquiry be told before it is sent? A range of prices, and which days the shop can still take."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from consult.core.design import (
    Brief,
    ChosenDecoration,
    Design,
    Event,
    HandOver,
    Limits,
    Need,
    StackChoice,
    Tier,
)
from consult.core.job import job_of
from consult.core.quote import Quote, QuoteLine, cake_lines, quote_of
from consult.core.reckoning import stack_costs
from consult.core.servings import counted_servings, slice_of
from consult.core.stacks import Stack, named, stacks
from consult.core.tiers import usual_limits
from consult.core.timeline import hand_over_of, holds_on
from consult.core.work import work_of
from consult.core.working_days import calendar_of, not_open_for, open_minutes
from shop.core.book import ShopBook
from shop.core.catalogue import Decoration, Driver, Filling, Finish, Flavour
from shop.core.measures import Units, from_mm, number
from shop.core.money import Money, total

Inside = TypeVar("Inside", Flavour, Filling)
Thing = TypeVar("Thing")

# What a typical decorated cake is made of here: our own reading of a catalogue, no source. A coat and loose
# pieces three quarters of the way up the shop's prices, flavour, filling and border in the middle of them.
UPPER = Decimal("0.75")
MIDDLE = Decimal("0.5")
PIECES_A_TIER = 3
PIECES = frozenset(
    {"rose", "blossom", "leaf", "berry", "fruit"}
)  # symbols of what is put on by the piece


@dataclass(frozen=True, slots=True)
class Guide:
    """One end of the range: a cake that the shop would make, and its quote line by line."""

    design: Design
    tiers: str  # "10 + 8 + 5 in round"
    servings: int
    made_of: tuple[str, ...]  # names of coat, flavour, filling and what is on it
    lines: tuple[QuoteLine, ...]
    total: Money


@dataclass(frozen=True, slots=True)
class PriceRange:
    """From the plainest cake to a typical decorated one, for the same guests, day and hand-over.

    A guide and no quote. `brief` is what was reckoned with: where the usual stacks do not feed so many, it
    allows kitchen cakes, and then any shape.
    """

    brief: Brief
    plainest: Guide
    decorated: Guide

    @property
    def least(self) -> Money:
        return self.plainest.total

    @property
    def most(self) -> Money:
        return self.decorated.total


class Within(StrEnum):
    """How a budget stands to the range."""

    BELOW = "below"
    WITHIN = "within"
    ABOVE = "above"


class DayStands(StrEnum):
    """What the shop can say of a day."""

    FREE = "free"
    FULL = "full"
    CLOSED = "closed"
    TOO_SOON = "too soon"
    PAST = "past"


def brief_asked(
    guests: int, slice_code: str, hand_over: HandOver, on: date | None, book: ShopBook
) -> Brief:
    """What is known of a cake that nobody has designed yet: the stacks this shop makes most of."""
    return Brief(
        event=Event(on=on),
        hand_over=hand_over,
        need=Need(guests, slice_code),
        limits=usual_limits(book),
    )


def budget_within(budget: Money, least: Money, most: Money) -> Within:
    """Where the budget lies; both ends belong to the range."""
    if budget < least:
        return Within.BELOW
    return Within.ABOVE if budget > most else Within.WITHIN


def price_range(brief: Brief, book: ShopBook, today: date) -> PriceRange | None:
    """What the cake would cost, by the same sums as a quote; None where no stack feeds so many.

    The lower end is the cheapest stack that is offered, in the coat that costs least on it and with the
    cheapest flavour and filling. The upper end is the stack that fits the need closest, decorated as shops
    mostly do (the constants above). Both hold the minimum order, short notice, delivery and tax.
    """
    for limits in _ever_wider(brief.limits):
        asked = replace(brief, limits=limits)
        offered = _offered(asked, book, today, _cheapest_inside(book))
        if offered:
            return _range(asked, book, today, offered)
    return None


def _ever_wider(limits: Limits) -> tuple[Limits, ...]:
    """The limits as given; with kitchen cakes; with any shape and height too."""
    with_cakes = replace(limits, kitchen_cake=True)
    return (limits, with_cakes, replace(with_cakes, shapes=(), heights_mm=()))


def _range(brief: Brief, book: ShopBook, today: date, offered: Sequence[Stack]) -> PriceRange:
    inside = _cheapest_inside(book)
    cheapest = _design(named(offered)[StackChoice.LOWEST_PRICE], inside)
    plain = replace(inside, finish=_finishes(cheapest, brief, book)[0].code)
    offered = _offered(brief, book, today, plain)
    names = named(offered)
    plainest = _design(names[StackChoice.LOWEST_PRICE], plain)
    decorated = _decorated(_design(names[StackChoice.CLOSEST_FIT], plain), brief, book)
    return PriceRange(
        brief, _guide(plainest, brief, book, today), _guide(decorated, brief, book, today)
    )


@dataclass(frozen=True, slots=True)
class _Made:
    """What every tier is made of."""

    flavour: str
    filling: str
    finish: str


def _cheapest_inside(book: ShopBook) -> _Made:
    return _Made(
        _by_serving(book.flavours)[0].code,
        _by_serving(book.fillings)[0].code,
        book.finishes[0].code,
    )


def _by_serving(things: Sequence[Inside]) -> list[Inside]:
    return sorted(things, key=lambda thing: thing.price_per_serving.minor)


def _offered(brief: Brief, book: ShopBook, today: date, made: _Made) -> tuple[Stack, ...]:
    """The stacks offered when every tier is made of this: the search asks the design, tier by tier."""
    like = Tier(book.pans[0].shape, 0.0, 0.0, flavour=made.flavour, filling=made.filling,
                finish=made.finish)  # fmt: skip
    asked = replace(brief, design=Design((like,) * book.policies.stacks.most_tiers))
    return stacks(asked, book, stack_costs(asked, book, today))


def _design(stack: Stack, made: _Made) -> Design:
    tiers = tuple(
        replace(tier, flavour=made.flavour, filling=made.filling, finish=made.finish)
        for tier in stack.tiers
    )
    return Design(tiers, kitchen_cakes=stack.kitchen_cakes)


def _cake(design: Design, brief: Brief, book: ShopBook) -> int:
    """What the cake itself costs in minor units, before anything comes on top."""
    lines = cake_lines(replace(brief, design=design), book)
    return total((line.amount for line in lines), book.currency).minor


def _finishes(design: Design, brief: Brief, book: ShopBook) -> list[Finish]:
    """The shop's coats by what they cost on these tiers, cheapest first."""
    return sorted(
        book.finishes,
        key=lambda finish: _cake(_in_coat(design, finish.code), brief, book),
    )


def _in_coat(design: Design, finish: str) -> Design:
    return replace(design, tiers=tuple(replace(tier, finish=finish) for tier in design.tiers))


def _part_way(things: Sequence[Thing], share: Decimal) -> Thing:
    """The one that far up a list in order; 0 is the first and 1 the last."""
    return things[int((len(things) - 1) * share)]


def _decorated(design: Design, brief: Brief, book: ShopBook) -> Design:
    flavour = _part_way(_by_serving(book.flavours), MIDDLE).code
    filling = _part_way(_by_serving(book.fillings), MIDDLE).code
    finish = _part_way(_finishes(design, brief, book), UPPER).code
    tiers = tuple(
        replace(tier, flavour=flavour, filling=filling, finish=finish) for tier in design.tiers
    )
    dressed = replace(design, tiers=tiers)
    return replace(dressed, decorations=_put_on(dressed, brief, book))


def _put_on(design: Design, brief: Brief, book: ShopBook) -> tuple[ChosenDecoration, ...]:
    """A border round every tier, and loose pieces on each; without what the shop does not offer."""

    def by_price(things: Sequence[Decoration], count: int, tier: int | None) -> list[Decoration]:
        def price(thing: Decoration) -> int:
            chosen = (ChosenDecoration(thing.code, count, tier),)
            return _cake(replace(design, decorations=chosen), brief, book)

        return sorted(things, key=price)

    chosen: list[ChosenDecoration] = []
    borders = [thing for thing in book.decorations if thing.symbol == "border"]
    if borders:
        chosen.append(ChosenDecoration(_part_way(by_price(borders, 1, None), MIDDLE).code))
    pieces = [
        thing
        for thing in book.decorations
        if thing.rate.driver is Driver.PER_PIECE and thing.symbol in PIECES
    ]
    # What dries for days would make near days look lost to every cake.
    pieces = [thing for thing in pieces if not thing.lead_days] or pieces
    if pieces:
        piece = _part_way(by_price(pieces, PIECES_A_TIER, 0), UPPER)
        chosen += [
            ChosenDecoration(piece.code, PIECES_A_TIER, tier) for tier in range(len(design.tiers))
        ]
    return tuple(chosen)


def _guide(design: Design, brief: Brief, book: ShopBook, today: date) -> Guide:
    whole = replace(brief, design=design)
    quote: Quote = quote_of(whole, book, today)
    slice_size = slice_of(brief.need, book)
    kitchen = sum(
        cake.count
        * counted_servings(
            Tier(cake.shape, cake.size_mm, cake.height_mm, cake.width_mm), slice_size
        )
        for cake in design.kitchen_cakes
    )
    return Guide(
        design=design,
        tiers=_tiers_said(design, book.identity.units),
        servings=sum(
            counted_servings(tier, slice_size, book.policies.rounds) for tier in design.tiers
        )
        + kitchen,
        made_of=_made_of(design, book),
        lines=quote.lines,
        total=quote.total,
    )


def _tiers_said(design: Design, units: Units) -> str:
    shapes = list(dict.fromkeys(tier.shape.value for tier in design.tiers))
    sizes = " + ".join(number(from_mm(tier.size_mm, units)) for tier in design.tiers)
    cakes = sum(cake.count for cake in design.kitchen_cakes)
    said = f"{sizes} {units.value} {' and '.join(shapes)}"
    if cakes:
        said += f", with {'a kitchen cake' if cakes == 1 else f'{cakes} kitchen cakes'} cut out of sight"
    return said


def _made_of(design: Design, book: ShopBook) -> tuple[str, ...]:
    top = design.tiers[-1]
    said = [book.finish(top.finish).name, book.flavour(top.flavour).name]
    said.append(book.filling(top.filling).name)
    said += dict.fromkeys(book.decoration(chosen.what).name for chosen in design.decorations)
    return tuple(said)


def days_standing(
    first: date,
    last: date,
    brief: Brief,
    book: ShopBook,
    today: date,
    booked: Mapping[date, int],
) -> dict[date, DayStands]:
    """For each day from `first` to `last`, whether the shop can take the cake of the brief, or why not.

    `free` is what `timeline.free_days` says. `booked` is what other orders take of the bench, in minutes by day.
    """
    job = job_of(brief, book, work_of(brief, book))
    calendar = calendar_of(book, today, booked)
    at = hand_over_of(brief, first, book).time()

    def stands(day: date) -> DayStands:
        if day < today:
            return DayStands.PAST
        if not open_minutes(day, calendar.hours):
            return DayStands.CLOSED
        if not_open_for(day, job.lead_days, calendar):
            return DayStands.TOO_SOON
        return DayStands.FREE if holds_on(day, job, at, calendar) else DayStands.FULL

    days = (first + timedelta(days=ahead) for ahead in range((last - first).days + 1))
    return {day: stands(day) for day in days}
