"""Will it stand and travel? Supports, boards, loads, lean, lift, box and door of a whole stack.

A help to judgement, not an engineer's certificate.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from consult.core import shapes
from consult.core.covering import BOARD_G_PER_ML, MM3_PER_ML
from consult.core.design import Brief, Kind, Problem, Tier
from consult.core.lifting import bench_to_table
from consult.core.mechanics import (
    HARD_STOP_G,
    centre_height_mm,
    tip_angle_deg,
    tips_at_g,
    total_grams,
)
from consult.core.stack_rules import tier_name
from consult.core.support_joins import join_of, level_joins_of, masses, material_of
from consult.core.support_places import (
    firm_mm,
    outline_of,
    stands_within,
)
from consult.core.support_values import Box, CentreDowel, Join, Part, SupportPlan
from consult.core.weights import weight_of
from shop.core.book import ShopBook
from shop.core.measures import MM_PER_INCH, Units, length, number, weight, weight_in_words
from shop.core.policies import Rod, SupportHabits

# The centre dowel ends half an inch under the top, so that it does not show: common practice, no source.
UNDER_THE_TOP_MM = MM_PER_INCH / 2
# 3/8 in wood through the middle; 1/4 in is used too (common practice, no source).
CENTRE_DOWEL_MM = 3 / 8 * MM_PER_INCH
# Up to so many tiers one rod through all of them; above, rods that overlap or one full height
# (decorators' tutorials).
ONE_ROD_UP_TO = 3
# Foamed polystyrene of the grade EPS 100 gives a tenth of its thickness at 100 kPa (EN 13163).
FOAM_GIVES_AT_MPA = 0.1


def rod_words(habits: SupportHabits, units: Units) -> str:
    """ "birch dowel, 1/4 in", "plastic straw, 12 mm, wall 0.5 mm"."""
    mm = f"{number(habits.rod_mm)} mm"
    if habits.rod is Rod.STRAW:
        return f"plastic straw, {mm}, wall {number(habits.wall_mm, 1)} mm"
    if units is Units.INCHES:
        return f"birch dowel, {length(habits.rod_mm, units)} ({mm})"
    return f"birch dowel, {mm}"


def _box(tier: Tier, margin_mm: float, high_mm: float, room_mm: float) -> Box:
    wide = None if tier.width_mm is None else tier.width_mm + 2 * margin_mm
    sides = shapes.extent_mm(tier.shape, tier.size_mm + 2 * margin_mm, wide)
    return Box(max(sides) + 2 * room_mm, min(sides) + 2 * room_mm, high_mm + room_mm)


def part_of(at: int, tier: Tier, book: ShopBook) -> Part:
    """A tier on its board as it is carried; `at` counts from the base, 0, whose board is the drum."""
    habits = book.policies.supports
    margin = book.policies.stacks.board_margin_mm if at == 0 else 0.0
    thick = habits.board_mm if at else habits.drum_mm
    board = float(outline_of(tier, margin).area) * thick / MM3_PER_ML * BOARD_G_PER_ML
    box = _box(tier, margin, thick + tier.height_mm, habits.box_room_mm)
    cake = weight_of(tier, book)
    return Part(
        number=at + 1,
        tier=tier,
        name=tier_name(tier, book.identity.units),
        tier_grams=cake,
        board_grams=board,
        board_wide_mm=box.wide_mm - 2 * habits.box_room_mm,
        board_deep_mm=box.deep_mm - 2 * habits.box_room_mm,
        board_margin_mm=margin,
        board_thick_mm=thick,
        box=box,
        lift=bench_to_table((cake + board) / 1000, box.deep_mm, high_mm=box.high_mm),
    )


def _problems(
    parts: Sequence[Part], joins: Sequence[Join], habits: SupportHabits, units: Units
) -> list[Problem]:
    found, rod_mm = [], habits.rod_mm
    for part in parts:
        if part.box.deep_mm > habits.door_mm:
            says = (
                f"Tier {part.number} ({part.name}) alone has a box {length(part.box.deep_mm, units)}"
                f" across; the narrowest door on the way is {length(habits.door_mm, units)}."
            )
            found.append(Problem(f"tiers[{part.number - 1}]", says))
    for join in joins:
        where = f"tiers[{join.carries - 1}]"
        if join.share > 1:
            says = (
                f"{join.title}: its {join.count} supports would carry"
                f" {number(join.share * 100, 0)} % of what they may. Use thicker rods, more of them,"
                " or a lighter tier."
            )
            found.append(Problem(where, says))
        if not stands_within(join.at_mm, rod_mm, join.carried):
            says = f"A support would stand outside tier {join.carries} ({join.name}), which it carries."
            found.append(Problem(where, says))
        if not stands_within(join.at_mm, rod_mm, parts[join.stands_in - 1].tier):
            says = (
                f"A support under tier {join.carries} ({join.name}) would stand outside tier"
                f" {join.stands_in} ({parts[join.stands_in - 1].name}), in which it stands."
            )
            found.append(Problem(where, says))
    return found


def _against_travelling(
    parts: Sequence[Part], joins: Sequence[Join], plan: SupportPlan, book: ShopBook
) -> list[str]:
    """Why the cake cannot be carried as one piece; nothing where it can."""
    limits, habits, units = book.policies.stacks, book.policies.supports, plan.units
    found = []
    if len(parts) > habits.tiers_stacked_to_travel:
        found.append(
            f"It has {len(parts)} tiers; this shop carries no more than"
            f" {habits.tiers_stacked_to_travel} stacked."
        )
    if plan.grams > limits.one_person_lifts_grams:
        weighs, most = (
            weight_in_words(plan.grams, units),
            weight(limits.one_person_lifts_grams, units),
        )
        just = "a little over " if weighs == most else ""
        found.append(f"It weighs {just}{weighs}; this shop lets one person lift {most}.")
    if plan.height_mm > limits.tallest_mm:
        found.append(
            f"It stands {length(plan.height_mm, units)} tall with its boards;"
            f" {length(limits.tallest_mm, units)} is the most for fridge, box and van."
        )
    if not plan.through_the_door:
        found.append(
            f"Its box is {length(plan.box.deep_mm, units)} across; the narrowest door on the way is"
            f" {length(plan.door_mm, units)}."
        )
    if plan.tips_at_g < HARD_STOP_G:
        found.append(
            f"It would tip at a stop of {number(plan.tips_at_g, 1)} times gravity; a hard stop is"
            f" about {number(HARD_STOP_G, 1)}."
        )
    return found + [
        f"{join.title}: its supports carry more than they may." for join in joins
        if join.share > 1
    ]  # fmt: skip


def _notes(parts: Sequence[Part], joins: Sequence[Join], habits: SupportHabits) -> tuple[str, ...]:
    """What no sum can promise: what really goes wrong with a stack."""
    if not joins:
        return ()
    notes = [
        "Cut all supports of one tier to one length, straight across: one that is longer carries alone,"
        " one that is shorter carries nothing, and the tier above leans.",
        "Measure the tier at its highest point after its final coat has set.",
        "Cut away from the cake, smooth the ends, wash and dry: no dust or splinter goes in. Count the"
        " supports in; every one comes out before its tier is cut.",
    ]
    if any(join.level for join in joins):
        notes.append(
            "A tall tier is built as levels with a board between: the lower level takes its supports and"
            " the board before the next level goes on. The board's own thickness comes out of the cake."
        )
    worst = max(join.pressure_mpa for join in joins)
    if worst > FOAM_GIVES_AT_MPA:
        notes.append(
            f"Each support presses with up to {number(worst, 1)} MPa. Foamed board gives way at about"
            f" {number(FOAM_GIVES_AT_MPA, 1)} MPa: supports stand and carry on firm card, hardboard or"
            " wood, never on bare foam."
        )
    if habits.rod is Rod.STRAW:
        notes.append("A straw with a dent or a slanting cut is thrown away: it folds far earlier.")
    if any(part.tier.kind is Kind.DISPLAY for part in parts):
        notes.append(
            "A display tier takes its supports and its board like the others: bore foam, never press"
            " a rod into it."
        )
    return tuple(notes)


def _centre_dowel(parts: Sequence[Part]) -> CentreDowel:
    above_the_drum = sum(part.tier.height_mm for part in parts)
    above_the_drum += sum(part.board_thick_mm for part in parts[1:])
    return CentreDowel(
        above_the_drum - UNDER_THE_TOP_MM, CENTRE_DOWEL_MM, len(parts) > ONE_ROD_UP_TO
    )


def supports_of(brief: Brief, book: ShopBook) -> SupportPlan:
    """The support plan of the brief's stack; without tiers an empty one that weighs nothing.

    Weights are of finished tiers and boards; decorations and the supports themselves are left out.
    The whole leans about the edge of its drum, which is fixed to the base tier.
    """
    habits, units = book.policies.supports, book.identity.units
    parts = tuple(part_of(at, tier, book) for at, tier in enumerate(brief.design.tiers))
    joins = tuple(join_of(parts[at - 1], parts[at:], habits, units) for at in range(1, len(parts)))
    level_joins = tuple(
        join
        for at, part in enumerate(parts)
        for join in level_joins_of(part, parts[at + 1 :], habits, units)
    )
    every_join = (*joins, *level_joins)
    weights = masses(parts)
    height = sum(part.board_thick_mm + part.tier.height_mm for part in parts)
    box, edge = Box(0.0, 0.0, 0.0), 0.0
    if parts:
        base = parts[0]
        box = _box(base.tier, base.board_margin_mm, height, habits.box_room_mm)
        edge = firm_mm(tuple(outline_of(base.tier, base.board_margin_mm).exterior.coords))
    grams, centre = total_grams(weights), centre_height_mm(weights)
    plan = SupportPlan(
        units=units,
        rod=habits.rod,
        rod_mm=habits.rod_mm,
        wall_mm=habits.wall_mm,
        rod_words=rod_words(habits, units),
        material=material_of(habits)[0],
        safety=habits.safety,
        uneven=habits.uneven,
        parts=parts,
        joins=joins,
        level_joins=level_joins,
        centre_dowel=None,
        grams=grams,
        height_mm=height,
        centre_mm=centre,
        tip_deg=tip_angle_deg(centre, edge),
        tips_at_g=tips_at_g(centre, edge),
        box=box,
        door_mm=habits.door_mm,
        lift=bench_to_table(grams / 1000, box.deep_mm, high_mm=box.high_mm),
        travels_stacked=True,
        travel_why=(),
        notes=_notes(parts, every_join, habits),
        problems=tuple(_problems(parts, every_join, habits, units)),
    )
    return _with_travel(plan, book)


def _with_travel(plan: SupportPlan, book: ShopBook) -> SupportPlan:
    """The plan with its answer: stacked with a centre dowel, or in parts, and why."""
    if len(plan.parts) < 2:
        return plan
    against = _against_travelling(plan.parts, plan.every_join, plan, book)
    if against:
        return replace(plan, travels_stacked=False, travel_why=tuple(against))
    thrown = [join for join in plan.joins if join.needs_a_dowel_to_travel]
    why = [
        f"{len(plan.parts)} tiers, {weight_in_words(plan.grams, plan.units)} and"
        f" {length(plan.height_mm, plan.units)} tall are within what this shop carries in one piece."
    ]
    if thrown:
        first = min(thrown, key=lambda join: join.tips_at_g)
        why.append(
            f"Without the centre dowel a stop of {number(first.tips_at_g, 1)} times gravity would tip"
            f" what stands on tier {first.stands_in}; a hard stop is about {number(HARD_STOP_G, 1)}."
        )
    return replace(plan, centre_dowel=_centre_dowel(plan.parts), travel_why=tuple(why))


def supports_said(plan: SupportPlan) -> tuple[dict[str, Any], ...]:
    """For each tier, base first, the supports that stand in it, as JSON's own types.

    The top tier has none. `capacity_n` is what one support may carry, the safety factor taken off.
    `between_levels` are those under the boards inside a tall tier, from below.
    """
    by_tier = {join.stands_in: join for join in plan.joins}
    return tuple(
        _said(by_tier.get(part.number))
        | {
            "between_levels": [
                _said(join) for join in plan.level_joins if join.stands_in == part.number
            ]
        }
        for part in plan.parts
    )


def _said(join: Join | None) -> dict[str, Any]:
    if join is None:
        return {"count": 0, "length_mm": 0, "at_mm": [], "load_n": 0, "capacity_n": 0}
    return {
        "count": join.count,
        "length_mm": round(join.length_mm, 1),
        "at_mm": [[x, y] for x, y in join.at_mm],
        "load_n": round(join.load_n, 2),
        "capacity_n": math.floor(join.capacity.allowed_n * 100) / 100,
    }


def carrying_said(plan: SupportPlan) -> dict[str, Any]:
    """The whole stack on its way, and each part of it, as JSON's own types; drum and boards included.

    `lifting_index` is None where nothing at all should be lifted so far from the body.
    """
    dowel = plan.centre_dowel
    return {
        "weight_g": round(plan.grams),
        "height_mm": round(plan.height_mm, 1),
        "centre_of_mass_mm": round(plan.centre_mm, 1),
        "tips_at_degrees": round(plan.tip_deg, 1),
        "tips_at_g": round(plan.tips_at_g, 2) if plan.parts else None,
        "travels_stacked": plan.travels_stacked,
        "why": list(plan.travel_why),
        "lifting_limit_kg": round(plan.lift.rwl_kg, 1),
        "lifting_index": None if math.isinf(plan.lift.index) else round(plan.lift.index, 2),
        "box_mm": _box_said(plan.box),
        "door_mm": round(plan.door_mm, 1),
        "centre_dowel": dowel
        and {"length_mm": round(dowel.length_mm, 1), "diameter_mm": round(dowel.diameter_mm, 1)},
        "parts": [
            {
                "tier": part.number,
                "weight_g": round(part.grams),
                "board_mm": [round(part.board_wide_mm, 1), round(part.board_deep_mm, 1)],
                "board_thick_mm": round(part.board_thick_mm, 1),
                "box_mm": _box_said(part.box),
                "lifting_limit_kg": round(part.lift.rwl_kg, 1),
            }
            for part in plan.parts
        ],
        "problems": [{"where": one.where, "says": one.says} for one in plan.problems],
    }


def _box_said(box: Box) -> list[float]:
    return [round(side, 1) for side in (box.wide_mm, box.deep_mm, box.high_mm)]
