"""How fast are the stacks found, against trying every stack on the same machine in the same run?"""

import statistics
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from time import perf_counter
from types import SimpleNamespace

from django.core.management.base import BaseCommand, CommandError

from consult.core import cutting, shapes
from consult.core.design import Brief, Kind, Limits, Need, StackChoice
from consult.core.reckoning import stack_costs
from consult.core.servings import servings_needed
from consult.core.stack_rules import board_fits, may_carry, options_of
from consult.core.stack_walk import pieces_of
from consult.core.stacks import StackCosts, how_many_stand, named, stacks
from shop.core.book import ShopBook
from shop.core.catalogue import Pan, Shape
from shop.core.measures import Units
from shop.models.editions import NoShopYet, current_book

INCH = 25.4
AGAIN = 7  # runs of which the middle one is shown


@dataclass(frozen=True)
class Catalogue:
    """A shelf to search: shapes and sizes in inches, tier heights in inches, most tiers."""

    name: str
    shapes: tuple[Shape, ...]
    sizes: tuple[float, ...]
    heights: tuple[float, ...]
    tiers: int

    def shop(self, book: ShopBook) -> ShopBook:
        """The shop with this shelf, a ledge of 1 in, steps of 3 in at most, and its own prices."""
        limits = replace(
            book.policies.stacks,
            ledge_mm=INCH,
            widest_step_mm=3 * INCH,
            most_tiers=self.tiers,
            tallest_mm=30 * INCH,
            widest_board_mm=24 * INCH,
            heights_mm=tuple(height * INCH for height in self.heights),
        )
        pans = tuple(
            Pan(shape, Decimal(str(size)), Decimal(3), Units.INCHES, 1)
            for shape in self.shapes
            for size in self.sizes
        )
        return replace(book, pans=pans, policies=replace(book.policies, stacks=limits))


ROUNDS = Catalogue(
    "12 round pans, 4 heights, up to 5 tiers",
    (Shape.ROUND,), (4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16), (4, 4.5, 5, 6), 5,
)  # fmt: skip
THREE_SHAPES = Catalogue(
    "30 pans in 3 shapes, 5 heights, up to 6 tiers",
    (Shape.ROUND, Shape.SQUARE, Shape.HEXAGON), tuple(range(4, 14)), (3.5, 4, 4.5, 5, 6), 6,
)  # fmt: skip
NINETY = Catalogue(
    "90 pans, 30 sizes in each of 3 shapes, 5 heights, up to 6 tiers",
    (Shape.ROUND, Shape.SQUARE, Shape.HEXAGON), tuple(4 + half / 2 for half in range(30)),
    (3.5, 4, 4.5, 5, 6), 6,
)  # fmt: skip


def every_front(brief: Brief, book: ShopBook, costs: StackCosts) -> set[tuple[float, ...]]:
    """The values of the front, by making up every stack. What a tier costs is looked up once."""
    limits, need = book.policies.stacks, servings_needed(brief.need, book).count
    options = options_of(brief, book)
    above = {
        option.outline: [o for o in options if may_carry(option.outline, o.outline, limits)]
        for option in options
    }
    known: dict[tuple[object, ...], tuple[int, int]] = {}

    def cost(option, level, is_top):
        key = (option, level, is_top)
        if key not in known:
            tier, join = costs.tier(*key, Kind.EATEN), costs.join(level) if level else (0, 0)
            known[key] = tier[0] + join[0], tier[1] + join[1]
        return known[key]

    def higher(option, level, served, price, minutes, tall) -> Iterator[tuple[float, ...]]:
        served, tall = served + option.servings, tall + option.height_mm
        if tall > limits.tallest_mm + 0.1:
            return
        top = cost(option, level, True)
        if served >= need:
            yield served - need, price + top[0], minutes + top[1], -round(tall, 3)
        if level + 1 < limits.most_tiers:
            body = cost(option, level, False)
            for one in above[option.outline]:
                yield from higher(one, level + 1, served, price + body[0], minutes + body[1], tall)

    bases = [option for option in options if board_fits(option.outline, limits)]
    once = costs.once()
    tried = [value for base in bases for value in higher(base, 0, 0, *once, 0.0)]
    front: list[tuple[float, ...]] = []
    for value in sorted({(v[0], costs.total(int(v[1])), v[2], v[3]) for v in tried}):
        if not any(all(a <= b for a, b in zip(one, value, strict=True)) for one in front):
            front.append(value)
    return set(front)


def milliseconds(question) -> SimpleNamespace:
    started = perf_counter()
    answer = question()
    return SimpleNamespace(answer=answer, ms=(perf_counter() - started) * 1000)


def forget_geometry() -> None:
    """As on the first question after a start: no outline, step or cutting plan is remembered."""
    for module in (cutting, shapes):
        for thing in vars(module).values():
            if hasattr(thing, "cache_clear"):
                thing.cache_clear()


class Command(BaseCommand):
    help = (
        "Time the search for stacks, beside OR-tools CP-SAT (--exact) and beside trying every stack"
        " (--every; minutes for big shelves)."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--guests", type=int, nargs="+", default=[70, 150])
        parser.add_argument("--every", action="store_true", help="try every stack too, and compare")
        parser.add_argument("--large", action="store_true", help="90 pans too; some seconds each")
        parser.add_argument("--exact", action="store_true", help="ask OR-tools too, and compare")
        parser.add_argument("--seconds", type=float, default=60.0, help="for OR-tools, a question")
        parser.add_argument(
            "--workers", type=int, default=1, help="threads of OR-tools; we use one"
        )

    def handle(self, *args, **options) -> None:
        try:
            book = current_book()
        except NoShopYet as error:
            raise CommandError(str(error)) from error
        large = (NINETY,) if options["large"] else ()
        for catalogue in (ROUNDS, THREE_SHAPES, *large):
            self.stdout.write(catalogue.name)
            for guests in options["guests"]:
                every = options["every"] and catalogue is not NINETY  # it would take days
                self.stdout.write(self.line(catalogue.shop(book), guests, every=every))
                if options["exact"]:
                    how = options["seconds"], options["workers"]
                    for line in self.exact_lines(catalogue.shop(book), guests, *how):
                        self.stdout.write(line)

    def exact_lines(self, book: ShopBook, guests: int, seconds: float, workers: int):
        """A row for each named choice beside OR-tools. CommandError where the best values differ."""
        try:
            from consult.management import cp_sat_stacks  # OR-tools is there for tests alone
        except ImportError as error:
            raise CommandError(
                "OR-tools is missing: python3 manage.py test installs it."
            ) from error
        brief = Brief(need=Need(guests=guests), limits=Limits())
        # Both are asked with warm geometry, costs and servings: only the search is compared.
        costs, pieces = stack_costs(brief, book), pieces_of(brief, book)
        offered = stacks(brief, book, costs)
        ours = statistics.median(
            milliseconds(lambda: stacks(brief, book, costs)).ms for _ in range(AGAIN)
        )
        total = 0.0
        for choice, stack in named(offered).items():
            mine = {
                StackChoice.CLOSEST_FIT: stack.surplus,
                StackChoice.LOWEST_PRICE: stack.price.minor,
                StackChoice.LEAST_BENCH_TIME: stack.minutes,
                StackChoice.TALLEST: round(stack.height_mm * cp_sat_stacks.MICRONS),
            }[choice]
            found = cp_sat_stacks.best(pieces, costs, choice, seconds, workers)
            total += found.ms
            if found.proved and found.value != mine:
                raise CommandError(f"{choice}: {mine}, but OR-tools proves {found.value}.")
            how = f"proves the same {mine}" if found.proved else f"has no proof (ours: {mine})"
            yield f"    {choice}: OR-tools {how} in {found.ms:.0f} ms, {found.ms / ours:.0f} times as long"
        yield (
            f"    all four: ours {ours:.1f} ms with the whole front, OR-tools {total:.0f} ms,"
            f" {total / ours:.0f} times as long"
        )

    def line(self, book: ShopBook, guests: int, every: bool) -> str:
        """One measured row in words. CommandError where the two fronts differ."""
        brief = Brief(need=Need(guests=guests), limits=Limits())

        def search():
            return stacks(brief, book, stack_costs(brief, book))

        forget_geometry()
        first = milliseconds(search)
        again = statistics.median(milliseconds(search).ms for _ in range(AGAIN))
        stand = milliseconds(lambda: how_many_stand(brief, book))
        words = (
            f"  {guests} guests: {len(first.answer)} offered of {stand.answer} that stand;"
            f" first {first.ms:.0f} ms, again {again:.0f} ms, counting {stand.ms:.0f} ms"
        )
        if not every:
            return words
        tried = milliseconds(lambda: every_front(brief, book, stack_costs(brief, book)))
        found = {(s.surplus, s.price.minor, s.minutes, -s.height_mm) for s in first.answer}
        if tried.answer != found:
            raise CommandError(f"{words}\n  but trying every stack gives another front.")
        return f"{words}; every stack {tried.ms:.0f} ms, {tried.ms / again:.0f} times as long"
