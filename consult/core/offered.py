"""What is a client sent of designs to choose from, and what differs between them, in words?"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from consult.core.design import Brief
from consult.core.reckoning import Reckoning
from consult.core.saying import coats_said, decorations_said, insides_said, stack_said
from consult.core.sheet_making import slice_words
from shop.core.book import ShopBook
from shop.core.measures import length
from shop.core.money import Money


@dataclass(frozen=True, slots=True)
class Aspect:
    """One thing there is to say of a design; `differs` when another design sent with it has it otherwise."""

    name: str
    says: str
    differs: bool = False


@dataclass(frozen=True, slots=True)
class OfferedDesign:
    """A design as the client was sent it: nothing here tells what it costs the shop or how long it takes."""

    letter: str
    drawing: str  # SVG, to one scale with the others
    servings: int
    need: int
    surplus_words: str
    total: Money
    tax_words: str
    deposit: Money
    aspects: tuple[Aspect, ...]
    is_short: bool = False
    beside: tuple[
        str, ...
    ] = ()  # against each design before it: "$120.00 more than A, 12 servings fewer"


@dataclass(frozen=True, slots=True)
class Offered:
    """Up to three designs side by side, at the prices of the moment they were sent."""

    designs: tuple[OfferedDesign, ...]
    guests: int
    slice_words: str

    def letters(self) -> tuple[str, ...]:
        return tuple(design.letter for design in self.designs)

    def same(self) -> tuple[Aspect, ...]:
        """What all of them have in common; all of it where there is one design only."""
        return tuple(aspect for aspect in self.designs[0].aspects if not aspect.differs)


@dataclass(frozen=True, slots=True)
class ToOffer:
    """A design with its own sums and its drawing, to be sent."""

    letter: str
    brief: Brief
    book: ShopBook
    reckoning: Reckoning
    drawing: str


def offered(designs: Sequence[ToOffer]) -> Offered:
    """The designs given, in their order, with what differs. Raises ValueError for none or one without tiers."""
    if not designs or not all(one.brief.design.tiers for one in designs):
        raise ValueError("A design is sent once it has tiers.")
    first = designs[0]
    shown: list[OfferedDesign] = []
    for one in designs:
        own = replace(_offered(one), aspects=_aspects(one, designs))
        beside = tuple(_against(own, earlier, one.book.identity.locale) for earlier in shown)
        shown.append(replace(own, beside=beside))
    return Offered(
        tuple(shown),
        first.brief.need.guests,
        slice_words(first.brief, first.book),
    )


def _offered(one: ToOffer) -> OfferedDesign:
    sums = one.reckoning
    return OfferedDesign(
        letter=one.letter,
        drawing=one.drawing,
        servings=sums.servings,
        need=sums.needed.count,
        surplus_words=sums.surplus_words,
        total=sums.quote.total,
        tax_words=sums.quote.tax_words,
        deposit=sums.quote.deposit,
        aspects=(),
        is_short=sums.short_by > 0,
    )


def _said(one: ToOffer) -> tuple[tuple[str, str], ...]:
    """Everything there is to say of a design, each by its name, in one order."""
    design, book = one.brief.design, one.book
    allergens = one.reckoning.allergens
    return (
        ("Tiers, base first", stack_said(design, book)),
        ("Cake and filling", insides_said((), design.tiers, book)),
        ("Outside", coats_said((), design.tiers, book)),
        ("Decorations", decorations_said((), design.decorations, book)),
        ("Height", length(one.reckoning.height_mm, book.identity.units)),
        ("Contains", ", ".join(allergens.contains) or "none of the allergens to be declared"),
    )


def _aspects(one: ToOffer, designs: Sequence[ToOffer]) -> tuple[Aspect, ...]:
    others = [dict(_said(other)) for other in designs]
    return tuple(
        Aspect(name, says, any(other[name] != says for other in others))
        for name, says in _said(one)
    )


def _against(one: OfferedDesign, other: OfferedDesign, locale: str) -> str:
    """How a design compares in price and servings with one sent beside it."""
    more = one.total - other.total
    if not more:
        price = f"the same price as {other.letter}"
    else:
        amount = more if one.total > other.total else other.total - one.total
        word = "more" if one.total > other.total else "less"
        price = f"{amount.written(locale)} {word} than {other.letter}"
    extra = one.servings - other.servings
    if not extra:
        return f"{price}, as many servings"
    return f"{price}, {abs(extra)} servings {'more' if extra > 0 else 'fewer'}"
