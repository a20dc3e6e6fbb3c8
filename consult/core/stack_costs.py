"""What does a stack come to for one brief? The quote and the work in parts that only add, tier by tier."""

from datetime import date

from consult.core import choices, quote, work
from consult.core.choices import Place
from consult.core.design import Brief, Kind, KitchenCake, Tier
from consult.core.stack_rules import TierOption
from shop.core.book import ShopBook
from shop.core.money import Money


class BriefCosts:
    """The `StackCosts` of `consult.core.stacks` for one brief.

    A stack's total and minutes are exactly those of `quote_of` and `work_of` for the brief on that
    stack: what was chosen for a tier stays with its place from the base, a tier that is new gets
    the book's first. Short notice is priced only where `today` is given.
    """

    def __init__(self, brief: Brief, book: ShopBook, today: date | None = None) -> None:
        self._brief, self._book = brief, book
        self._decorations = tuple(
            (chosen, book.decoration(chosen.what))
            for chosen in brief.design.decorations
            if chosen.count > 0
        )
        self._notice = None if today is None else quote.notice_days(brief, today)
        self._plain: dict[tuple[TierOption, Kind, tuple[str, str, str], bool], tuple[int, int]] = {}
        self._bench: dict[tuple[TierOption, Kind, bool], int] = {}
        self._on: dict[tuple[int, TierOption, Kind, bool], tuple[int, int]] = {}
        self._kitchen: dict[TierOption, tuple[int, int]] = {}

    def tier(self, option: TierOption, level: int, is_top: bool, kind: Kind) -> tuple[int, int]:
        """Price (minor units) and minutes of one tier where it stands, joining it included."""
        chosen_before = self._choices_at(level)
        place = Place(level, is_top)
        key = option, kind, chosen_before, level > 0
        if key not in self._plain:
            self._plain[key] = self._undecorated(option, kind, chosen_before, place)
        price, minutes = self._plain[key]
        for number, (chosen, thing) in enumerate(self._decorations):
            if choices.is_on(chosen, thing, place):
                on = number, option, kind, choices.is_first_of(chosen, place)
                if on not in self._on:
                    self._on[on] = self._decoration(number, option, kind, place)
                price, minutes = price + self._on[on][0], minutes + self._on[on][1]
        return price, minutes

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

    def _undecorated(
        self, option: TierOption, kind: Kind, chosen: tuple[str, str, str], place: Place
    ) -> tuple[int, int]:
        tier = _tier(option, kind, chosen)
        servings = work.servings_made(tier, self._brief, self._book)
        price = quote.tier_price(tier, servings, self._book)
        bench = option, kind, place.level > 0
        if bench not in self._bench:
            tasks = work.bench_tasks(tier, place, self._brief, self._book)
            self._bench[bench] = sum(task.hands_on for task in tasks)
        finish = work.finish_task(tier, servings, place.level, self._book)
        return price.minor, self._bench[bench] + finish.hands_on

    def join(self, level: int) -> tuple[int, int]:
        """Nothing: joining may grow with the tier that is joined, so it is counted with that tier."""
        return 0, 0

    def once(self) -> tuple[int, int]:
        """Price and minutes that come once an order: ordering, whole-cake decorations, the way there."""
        tasks = work.order_tasks(self._brief, self._book)
        price = sum(quote.decoration_price_once(*one).minor for one in self._decorations)
        return price, sum(task.hands_on for task in tasks)

    def kitchen(self, option: TierOption) -> tuple[int, int]:
        """Price and minutes of one kitchen cake."""
        if option not in self._kitchen:
            cake = KitchenCake(option.shape, option.size_mm, option.height_mm, option.width_mm)
            tier = choices.as_tier(cake)
            servings = work.servings_made(tier, self._brief, self._book)
            tasks = work.kitchen_tasks(cake, self._brief, self._book)
            price = quote.tier_price(tier, servings, self._book)
            self._kitchen[option] = price.minor, sum(task.hands_on for task in tasks)
        return self._kitchen[option]

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
