"""Does it need the cold, and how long may it stand out? Published rules that can be worked out."""

from collections.abc import Iterable
from decimal import Decimal
from enum import IntEnum, StrEnum

from shop.core.book import ShopBook
from shop.core.catalogue import Filling, Finish, Recipe

# Kansas State University, Food Safety of Frostings and Fillings, MF3544: more than 65 % sugar by
# weight keeps without cold.
SUGAR_RULE = Decimal("0.65")


def recipe_sugar_share(recipe: Recipe, book: ShopBook) -> Decimal:
    """The share of a recipe's weight that is sugar, 0 to 1; 0 for a recipe that weighs nothing."""
    if not recipe.grams:
        return Decimal(0)
    sugar = sum(
        (book.ingredient(line.ingredient).sugar_share * line.grams for line in recipe.lines),
        Decimal(0),
    )
    return sugar / recipe.grams


def sugar_rule(sugar_share: Decimal) -> bool:
    """Whether an icing or filling of that share of sugar (0 to 1) is over 65 %: K-State MF3544."""
    return sugar_share > SUGAR_RULE


def may_spoil(recipe: Recipe, book: ShopBook) -> bool:
    """Whether a coat or filling holds milk or egg and too little sugar to be known to keep without cold."""
    used = (book.ingredient(line.ingredient) for line in recipe.lines)
    if not any(ingredient.contains & {"milk", "egg"} for ingredient in used):
        return False
    return not sugar_rule(recipe_sugar_share(recipe, book))


class NeedsCold(StrEnum):
    """What table B says of a food."""

    NO = "needs no time or temperature control"
    ASSESS = "product assessment required"


def food_code_table_a(water_activity: float, ph: float) -> NeedsCold:
    """FDA Food Code 1-201.10, table A, from memory: food heated to destroy vegetative cells, then packaged.

    Not asked for a cake, whose coats and fillings are handled after heating: that is table B. Figures
    as for `food_code_table_b`.
    """
    _in_range(water_activity, ph)
    if water_activity <= 0.92:
        safe = True
    elif water_activity <= 0.95:
        safe = ph <= 5.6
    else:
        safe = ph <= 4.6
    return NeedsCold.NO if safe else NeedsCold.ASSESS


def _in_range(water_activity: float, ph: float) -> None:
    if not 0 <= water_activity <= 1 or not 0 <= ph <= 14:
        raise ValueError("Water activity is 0 to 1 and pH 0 to 14.")


def food_code_table_b(water_activity: float, ph: float) -> NeedsCold:
    """FDA Food Code 1-201.10, table B: food not treated to kill spores, or treated but not packaged.

    `water_activity` is 0 to 1, `ph` 0 to 14; ValueError for others.
    """
    _in_range(water_activity, ph)
    if water_activity < 0.88:
        safe = True
    elif water_activity <= 0.90:
        safe = ph <= 5.0
    elif water_activity <= 0.92:
        safe = ph <= 4.6
    else:
        safe = ph < 4.2
    return NeedsCold.NO if safe else NeedsCold.ASSESS


def measured_need(part: Filling | Finish) -> NeedsCold | None:
    """What table B says of a filling or coat that was measured; None where it cannot be asked.

    Where one of the two figures is missing the worst is taken for it: water activity 1, pH 14. What
    is safe so needs no second figure; what is not cannot be said.
    """
    if part.water_activity is None and part.ph is None:
        return None
    wet = 1.0 if part.water_activity is None else float(part.water_activity)
    ph = 14.0 if part.ph is None else float(part.ph)
    need = food_code_table_b(wet, ph)
    whole = part.water_activity is not None and part.ph is not None
    return need if whole or need is NeedsCold.NO else None


class Keeping(IntEnum):
    """How much cold a cake asks for; the part that asks for most decides."""

    PLAIN = 0  # keeps without cold
    NOT_SHOWN = 1  # milk or egg and too little sugar: nobody has shown that it keeps
    COLD = 2  # must stay in the cold


def keeping_of_part(part: Filling | Finish, book: ShopBook) -> Keeping:
    """What a coat or a filling asks for by itself: the shop's own word first, then the Food Code's table
    where it was measured, then the sugar rule. What the table leaves to an assessment is kept cold."""
    if part.keeps_cool:
        return Keeping.COLD
    need = measured_need(part)
    if need is not None:
        return Keeping.PLAIN if need is NeedsCold.NO else Keeping.COLD
    return Keeping.NOT_SHOWN if may_spoil(part.recipe, book) else Keeping.PLAIN


class TwoFour(StrEnum):
    """What may be done with food that was out of the cold."""

    USE_OR_CHILL = "use, or chill again"
    USE = "use, do not chill again"
    DISCARD = "discard"


def australian_two_four(minutes_out: Iterable[int]) -> TwoFour:
    """The 2-hour/4-hour rule of Food Standards Australia New Zealand for food between 5 and 60 °C.

    `minutes_out` are all the times it was out, and they add up. Under 2 hours it may go back, from 2
    to 4 it is used, over 4 it is thrown away.
    """
    out = sum(minutes_out)
    if out < 120:
        return TwoFour.USE_OR_CHILL
    return TwoFour.USE if out <= 240 else TwoFour.DISCARD
