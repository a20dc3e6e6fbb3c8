"""How is a length or a weight kept and written?"""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.core.measures import (
    Units,
    from_mm,
    length,
    minutes_written,
    number,
    parse_length,
    to_mm,
    weight,
    weight_in_words,
)

INCHES, CENTIMETRES = Units.INCHES, Units.CENTIMETRES


def test_an_inch_is_exactly_25_4_mm():
    # International yard and pound agreement of 1959.
    assert to_mm(1, INCHES) == 25.4
    assert to_mm(Decimal("8"), INCHES) == 203.2
    assert to_mm(Decimal("20.5"), CENTIMETRES) == 205.0


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 60_000))
def test_a_length_on_screen_comes_back_to_the_same_tenth_of_a_millimetre(thousandths):
    size = thousandths / 1000
    for units in Units:
        assert from_mm(to_mm(size, units), units) == pytest.approx(size, abs=0.0001)


@pytest.mark.parametrize(
    ("mm", "units", "words"),
    [
        (203.2, INCHES, "8 in"),
        (190.5, INCHES, "7½ in"),
        (12.7, INCHES, "½ in"),
        (196.85, INCHES, "7¾ in"),
        (206.375, INCHES, "8⅛ in"),
        (200.0, INCHES, "7.9 in"),
        (200.0, CENTIMETRES, "20 cm"),
        (205.0, CENTIMETRES, "20.5 cm"),
    ],
)
def test_a_length_is_written_as_a_baker_says_it(mm, units, words):
    assert length(mm, units) == words


@pytest.mark.parametrize(
    ("grams", "units", "words"),
    [
        (999.0, CENTIMETRES, "999 g"),
        (769.0, INCHES, "769 g (27 oz)"),  # 769 / 28.349523125 = 27.126
        (100.0, INCHES, "100 g (3.5 oz)"),  # 3.527
        (1000.0, CENTIMETRES, "1 kg"),
        (7350.0, CENTIMETRES, "7.3 kg"),
        (7350.0, INCHES, "7.3 kg (16.2 lb)"),  # 7350 / 453.59237 = 16.204
    ],
)
def test_a_weight_has_pounds_beside_it_where_the_shop_is_on_inches(grams, units, words):
    assert weight(grams, units) == words


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (45, "45 min"), (60, "1 h"), (550, "9 h 10 min")]
)
def test_work_time_is_written_in_hours_and_minutes(minutes, words):
    assert minutes_written(minutes) == words


@pytest.mark.parametrize(
    ("value", "words"), [(8.0, "8"), (7.5, "7.5"), (10.25, "10.25"), (100.0, "100"), (0.0, "0")]
)
def test_a_figure_has_no_trailing_zeros(value, words):
    assert number(value) == words


@pytest.mark.parametrize(
    ("typed", "value"),
    [("8", "8"), (" 8 in ", "8"), ("20,5 cm", "20.5"), ("10 inches", "10"), ('6"', "6")],
)
def test_a_typed_length_is_understood(typed, value):
    assert parse_length(typed) == Decimal(value)


@pytest.mark.parametrize("typed", ["", "big", "8 x 10", "NaN", "inf"])
def test_what_is_no_length_is_none(typed):
    assert parse_length(typed) is None


@pytest.mark.parametrize(
    ("grams", "units", "words"),
    [
        (4001, Units.CENTIMETRES, "about 4.05 kg"),
        (4000, Units.CENTIMETRES, "about 4 kg"),
        (4051, Units.INCHES, "about 4.1 kg (9 lb)"),
        (801, Units.INCHES, "about 850 g"),
        (960, Units.CENTIMETRES, "about 1 kg"),
    ],
)
def test_a_reckoned_weight_is_said_rounded_up(grams, units, words):
    assert weight_in_words(grams, units) == words
