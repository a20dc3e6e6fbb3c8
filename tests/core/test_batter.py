"""Do layers, batter and syrup agree with the textbooks' tables and the published densities?"""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as some

from consult.core import covering
from consult.core.batter import (
    KINDS,
    CakeKind,
    baking_of,
    batter_for_baked,
    brix,
    cake_of,
    kind_of,
    layer_batter_g,
    layers_in,
    soak_ml,
    syrup_g_per_ml,
    textbook_layer_mm,
)
from consult.core.quantities import quantities_of
from consult.core.shapes import area_mm2
from consult.core.weights import weight_of
from shop.core.catalogue import Pan, Shape
from shop.core.measures import MM_PER_INCH, Units
from tests.makers import INCH, make_book, make_brief, make_tier

HIGH_FAT, FOAM, DENSE = KINDS["high-fat"], KINDS["foam"], KINDS["dense"]


def textbook_batter(kind, size_in, shape=Shape.ROUND, width_in=None):
    """Batter for one layer as tall as Gisslen's."""
    width = None if width_in is None else width_in * INCH
    tall = textbook_layer_mm(kind, size_in * INCH, sheet=shape is Shape.RECTANGLE)
    return layer_batter_g(kind, area_mm2(shape, size_in * INCH, width), tall)


# Gisslen, Professional Cooking, Table 32.1, high-fat cakes.
@pytest.mark.parametrize(
    ("size", "least", "most"), [(6, 230, 285), (8, 400, 510), (10, 680, 800), (12, 900, 1100)]
)
def test_high_fat_batter_of_a_round_is_in_the_textbooks_range(size, least, most):
    assert least <= textbook_batter(HIGH_FAT, size) <= most


# The same table, foam cakes: a range at 6 in, single weights from 8 in on.
@pytest.mark.parametrize(
    ("size", "least", "most"), [(6, 140, 170), (8, 280, 280), (10, 450, 450), (12, 700, 700)]
)
def test_foam_batter_of_a_round_is_within_a_twentieth_of_the_textbook(size, least, most):
    assert least * 0.95 <= textbook_batter(FOAM, size) <= most * 1.05


# The same table, 18 x 13 in half and 18 x 26 in full sheet pans, high-fat.
@pytest.mark.parametrize(("long", "least", "most"), [(13, 1600, 1800), (26, 3200, 3600)])
def test_high_fat_batter_of_a_sheet_is_in_the_textbooks_range(long, least, most):
    size, width = max(long, 18), min(long, 18)
    assert least <= textbook_batter(HIGH_FAT, size, Shape.RECTANGLE, width) <= most


# The same table, 9 x 9 in square: 680 g. Ours is within a tenth.
def test_high_fat_batter_of_a_9_in_square():
    assert textbook_batter(HIGH_FAT, 9, Shape.SQUARE) == pytest.approx(680, rel=0.10)


def test_a_baked_pair_of_8_in_layers_took_455_g_each():
    # USDA SR 18146: 817 g without icing; 10.3 % bakes off. It lies inside Gisslen's 400 to 510 g.
    assert batter_for_baked(817 / 2) == pytest.approx(455, abs=1)


def test_the_layer_of_such_a_cake_is_as_tall_as_the_textbooks():
    # USDA SR 18146 again, 408.5 g in an 8-in round at FNDDS's 5 g a cubic inch: 41.3 mm.
    tall = 408.5 / covering.PLAIN_CAKE_G_PER_ML * 1000 / area_mm2(Shape.ROUND, 8 * INCH)
    assert tall == pytest.approx(textbook_layer_mm(HIGH_FAT, 8 * INCH), abs=1)


# USDA SR 18139 and 18101: two-layer 8- or 9-in white and chocolate cakes without icing, 887 and
# 1137 g. At 8.5 in between, layers of 42 mm weigh that to a sixth.
def test_whole_cakes_of_the_survey_weigh_what_two_layers_do():
    two = 2 * textbook_batter(HIGH_FAT, 8.5) * (1 - 0.103)
    assert 887 * 0.95 <= two <= 1137 * 1.05


# American Society of Baking, specific gravity: layer 0.70-0.80, sponge 0.50, cream and pound 0.80-0.90.
@pytest.mark.parametrize(
    ("kind", "least", "most"), [("high-fat", 0.70, 0.80), ("foam", 0.50, 0.50), ("dense", 0.8, 0.9)]
)
def test_batters_are_as_light_as_the_society_says(kind, least, most):
    assert least <= KINDS[kind].batter_g_per_ml <= most


# Two old US charts fill a 2-in pan by a half to two thirds; their cups are 43 to 62 % of it.
@pytest.mark.parametrize("size", [6, 8, 10, 12])
@pytest.mark.parametrize("kind", [HIGH_FAT, FOAM, DENSE])
def test_a_2_in_pan_is_filled_as_the_charts_fill_it(kind, size):
    pans = (Pan(Shape.ROUND, Decimal(size), Decimal(2), Units.INCHES, 2),)
    baking = baking_of(make_tier(size), kind, make_book(pans=pans))
    assert 0.43 <= baking.fill_share <= 2 / 3


# 11 to 12 oz of batter for a 6-in layer 2 in deep: a baker's own figure.
def test_a_6_in_layer_takes_what_a_baker_weighs():
    pans = (Pan(Shape.ROUND, Decimal(6), Decimal(2), Units.INCHES, 2),)
    assert 310 <= baking_of(make_tier(6), HIGH_FAT, make_book(pans=pans)).each_g <= 340


# 0.45 oz a square inch of a 2-in layer (a cake chart): generous; ours is below it, above Gisslen.
@pytest.mark.parametrize(("size", "ounces"), [(6, 361), (8, 641), (10, 1002), (12, 1443)])
def test_a_2_in_layer_lies_between_the_textbook_and_the_generous_rule(size, ounces):
    pans = (Pan(Shape.ROUND, Decimal(size), Decimal(2), Units.INCHES, 2),)
    each = baking_of(make_tier(size), HIGH_FAT, make_book(pans=pans)).each_g
    assert textbook_batter(HIGH_FAT, size) < each < ounces


@pytest.mark.parametrize(
    ("height", "depth", "baked", "split", "layers", "fillings"),
    [
        (4, 2, 2, False, 2, 1),  # the standard US tier: two 2-in layers
        (5, 2, 3, False, 3, 2),
        (6, 2, 3, False, 3, 2),
        (4, 3, 2, False, 2, 1),
        (3, 3, 1, True, 2, 1),  # one deep layer split in two
        (5, 3, 2, True, 4, 3),
        (2, 2, 1, True, 2, 1),
        (8, 2, 4, False, 4, 2),  # two levels: a board between, not a filling
    ],
)
def test_layers_follow_the_pans_depth(height, depth, baked, split, layers, fillings):
    found = layers_in(height * INCH, depth * INCH)
    assert (found.baked, found.split, found.layers, found.fillings) == (
        baked, split, layers, fillings)  # fmt: skip


@given(some.floats(20, 500), some.floats(25, 100))
def test_layers_and_fillings_make_the_height_and_each_fits_its_pan(height, depth):
    found = layers_in(height, depth)
    assert found.layer_mm <= depth + 0.01
    filled = found.fillings * covering.FILLING_MM
    cake = found.baked * found.layer_mm
    assert cake >= height / 2 - 1e-6
    if cake > height / 2 + 1e-6:
        assert cake + filled == pytest.approx(height)


@given(
    some.floats(100, 500), some.floats(1, 3), some.floats(10, 100), some.sampled_from(list(KINDS))
)
def test_batter_scales_with_volume(size, times, tall, kind):
    one = layer_batter_g(KINDS[kind], area_mm2(Shape.ROUND, size), tall)
    wider = layer_batter_g(KINDS[kind], area_mm2(Shape.ROUND, size * times), tall)
    taller = layer_batter_g(KINDS[kind], area_mm2(Shape.ROUND, size), tall * times)
    assert wider == pytest.approx(one * times**2)
    assert taller == pytest.approx(one * times)


def test_a_kind_of_ones_own_goes_by_its_density():
    # 21 CFR's heavy weight class: a cheesecake, 180 g a cup (FNDDS).
    cheesecake = CakeKind("cheesecake", covering.CHEESECAKE_G_PER_ML, 1.05)
    area = area_mm2(Shape.ROUND, 9 * INCH)
    assert layer_batter_g(cheesecake, area, 50) / layer_batter_g(DENSE, area, 50) == pytest.approx(
        1.5
    )


def test_a_kind_nobody_knows_counts_as_high_fat():
    assert kind_of("pudding") is HIGH_FAT


def test_a_heating_core_stands_in_pans_of_10_in_and_more_but_never_in_a_foam():
    cores = [baking_of(make_tier(size), HIGH_FAT, make_book()).cores for size in (8, 9, 10, 14)]
    assert cores == [0, 0, 1, 1]
    assert baking_of(make_tier(12), FOAM, make_book()).cores == 0


def test_oven_and_time_are_the_textbooks():
    # Gisslen, Table 32.1: 8 in 190 C, 25 min; 12 in 180 C, 35 min; foam 12 in 25 to 30 min.
    said = [baking_of(make_tier(size), HIGH_FAT, make_book()).bake for size in (8, 12)]
    assert [one.celsius for one in said] == [190, 180]
    assert said[0].says.startswith("375 °F (190 °C), look after 25 min")
    assert "35 min" in said[1].says
    assert "25 to 30 min" in baking_of(make_tier(12), FOAM, make_book()).bake.says


def test_a_pan_that_is_not_owned_is_taken_as_2_in_deep_and_said():
    baking = baking_of(make_tier(13), HIGH_FAT, make_book())
    assert (baking.pan, baking.depth_mm) == (None, 2 * MM_PER_INCH)
    assert baking.pan_name == "13 in round, 2 in deep (not owned)"


def test_a_tier_without_height_is_refused():
    with pytest.raises(ValueError, match="height"):
        layers_in(0, 50)


# --- syrup ---


# Beranbaum, Rose's Heavenly Cakes (2009): two tablespoons on a 9-in layer; 12 in by area.
@pytest.mark.parametrize(
    ("size", "ml"), [(6, 13), (8, 23), (9, 29.6), (10, 37), (12, 52.6), (14, 72)]
)
def test_a_light_soak_of_one_layer(size, ml):
    found = soak_ml(area_mm2(Shape.ROUND, size * INCH), 1)
    assert found == pytest.approx(ml, rel=0.03 if ml == round(ml) else 0.01)


def test_syrup_of_equal_weights_is_half_sugar():
    # CRC Handbook, sucrose solutions at 20 C: 50 % weighs 1.2296 g a ml, so 1 kg is 813 ml.
    assert brix(500, 500) == 50
    assert syrup_g_per_ml(50) == pytest.approx(1.2296, rel=1e-3)
    assert 1000 / syrup_g_per_ml(50) == pytest.approx(813.3, rel=1e-3)


def test_syrup_of_equal_cups_is_not():
    # USDA SR cup weights: 200 g of sugar and 237 g of water.
    assert brix(200, 237) == pytest.approx(45.8, abs=0.1)


# The encyclopaedia's fit of Brix to the NBS table, by apparent specific gravity, to 40 per cent;
# water at 20 C weighs 0.9982 g a ml.
@pytest.mark.parametrize("per_cent", [10, 20, 30, 40])
def test_syrup_agrees_with_the_nbs_fit(per_cent):
    s = syrup_g_per_ml(per_cent) / 0.9982
    fitted = ((182.4601 * s - 775.6821) * s + 1262.7794) * s - 669.5622
    assert fitted == pytest.approx(per_cent, abs=0.1)


# Nicolaus Copernicus University, Torun, tables of the second physics laboratory: sucrose in water at
# 20 C, in steps of one per cent. These lie between the rows of ours.
@pytest.mark.parametrize(
    ("per_cent", "kg_per_m3"),
    [(5, 1017.84), (12, 1046.46), (15, 1059.16), (25, 1103.54), (33, 1141.45), (35, 1151.27)],
)
def test_syrup_between_the_rows_agrees_with_a_finer_table(per_cent, kg_per_m3):
    assert syrup_g_per_ml(per_cent) * 1000 == pytest.approx(kg_per_m3, rel=5e-4)


def test_plain_water_weighs_what_it_weighs_at_20_degrees():
    # The same table: 998.23 kg/m3.
    assert syrup_g_per_ml(0) == pytest.approx(0.99823, abs=1e-4)


def test_syrup_heavier_than_the_table_is_refused():
    with pytest.raises(ValueError, match="50"):
        syrup_g_per_ml(67)


def with_batter(grams):
    """The invented shop, its vanilla cake with a batter that was weighed."""
    book = make_book()
    flavours = [
        replace(one, batter_g_per_ml=Decimal(grams)) if one.code == "vanilla" else one
        for one in book.flavours
    ]
    return make_book(flavours=tuple(flavours))


# American Society of Baking: pound cake batters weigh 0.80 to 0.90 g a ml, layer cakes 0.70 to 0.80.
# A pan filled as high takes so much more of the heavier one, and the same share of it is full.
@pytest.mark.parametrize("grams", ["0.60", "0.75", "0.85", "0.95"])
def test_a_batter_that_was_weighed_goes_into_the_pans_by_its_own_weight(grams):
    brief = make_brief()
    usual, own = (quantities_of(brief, book) for book in (make_book(), with_batter(grams)))
    times = float(grams) / HIGH_FAT.batter_g_per_ml
    assert own.batter_g == pytest.approx(usual.batter_g * times)
    for tier, before in zip(own.tiers, usual.tiers, strict=True):
        assert tier.baking.fill_share == pytest.approx(before.baking.fill_share)
        assert f"{HIGH_FAT.baked_g_per_ml * times:.3f} g a ml baked" in tier.baking.why


def test_a_batter_nobody_weighed_is_that_of_its_kind():
    for flavour in make_book().flavours:
        assert cake_of(flavour) == kind_of(flavour.kind)


def test_a_heavier_batter_makes_a_heavier_tier_and_a_lighter_one_is_not_counted_on():
    tier = make_tier(10, flavour="vanilla")
    usual = weight_of(tier, make_book())
    assert weight_of(tier, with_batter("0.90")) > usual * 1.1
    assert weight_of(tier, with_batter("0.60")) == usual
