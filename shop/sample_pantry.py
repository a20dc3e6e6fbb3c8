"""What does the sample shop buy? Ingredients with the allergens such labels usually name, and invented costs."""

from decimal import Decimal

from shop.core.catalogue import Ingredient
from shop.core.money import Money

# code, name, cost of a kilogram, contains, may contain, sugar share of its weight.
# Allergens as such labels usually name them, and costs: common practice, no source. Each shop has to
# read its own labels. Sugar shares are rounded from the ingredients' nature: sugars are all sugar,
# icing sugar has 3 % starch in it.
_PANTRY = (
    ("cake-flour", "Cake flour", "1.60", "wheat", "", "0"),
    ("plain-flour", "Plain flour", "1.20", "wheat", "", "0"),
    ("ground-almonds", "Ground almonds", "13.50", "almond", "hazelnut, walnut", "0.04"),
    ("hazelnuts", "Roasted hazelnuts", "16.00", "hazelnut", "almond, walnut", "0.04"),
    ("walnuts", "Walnuts", "12.50", "walnut", "almond, pecan", "0.03"),
    ("desiccated-coconut", "Desiccated coconut", "8.00", "coconut, sulphites", "", "0.06"),
    ("cocoa", "Cocoa powder", "14.00", "", "milk", "0"),
    ("dark-chocolate", "Dark chocolate 60 %", "15.50", "soy", "milk, hazelnut", "0.38"),
    ("white-chocolate", "White chocolate", "16.00", "milk, soy", "almond, hazelnut", "0.58"),
    ("caster-sugar", "Caster sugar", "1.50", "", "", "1"),
    ("brown-sugar", "Soft brown sugar", "2.10", "", "", "0.97"),
    ("icing-sugar", "Icing sugar", "1.90", "", "", "0.97"),
    ("glucose-syrup", "Glucose syrup", "4.00", "", "", "0.45"),
    ("honey", "Honey", "11.00", "", "", "0.82"),
    ("butter", "Butter, unsalted", "9.80", "milk", "", "0"),
    ("salted-butter", "Butter, salted", "9.80", "milk", "", "0"),
    ("cream-cheese", "Cream cheese", "9.00", "milk", "", "0.03"),
    ("whipping-cream", "Whipping cream", "6.50", "milk", "", "0.03"),
    ("whole-milk", "Whole milk", "1.30", "milk", "", "0.05"),
    ("buttermilk", "Buttermilk", "2.40", "milk", "", "0.05"),
    ("yoghurt", "Plain yoghurt", "3.60", "milk", "", "0.05"),
    ("sunflower-oil", "Sunflower oil", "3.40", "", "", "0"),
    ("olive-oil", "Olive oil", "12.00", "", "", "0"),
    ("vegetable-shortening", "Vegetable shortening", "5.20", "soy", "", "0"),
    ("whole-egg", "Whole egg", "5.50", "egg", "", "0"),
    ("egg-yolk", "Egg yolk", "9.50", "egg", "", "0"),
    ("pasteurised-white", "Egg white, pasteurised", "6.80", "egg", "", "0"),
    ("dried-egg-white", "Dried egg white", "42.00", "egg", "", "0"),
    ("baking-powder", "Baking powder", "7.00", "", "", "0"),
    ("baking-soda", "Baking soda", "3.00", "", "", "0"),
    ("fine-salt", "Fine salt", "1.00", "", "", "0"),
    ("vanilla-extract", "Vanilla extract", "95.00", "", "", "0.10"),
    ("poppy-seed", "Poppy seed", "10.50", "", "sesame", "0"),
    ("cinnamon", "Ground cinnamon", "22.00", "", "", "0"),
    ("lemon-juice", "Lemon juice", "4.80", "", "", "0.02"),
    ("lemon-zest", "Lemon zest", "18.00", "", "", "0"),
    ("orange-juice", "Orange juice", "3.20", "", "", "0.09"),
    ("orange-zest", "Orange zest", "18.00", "", "", "0"),
    ("oranges", "Oranges, whole", "2.60", "", "", "0.09"),
    ("carrots", "Carrots", "1.60", "", "", "0.05"),
    ("raisins", "Raisins", "6.40", "sulphites", "", "0.65"),
    ("raspberries", "Raspberries", "14.00", "", "", "0.04"),
    ("blueberries", "Blueberries", "12.00", "", "", "0.10"),
    ("dried-figs", "Dried figs", "11.50", "sulphites", "", "0.48"),
    ("pectin", "Pectin", "38.00", "", "", "0"),
    ("cornflour", "Cornflour", "3.00", "", "", "0"),
    ("red-colour", "Red food colour, gel", "60.00", "", "", "0.30"),
    ("rolled-fondant", "Rolled fondant, ready made", "6.20", "sulphites", "", "0.80"),
    ("flower-paste", "Flower paste, ready made", "11.00", "egg", "", "0.80"),
    ("wafer-sheet", "Wafer sheets", "70.00", "", "soy", "0"),
)  # fmt: skip


# code: grams a pack holds, what it is called, grams of a piece. Common practice, no source; a large egg is
# 50 g without its shell, a yolk 17 g (USDA SR 26, NDB 01123 and 01125).
_PACKS = {
    "cake-flour": ("10000", "10 kg bag", "0"),
    "plain-flour": ("10000", "10 kg bag", "0"),
    "ground-almonds": ("1000", "1 kg bag", "0"),
    "hazelnuts": ("1000", "1 kg bag", "0"),
    "cocoa": ("1000", "1 kg bag", "0"),
    "dark-chocolate": ("2500", "2.5 kg bag", "0"),
    "white-chocolate": ("2500", "2.5 kg bag", "0"),
    "caster-sugar": ("5000", "5 kg bag", "0"),
    "brown-sugar": ("1000", "1 kg bag", "0"),
    "icing-sugar": ("5000", "5 kg bag", "0"),
    "butter": ("250", "250 g block", "0"),
    "cream-cheese": ("1000", "1 kg tub", "0"),
    "whipping-cream": ("1000", "1 l carton", "0"),
    "whole-milk": ("1000", "1 l carton", "0"),
    "buttermilk": ("500", "500 ml carton", "0"),
    "sunflower-oil": ("1000", "1 l bottle", "0"),
    "whole-egg": ("1500", "tray of 30", "50"),
    "egg-yolk": ("0", "", "17"),
    "pasteurised-white": ("1000", "1 kg carton", "0"),
    "rolled-fondant": ("2500", "2.5 kg box", "0"),
    "raspberries": ("250", "250 g punnet", "0"),
    "blueberries": ("250", "250 g punnet", "0"),
}
_UNPACKED = ("0", "", "0")


def _names(text: str) -> frozenset[str]:
    return frozenset(name.strip() for name in text.split(",") if name.strip())


def ingredients(currency: str) -> tuple[Ingredient, ...]:
    """The pantry, its costs in that currency."""
    return tuple(
        Ingredient(
            code=code,
            name=name,
            contains=_names(contains),
            cost_per_kg=Money.of(cost, currency),
            may_contain=_names(may_contain),
            sugar_share=Decimal(sugar),
            pack_grams=Decimal(_PACKS.get(code, _UNPACKED)[0]),
            pack_name=_PACKS.get(code, _UNPACKED)[1],
            piece_grams=Decimal(_PACKS.get(code, _UNPACKED)[2]),
        )
        for code, name, cost, contains, may_contain, sugar in _PANTRY
    )
