"""What is mixed in one bowl? Everything of one recipe over all tiers, scaled, with what stays in the bowl."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from consult.core.shopping import Weighed, piece_of, rounded, weighed
from shop.core.book import ShopBook
from shop.core.catalogue import Ingredient, Recipe

_ORDER = ("batter", "syrup", "icing", "rolled")


@dataclass(frozen=True, slots=True)
class Use:
    """So many grams of one recipe for one part. `kind`: batter, syrup, icing, rolled (fondant)."""

    kind: str
    name: str
    recipe: Recipe | None  # None: half sugar, half water
    grams: float
    for_what: str
    colour_name: str = ""
    colour: str = ""  # hex


@dataclass(frozen=True, slots=True)
class Mix:
    """One bowl. `grams` is what is weighed out, `uses` where it goes, `lines` the recipe scaled."""

    kind: str
    name: str
    grams: float
    uses: tuple[Use, ...]
    lines: tuple[Weighed, ...]
    batches: float  # of the recipe as it is written, 0 without one
    why: str

    @property
    def used_g(self) -> float:
        """What goes into and onto the cake."""
        return sum(use.grams for use in self.uses)


def mixes_of(uses: Iterable[Use], book: ShopBook) -> tuple[Mix, ...]:
    """One mix for each recipe, whatever it is called and used for: batters first, then syrup, icings,
    rolled fondant. What stays in the bowl (`kitchen.batter_loss`) is added, but not to fondant."""
    bowls: dict[tuple[str, object], list[Use]] = {}
    for use in uses:
        if use.grams > 0:
            key = use.recipe if use.recipe is not None and use.recipe.lines else use.name
            bowls.setdefault((use.kind, key), []).append(use)
    mixes = [_mix(together, book) for together in bowls.values()]
    return tuple(sorted(mixes, key=lambda mix: _ORDER.index(mix.kind)))


def bowl_name(recipe: Recipe, name: str, book: ShopBook) -> str:
    """What the bowl of an icing is called: a coat and a filling of one recipe go by the filling's name."""
    return next((one.name for one in book.fillings if one.recipe == recipe), name)


def _mix(uses: list[Use], book: ShopBook) -> Mix:
    first = uses[0]
    used = sum(use.grams for use in uses)
    stays = float(book.policies.kitchen.batter_loss) if first.kind != "rolled" else 0.0
    grams = used / (1 - stays)
    lines = _syrup(grams, book)
    batches = 0.0
    if first.recipe is not None:
        lines = weighed(first.recipe, grams, book)
        batches = grams / float(first.recipe.grams) if first.recipe.grams else 0.0
    why = f"{used:,.0f} g used"
    if stays:
        why += f", {stays:.0%} of the mix stays in the bowl: {grams:,.0f} g"
    if batches:
        why += f"; the recipe times {batches:.2f}"
    name = first.name
    if first.kind == "icing" and first.recipe is not None:
        name = bowl_name(first.recipe, name, book)
    return Mix(first.kind, name, grams, tuple(uses), lines, batches, why)


def _syrup(grams: float, book: ShopBook) -> tuple[Weighed, ...]:
    """Equal weights of sugar and water; water is not bought, so it is not an ingredient."""
    half = rounded(Decimal(f"{grams / 2:.4f}"))
    water = Weighed("", "water", half)
    sugar = _plain_sugar(book)
    if sugar is None:
        return (Weighed("", "sugar", half), water)
    return (Weighed(sugar.code, sugar.name, half), water)


def _plain_sugar(book: ShopBook) -> Ingredient | None:
    """The pantry's plain sugar: all sugar, and called so; None if it has none."""
    found = [
        one for one in book.ingredients
        if one.sugar_share == 1 and "sugar" in one.name.lower() and "icing" not in one.name.lower()
        and not piece_of(one)[0]
    ]  # fmt: skip
    return found[0] if found else None
