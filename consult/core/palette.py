"""Which colours are in this picture? A few named swatches, apart to the eye, small accents kept.

Colours are compared by CIEDE2000 (Sharma, Wu and Dalal, Color Research & Application 30(1), 2005)
in CIE Lab under D65. A swatch on a screen or on paper never promises the colour of the icing.
"""

import numpy as np
from numpy.typing import NDArray

from consult.core.colour_names import COLOUR_NAMES
from consult.core.design import Swatch

Floats = NDArray[np.float64]

# Groups that k-means makes before near ones are put together. Eight to ten found every accent of
# 1 to 3 % of the area on our lit and noisy trial pictures; six lost one.
GROUPS = 10
ROUNDS = 20

# Two colours nearer than this (CIEDE2000) are one swatch. About 1 is just noticeable side by side;
# light and shade on one cake gave 3 to 7 on our trial pictures. Our judgement, no source.
SAME_COLOUR = 8.0

# A colour on less of the picture than this is an edge or a speck. Below the 1 % of the smallest
# accent we promise, because an accent's rim blends with what is around it.
SMALLEST_SHARE = 0.006

# sRGB (IEC 61966-2-1) to XYZ under D65. The white is the sum of each row: greys come out neutral.
_RGB_TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
_WHITE = _RGB_TO_XYZ.sum(axis=1)


def lab_of(rgb: NDArray[np.uint8] | Floats) -> Floats:
    """CIE L*a*b* (D65) of sRGB values 0 to 255; the last axis holds the three channels."""
    coded = np.asarray(rgb, dtype=np.float64) / 255.0
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    ratio = (linear @ _RGB_TO_XYZ.T) / _WHITE
    bent = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = bent[..., 0], bent[..., 1], bent[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def rgb_of(hex_colour: str) -> tuple[int, int, int]:
    """The three channels, 0 to 255, of "#rrggbb". Raises ValueError for anything else."""
    digits = hex_colour.removeprefix("#")
    if len(digits) != 6 or not set(digits.lower()) <= set("0123456789abcdef"):
        raise ValueError(f"{hex_colour!r} is not a colour written as #rrggbb.")
    return int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16)


def colour_difference(first: Floats, second: Floats, lightness_factor: float = 1) -> Floats:
    """CIEDE2000 between Lab colours; the last axis is L, a, b, the others broadcast.

    `lightness_factor` is the formula's kL: 1, or 2 as for textiles, where lightness counts half.
    kC and kH are 1.
    """
    one, two = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    light_1, light_2 = one[..., 0], two[..., 0]
    chroma = (np.hypot(one[..., 1], one[..., 2]) + np.hypot(two[..., 1], two[..., 2])) / 2
    stretch = 1 + 0.5 * (1 - np.sqrt(chroma**7 / (chroma**7 + 25.0**7)))
    a_1, a_2 = one[..., 1] * stretch, two[..., 1] * stretch
    chroma_1, chroma_2 = np.hypot(a_1, one[..., 2]), np.hypot(a_2, two[..., 2])
    hue_1 = np.degrees(np.arctan2(one[..., 2], a_1)) % 360
    hue_2 = np.degrees(np.arctan2(two[..., 2], a_2)) % 360
    grey = chroma_1 * chroma_2 == 0

    turn = hue_2 - hue_1
    turn = np.where(turn > 180, turn - 360, np.where(turn < -180, turn + 360, turn))
    d_hue = 2 * np.sqrt(chroma_1 * chroma_2) * np.sin(np.radians(np.where(grey, 0, turn) / 2))
    d_light, d_chroma = light_2 - light_1, chroma_2 - chroma_1

    both = hue_1 + hue_2
    wrapped = np.where(both < 360, both + 360, both - 360)
    mean_hue = np.where(np.abs(hue_1 - hue_2) <= 180, both, wrapped) / 2
    mean_hue = np.where(grey, both, mean_hue)
    mean_light, mean_chroma = (light_1 + light_2) / 2, (chroma_1 + chroma_2) / 2

    weight = (
        1
        - 0.17 * np.cos(np.radians(mean_hue - 30))
        + 0.24 * np.cos(np.radians(2 * mean_hue))
        + 0.32 * np.cos(np.radians(3 * mean_hue + 6))
        - 0.20 * np.cos(np.radians(4 * mean_hue - 63))
    )
    bluish = 30 * np.exp(-(((mean_hue - 275) / 25) ** 2))
    rotation = -2 * np.sqrt(mean_chroma**7 / (mean_chroma**7 + 25.0**7))
    rotation = rotation * np.sin(np.radians(2 * bluish))
    off_mid = (mean_light - 50) ** 2
    light_part = d_light / (1 + 0.015 * off_mid / np.sqrt(20 + off_mid)) / lightness_factor
    chroma_part = d_chroma / (1 + 0.045 * mean_chroma)
    hue_part = d_hue / (1 + 0.015 * mean_chroma * weight)
    squared = light_part**2 + chroma_part**2 + hue_part**2 + rotation * chroma_part * hue_part
    return np.asarray(np.sqrt(np.maximum(squared, 0.0)))


_NAMES = tuple(COLOUR_NAMES)
_NAMES_LAB = lab_of(np.array([rgb_of(hex_colour) for hex_colour in COLOUR_NAMES.values()]))


def name_of(hex_colour: str) -> str:
    """The plain word nearest to "#rrggbb" by CIEDE2000."""
    lab = lab_of(np.array(rgb_of(hex_colour), dtype=np.float64))
    return _NAMES[int(colour_difference(_NAMES_LAB, lab).argmin())]


def names_of(hex_colours: tuple[str, ...]) -> tuple[str, ...]:
    """A name for each colour, no name twice: the best fits are given out first."""
    if not hex_colours:
        return ()
    labs = lab_of(np.array([rgb_of(one) for one in hex_colours], dtype=np.float64))
    apart = colour_difference(labs[:, None, :], _NAMES_LAB[None, :, :])
    given: dict[int, int] = {}
    for place in np.argsort(apart, axis=None, kind="stable"):
        colour, name = divmod(int(place), len(_NAMES))
        if colour not in given and name not in given.values():
            given[colour] = name
    if len(given) < len(hex_colours):
        raise ValueError(f"There are only {len(_NAMES)} names for {len(hex_colours)} colours.")
    return tuple(_NAMES[given[place]] for place in range(len(hex_colours)))


def _starting_centres(labs: Floats, counts: Floats) -> Floats:
    """Spread-out, well-filled places to start from: no chance in it, and no order of pixels.

    Lab is cut into boxes 10 wide; each next start is the box with the most of
    square root of its pixels x distance from the starts so far, so that a small far accent
    comes before a second shade of the background.
    """
    boxes, which = np.unique(np.floor(labs / 10.0), axis=0, return_inverse=True)
    which = which.reshape(-1)
    filled = np.bincount(which, weights=counts, minlength=len(boxes))
    means = np.stack(
        [np.bincount(which, weights=counts * labs[:, axis]) / filled for axis in range(3)], axis=1
    )
    chosen = [int(filled.argmax())]
    nearest = np.linalg.norm(means - means[chosen[0]], axis=1)
    while len(chosen) < min(GROUPS, len(boxes)):
        following = int((np.sqrt(filled) * nearest).argmax())
        chosen.append(following)
        nearest = np.minimum(nearest, np.linalg.norm(means - means[following], axis=1))
    return means[chosen]


def _grouped(labs: Floats, counts: Floats) -> NDArray[np.intp]:
    """The group of each colour, by k-means in Lab."""
    centres = _starting_centres(labs, counts)
    groups = np.zeros(len(labs), dtype=np.intp)
    for _ in range(ROUNDS):
        # |p - c|^2 without |p|^2, which is the same for every centre
        groups = ((centres**2).sum(axis=1) - 2 * labs @ centres.T).argmin(axis=1)
        filled = np.bincount(groups, weights=counts, minlength=len(centres))
        moved = centres.copy()
        for axis in range(3):
            sums = np.bincount(groups, weights=counts * labs[:, axis], minlength=len(centres))
            np.divide(sums, filled, out=moved[:, axis], where=filled > 0)
        settled = float(np.abs(moved - centres).max()) < 0.05
        centres = moved
        if settled:
            break
    return groups


def _centre(labs: Floats, counts: Floats, which: NDArray[np.bool_] | NDArray[np.intp]) -> Floats:
    return np.asarray(np.average(labs[which], axis=0, weights=counts[which]))


def _merged(groups: NDArray[np.intp], labs: Floats, counts: Floats) -> NDArray[np.intp]:
    """The groups with those put together that are one colour to the eye, nearest pair first."""
    groups = groups.copy()
    while True:
        present = np.unique(groups)
        centres = np.array(
            [
                np.average(labs[groups == one], axis=0, weights=counts[groups == one])
                for one in present
            ]
        )
        apart = colour_difference(centres[:, None, :], centres[None, :, :])
        np.fill_diagonal(apart, np.inf)
        first, second = divmod(int(apart.argmin()), len(present))
        if apart[first, second] >= SAME_COLOUR:
            return groups
        groups[groups == present[second]] = present[first]


def palette(pixels: NDArray[np.uint8], most: int = 6) -> tuple[Swatch, ...]:
    """The named colours of a picture, the largest first, at most `most`.

    `pixels` is n x 3 sRGB, 0 to 255, in any order; a thumbnail of 128 x 128 is plenty. Each swatch
    is a colour that is in the picture; `share` is its part of the pixels. When there are more
    colours than asked for, a small one far from the rest is kept before another shade. Nothing
    comes back for no pixels.
    """
    if pixels.ndim != 2 or pixels.shape[1] != 3 or most < 1:
        raise ValueError("A palette needs pixels of shape n x 3 and room for one swatch or more.")
    if len(pixels) == 0:
        return ()
    packed = pixels.astype(np.uint32) @ np.array([65_536, 256, 1], dtype=np.uint32)
    codes, found = np.unique(packed, return_counts=True)
    colours = np.stack([codes >> 16, codes >> 8 & 255, codes & 255], axis=1).astype(np.uint8)
    counts = found.astype(np.float64)
    labs = lab_of(colours)
    groups = _merged(_grouped(labs, counts), labs, counts)

    shares: list[float] = []
    members: list[int] = []
    for group in np.unique(groups):
        mine = np.flatnonzero(groups == group)
        share = float(counts[mine].sum() / counts.sum())
        if share < SMALLEST_SHARE:
            continue
        centre = _centre(labs, counts, mine)
        shares.append(share)
        members.append(int(mine[((labs[mine] - centre) ** 2).sum(axis=1).argmin()]))

    kept = _most_telling(np.array(shares), labs[members], most)
    kept.sort(key=lambda place: (-shares[place], members[place]))
    hexes = tuple("#{:02x}{:02x}{:02x}".format(*colours[members[place]]) for place in kept)
    return tuple(
        Swatch(name=name, hex=hex_colour, share=round(shares[place], 4))
        for name, hex_colour, place in zip(names_of(hexes), hexes, kept, strict=True)
    )


def _most_telling(shares: Floats, labs: Floats, most: int) -> list[int]:
    """Places of the colours to show: the largest, then whichever is large and far from the rest.

    Lightness counts half and area by its cube root, so that a small accent of another hue comes
    before one more step from light to shade. Our judgement, from trial pictures.
    """
    kept = [int(shares.argmax())]
    nearest = np.full(len(shares), np.inf)
    while len(kept) < min(most, len(shares)):
        nearest = np.minimum(nearest, colour_difference(labs, labs[kept[-1]], lightness_factor=2))
        kept.append(int((np.cbrt(shares) * nearest).argmax()))
    return kept
