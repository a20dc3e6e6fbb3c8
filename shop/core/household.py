"""What does a cup of it weigh? Household measures of baking ingredients in grams.

Weights are those of the USDA National Nutrient Database for Standard Reference, release 26 (2013), table WEIGHT,
by NDB number. A shop weighs; this helps whoever brings a recipe in cups.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

# Ingredient -> measure -> grams. NDB numbers in the comments.
WEIGHTS: Mapping[str, Mapping[str, Decimal]] = MappingProxyType(
    {
        name: MappingProxyType({measure: Decimal(grams) for measure, grams in measures.items()})
        for name, measures in {
            "flour": {"cup": "125"},  # 20081, all-purpose
            "bread flour": {"cup": "137"},  # 20083
            "cake flour": {"cup": "137"},  # 20084, unsifted, dipped
            "granulated sugar": {"cup": "200", "tsp": "4.2"},  # 19335
            "icing sugar": {"cup": "120", "sifted cup": "100", "tbsp": "8"},  # 19336
            "brown sugar": {"cup": "220", "loose cup": "145"},  # 19334, packed and unpacked
            "butter": {"cup": "227", "stick": "113", "tbsp": "14.2"},  # 01001, 01145
            "shortening": {"cup": "205", "tbsp": "12.8"},  # 04031
            "vegetable oil": {"cup": "218", "tbsp": "13.6"},  # 04044
            "egg": {
                "small": "38",
                "medium": "44",
                "large": "50",
                "extra large": "56",
                "cup": "243",
            },
            "egg white": {"large": "33"},  # 01124
            "egg yolk": {"large": "17"},  # 01125
            "milk": {"cup": "244"},  # 01077
            "buttermilk": {"cup": "245"},
            "cream": {"cup": "238"},  # heavy, fluid
            "sour cream": {"cup": "230"},
            "cream cheese": {"cup": "232", "tbsp": "14.5"},
            "cocoa": {"cup": "86", "tbsp": "5.4"},
            "cornstarch": {"cup": "128"},
            "honey": {"cup": "339"},
            "corn syrup": {"cup": "341"},
            "chocolate chips": {"cup": "168"},
            "baking powder": {"tsp": "4.6"},
            "baking soda": {"tsp": "4.6"},
            "salt": {"tsp": "6"},
            "cream of tartar": {"tsp": "3"},
            "vanilla extract": {"tsp": "4.2"},
            "jam": {"tbsp": "20"},
            "almond paste": {"cup": "227"},
            "ground almonds": {"cup": "95"},
            "water": {"cup": "237"},
        }.items()
    }
)

# Words people write for the same measure.
_MEANT = {
    "cups": "cup", "c": "cup", "tablespoon": "tbsp", "tablespoons": "tbsp", "tbs": "tbsp",
    "teaspoon": "tsp", "teaspoons": "tsp", "sticks": "stick", "sifted cups": "sifted cup",
    "loose cups": "loose cup", "eggs": "large", "whites": "large", "yolks": "large",
}  # fmt: skip

_GRAMS = {
    "g": Decimal(1),
    "gram": Decimal(1),
    "grams": Decimal(1),
    "kg": Decimal(1000),
    "": Decimal(1),
}
_AMOUNT = re.compile(r"^\s*(\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)\s*([a-z ]*)$", re.IGNORECASE)


def known_as(ingredient: str) -> str | None:
    """The name in WEIGHTS that an ingredient's own name means: the longest that it ends with or holds."""
    words = ingredient.lower()
    found = [name for name in WEIGHTS if name in words or f"{name}s" in words]
    return max(found, key=len) if found else None


def grams_of(text: str, ingredient: str) -> Decimal | str:
    """Grams of an amount as typed ("250", "1 1/2 cups", "3 large"), or a sentence why it can't be told.

    Plain figures are grams. Rounded to a tenth of a gram.
    """
    match = _AMOUNT.match(text)
    if match is None:
        return "Type grams, as 250, or a household measure, as 1 1/2 cups."
    amount = sum(Fraction(part.replace(",", ".")) for part in match[1].split())
    measure = " ".join(match[2].lower().split())
    if measure in _GRAMS:
        return _tenths(amount * Fraction(_GRAMS[measure]))
    name = known_as(ingredient)
    weights = WEIGHTS[name] if name else {}
    measure = _MEANT.get(measure, measure)
    if measure not in weights:
        known = ", ".join(weights) if weights else "none"
        return f"How much a {measure} of it weighs is not known here (known: {known}). Type grams."
    return _tenths(amount * Fraction(weights[measure]))


def _tenths(grams: Fraction) -> Decimal:
    return (Decimal(grams.numerator) / Decimal(grams.denominator)).quantize(Decimal("0.1"))
