"""How are lengths, amounts, shares and hours typed? Fields that give the trade's values."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from django import forms

from shop.core.measures import Units, number
from shop.core.money import Money, minor_digits
from shop.forms import NumberField, typed_number

_UNIT_WORDS = {
    Units.INCHES: ("inches", "inch", "in", '"', "″"),
    Units.CENTIMETRES: ("centimetres", "centimeters", "cm"),
}
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def typed_length(text):
    """What was typed as (figure, units or None): "8", "8 in", "20,5 cm", "7½", "7 1/2 in". None if it is none."""
    cleaned = text.strip().lower()
    units = None
    for candidate, words in _UNIT_WORDS.items():
        for word in words:
            if units is None and cleaned.endswith(word):
                cleaned, units = cleaned.removesuffix(word).strip(), candidate
    for sign, fraction in _FRACTIONS.items():
        cleaned = cleaned.replace(sign, f" {fraction}")
    parts = cleaned.split()
    if parts and "/" in parts[-1] and len(parts) <= 2:
        try:
            value = sum((Fraction(part) for part in parts), Fraction(0))
        except (ValueError, ZeroDivisionError):
            return None
        return Decimal(value.numerator) / Decimal(value.denominator), units
    value = typed_number(cleaned)
    return None if value is None or not value.is_finite() else (value, units)


class _AsTyped:
    """A field whose text, left as it was shown, counts as not changed."""

    def has_changed(self, initial, data):
        if str(data or "").strip() == str(self.prepare_value(initial) or "").strip():
            return False
        return super().has_changed(initial, data)


class LengthField(_AsTyped, NumberField):
    """A length in the shop's units; the other unit is taken too where it is typed. Cleans to millimetres."""

    kind_in_words = "a length"
    units = Units.INCHES

    def __init__(self, *, least_mm=Decimal(0), most_mm=Decimal(2000), **kwargs):
        self.least_mm, self.most_mm = least_mm, most_mm
        super().__init__(unit=self.units.value, **kwargs)

    def set_units(self, units):
        self.units, self.unit = units, units.value
        self.error_messages["required"] = self._wrong()

    def _wrong(self):
        least, most = (number(float(mm) / self.units.mm, 2) for mm in (self.least_mm, self.most_mm))
        return f"Type a length from {least} to {most} {self.units.value}, like {self.example}."

    @property
    def example(self):
        return "8 or 7½" if self.units is Units.INCHES else "20 or 20,5"

    def prepare_value(self, value):
        if isinstance(value, Decimal | float | int):
            return number(float(value) / self.units.mm, 3)
        return value

    def to_python(self, value):
        if value in self.empty_values or not str(value).strip():
            return None
        found = typed_length(str(value))
        if found is None:
            raise forms.ValidationError(self._wrong(), code="invalid")
        figure, units = found
        # Both are exact decimals: 25.4 and 10 millimetres.
        mm = figure * Decimal(str((units or self.units).mm))
        return mm.quantize(Decimal("0.001"), rounding=ROUND_HALF_UP)

    def validate(self, value):
        forms.Field.validate(self, value)
        if value is not None and not self.least_mm <= value <= self.most_mm:
            raise forms.ValidationError(self._wrong(), code="limits")


class MoneyField(_AsTyped, NumberField):
    """An amount of the shop's currency: "12.50" or "12,50". Cleans to Money, never below zero."""

    kind_in_words = "an amount"
    most = 1_000_000
    currency = "USD"

    def __init__(self, **kwargs):
        super().__init__(most=self.most, unit=self.currency, **kwargs)

    def set_currency(self, currency):
        self.currency, self.unit = currency, currency
        self.error_messages["required"] = self._wrong()

    def _wrong(self):
        return f"Type an amount like {Money.of('12', self.currency)}, from 0 to {self.most:,}."

    def prepare_value(self, value):
        if isinstance(value, int):  # minor units, as a column keeps them
            return str(Money(value, self.currency))
        return str(value) if isinstance(value, Money) else value

    def to_python(self, value):
        found = self._number(str(value or "").strip().strip("$€£¥"))
        if found is None:
            return None
        try:
            return Money.of(found, self.currency)
        except ValueError as error:
            digits = minor_digits(self.currency)
            raise forms.ValidationError(
                f"Type no more than {digits} figures after the point."
                if digits
                else f"{self.currency} has no figures after the point.",
                code="places",
            ) from error

    def validate(self, value):
        forms.Field.validate(self, value)
        if value is not None and not 0 <= value.decimal() <= self.most:
            raise forms.ValidationError(self._wrong(), code="limits")


class PercentField(_AsTyped, NumberField):
    """A share typed as a percentage, "50" or "7,5 %". Cleans to a Decimal from 0 to 1."""

    kind_in_words = "a percentage"

    def __init__(self, **kwargs):
        super().__init__(least=0, most=100, unit="%", places=2, **kwargs)

    def prepare_value(self, value):
        return number(float(value) * 100, 2) if isinstance(value, Decimal) else value

    def clean(self, value):
        percentage = super().clean(value)
        return None if percentage is None else percentage / 100


class KilogramField(_AsTyped, NumberField):
    """A weight typed in kilograms. Cleans to whole grams."""

    def __init__(self, **kwargs):
        super().__init__(unit="kg", places=3, **kwargs)

    def prepare_value(self, value):
        return number(value / 1000, 3) if isinstance(value, int) else value

    def clean(self, value):
        kilograms = super().clean(value)
        return None if kilograms is None else int(kilograms * 1000)


class BenchHoursField(_AsTyped, NumberField):
    """Hours a day, "7.5" or "7:30". Cleans to whole minutes."""

    kind_in_words = "hours, like 7.5 or 7:30,"

    def __init__(self, **kwargs):
        super().__init__(least=0, most=24, unit="h", places=2, **kwargs)

    def prepare_value(self, value):
        if isinstance(value, int):
            return f"{value // 60}:{value % 60:02d}" if value % 60 else str(value // 60)
        return value

    def to_python(self, value):
        hours, colon, minutes = str(value or "").strip().partition(":")
        if colon and hours.isdecimal() and minutes.isdecimal() and int(minutes) < 60:
            return Decimal(hours) + Decimal(minutes) / 60
        return super().to_python(value)

    def clean(self, value):
        hours = super().clean(value)
        return None if hours is None else int((hours * 60).quantize(1, rounding=ROUND_HALF_UP))
