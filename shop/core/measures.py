"""How is a length or a weight kept and written? Millimetres and grams inside; inches or centimetres on screen."""

import math
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

MM_PER_INCH = 25.4  # exact, international yard and pound agreement of 1959
MM_PER_CM = 10.0
GRAMS_PER_POUND = 453.59237  # exact, the same agreement
# What is reckoned to a gram and weighs so by nobody's scales is said to 50 g, upwards: our own.
WORDS_UP_TO_G = 50

_NICE_FRACTIONS = {
    Fraction(1, 4): "¼", Fraction(1, 2): "½", Fraction(3, 4): "¾",
    Fraction(1, 8): "⅛", Fraction(3, 8): "⅜", Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip


class Units(StrEnum):
    """What the shop measures in."""

    INCHES = "in"
    CENTIMETRES = "cm"

    @property
    def mm(self) -> float:
        """Millimetres in one of these."""
        return MM_PER_INCH if self is Units.INCHES else MM_PER_CM

    @property
    def word(self) -> str:
        return "inches" if self is Units.INCHES else "centimetres"


def to_mm(value: float | Decimal, units: Units) -> float:
    """A length in the shop's units as millimetres, kept to a thousandth."""
    return round(float(value) * units.mm, 3)


def from_mm(mm: float, units: Units) -> float:
    """Millimetres as the shop's units, kept to a thousandth."""
    return round(mm / units.mm, 3)


def number(value: float, places: int = 2) -> str:
    """A plain figure without trailing zeros: 8, 7.5, 10.25."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@lru_cache(maxsize=4096)  # a page writes the same few dozen lengths hundreds of times
def length(mm: float, units: Units) -> str:
    """A length in words a baker uses: "8 in", "7½ in", "20 cm". Odd lengths to a tenth."""
    value = from_mm(mm, units)
    if units is Units.INCHES:
        whole, rest = divmod(Fraction(value).limit_denominator(1000), 1)
        sign = _NICE_FRACTIONS.get(rest)
        if sign:
            return f"{whole or ''}{sign} in"
    return f"{number(value, 1)} {units.value}"


def weight(grams: float, units: Units) -> str:
    """A weight: grams below a kilogram, else kilograms; a shop on inches sees ounces or pounds beside it."""
    metric = f"{grams:.0f} g" if grams < 1000 else f"{number(grams / 1000, 1)} kg"
    if units is Units.CENTIMETRES:
        return metric
    if grams < 1000:
        ounces = grams / GRAMS_PER_POUND * 16
        return f"{metric} ({number(ounces, 0 if ounces >= 10 else 1)} oz)"
    return f"{metric} ({number(grams / GRAMS_PER_POUND, 1)} lb)"


def weight_in_words(grams: float, units: Units) -> str:
    """A reckoned weight, rounded up to 50 g: "about 4.1 kg (9 lb)", "about 850 g"."""
    up = math.ceil(round(grams / WORDS_UP_TO_G, 6)) * WORDS_UP_TO_G
    if up < 1000:
        return f"about {up} g"
    pounds = f" ({number(up / GRAMS_PER_POUND, 1)} lb)" if units is Units.INCHES else ""
    return f"about {number(up / 1000, 2)} kg{pounds}"


def minutes_written(minutes: int) -> str:
    """Work time as "45 min", "9 h" or "9 h 10 min"."""
    hours, rest = divmod(int(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"


def parse_length(text: str) -> Decimal | None:
    """What somebody typed for a length, unit words and a decimal comma allowed; None if it is none."""
    cleaned = text.strip().lower()
    for word in ("inches", "inch", "centimetres", "centimeters", "cm", "in", '"', "″"):
        cleaned = cleaned.removesuffix(word).strip()
    try:
        value = Decimal(cleaned.replace(",", "."))
    except InvalidOperation:
        return None
    return value if value.is_finite() else None
