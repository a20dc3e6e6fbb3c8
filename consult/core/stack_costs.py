"""What does a stack come to for one brief? The quote and the work in parts that only add, tier by tier."""

from datetime import date
from functools import cached_property

from consult.core import choices, quote, work
from consult.core.choices import Place
from consult.core.design import Brief, Kind, KitchenCake, Tier
from consult.core.stack_rules import TierOption
from shop.core.book import ShopBook
from shop.core.money import Money

_On = tuple[str, int, bool]  # a decoration on a tier: what, how many, whether the first of it
_Parts = dict[object, tuple[int, int]]  # price (minor units) and minutes, by what they depend on
_ROOM = 512  # sums kept of one pan at one height: every flavour, coat and decoration tried on it


class Known:
    """Parts of sums already worked out, by the tier they are of; shared by briefs that agree on the rest.

    They hold for one book, one slice and one way of hand-over: nothing else of a brief is in them
    but the choices that each is kept under. Several threads may use one: what is lost is made again.
    """

    def __init__(self) -> None:
        self._of: dict[TierOption, _Parts] = {}

    def of(self, option: TierOption) -> _Parts:
        """The parts of one tier; begun anew when there are too many."""
        parts = self._of.setdefault(option, {})
        if len(parts) > _ROOM:
            parts.clear()
        return parts


class BriefCosts:
    """The `StackCosts` of `consult.core.stacks` for one brief.

    A stack's total and minutes are exactly those of `quote_of` and `work_of` for the brief on that
    stack: what was chosen for a tier stays with its place from the base, a tier that is new gets
    the book's first. Short notice is priced only where `today` is given. `known` is what another
    search of the same book, slice and way of hand-over has worked out already.
    """

    def __init__(
        self, brief: Brief, book: ShopBook, today: date | None = None, known: Known | None = None
    ) -> None:
        self._brief, self._book = brief, book
        self._known = known or Known()
        self._decorations = tuple(
            (chosen, book.decoration(chosen.what))
            for chosen in brief.design.decorations
            if chosen.count > 0
        )
        self._notice = None if today is None else quote.notice_days(brief, today)
        self._falls: dict[tuple[int, bool], tuple[tuple[int, _On], ...]] = {}

    def tier(self, option: TierOption, level: int, is_top: bool, kind: Kind) -> tuple[int, int]:
        """Price (minor units) and minutes of one tier where it stands, joining it included."""
        parts, place = self._known.of(option), Place(level, is_top)
        coat = kind.value, self._choices_at(level), level > 0
        found = parts.get(coat)
        if found is None:
            found = parts[coat] = self._undecorated(option, kind, place)
        price, minutes = found
        for number, on in self._falling(place):
            dressed = kind.value, on
            more = parts.get(dressed)
            if more is None:
                more = parts[dressed] = self._decoration(number, option, kind, place)
            price, minutes = price + more[0], minutes + more[1]
        return price, minutes

    def _falling(self, place: Place) -> tuple[tuple[int, _On], ...]:
        """The decorations that fall on the tier of that place, and what their sums depend on."""
        key = place.level, place.is_top
        if key not in self._falls:
            self._falls[key] = tuple(
                (number, (chosen.what, chosen.count, choices.is_first_of(chosen, place)))
                for number, (chosen, thing) in enumerate(self._decorations)
                if choices.is_on(chosen, thing, place)
            )
        return self._falls[key]

    def _decoration(
        self, number: int, option: TierOption, kind: Kind, place: Place
    ) -> tuple[int, int]:
        """One decoration on one tier. What the tier is made of makes no difference to it."""
        chosen, thing = self._decorations[number]
        tier = _tier(option, kind, ("", "", ""))
        servings = work.servings_made(tier, self._brief, self._book)
        price = quote.decoration_price_on(chosen, thing, tier, place, servings)
        task = work.decoration_task(chosen, tier, place, servings, self._book)
        return price.minor, task.hands_on

    def _choices_at(self, level: int) -> tuple[str, str, str]:
        """Flavour, filling and finish chosen for the tier of that level; "" where it is new."""
        tiers = self._brief.design.tiers
        if level >= len(tiers):
            return "", "", ""
        return tiers[level].flavour, tiers[level].filling, tiers[level].finish

    def _undecorated(self, option: TierOption, kind: Kind, place: Place) -> tuple[int, int]:
        parts = self._known.of(option)
        tier = _tier(option, kind, self._choices_at(place.level))
        servings = work.servings_made(tier, self._brief, self._book)
        price = quote.tier_price(tier, servings, self._book)
        bench = kind.value, place.level > 0
        found = parts.get(bench)
        if found is None:
            tasks = work.bench_tasks(tier, place, self._brief, self._book)
            found = parts[bench] = 0, sum(task.hands_on for task in tasks)
        finish = work.finish_task(tier, servings, place.level, self._book)
        return price.minor, found[1] + finish.hands_on

    def join(self, level: int) -> tuple[int, int]:
        """Nothing: joining may grow with the tier that is joined, so it is counted with that tier."""
        return 0, 0

    @cached_property
    def _once(self) -> tuple[int, int]:
        tasks = work.order_tasks(self._brief, self._book)
        price = sum(quote.decoration_price_once(*one).minor for one in self._decorations)
        return price, sum(task.hands_on for task in tasks)

    def once(self) -> tuple[int, int]:
        """Price and minutes that come once an order: ordering, whole-cake decorations, the way there."""
        return self._once

    def kitchen(self, option: TierOption) -> tuple[int, int]:
        """Price and minutes of one kitchen cake."""
        parts = self._known.of(option)
        found = parts.get("kitchen cake")
        if found is None:
            cake = KitchenCake(option.shape, option.size_mm, option.height_mm, option.width_mm)
            tier = choices.as_tier(cake)
            servings = work.servings_made(tier, self._brief, self._book)
            tasks = work.kitchen_tasks(cake, self._brief, self._book)
            price = quote.kitchen_cake_price(cake, servings, self._book)
            found = parts["kitchen cake"] = price.minor, sum(task.hands_on for task in tasks)
        return found

    def total(self, price_minor: int) -> int:
        """The quoted total, in minor units, for a cake price: minimum order, delivery and tax on top."""
        cake = Money(price_minor, self._book.currency)
        return quote.total_of(cake, self._brief, self._book, self._notice).minor


def _tier(option: TierOption, kind: Kind, chosen: tuple[str, str, str]) -> Tier:
    flavour, filling, finish = chosen
    return Tier(
        option.shape, option.size_mm, option.height_mm, option.width_mm, kind,
        flavour, filling, finish,
    )  # fmt: skip
