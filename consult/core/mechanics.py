"""When does a support give way, and when does a stack tip? Columns, centre of mass, lean and braking.

Units: newtons, millimetres, megapascals (newtons on a square millimetre) and grams.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

GRAVITY = 9.80665  # m/s2, standard gravity (3rd General Conference on Weights and Measures, 1901)
MPA_PER_PSI = 0.006894757293  # pound-force 4.4482216152605 N on a square inch of 645.16 mm2

# What a load on the road is secured against forwards, as a share of gravity: EN 12195-1, as the German
# insurers' cargo service quotes it. A car may stop harder.
HARD_STOP_G = 0.8


class Ends(Enum):
    """How a column's ends are held; the value is its effective length as a share of its length.

    Gere, Mechanics of Materials, 7th edition, figure of the four basic cases.
    """

    PINNED = 1.0
    ONE_FREE = 2.0
    ONE_FIXED_ONE_PINNED = 0.699
    FIXED = 0.5


@dataclass(frozen=True, slots=True)
class Material:
    """What a support is made of: stiffness and crushing strength along it, in megapascals."""

    name: str
    modulus_mpa: float
    crushing_mpa: float
    source: str


_WOOD = "USDA Forest Products Laboratory, Wood Handbook, GTR-190, Table 5-3, 12 % moisture"

YELLOW_BIRCH = Material("yellow birch", 2.01e6 * MPA_PER_PSI, 8170 * MPA_PER_PSI, _WOOD)
PAPER_BIRCH = Material("paper birch", 1.59e6 * MPA_PER_PSI, 5690 * MPA_PER_PSI, _WOOD)
AMERICAN_BEECH = Material("American beech", 1.72e6 * MPA_PER_PSI, 7300 * MPA_PER_PSI, _WOOD)
# The lower end of the range for the unfilled homopolymer: 165 000 to 225 000 psi tensile modulus,
# 5 500 to 8 000 psi compressive strength.
POLYPROPYLENE = Material(
    "polypropylene", 165e3 * MPA_PER_PSI, 5500 * MPA_PER_PSI,
    "Modern Plastics Encyclopedia 99, polypropylene",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Section:
    """A support cut across. `denting_radius_mm` and `wall_mm` are 0 for a solid one."""

    area_mm2: float
    second_moment_mm4: float
    denting_radius_mm: float = 0.0
    wall_mm: float = 0.0


def _checked(*lengths: float) -> None:
    if not all(math.isfinite(one) and one > 0 for one in lengths):
        raise ValueError(f"Measures must be above zero: {lengths}")


def rod(diameter_mm: float) -> Section:
    """A solid round rod. Raises ValueError for a diameter that is not above zero."""
    _checked(diameter_mm)
    return Section(math.pi * diameter_mm**2 / 4, math.pi * diameter_mm**4 / 64)


def tube(diameter_mm: float, wall_mm: float) -> Section:
    """A round tube by its outer diameter; a wall of the whole radius or more is a solid rod."""
    _checked(diameter_mm, wall_mm)
    hole = diameter_mm - 2 * wall_mm
    if hole <= 0:
        return rod(diameter_mm)
    return Section(
        math.pi * (diameter_mm**2 - hole**2) / 4,
        math.pi * (diameter_mm**4 - hole**4) / 64,
        (diameter_mm + hole) / 4,
        wall_mm,
    )


def buckling_n(
    modulus_mpa: float, second_moment_mm4: float, length_mm: float, ends: Ends = Ends.PINNED
) -> float:
    """The load at which a straight column bows out: Euler, pi2 E I / (K L)2."""
    _checked(modulus_mpa, second_moment_mm4, length_mm)
    return math.pi**2 * modulus_mpa * second_moment_mm4 / (ends.value * length_mm) ** 2


def crushing_n(crushing_mpa: float, area_mm2: float) -> float:
    """The load at which a short column is crushed: strength by area."""
    _checked(crushing_mpa, area_mm2)
    return crushing_mpa * area_mm2


def denting_n(modulus_mpa: float, section: Section) -> float:
    """The load at which a tube's wall dents; without limit for a solid rod.

    Thin cylinder under axial load, 0.605 E t / r with the lower-bound factor of NASA SP-8007,
    1 - 0.901 (1 - exp(-sqrt(r/t) / 16)), both from memory. Dents and cuts lower it further.
    """
    if not section.wall_mm:
        return math.inf
    slender = section.denting_radius_mm / section.wall_mm
    lowered = 1 - 0.901 * (1 - math.exp(-math.sqrt(slender) / 16))
    return 0.605 * lowered * modulus_mpa / slender * section.area_mm2


@dataclass(frozen=True, slots=True)
class Capacity:
    """What one support may carry: the lowest of three limits, divided by the safety factor."""

    buckling_n: float
    crushing_n: float
    denting_n: float
    safety: float

    @property
    def limit_n(self) -> float:
        """The load at which it would give way."""
        return min(self.buckling_n, self.crushing_n, self.denting_n)

    @property
    def allowed_n(self) -> float:
        return self.limit_n / self.safety

    @property
    def gives_way_by(self) -> str:
        """Which of the three comes first: "buckling", "crushing" or "denting"."""
        limits = {
            "buckling": self.buckling_n, "crushing": self.crushing_n, "denting": self.denting_n,
        }  # fmt: skip
        return min(limits, key=lambda name: limits[name])


def capacity(
    material: Material, section: Section, length_mm: float, safety: float,
    ends: Ends = Ends.PINNED,
) -> Capacity:  # fmt: skip
    """What a support of that length may carry. Pinned ends: the cake round it is no help to count on."""
    _checked(safety)
    return Capacity(
        buckling_n(material.modulus_mpa, section.second_moment_mm4, length_mm, ends),
        crushing_n(material.crushing_mpa, section.area_mm2),
        denting_n(material.modulus_mpa, section),
        safety,
    )


def weight_n(grams: float) -> float:
    """What a mass weighs, in newtons."""
    return grams / 1000 * GRAVITY


def load_each_n(grams_above: float, supports: int, uneven: float = 1.0) -> float:
    """The load on the support that gets most: `uneven` times its even share."""
    if supports < 1:
        raise ValueError("There is no support.")
    return weight_n(grams_above) * uneven / supports


@dataclass(frozen=True, slots=True)
class Mass:
    """A part of a stack: its mass and the height of its own centre."""

    grams: float
    height_mm: float


def total_grams(parts: Sequence[Mass]) -> float:
    return sum(part.grams for part in parts)


def centre_height_mm(parts: Sequence[Mass]) -> float:
    """The height of the centre of mass of all parts, sum(m z) / sum(m); 0 for nothing."""
    whole = total_grams(parts)
    return sum(part.grams * part.height_mm for part in parts) / whole if whole else 0.0


def tip_angle_deg(centre_mm: float, to_edge_mm: float) -> float:
    """The lean at which it tips: tan(angle) = distance to the edge it tips over / height of centre."""
    return math.degrees(math.atan2(max(to_edge_mm, 0.0), centre_mm)) if centre_mm > 0 else 90.0


def tips_at_g(centre_mm: float, to_edge_mm: float) -> float:
    """The braking, as a share of gravity, at which it tips on a level floor if it does not slide."""
    return max(to_edge_mm, 0.0) / centre_mm if centre_mm > 0 else math.inf


class Gives(Enum):
    """What happens first when a floor leans or a van brakes."""

    SLIDES = "slides"
    TIPS = "tips"


def gives_first(centre_mm: float, to_edge_mm: float, friction: float) -> Gives:
    """It slides where the friction is below the share of gravity at which it tips, else it tips."""
    return Gives.SLIDES if friction < tips_at_g(centre_mm, to_edge_mm) else Gives.TIPS
