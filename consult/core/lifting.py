"""How much may one person lift? The revised NIOSH lifting equation, for a boxed cake from bench to van to table.

NIOSH, Applications Manual for the Revised NIOSH Lifting Equation, publication 94-110 (revised
9/2021), Waters, Putz-Anderson and Garg. Figures are kept at full precision; the manual's own
examples round each multiplier to two places.
"""

import math
from dataclasses import dataclass
from enum import Enum

from shop.core.measures import number

# Heights of the hands, centimetres: common practice, no source.
BENCH_CM = 90.0
VAN_FLOOR_CM = 70.0
TABLE_CM = 75.0

# A container more than 40 cm long or 30 cm tall is not of optimal design (94-110, Table 6).
LONGEST_OPTIMAL_CM = 40.0
TALLEST_OPTIMAL_CM = 30.0

NOT_COVERED = (
    "The equation does not cover carrying more than a few steps, steps and stairs, one-handed lifts,"
    " two people lifting together, a load that shifts, or a hot or cold room. Law and rules of the"
    " place come first."
)


class Grip(Enum):
    """How well the hands hold the load (94-110, Table 7): multiplier below 75 cm, and from there up."""

    GOOD = (1.0, 1.0)
    FAIR = (0.95, 1.0)
    POOR = (0.90, 0.90)


@dataclass(frozen=True, slots=True)
class System:
    """The constants of one system of units: load constant, and lengths in centimetres or inches."""

    load_constant: float
    nearest: float
    furthest: float
    knuckles: float  # the best height of the hands
    vertical_slope: float
    highest: float
    distance_part: float
    least_distance: float
    greatest_distance: float


METRIC = System(23.0, 25.0, 63.0, 75.0, 0.003, 175.0, 4.5, 25.0, 175.0)
US = System(51.0, 10.0, 25.0, 30.0, 0.0075, 70.0, 1.8, 10.0, 70.0)
WIDEST_TURN_DEG = 135.0


@dataclass(frozen=True, slots=True)
class Multipliers:
    """What the load constant is multiplied with, each 0 to 1."""

    horizontal: float
    vertical: float
    distance: float
    turning: float
    frequency: float
    grip: float

    @property
    def product(self) -> float:
        return (
            self.horizontal * self.vertical * self.distance * self.turning * self.frequency
            * self.grip
        )  # fmt: skip

    def rounded(self) -> "Multipliers":
        """Each to two places, as the manual's worked examples are printed."""
        return Multipliers(
            round(self.horizontal, 2), round(self.vertical, 2), round(self.distance, 2),
            round(self.turning, 2), round(self.frequency, 2), round(self.grip, 2),
        )  # fmt: skip


def multipliers(
    horizontal: float, vertical: float, distance: float, *, turning_deg: float = 0.0,
    frequency: float = 1.0, grip: Grip = Grip.GOOD, system: System = METRIC,
) -> Multipliers:  # fmt: skip
    """The six multipliers of one place of a lift, lengths in the system's units.

    `horizontal`: hands before the ankles; `vertical`: hands above the floor; `distance`: how far up
    or down. `frequency` is the multiplier itself (94-110, Table 5: 1 for a lift each five minutes
    or fewer, for up to an hour). Beyond its limit a multiplier is 0.
    """
    forward = max(horizontal, system.nearest)
    travel = max(distance, system.least_distance)
    is_low = vertical < system.knuckles
    return Multipliers(
        horizontal=system.nearest / forward if forward <= system.furthest else 0.0,
        vertical=0.0
        if not 0 <= vertical <= system.highest
        else 1 - system.vertical_slope * abs(vertical - system.knuckles),
        distance=min(0.82 + system.distance_part / travel, 1.0)
        if travel <= system.greatest_distance
        else 0.0,
        turning=1 - 0.0032 * turning_deg if 0 <= turning_deg <= WIDEST_TURN_DEG else 0.0,
        frequency=frequency,
        grip=grip.value[0 if is_low else 1],
    )


def weight_limit(of: Multipliers, system: System = METRIC) -> float:
    """The recommended weight limit (RWL), in kilograms or pounds."""
    return system.load_constant * of.product


def lifting_index(load: float, limit: float) -> float:
    """Load by limit: above 1 the risk rises for some, above 3 for nearly all (94-110, p. 20)."""
    if load <= 0:
        return 0.0
    return load / limit if limit > 0 else math.inf


def reach_cm(deep_cm: float) -> float:
    """How far before the ankles the hands hold a box so deep: 20 + W/2 (94-110, p. 8, hands above 25 cm)."""
    return 20 + deep_cm / 2


class Zone(Enum):
    """Where the hands are, with the UK filter close to the body in kilograms, men and women.

    Health and Safety Executive, INDG143 and L23: a filter to tell easy lifts apart, no legal limit.
    """

    ABOVE_SHOULDER = ("above the shoulder", 10, 7)
    SHOULDER = ("at shoulder height", 20, 13)
    ELBOW = ("at elbow height", 25, 16)
    KNUCKLE = ("at knuckle height", 20, 13)
    LOWER_LEG = ("at the lower leg", 10, 7)

    @property
    def words(self) -> str:
        return self.value[0]

    @property
    def kilograms(self) -> tuple[int, int]:
        return self.value[1], self.value[2]


def zone_of(height_cm: float) -> Zone:
    """The zone for hands at that height; heights of a middling body, from memory."""
    tops = ((50, Zone.LOWER_LEG), (85, Zone.KNUCKLE), (115, Zone.ELBOW), (145, Zone.SHOULDER))
    return next((zone for top, zone in tops if height_cm < top), Zone.ABOVE_SHOULDER)


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift by one person: the limit in kilograms, the load as a share of it, and in words."""

    rwl_kg: float
    index: float
    says: str

    @property
    def is_for_one(self) -> bool:
        """Whether the load is within the limit for one person."""
        return self.index <= 1.0


def grip_on(wide_mm: float, high_mm: float) -> Grip:
    """The grip on a box without handles, held from below: fair while the box is small enough."""
    is_small = wide_mm <= LONGEST_OPTIMAL_CM * 10 and high_mm <= TALLEST_OPTIMAL_CM * 10
    return Grip.FAIR if is_small else Grip.POOR


def lift_of(
    mass_kg: float, board_mm: float, from_height: float, to_height: float, *, high_mm: float = 0.0
) -> Lift:
    """Lifting a boxed cake once, without turning, between two heights of the hands in centimetres.

    `board_mm` is how deep the box or board is before the body, and how wide. A cake is set down with
    care, so the limit is the lower of the two at start and end (94-110, p. 21 and 26).
    """
    reach, grip = reach_cm(board_mm / 10), grip_on(board_mm, high_mm)
    travel = abs(from_height - to_height)
    limit = min(
        weight_limit(multipliers(reach, height, travel, grip=grip))
        for height in (from_height, to_height)
    )
    index = lifting_index(mass_kg, limit)
    return Lift(limit, index, _words(mass_kg, limit, index, to_height))


def bench_to_table(mass_kg: float, board_mm: float, *, high_mm: float = 0.0) -> Lift:
    """The harder of the two lifts of a delivery: bench to van floor, and van floor to table."""
    lifts = (
        lift_of(mass_kg, board_mm, BENCH_CM, VAN_FLOOR_CM, high_mm=high_mm),
        lift_of(mass_kg, board_mm, VAN_FLOOR_CM, TABLE_CM, high_mm=high_mm),
    )
    return min(lifts, key=lambda lift: lift.rwl_kg)


def _words(mass_kg: float, limit: float, index: float, height_cm: float) -> str:
    if math.isinf(index):
        return "Too wide for one person to hold close enough: two people lift it."
    men, women = zone_of(height_cm).kilograms
    load, most = f"{number(mass_kg, 1)} kg", f"{number(limit, 1)} kg"
    against = "within" if index <= 1 else "above"
    advice = "" if index <= 1 else " Two people lift it, or it goes in parts."
    return (
        f"{load} is {against} the {most} that NIOSH recommends as the most for one lift by one"
        f" person (lifting index {number(index, 2)}).{advice} UK filter {zone_of(height_cm).words},"
        f" close to the body: {men} kg for men, {women} kg for women."
    )
