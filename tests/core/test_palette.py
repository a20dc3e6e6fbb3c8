"""Are the colours of a picture found, told apart and named as the eye would?"""

import warnings

import numpy as np
import pytest

from consult.core.colour_names import COLOUR_NAMES
from consult.core.palette import (
    SAME_COLOUR,
    colour_difference,
    lab_of,
    name_of,
    names_of,
    palette,
    rgb_of,
)

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it warns of plotting packages that we do not need
    import colour

# Sharma, Wu, Dalal, "The CIEDE2000 color-difference formula: implementation notes, supplementary
# test data, and mathematical observations", Color Research & Application 30(1), 2005, table 1.
# Pair 14 is left out: its hues are 180 degrees apart and rounding decides (4.8045 or 4.7461).
SHARMA_PAIRS = """
 1 50 2.6772 -79.7751 50 0 -82.7485 2.0425
 2 50 3.1571 -77.2803 50 0 -82.7485 2.8615
 3 50 2.8361 -74.0200 50 0 -82.7485 3.4412
 4 50 -1.3802 -84.2814 50 0 -82.7485 1.0000
 5 50 -1.1848 -84.8006 50 0 -82.7485 1.0000
 6 50 -0.9009 -85.5211 50 0 -82.7485 1.0000
 7 50 0 0 50 -1 2 2.3669
 8 50 -1 2 50 0 0 2.3669
 9 50 2.4900 -0.0010 50 -2.4900 0.0009 7.1792
10 50 2.4900 -0.0010 50 -2.4900 0.0010 7.1792
11 50 2.4900 -0.0010 50 -2.4900 0.0011 7.2195
12 50 2.4900 -0.0010 50 -2.4900 0.0012 7.2195
13 50 -0.0010 2.4900 50 0.0009 -2.4900 4.8045
15 50 -0.0010 2.4900 50 0.0011 -2.4900 4.7461
16 50 2.5 0 50 0 -2.5 4.3065
17 50 2.5 0 73 25 -18 27.1492
18 50 2.5 0 61 -5 29 22.8977
19 50 2.5 0 56 -27 -3 31.9030
20 50 2.5 0 58 24 15 19.4535
21 50 2.5 0 50 3.1736 0.5854 1.0000
22 50 2.5 0 50 3.2972 0 1.0000
23 50 2.5 0 50 1.8634 0.5757 1.0000
24 50 2.5 0 50 3.2592 0.3350 1.0000
25 60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
26 63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
27 61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
28 35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
29 22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
30 36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
31 90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
32 90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
33 6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
34 2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""
PAIRS = [line.split() for line in SHARMA_PAIRS.strip().splitlines()]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"pair {pair[0]}")
def test_colour_difference_of_the_published_pairs(pair: list[str]) -> None:
    numbers = [float(word) for word in pair[1:]]
    first, second = np.array(numbers[0:3]), np.array(numbers[3:6])
    assert float(colour_difference(first, second)) == pytest.approx(numbers[6], abs=1e-4)
    assert float(colour_difference(second, first)) == pytest.approx(numbers[6], abs=1e-4)


def test_all_published_pairs_at_once_give_the_same_as_one_by_one() -> None:
    numbers = np.array([[float(word) for word in pair[1:]] for pair in PAIRS])
    assert len(numbers) == 33
    assert colour_difference(numbers[:, 0:3], numbers[:, 3:6]) == pytest.approx(
        numbers[:, 6], abs=1e-4
    )


def test_colour_difference_is_that_of_the_reference_library_on_random_pairs() -> None:
    # colour-science 0.4.7, delta_E_CIE2000
    chance = np.random.default_rng(7)
    first = chance.uniform((0, -100, -100), (100, 100, 100), (2000, 3))
    second = first + chance.normal(0, 20, (2000, 3))
    assert colour_difference(first, second) == pytest.approx(
        colour.delta_E(first, second, method="CIE 2000"), abs=1e-6
    )
    assert colour_difference(first, second, lightness_factor=2) == pytest.approx(
        colour.delta_E(first, second, method="CIE 2000", textiles=True), abs=1e-6
    )


# Computed with colour-science 0.4.7, CIE 1931 2 degrees, D65, white from xy 0.3127 0.3290. Our
# white is the sum of the matrix's rows, so greys are neutral; hence the tolerance.
LAB_VALUES = [
    ("#FFFFFF", (100.000, 0.008, 0.004)),
    ("#808080", (53.585, 0.005, 0.002)),
    ("#FF0000", (53.233, 80.111, 67.224)),
    ("#00FF00", (87.737, -86.183, 83.188)),
    ("#0000FF", (32.303, 79.198, -107.850)),
    ("#F8E8D4", (92.761, 2.208, 11.683)),
    ("#C9A227", (68.318, 2.871, 63.901)),
    ("#B5838D", (59.870, 20.738, 2.267)),
]


@pytest.mark.parametrize(("hex_colour", "lab"), LAB_VALUES)
def test_lab_values_of_known_colours(hex_colour: str, lab: tuple[float, float, float]) -> None:
    assert lab_of(np.array(rgb_of(hex_colour))) == pytest.approx(lab, abs=0.025)


def test_lab_is_that_of_the_reference_library_on_random_colours() -> None:
    rgb = np.random.default_rng(11).integers(0, 256, (500, 3), dtype=np.uint8)
    reference = colour.XYZ_to_Lab(
        colour.sRGB_to_XYZ(rgb / 255), colour.CCS_ILLUMINANTS["cie_2_1931"]["D65"]
    )
    assert lab_of(rgb) == pytest.approx(reference, abs=0.05)


@pytest.mark.parametrize("wrong", ["", "#fff", "#gggggg", "red", "#12345", "#1234567", "#+12345"])
def test_colour_that_is_not_rrggbb_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        rgb_of(wrong)


@pytest.mark.parametrize("name", COLOUR_NAMES)
def test_each_named_colour_is_called_by_its_name(name: str) -> None:
    assert name_of(COLOUR_NAMES[name]) == name


def test_names_are_plain_words_and_apart_to_the_eye() -> None:
    assert all(name == name.lower() and name.replace(" ", "").isalpha() for name in COLOUR_NAMES)
    labs = lab_of(np.array([rgb_of(one) for one in COLOUR_NAMES.values()]))
    apart = colour_difference(labs[:, None, :], labs[None, :, :])
    np.fill_diagonal(apart, np.inf)
    assert len(COLOUR_NAMES) >= 80
    assert apart.min() > 4


@pytest.mark.parametrize(
    ("hex_colour", "name"),
    [
        ("#f7f0e4", "warm white"),
        ("#d0d8c4", "pale sage"),
        ("#bc6248", "terracotta"),
        ("#4b2b41", "fig"),
        ("#617559", "rosemary"),
        ("#010203", "black"),
    ],
)
def test_near_colours_get_the_word_one_would_say(hex_colour: str, name: str) -> None:
    assert name_of(hex_colour) == name


def test_two_shades_of_one_name_get_two_names_and_the_better_fit_keeps_it() -> None:
    names = names_of(("#bd6850", "#bb6247"))
    assert names[1] == "terracotta"
    assert names[0] != "terracotta"
    assert names_of(()) == ()


def picture(*patches: tuple[str, int], noise: float = 0.0, light: float = 0.0) -> np.ndarray:
    """Pixels of each colour as often as said, lit from bright to dim, with grain."""
    chance = np.random.default_rng(3)
    rows = []
    for hex_colour, count in patches:
        lit = np.linspace(1, 1 - light, count)[:, None]
        rows.append(np.array(rgb_of(hex_colour)) * lit + chance.normal(0, noise, (count, 3)))
    return np.clip(np.round(np.concatenate(rows)), 0, 255).astype(np.uint8)


def nearest_swatch(swatches: tuple, hex_colour: str) -> float:
    labs = lab_of(np.array([rgb_of(swatch.hex) for swatch in swatches]))
    return float(colour_difference(labs, lab_of(np.array(rgb_of(hex_colour)))).min())


def test_plain_colours_come_back_exactly_with_their_shares() -> None:
    swatches = palette(picture(("#f8f1e6", 6000), ("#a5b496", 3000), ("#bb6247", 1000)))
    assert [(swatch.name, swatch.hex, swatch.share) for swatch in swatches] == [
        ("warm white", "#f8f1e6", 0.6),
        ("sage", "#a5b496", 0.3),
        ("terracotta", "#bb6247", 0.1),
    ]


ACCENTS = [("#b9234f", 320), ("#c9a227", 240), ("#4a2a40", 160)]  # 2, 1.5 and 1 %


def test_accents_of_one_to_three_hundredths_are_kept_in_a_lit_and_noisy_picture() -> None:
    pixels = picture(
        ("#f8f1e6", 9000), ("#ced7c2", 4500), ("#eec6bf", 1780), *ACCENTS, noise=4, light=0.12
    )
    assert len(pixels) == 16000
    swatches = palette(pixels)
    assert len(swatches) == 6
    for hex_colour, _ in [("#f8f1e6", 0), ("#ced7c2", 0), ("#eec6bf", 0), *ACCENTS]:
        assert nearest_swatch(swatches, hex_colour) < 6, hex_colour


def test_accent_is_kept_before_another_shade_of_the_background() -> None:
    shades = [("#f8f1e6", 7000), ("#d0c6b7", 3500), ("#a89e90", 2000), ("#80776a", 1500)]
    pixels = picture(*shades, ("#5a5248", 1000), *ACCENTS)
    assert len(palette(pixels, most=10)) == 8
    swatches = palette(pixels, most=6)
    assert len(swatches) == 6
    # by area alone there would be one accent
    assert sum(nearest_swatch(swatches, hex_colour) < 1 for hex_colour, _ in ACCENTS) >= 2


def test_light_and_shade_on_one_colour_are_one_swatch() -> None:
    assert len(palette(picture(("#a5b496", 10000), noise=2, light=0.1))) == 1


def test_swatches_are_apart_in_colour_and_in_name() -> None:
    pixels = np.random.default_rng(5).integers(0, 256, (16384, 3), dtype=np.uint8)
    swatches = palette(pixels, most=10)
    labs = lab_of(np.array([rgb_of(swatch.hex) for swatch in swatches]))
    apart = colour_difference(labs[:, None, :], labs[None, :, :])
    np.fill_diagonal(apart, np.inf)
    assert len(swatches) > 4
    # the groups' means are SAME_COLOUR apart; the pixels that stand for them lie close to those
    assert apart.min() > SAME_COLOUR - 2
    assert len({swatch.name for swatch in swatches}) == len(swatches)
    assert [swatch.share for swatch in swatches] == sorted(
        (swatch.share for swatch in swatches), reverse=True
    )


def test_every_swatch_is_a_colour_of_the_picture() -> None:
    pixels = picture(("#f8f1e6", 900), ("#126e74", 500), noise=6)
    there = {"#{:02x}{:02x}{:02x}".format(*pixel) for pixel in pixels}
    swatches = palette(pixels)
    assert swatches
    assert {swatch.hex for swatch in swatches} <= there


def test_order_of_the_pixels_does_not_matter() -> None:
    pixels = picture(("#f8f1e6", 5000), ("#b9234f", 200), ("#26492f", 900), noise=5, light=0.2)
    shuffled = np.random.default_rng(1).permutation(pixels)
    assert palette(shuffled) == palette(pixels)


def test_one_colour_and_no_pixels() -> None:
    assert [swatch.share for swatch in palette(picture(("#000000", 1)))] == [1.0]
    assert palette(np.zeros((0, 3), dtype=np.uint8)) == ()


def test_pattern_of_a_large_picture_does_not_sway_the_shares() -> None:
    pixels = np.tile(picture(("#f8f1e6", 3), ("#126e74", 1)), (60_000, 1))
    assert [(swatch.hex, swatch.share) for swatch in palette(pixels)] == [
        ("#f8f1e6", 0.75),
        ("#126e74", 0.25),
    ]


@pytest.mark.parametrize("shape", [(4, 4), (4, 2), (2, 2, 3)])
def test_pixels_of_another_shape_are_refused(shape: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="n x 3"):
        palette(np.zeros(shape, dtype=np.uint8))
