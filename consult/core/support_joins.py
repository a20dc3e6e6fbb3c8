"""What carries each tier, and each board inside a tall one? Joins with their supports, load and capacity."""

from collections.abc import Iterator, Sequence

from consult.core.covering import BOARD_G_PER_ML, MM3_PER_ML
from consult.core.cutting import levels
from consult.core.design import Tier
from consult.core.mechanics import (
    PAPER_BIRCH,
    POLYPROPYLENE,
    Mass,
    Material,
    Section,
    capacity,
    centre_height_mm,
    load_each_n,
    rod,
    tip_angle_deg,
    tips_at_g,
    total_grams,
    tube,
    weight_n,
)
from consult.core.support_places import (
    count_for,
    drawn,
    firm_mm,
    inset_mm,
    outline_of,
    places,
    ring,
)
from consult.core.support_values import Join, Part
from shop.core.measures import Units
from shop.core.policies import Rod, SupportHabits


def material_of(habits: SupportHabits) -> tuple[Material, Section]:
    """What the shop's supports are made of, and their section.

    A dowel sold as birch is taken as paper birch, the weaker of the two common ones.
    """
    if habits.rod is Rod.STRAW:
        return POLYPROPYLENE, tube(habits.rod_mm, habits.wall_mm)
    return PAPER_BIRCH, rod(habits.rod_mm)


def masses(parts: Sequence[Part]) -> tuple[Mass, ...]:
    """Boards and tiers with the heights of their centres, from the underside of the first board."""
    foot = 0.0
    found = []
    for part in parts:
        found.append(Mass(part.board_grams, foot + part.board_thick_mm / 2))
        foot += part.board_thick_mm
        found.append(Mass(part.tier_grams, foot + part.tier.height_mm / 2))
        foot += part.tier.height_mm
    return tuple(found)


def levels_in(tier: Tier) -> int:
    """How many levels a tier is built as, a board between each two; foam is one."""
    return max(1, int(levels(tier.height_mm))) if tier.is_cake else 1


def join_of(below: Part, above: Sequence[Part], habits: SupportHabits, units: Units) -> Join:
    """What stands in the topmost level of a tier and carries all the tiers above it."""
    count = levels_in(below.tier)
    high = below.tier.height_mm / count
    weights, carried = masses(above), above[0]
    return _standing(below.number, carried, weights, (high, (count - 1) * high), habits, units)


def level_joins_of(
    part: Part, above: Sequence[Part], habits: SupportHabits, units: Units
) -> Iterator[Join]:
    """What carries each board inside a tall tier, with the levels and the tiers above it."""
    count = levels_in(part.tier)
    high = part.tier.height_mm / count
    board = float(outline_of(part.tier).area) * habits.board_mm / MM3_PER_ML * BOARD_G_PER_ML
    for level in range(2, count + 1):
        over = count + 1 - level
        weights = (
            Mass(board * over, 0.0),
            Mass(part.tier_grams * over / count, high * over / 2),
            *(Mass(one.grams, one.height_mm + high * over) for one in masses(above)),
        )
        at = (high, (level - 2) * high)
        yield _standing(part.number, part, weights, at, habits, units, level)


def _standing(
    stands_in: int, carried: Part, weights: Sequence[Mass], at: tuple[float, float],
    habits: SupportHabits, units: Units, level: int = 0,
) -> Join:  # fmt: skip
    """A join: `at` is how long its supports are and how far above the tier's own board they stand."""
    tall, foot = at
    material, section = material_of(habits)
    holds = capacity(material, section, tall, habits.safety)
    grams = total_grams(weights)
    tier = carried.tier
    count = count_for(tier, weight_n(grams) * habits.uneven, holds.allowed_n, habits, units)
    where = places(tier, count.count, habits)
    load = load_each_n(grams, count.count, habits.uneven)
    centre, edge = centre_height_mm(weights), firm_mm(where)
    return Join(
        stands_in=stands_in,
        carries=carried.number,
        carried=tier,
        name=carried.name,
        count=count.count,
        count_why=count.why,
        length_mm=tall,
        in_from_edge_mm=inset_mm(tier, habits),
        at_mm=where,
        outline_mm=drawn(outline_of(tier).exterior),
        ring_mm=drawn(ring(tier, habits)),
        above_grams=grams,
        load_n=load,
        capacity=holds,
        pressure_mpa=load / section.area_mm2,
        tip_deg=tip_angle_deg(centre, edge),
        tips_at_g=tips_at_g(centre, edge),
        foot_mm=foot,
        level=level,
    )
