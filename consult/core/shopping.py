"""What is weighed out and what is bought? Recipes scaled to grams and whole eggs, and one shopping list."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from types import MappingProxyType

from shop.core.book import ShopBook
from shop.core.catalogue import Ingredient, Recipe
from shop.core.household import WEIGHTS, known_as
from shop.core.money import Money, half_up, total

# Scales of a bakery show grams; under 10 g a pocket scale shows tenths.
_FINE_BELOW = Decimal(10)
ROUNDING = "Weighed to the gram, under 10 g to a tenth. Eggs are counted up to whole ones."
# What comes in pieces even where the shop has not said what one weighs: large eggs, USDA SR 01123,
# 01124 and 01125 without the shell (`household.WEIGHTS`).
_PIECES: Mapping[str, str] = MappingProxyType(
    {"egg": "egg", "egg white": "white", "egg yolk": "yolk"}
)
_NOT_IN_PIECES = ("pasteuris", "pasteuriz", "dried", "powder", "liquid")


@dataclass(frozen=True, slots=True)
class Weighed:
    """One ingredient weighed out; `pieces` how many whole ones that takes, 0 where it is not counted."""

    ingredient: str
    name: str
    grams: Decimal
    pieces: int = 0
    piece_words: str = ""  # "large eggs of 50 g"

    @property
    def says(self) -> str:
        """ "612 g, 13 large eggs of 50 g": as it stands on the kitchen sheet."""
        counted = f", {self.pieces} {self.piece_words}" if self.pieces else ""
        return f"{grams_written(self.grams)}{counted}"


def grams_written(grams: float | Decimal) -> str:
    """ "7.5 g" below 10 g, "612 g", "1,250 g": grams throughout, as a scale shows them."""
    exact = Decimal(str(grams))
    return f"{rounded(exact):,f} g"


def rounded(grams: Decimal) -> Decimal:
    """To the gram, below 10 g to a tenth."""
    step = Decimal("0.1") if grams < _FINE_BELOW else Decimal(1)
    return grams.quantize(step)


def piece_of(ingredient: Ingredient) -> tuple[Decimal, str]:
    """What one piece weighs and what it is called; (0, "") where it is only weighed."""
    name = known_as(ingredient.name)
    is_in_pieces = not any(word in ingredient.name.lower() for word in _NOT_IN_PIECES)
    if ingredient.piece_grams:
        return ingredient.piece_grams, _PIECES.get(name or "", "piece")
    if name is None or name not in _PIECES or not is_in_pieces:
        return Decimal(0), ""
    return WEIGHTS[name]["large"], f"large {_PIECES[name]}"


def _in_pieces(ingredient: Ingredient, grams: Decimal) -> tuple[int, str]:
    """How many whole pieces hold so many grams, and "large eggs of 50 g"; (0, "") if not counted."""
    each, name = piece_of(ingredient)
    count = _whole(grams, each)
    if not count:
        return 0, ""
    return count, f"{name if count == 1 else f'{name}s'} of {each.normalize():f} g"


def weighed(recipe: Recipe, grams: float | Decimal, book: ShopBook) -> tuple[Weighed, ...]:
    """The recipe scaled so that all of it weighs `grams`; nothing without a recipe."""
    if not recipe.grams:
        return ()
    times = Decimal(f"{grams:.4f}") / recipe.grams
    return tuple(_one(line.ingredient, line.grams * times, book) for line in recipe.lines)


def _one(code: str, grams: Decimal, book: ShopBook) -> Weighed:
    ingredient = book.ingredient(code)
    exact = rounded(grams)
    return Weighed(code, ingredient.name, exact, *_in_pieces(ingredient, exact))


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of the shopping list.

    `cost` is of the grams this order takes; `packs` how many must be opened, 0 where it is bought by
    weight. Something bought by the piece has no grams.
    """

    ingredient: str  # an Ingredient's code, "" for things by the piece
    name: str
    grams: Decimal
    pieces: int
    piece_words: str
    packs: int
    pack_name: str
    cost: Money
    why: str  # which parts take how much


@dataclass(frozen=True, slots=True)
class ShoppingList:
    """Everything the order takes, each ingredient once; `total` is the sum of the lines' costs.

    Costs are for the owner: they never stand on a client's page or a kitchen's paper.
    """

    lines: tuple[Bought, ...]
    total: Money


def shopping_list(
    parts: Iterable[tuple[str, Sequence[Weighed]]],
    things: Iterable[tuple[str, int, Money]],
    book: ShopBook,
) -> ShoppingList:
    """One list of the ingredients that parts (their name, what they weigh) take, and of things by
    the piece (their name, how many, what one costs). Ingredients in the order of the pantry."""
    uses: dict[str, list[tuple[str, Decimal]]] = {}
    for part, lines in parts:
        for line in lines:
            uses.setdefault(line.ingredient, []).append((part, line.grams))
    found = [_bought(one, uses[one.code], book) for one in book.ingredients if one.code in uses]
    counts: dict[str, tuple[int, Money]] = {}
    for name, count, each in things:
        before = counts.get(name, (0, each))[0]
        counts[name] = (before + count, each)
    for name, (count, each) in counts.items():
        cost = each.times(count)
        found.append(Bought("", name, Decimal(0), count, "", 0, "", cost, "by the piece"))
    return ShoppingList(tuple(found), total((line.cost for line in found), book.currency))


def _bought(ingredient: Ingredient, uses: list[tuple[str, Decimal]], book: ShopBook) -> Bought:
    grams = sum((amount for _, amount in uses), Decimal(0))
    pieces, words = _in_pieces(ingredient, grams)
    by_part: dict[str, Decimal] = {}
    for part, amount in uses:
        by_part[part] = by_part.get(part, Decimal(0)) + amount
    why = "; ".join(f"{part} {grams_written(amount)}" for part, amount in by_part.items())
    cost = half_up(grams / 1000 * ingredient.cost_per_kg.minor)
    packs = _whole(grams, ingredient.pack_grams)
    return Bought(
        ingredient=ingredient.code,
        name=ingredient.name,
        grams=grams,
        pieces=pieces,
        piece_words=words,
        packs=packs,
        pack_name=ingredient.pack_name if packs else "",
        cost=Money(cost, book.currency),
        why=why,
    )


def _whole(grams: Decimal, each: Decimal) -> int:
    """How many whole ones hold so many grams; 0 where one weighs nothing."""
    return int((grams / each).to_integral_value(ROUND_CEILING)) if each else 0


def recipe_cost(recipe: Recipe, grams: float, book: ShopBook) -> Decimal:
    """What so many grams of a recipe cost, in minor units, not rounded; nothing without a recipe."""
    if not recipe.grams:
        return Decimal(0)
    batch = sum(
        (line.grams * book.ingredient(line.ingredient).cost_per_kg.minor for line in recipe.lines),
        Decimal(0),
    )
    return batch / 1000 * Decimal(f"{grams:.3f}") / recipe.grams
