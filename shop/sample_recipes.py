"""What goes into the sample shop's cakes, fillings and coats? Invented recipes in grams, one batch each."""

from decimal import Decimal

from shop.core.catalogue import Recipe, RecipeLine

# Grams by ingredient. The cakes follow a baker's usual balance (sugar about as much as flour, eggs
# about as much as fat); the recipes themselves are invented for this shop.
_GRAMS: dict[str, dict[str, str]] = {
    # Cakes
    "vanilla-butter-cake": {
        "butter": "250", "caster-sugar": "280", "whole-egg": "250", "cake-flour": "300",
        "baking-powder": "10", "whole-milk": "120", "vanilla-extract": "8", "fine-salt": "3",
    },
    "dark-chocolate-cake": {
        "plain-flour": "260", "cocoa": "80", "caster-sugar": "360", "buttermilk": "240",
        "sunflower-oil": "160", "whole-egg": "150", "dark-chocolate": "80", "baking-soda": "8",
        "fine-salt": "4",
    },
    "lemon-poppy-seed": {
        "butter": "240", "caster-sugar": "280", "whole-egg": "240", "cake-flour": "300",
        "yoghurt": "110", "lemon-juice": "40", "lemon-zest": "12", "poppy-seed": "25",
        "baking-powder": "10", "fine-salt": "3",
    },
    "hazelnut-brown-butter": {
        "butter": "260", "brown-sugar": "270", "whole-egg": "250", "cake-flour": "220",
        "hazelnuts": "120", "whole-milk": "90", "baking-powder": "9", "fine-salt": "3",
    },
    "carrot-walnut": {
        "plain-flour": "280", "brown-sugar": "280", "sunflower-oil": "220", "whole-egg": "220",
        "carrots": "320", "desiccated-coconut": "40", "walnuts": "110", "raisins": "80", "cinnamon": "5",
        "baking-powder": "8", "baking-soda": "4", "fine-salt": "4",
    },
    "red-velvet": {
        "cake-flour": "290", "caster-sugar": "300", "butter": "120", "sunflower-oil": "100",
        "whole-egg": "150", "buttermilk": "240", "cocoa": "14", "red-colour": "10",
        "baking-soda": "6", "vanilla-extract": "6", "fine-salt": "3",
    },
    "orange-chiffon": {
        "cake-flour": "220", "caster-sugar": "260", "egg-yolk": "110", "pasteurised-white": "230",
        "olive-oil": "100", "orange-juice": "140", "orange-zest": "10", "baking-powder": "8",
    },
    "almond-orange-no-flour": {
        "oranges": "360", "ground-almonds": "320", "caster-sugar": "300", "whole-egg": "330",
        "baking-powder": "8",
    },
    # Fillings and coats
    "vanilla-buttercream": {
        "icing-sugar": "1000", "butter": "430", "whole-milk": "20", "vanilla-extract": "10",
    },
    "raspberry-jam": {
        "raspberries": "500", "caster-sugar": "420", "lemon-juice": "25", "pectin": "8",
    },
    "fig-jam": {
        "dried-figs": "350", "orange-juice": "300", "honey": "90", "lemon-juice": "30",
        "cinnamon": "2",
    },
    "lemon-curd": {
        "egg-yolk": "160", "whole-egg": "100", "caster-sugar": "240", "lemon-juice": "180",
        "butter": "160",
    },
    "dark-ganache": {"dark-chocolate": "600", "whipping-cream": "300"},
    "salted-caramel-buttercream": {
        "caster-sugar": "220", "whipping-cream": "150", "salted-butter": "380",
        "icing-sugar": "420", "fine-salt": "4",
    },
    "cream-cheese-icing": {"cream-cheese": "500", "butter": "160", "icing-sugar": "280"},
    "hazelnut-praline-cream": {
        "hazelnuts": "240", "caster-sugar": "180", "butter": "260", "white-chocolate": "160",
    },
    "swiss-buttercream": {
        "pasteurised-white": "300", "caster-sugar": "560", "butter": "780", "vanilla-extract": "10",
    },
    "white-fondant": {"rolled-fondant": "1000", "cornflour": "20", "vegetable-shortening": "10"},
    # Decorations, a batch of what a piece is made of
    "royal-icing": {"icing-sugar": "500", "dried-egg-white": "15", "lemon-juice": "5"},
    "flower-paste": {"flower-paste": "250", "vegetable-shortening": "5", "cornflour": "10"},
    "modelling-paste": {"rolled-fondant": "200", "flower-paste": "100"},
    "berries": {"raspberries": "60", "blueberries": "40"},
    "orange-slices": {"oranges": "300", "caster-sugar": "60"},
    "wafer-print": {"wafer-sheet": "6", "glucose-syrup": "2"},
}  # fmt: skip


def recipe(code: str) -> Recipe:
    """The sample recipe of that code; KeyError if there is none."""
    return Recipe(tuple(RecipeLine(name, Decimal(grams)) for name, grams in _GRAMS[code].items()))
