"""Do surfaces, coats, sheets and weights agree with the published figures?"""

import math

import pytest

from consult.core import covering
from consult.core.covering import BakeryClass
from consult.core.shapes import area_mm2
from shop.core.catalogue import Shape, SliceSize
from shop.core.measures import MM_PER_INCH

HEIGHT_MM = 4 * MM_PER_INCH


def tier_g(size_in: float, shape: Shape = Shape.ROUND) -> float:
    return covering.iced_mass_g(covering.volume_mm3(shape, size_in * MM_PER_INCH, None, HEIGHT_MM))


# 6.8 g a cubic inch of iced cake: USDA FoodData Central, FNDDS portions.
@pytest.mark.parametrize(("width_in", "grams"), [(1, 54.4), (1.5, 81.6)])
def test_slice_weighs_what_the_survey_says(width_in: float, grams: float) -> None:
    one = SliceSize("any", "Any", width_in * MM_PER_INCH, 2 * MM_PER_INCH)
    assert covering.slice_mass_g(one, HEIGHT_MM) == pytest.approx(grams, abs=0.1)


def test_dense_slice_is_heavier() -> None:
    # FNDDS: 120 g a cup for carrot, red velvet and fruit cake, so 66 g for 1 x 2 x 4 in.
    one = SliceSize("any", "Any", MM_PER_INCH, 2 * MM_PER_INCH)
    grams = covering.slice_mass_g(one, HEIGHT_MM, covering.iced_g_per_ml("dense"))
    assert grams == pytest.approx(66, abs=0.6)


# 21 CFR 101.12(b), table 2.
@pytest.mark.parametrize(
    ("kind", "iced", "grams"),
    [
        (BakeryClass.FOAM, True, 80),
        (BakeryClass.FOAM, False, 55),
        (BakeryClass.CHEESECAKE, False, 125),
        (BakeryClass.FRUIT, True, 125),
        (BakeryClass.LEAVENED, False, 80),
        (BakeryClass.LEAVENED, True, 80),
    ],
)
def test_reference_amount_follows_the_class_of_cake(
    kind: BakeryClass, iced: bool, grams: int
) -> None:
    assert covering.reference_amount_g(kind, iced=iced) == grams


# 6.8 g a cubic inch (FNDDS) of a tier 4 in tall, worked out by hand.
@pytest.mark.parametrize(
    ("shape", "size", "grams"),
    [
        (Shape.ROUND, 4, 342),
        (Shape.ROUND, 8, 1367),
        (Shape.ROUND, 16, 5469),
        (Shape.SQUARE, 6, 979),
        (Shape.SQUARE, 14, 5331),
    ],
)
def test_tier_weighs_its_volume(shape: Shape, size: int, grams: int) -> None:
    assert tier_g(size, shape) == pytest.approx(grams, abs=1)


def test_four_tiers_weigh_less_than_a_retailer_says_with_finish() -> None:
    # A retailer's page says a 6-8-10-12 cake starts at 18 lb (8165 g), dowels and boards included.
    stack = sum(tier_g(size) for size in (6, 8, 10, 12))
    assert stack == pytest.approx(7349, abs=1)
    assert stack < 18 * 453.59237


# FNDDS weights as grams a millilitre.
def test_densities_are_those_of_the_survey() -> None:
    assert pytest.approx(0.415, abs=5e-4) == covering.ICED_CAKE_G_PER_ML
    assert pytest.approx(0.305, abs=5e-4) == covering.PLAIN_CAKE_G_PER_ML
    assert pytest.approx(0.507, abs=5e-4) == covering.DENSE_CAKE_G_PER_ML
    assert pytest.approx(0.761, abs=5e-4) == covering.CHEESECAKE_G_PER_ML
    # SR 19230, vanilla frosting: 264 g a cup.
    assert pytest.approx(1.116, abs=1e-3) == covering.ICING_G_PER_ML


def test_foam_counts_as_heavy_as_any_iced_cake() -> None:
    assert covering.iced_g_per_ml("foam") == covering.iced_g_per_ml("high-fat")


# (pi d^2 / 4 + pi d h) x 5 mm for 4 in tall, and pi d^2 / 4 x 6 mm for one filling, by hand.
@pytest.mark.parametrize(
    ("size", "coat", "filling"),
    [
        (4, 203, 49),
        (6, 334, 109),
        (8, 486, 195),
        (9, 570, 246),
        (10, 659, 304),
        (12, 851, 438),
        (14, 1064, 596),
        (16, 1297, 778),
    ],
)
def test_coat_and_filling_of_a_round(size: int, coat: int, filling: int) -> None:
    covered = covering.surface(Shape.ROUND, size * MM_PER_INCH, None, HEIGHT_MM)
    assert covering.coat_ml(covered.top_mm2, covered.side_mm2, 5) == pytest.approx(coat, abs=0.6)
    assert covering.filling_ml(covered.top_mm2, 2, 6) == pytest.approx(filling, abs=0.6)


# Cups of icing a 4-in tier of two layers, filled and iced: the newer US chart. Our crumb coat,
# final coat and one filling stay within a third of it.
@pytest.mark.parametrize(
    ("size", "cups"), [(4, 1.5), (6, 2.5), (8, 3.5), (10, 5), (12, 6), (14, 8.5), (16, 9.5)]
)
def test_icing_of_a_round_is_near_the_chart(size: int, cups: float) -> None:
    covered = covering.surface(Shape.ROUND, size * MM_PER_INCH, None, HEIGHT_MM)
    icing = covering.crumb_coat_ml(covered) + covering.final_coat_ml(covered)
    icing += covering.filling_ml(covered.top_mm2, 2)
    assert icing == pytest.approx(cups * covering.ML_PER_US_CUP, rel=0.34)


@pytest.mark.parametrize(("layers", "fillings"), [(0, 0), (1, 0), (2, 1), (4, 3)])
def test_filling_goes_between_layers(layers: int, fillings: int) -> None:
    assert covering.filling_ml(10_000, layers, 5) == fillings * 50


def test_carried_tier_hides_the_top_under_it() -> None:
    carried = area_mm2(Shape.ROUND, 200)
    bare = covering.surface(Shape.ROUND, 250, None, 100)
    shown = covering.surface(Shape.ROUND, 250, None, 100, carried_mm2=carried)
    assert shown.top_mm2 == pytest.approx(math.pi / 4 * (250**2 - 200**2))
    assert shown.side_mm2 == bare.side_mm2 == pytest.approx(math.pi * 250 * 100)
    assert shown.total_mm2 == pytest.approx(bare.total_mm2 - carried)


def test_top_that_is_hidden_whole_is_not_below_zero() -> None:
    carried = area_mm2(Shape.SQUARE, 250)
    assert covering.surface(Shape.ROUND, 250, None, 100, carried_mm2=carried).top_mm2 == 0


# A disc of diameter + 2 x height, 4 mm, 1.4 g/cm3 (density from memory), worked out by hand.
@pytest.mark.parametrize(
    ("size", "grams"), [(4, 409), (6, 556), (8, 726), (10, 919), (12, 1135), (14, 1373), (16, 1634)]
)
def test_fondant_of_a_round_before_the_trim(size: int, grams: int) -> None:
    sheet = covering.fondant_sheet(Shape.ROUND, size * MM_PER_INCH, None, HEIGHT_MM, trim_mm=0)
    assert sheet.grams == pytest.approx(grams, abs=1)


def test_fondant_is_rolled_out_half_an_inch_wider() -> None:
    sheet = covering.fondant_sheet(Shape.ROUND, 8 * MM_PER_INCH, None, HEIGHT_MM)
    assert sheet.size_mm == pytest.approx(16.5 * MM_PER_INCH)
    assert (sheet.shape, sheet.width_mm) == (Shape.ROUND, None)


def test_fondant_of_a_straight_sided_tier_is_straight_sided() -> None:
    sheet = covering.fondant_sheet(Shape.RECTANGLE, 300, 200, 100, trim_mm=10)
    assert (sheet.shape, sheet.size_mm, sheet.width_mm) == (Shape.RECTANGLE, 510, 410)
    assert sheet.grams == pytest.approx(510 * 410 * 4 / 1000 * 1.4)


def test_fondant_of_a_heart_is_the_disc_round_it() -> None:
    # By hand, in sides of its square: the circle through the point that touches both lobes is
    # 1.7836 across, the heart 1.7071.
    sheet = covering.fondant_sheet(Shape.HEART, 250, None, 0, trim_mm=0)
    assert sheet.shape is Shape.ROUND
    assert sheet.size_mm == pytest.approx(250 * 1.7836 / 1.7071, rel=1e-4)


# Friberg, The Advanced Professional Pastry Chef (2003), cake pan capacities by volume, pans 2 in deep.
# He allows for expansion, so none holds more than its geometry by more than a fiftieth.
@pytest.mark.parametrize(
    ("shape", "size", "ml"),
    [
        (Shape.ROUND, 5, 600),
        (Shape.ROUND, 6, 840),
        (Shape.ROUND, 7, 1200),
        (Shape.ROUND, 8, 1620),
        (Shape.ROUND, 9, 2040),
        (Shape.ROUND, 10, 2160),
        (Shape.ROUND, 12, 3120),
        (Shape.ROUND, 14, 4800),
        (Shape.ROUND, 16, 6720),
        (Shape.SQUARE, 8, 1680),
        (Shape.SQUARE, 10, 2640),
        (Shape.SQUARE, 12, 3480),
        (Shape.SQUARE, 14, 5400),
    ],
)
def test_pan_holds_about_what_a_pastry_chef_prints(shape: Shape, size: int, ml: int) -> None:
    whole = covering.volume_mm3(shape, size * MM_PER_INCH, None, 2 * MM_PER_INCH) / 1000
    least = 0.83 if shape is Shape.ROUND else 0.73
    assert least <= ml / whole <= 1.02


def test_cup_is_that_of_the_kitchen_table_of_nist() -> None:
    # NIST SP 430, Household Weights and Measures: a cupful is 237 ml.
    assert round(covering.ML_PER_US_CUP) == 237
    # Exactly half a liquid pint of a gallon of 231 cubic inches.
    gallon = 231 * MM_PER_INCH**3 / 1000
    assert pytest.approx(gallon / 16, abs=5e-4) == covering.ML_PER_US_CUP


def test_cake_by_the_inch_weighs_what_it_does_by_the_cup() -> None:
    # FNDDS portions of one food: 6.8 and 5.0 g a cubic inch, 100 and 75 g a cup.
    iced, plain = (
        density * covering.ML_PER_US_CUP
        for density in (covering.ICED_CAKE_G_PER_ML, covering.PLAIN_CAKE_G_PER_ML)
    )
    assert iced == pytest.approx(100, rel=0.02)
    assert plain == pytest.approx(75, rel=0.04)


def test_party_slice_is_the_reference_amount_of_iced_cake() -> None:
    # 21 CFR 101.12(b): 80 g; 1.5 x 2 x 4 in at FNDDS's 6.8 g a cubic inch.
    party = SliceSize("party", "Party", 1.5 * MM_PER_INCH, 2 * MM_PER_INCH)
    amount = covering.reference_amount_g(BakeryClass.LEAVENED, iced=True)
    assert covering.slice_mass_g(party, HEIGHT_MM) == pytest.approx(amount, rel=0.025)
