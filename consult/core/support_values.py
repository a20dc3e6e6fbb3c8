"""What does a support plan hold? Box, part, join, centre dowel and the whole plan, as frozen values."""

from dataclasses import dataclass

from consult.core.design import Problem, Tier
from consult.core.lifting import Lift
from consult.core.mechanics import HARD_STOP_G, Capacity, Material
from consult.core.support_places import Places
from shop.core.measures import Units
from shop.core.policies import Rod


@dataclass(frozen=True, slots=True)
class Box:
    """Inner measures of a box, the lid closed, in millimetres; `wide_mm` is the longer side."""

    wide_mm: float
    deep_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class Part:
    """One tier with its board as it is carried; `number` 1 is the base, whose board is the drum.

    `board_margin_mm` is how far the board, of the tier's own shape, stands out all round.
    """

    number: int
    tier: Tier
    name: str
    tier_grams: float
    board_grams: float
    board_wide_mm: float
    board_deep_mm: float
    board_margin_mm: float
    board_thick_mm: float
    box: Box
    lift: Lift

    @property
    def grams(self) -> float:
        return self.tier_grams + self.board_grams


@dataclass(frozen=True, slots=True)
class Join:
    """What stands in one tier and carries the next. Tiers by number, the base 1.

    A tall tier is levels with a board between (`cutting.levels`): `level`, where it is not 0, is the
    level of that same tier that is carried, 2 the second from below. `foot_mm` is how far above the
    tier's own board they stand, `length_mm` the height of the level they stand in, measured at its
    highest point. `at_mm` from the tier's centre (`support_places`). `load_n` is the load on the
    one that gets most, `share` that load by what it may carry. `outline_mm` and `ring_mm` are the
    closed lines of the carried tier and of where its supports stand, for the template. `tip_deg` and
    `tips_at_g` are those of everything above, if it stood on these supports and nothing else held it.
    """

    stands_in: int
    carries: int
    carried: Tier
    name: str
    count: int
    count_why: str
    length_mm: float
    in_from_edge_mm: float
    at_mm: Places
    outline_mm: Places
    ring_mm: Places
    above_grams: float
    load_n: float
    capacity: Capacity
    pressure_mpa: float
    tip_deg: float
    tips_at_g: float
    foot_mm: float = 0.0
    level: int = 0

    @property
    def title(self) -> str:
        """What stands on what: "Tier 2, 8 in round, on tier 1", "Tier 1, level 2, on level 1"."""
        if self.level:
            return f"Tier {self.carries}, level {self.level}, on level {self.level - 1}"
        return f"Tier {self.carries}, {self.name}, on tier {self.stands_in}"

    @property
    def share(self) -> float:
        return self.load_n / self.capacity.allowed_n

    @property
    def needs_a_dowel_to_travel(self) -> bool:
        """Whether a hard stop would throw off what is above, were there no centre dowel."""
        return self.tips_at_g < HARD_STOP_G


@dataclass(frozen=True, slots=True)
class CentreDowel:
    """The sharpened rod down the middle: from the drum to half an inch under the top."""

    length_mm: float
    diameter_mm: float
    overlapping: bool  # above three tiers it may be several rods, each through two tiers


@dataclass(frozen=True, slots=True)
class SupportPlan:
    """The whole stack. Heights are from the table up, drum and boards included."""

    units: Units
    rod: Rod
    rod_mm: float
    wall_mm: float
    rod_words: str
    material: Material
    safety: float
    uneven: float
    parts: tuple[Part, ...]
    joins: tuple[Join, ...]  # between tiers
    level_joins: tuple[Join, ...]  # under the boards inside tall tiers
    centre_dowel: CentreDowel | None
    grams: float
    height_mm: float
    centre_mm: float
    tip_deg: float
    tips_at_g: float
    box: Box
    door_mm: float
    lift: Lift
    travels_stacked: bool
    travel_why: tuple[str, ...]
    notes: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def supports(self) -> int:
        """Supports in the whole cake, without the centre dowel."""
        return sum(join.count for join in self.every_join)

    @property
    def every_join(self) -> tuple[Join, ...]:
        """Joins of tiers and of levels, from the base up."""
        return tuple(
            sorted(
                (*self.joins, *self.level_joins), key=lambda join: (join.stands_in, join.foot_mm)
            )
        )

    @property
    def through_the_door(self) -> bool:
        return self.box.deep_mm <= self.door_mm
