"""How is an amount kept, rounded and written? Whole minor units of one currency, rounded half up."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from babel.numbers import format_currency
from iso4217 import Currency


def minor_digits(currency: str) -> int:
    """Digits after the point of a currency: ISO 4217, list of 2026-01-01 (JPY 0, EUR 2, KWD 3).

    Raises ValueError for a code that ISO 4217 does not list.
    """
    try:
        return int(Currency(currency).exponent or 0)
    except ValueError as error:
        raise ValueError(f"{currency!r} is not a currency code of ISO 4217.") from error


def half_up(value: Decimal) -> int:
    """Nearest whole number; a half goes away from zero."""
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))


@dataclass(frozen=True, order=True, slots=True)
class Money:
    """An exact amount: `minor` whole minor units (cents, pence, yen) of `currency`."""

    minor: int
    currency: str

    @classmethod
    def of(cls, amount: Decimal | str | int, currency: str) -> "Money":
        """An amount in major units ("12.50"), refused with ValueError if finer than the currency."""
        try:
            scaled = Decimal(amount).scaleb(minor_digits(currency))
        except InvalidOperation as error:
            raise ValueError(f"{amount!r} is not an amount of money.") from error
        if not scaled.is_finite() or scaled != scaled.to_integral_value():
            raise ValueError(f"{amount} is finer than {currency} allows.")
        return cls(int(scaled), currency)

    @classmethod
    def zero(cls, currency: str) -> "Money":
        return cls(0, currency)

    def _same(self, other: "Money") -> None:
        if self.currency != other.currency:
            raise ValueError(f"Cannot put {other.currency} and {self.currency} together.")

    def __add__(self, other: "Money") -> "Money":
        self._same(other)
        return Money(self.minor + other.minor, self.currency)

    def __sub__(self, other: "Money") -> "Money":
        self._same(other)
        return Money(self.minor - other.minor, self.currency)

    def __neg__(self) -> "Money":
        return Money(-self.minor, self.currency)

    def __bool__(self) -> bool:
        return self.minor != 0

    def times(self, factor: Decimal | int) -> "Money":
        """The amount times a factor, rounded once to the minor unit, half up."""
        return Money(half_up(Decimal(self.minor) * Decimal(factor)), self.currency)

    def decimal(self) -> Decimal:
        """The amount in major units, with all the currency's digits: 12.50."""
        return Decimal(self.minor).scaleb(-minor_digits(self.currency))

    def __str__(self) -> str:
        return f"{self.decimal():f}"

    def written(self, locale: str = "en_US") -> str:
        """As a person reads it: $1,585.50. ISO's digits, even where CLDR has others (IQD)."""
        digits = minor_digits(self.currency)
        pattern = None if digits == 2 else "¤#,##0" + ("." + "0" * digits if digits else "")
        return format_currency(
            self.decimal(), self.currency, format=pattern, locale=locale, currency_digits=False
        )


def total(amounts: Iterable[Money], currency: str) -> Money:
    """The sum; zero of `currency` when there is nothing to add."""
    result = Money.zero(currency)
    for amount in amounts:
        result = result + amount
    return result
