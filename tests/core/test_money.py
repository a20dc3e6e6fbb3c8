"""How is an amount kept, rounded and written?"""

from decimal import Decimal

import pytest
from babel.numbers import get_currency_precision
from hypothesis import given, settings
from hypothesis import strategies as st
from iso4217 import Currency

from shop.core.money import Money, half_up, minor_digits, total


# ISO 4217, list published 2026-01-01: minor units of each currency.
@pytest.mark.parametrize(
    ("digits", "codes"),
    [
        (0, "JPY KRW VND CLP ISK PYG RWF UGX VUV XAF XOF XPF BIF DJF GNF KMF"),
        (2, "EUR USD GBP CAD AUD NZD CHF HUF TWD MGA MRU"),
        (3, "BHD IQD JOD KWD LYD OMR TND"),
        (4, "CLF UYW"),
    ],
)
def test_a_currency_has_the_digits_of_iso_4217(digits, codes):
    for code in codes.split():
        assert minor_digits(code) == digits, code


# CLDR, as the library babel has it, counts by the coins people still use. The same currencies by
# both, but for those whose small coins are gone: there the standard's digits are the ones to pay by.
COINS_GONE = {
    "AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER",
}  # fmt: skip


def test_digits_are_those_of_cldr_wherever_small_coins_are_in_use():
    codes = {currency.code for currency in Currency if not currency.code.startswith("X")}
    apart = {code for code in codes if minor_digits(code) != get_currency_precision(code)}
    assert apart == COINS_GONE


def test_a_currency_that_is_none_is_refused():
    with pytest.raises(ValueError, match="'DOL' is not a currency code"):
        minor_digits("DOL")


@pytest.mark.parametrize(
    ("value", "rounded"),
    [("0.4", 0), ("0.5", 1), ("1.5", 2), ("2.5", 3), ("-0.5", -1), ("-2.5", -3), ("2.49", 2)],
)
def test_a_half_goes_away_from_zero(value, rounded):
    assert half_up(Decimal(value)) == rounded


def test_an_amount_is_whole_minor_units():
    assert Money.of("12.50", "USD") == Money(1250, "USD")
    assert Money.of("1200", "JPY") == Money(1200, "JPY")
    assert Money.of("1.234", "KWD") == Money(1234, "KWD")


@pytest.mark.parametrize("amount", ["12.505", "NaN", "Infinity", "a lot"])
def test_an_amount_finer_than_the_currency_or_none_at_all_is_refused(amount):
    with pytest.raises(ValueError, match=r"finer than USD allows|not an amount"):
        Money.of(amount, "USD")


def test_two_currencies_are_never_added():
    with pytest.raises(ValueError, match="Cannot put EUR and USD together"):
        Money(1, "USD") + Money(1, "EUR")


def test_a_third_of_ten_is_rounded_once():
    assert Money.of("10.00", "USD").times(Decimal(1) / 3) == Money(333, "USD")
    assert Money(5, "USD").times(Decimal("0.5")) == Money(3, "USD")  # 2.5 cents, half up


def test_nothing_adds_up_to_nothing():
    assert total([], "USD") == Money(0, "USD")
    assert not total([], "USD")


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(-(10**12), 10**12), max_size=30))
def test_lines_add_up_to_the_cent(minors):
    assert total((Money(minor, "USD") for minor in minors), "USD").minor == sum(minors)


@settings(max_examples=50, deadline=None)
@given(st.integers(-(10**14), 10**14), st.sampled_from(["USD", "JPY", "KWD"]))
def test_an_amount_written_plainly_is_read_back_the_same(minor, currency):
    amount = Money(minor, currency)
    assert Money.of(str(amount), currency) == amount


# The number patterns are those of CLDR, as the library babel has them.
@pytest.mark.parametrize(
    ("amount", "locale", "words"),
    [
        (Money(158550, "USD"), "en_US", "$1,585.50"),
        (Money(158550, "EUR"), "en_IE", "€1,585.50"),
        (Money(158550, "EUR"), "de_DE", "1.585,50\N{NO-BREAK SPACE}€"),
        (Money(1585, "JPY"), "en_US", "¥1,585"),
        (Money(1585500, "KWD"), "en_US", "KWD1,585.500"),
    ],
)
def test_an_amount_is_written_as_people_there_read_it(amount, locale, words):
    assert amount.written(locale) == words
