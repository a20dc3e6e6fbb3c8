"""How many minutes does the cake take, of what? Hands-on and waiting, from its geometry and its choices.

Each task is rounded once to whole minutes, half up, and belongs to one tier or to the whole order,
so the minutes of a stack are the sum of its tiers' and of what comes once.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from consult.core import choices
from consult.core.choices import Place
from consult.core.design import Brief, ChosenDecoration, How, KitchenCake, Tier
from consult.core.servings import slice_of, tier_servings
from shop.core.book import ShopBook
from shop.core.catalogue import BenchTask, Decoration, Driver, Rate
from shop.core.measures import number
from shop.core.money import half_up


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work. `tier` counts from the base, 0 first; None is the whole order.

    `kind`: bench, finish, decoration, join, order, kitchen cake, delivery.
    """

    what: str
    hands_on: int  # minutes
    waiting: int  # minutes
    why: str
    tier: int | None
    kind: str


@dataclass(frozen=True, slots=True)
class Work:
    """All the work of an order, in the order it is usually done."""

    tasks: tuple[Task, ...]

    @property
    def hands_on(self) -> int:
        """Minutes of hands at the bench and on the road."""
        return sum(task.hands_on for task in self.tasks)

    @property
    def waiting(self) -> int:
        """Minutes of baking, cooling, chilling and drying, one after the other."""
        return sum(task.waiting for task in self.tasks)


def pieces_made(count: int, spare_share: Decimal) -> int:
    """Pieces to make so that `count` arrive whole: the spare share of them on top, rounded up.

    One spare in ten of fragile pieces is common practice, no source; the share is the shop's.
    """
    spare = (count * spare_share).to_integral_value(rounding=ROUND_CEILING)
    return count + int(spare)


def tier_tasks(tier: Tier, place: Place, brief: Brief, book: ShopBook) -> Iterator[Task]:
    """The work of one tier where it stands: bench tasks, finish and the decorations that fall on it.

    A display tier is not baked or filled, but coated, decorated and joined like any other.
    """
    servings = servings_made(tier, brief, book)
    yield from bench_tasks(tier, place, brief, book)
    yield finish_task(tier, servings, place.level, book)
    for chosen in brief.design.decorations:
        if chosen.count > 0 and choices.is_on(chosen, book.decoration(chosen.what), place):
            yield decoration_task(chosen, tier, place, servings, book)


def bench_tasks(tier: Tier, place: Place, brief: Brief, book: ShopBook) -> Iterator[Task]:
    """The shop's own tasks on one tier where it stands: the same whatever is in and on it."""
    servings = servings_made(tier, brief, book)
    for task in book.tasks:
        if _is_for(task, tier, place, brief):
            yield _bench(task, tier, servings, place.level, book)


def servings_made(tier: Tier, brief: Brief, book: ShopBook) -> int:
    """Servings the tier gives if it is cut, whether counted or kept; none of a display tier."""
    if not tier.is_cake:
        return 0
    return tier_servings(tier, slice_of(brief.need, book), book.policies.rounds).count


def _is_for(task: BenchTask, tier: Tier, place: Place, brief: Brief) -> bool:
    if task.applies_to in ("order", "delivery"):
        return task.driver is not Driver.PER_CAKE and _is_ordered(task, brief)
    return {"eaten": tier.is_cake, "every": True, "join": place.level > 0}.get(
        task.applies_to, False
    )


def _is_ordered(task: BenchTask, brief: Brief) -> bool:
    return task.applies_to == "order" or brief.hand_over.how is How.DELIVERY


def _bench(task: BenchTask, tier: Tier, servings: int, level: int, book: ShopBook) -> Task:
    """A bench task on one tier. What it takes once it takes on each tier, or, if it is of the
    whole order, once (that part is in `order_tasks`)."""
    of_order = task.applies_to in ("order", "delivery")
    once = Decimal(0) if of_order else task.minutes_once
    units = choices.units_of(task.driver, tier, servings)
    return Task(
        what=task.name,
        hands_on=half_up(once + task.minutes_each * units),
        waiting=0 if of_order else task.waiting_minutes,
        why=choices.minutes_in_words(
            once, task.minutes_each, task.driver, units, book.identity.units
        ),
        tier=level,
        kind=task.applies_to if of_order or task.applies_to == "join" else "bench",
    )


def _rated(rate: Rate, units: Decimal, book: ShopBook, *, once: bool = True) -> tuple[int, str]:
    first = rate.minutes_once if once else Decimal(0)
    why = choices.minutes_in_words(
        first, rate.minutes_each, rate.driver, units, book.identity.units
    )
    return half_up(first + rate.minutes_each * units), why


def finish_task(tier: Tier, servings: int, level: int | None, book: ShopBook) -> Task:
    """Putting the final coat on one tier."""
    finish = choices.finish_of(tier, book)
    units = choices.units_of(finish.rate.driver, tier, servings)
    minutes, why = _rated(finish.rate, units, book)
    return Task(finish.name, minutes, finish.rate.waiting_minutes, why, level, "finish")


def decoration_task(
    chosen: ChosenDecoration, tier: Tier, place: Place, servings: int, book: ShopBook
) -> Task:
    """A decoration that falls on the tier of that place, on that tier."""
    thing = book.decoration(chosen.what)
    units = choices.units_of(thing.rate.driver, tier, servings)
    once = choices.is_first_of(chosen, place)
    return _decoration(chosen, thing, units, place.level, book, once=once)


def _decoration(
    chosen: ChosenDecoration,
    thing: Decoration,
    units: Decimal,
    level: int | None,
    book: ShopBook,
    *,
    once: bool = True,
) -> Task:
    """A decoration on one tier or on the whole cake; `units` of doing it one time."""
    rate = thing.rate
    made = chosen.count
    spare = ""
    if rate.driver is Driver.PER_PIECE:
        made = pieces_made(chosen.count, thing.spare_share)
        if made > chosen.count:
            spare = f" ({made - chosen.count} of them spare)"
    minutes, why = _rated(rate, units * made, book, once=once)
    return Task(
        what=thing.name,
        hands_on=minutes,
        waiting=rate.waiting_minutes if once else 0,
        why=why + spare,
        tier=level,
        kind="decoration",
    )


def order_tasks(brief: Brief, book: ShopBook) -> Iterator[Task]:
    """What comes once, whatever the stack: order tasks, decorations of the whole cake, the way there."""
    for task in book.tasks:
        if task.applies_to in ("order", "delivery") and _is_ordered(task, brief):
            each = task.minutes_each if task.driver is Driver.PER_CAKE else Decimal(0)
            why = choices.minutes_in_words(
                task.minutes_once, each, Driver.PER_CAKE, Decimal(1), book.identity.units
            )
            minutes = half_up(task.minutes_once + each)
            if minutes or task.waiting_minutes:
                yield Task(task.name, minutes, task.waiting_minutes, why, None, task.applies_to)
    for chosen in brief.design.decorations:
        yield from _of_whole_cake(chosen, book)
    minutes = driving_minutes(brief, book)
    if minutes:
        kilometres = number(float(brief.hand_over.distance_km))
        speed = number(float(book.policies.delivery.kilometres_an_hour))
        why = f"{kilometres} km there and back at {speed} km an hour"
        yield Task("Drive there and back", minutes, 0, why, None, "delivery")


def _of_whole_cake(chosen: ChosenDecoration, book: ShopBook) -> Iterator[Task]:
    """A decoration that belongs to no one tier; nothing for any other."""
    thing = book.decoration(chosen.what)
    whole = chosen.tier is None and not choices.goes_on_every_tier(chosen, thing)
    if whole and chosen.count > 0:
        yield _decoration(chosen, thing, Decimal(1), None, book)


def decoration_tasks(chosen: ChosenDecoration, brief: Brief, book: ShopBook) -> Iterator[Task]:
    """The work of one decoration wherever it falls on the brief's tiers. KeyError if unknown."""
    thing, top = book.decoration(chosen.what), len(brief.design.tiers) - 1
    yield from _of_whole_cake(chosen, book)
    for level, tier in enumerate(brief.design.tiers):
        place = Place(level, level == top)
        if chosen.count > 0 and choices.is_on(chosen, thing, place):
            yield decoration_task(chosen, tier, place, servings_made(tier, brief, book), book)


def driving_minutes(brief: Brief, book: ShopBook) -> int:
    """Minutes on the road, both ways; none for a cake that is collected."""
    speed = book.policies.delivery.kilometres_an_hour
    if brief.hand_over.how is not How.DELIVERY or speed <= 0:
        return 0
    return half_up(2 * brief.hand_over.distance_km / speed * 60)


def kitchen_tasks(cake: KitchenCake, brief: Brief, book: ShopBook) -> Iterator[Task]:
    """The work of one kitchen cake, whatever its count: baked, filled and coated as a tier is."""
    tier = choices.as_tier(cake)
    servings = servings_made(tier, brief, book)
    tasks = [
        _bench(task, tier, servings, 0, book)
        for task in book.tasks
        if task.applies_to in ("eaten", "every")
    ]
    for task in (*tasks, finish_task(tier, servings, None, book)):
        yield Task(task.what, task.hands_on, task.waiting, task.why, None, "kitchen cake")


def work_of(brief: Brief, book: ShopBook) -> Work:
    """Every task of the order with its minutes: what comes once an order, each tier from the base
    up, the kitchen cakes, the way there. Empty while there is no tier and no kitchen cake."""
    design = brief.design
    if not (design.tiers or design.kitchen_cakes):
        return Work(())
    once = list(order_tasks(brief, book))
    tasks = [task for task in once if task.kind == "order"]
    top = len(design.tiers) - 1
    for level, tier in enumerate(design.tiers):
        tasks += tier_tasks(tier, Place(level, level == top), brief, book)
    for cake in design.kitchen_cakes:
        for task in kitchen_tasks(cake, brief, book):
            why = task.why if cake.count == 1 else f"{cake.count} cakes, each: {task.why}"
            tasks.append(
                Task(
                    task.what,
                    task.hands_on * cake.count,
                    task.waiting * cake.count,
                    why,
                    None,
                    task.kind,
                )
            )
    for kind in ("decoration", "delivery"):
        tasks += [task for task in once if task.kind == kind]
    return Work(tuple(tasks))
