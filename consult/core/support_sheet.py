"""What does the support plan say on paper? Every figure in words, in the order it is read."""

from dataclasses import dataclass
from datetime import date

from consult.core.design import Brief
from consult.core.lifting import NOT_COVERED, Lift
from consult.core.mechanics import GRAVITY
from consult.core.support_values import Box, Join, Part, SupportPlan
from shop.core.book import ShopBook
from shop.core.measures import MM_PER_INCH, Units, length, number, weight_in_words
from shop.core.policies import Paper

CERTIFICATE = (
    "A help to judgement, not an engineer's certificate. Straight cuts of one length matter more than"
    " strength: real failures are tilt, uneven cuts, a bending board, softened cake."
)
TRUE_SIZE = (
    "Print at actual size, 100 %, never fitted to the page. Measure both bars before cutting."
)


@dataclass(frozen=True, slots=True)
class Fact:
    label: str
    value: str


@dataclass(frozen=True, slots=True)
class SheetJoin:
    """One join in words; `join` holds where the supports stand, for the template."""

    title: str  # "Tier 2, 8 in round, on tier 1"
    count: str
    rod: str
    cut: str
    each_carries: str
    may_carry: str
    used: str
    why: str
    join: Join


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One tier as it is carried on its own."""

    name: str
    weighs: str
    board: str
    box: str
    lifted_by: str


@dataclass(frozen=True, slots=True)
class SupportSheet:
    """The whole paper. `plan` is for its drawings."""

    number: str
    revision: int
    shop_name: str
    client_name: str
    occasion: str
    event_on: date | None
    facts: tuple[Fact, ...]
    joins: tuple[SheetJoin, ...]
    how_reckoned: str
    parts: tuple[SheetPart, ...]
    travel: str
    travel_why: tuple[str, ...]
    lifting: tuple[str, ...]
    steps_title: str
    steps: tuple[str, ...]
    notes: tuple[str, ...]
    problems: tuple[str, ...]
    certificate: str
    plan: SupportPlan
    units: Units
    paper: Paper
    locale: str


def both(mm: float, units: Units) -> str:
    """A length to cut or build by: the shop's units, and millimetres beside inches."""
    if units is Units.CENTIMETRES:
        return length(mm, units)
    return f"{length(mm, units)} ({number(mm, 0 if mm >= MM_PER_INCH else 1)} mm)"


def _force(newtons: float) -> str:
    return f"{number(newtons, 1)} N (as {number(newtons / GRAVITY, 1)} kg)"


def _box_words(box: Box, units: Units) -> str:
    sides = [
        length(side, units).removesuffix(f" {units.value}") for side in (box.wide_mm, box.deep_mm)
    ]
    return f"{sides[0]} x {sides[1]} x {length(box.high_mm, units)} high"


def _percent(share: float) -> str:
    return "under 1 %" if 0 < share < 0.01 else f"{number(share * 100, 0)} %"


def _sheet_join(one: Join, plan: SupportPlan) -> SheetJoin:
    limits = {"buckling": "bowing out", "crushing": "being crushed", "denting": "its wall denting"}
    holds = one.capacity
    return SheetJoin(
        title=one.title,
        count=str(one.count),
        rod=plan.rod_words,
        cut=both(one.length_mm, plan.units),
        each_carries=_force(one.load_n),
        may_carry=_force(holds.allowed_n),
        used=_percent(one.share),
        why=(
            f"{one.count_why[0].upper()}{one.count_why[1:]}. They stand"
            f" {both(one.in_from_edge_mm, plan.units)} inside tier {one.carries}'s outline"
            f"{f', on the board inside tier {one.stands_in},' if one.foot_mm else ''} and carry"
            f" {weight_in_words(one.above_grams, plan.units)}. A support would give way by"
            f" {limits[holds.gives_way_by]}."
        ),
        join=one,
    )


def _how_reckoned(plan: SupportPlan) -> str:
    if not plan.every_join:
        return ""
    return (
        f"Load: all that is above, {number(plan.uneven, 1)} times an even share, as one support may"
        " carry more than the next. May carry: the lower of Euler buckling with hinged ends and"
        f" crushing, for {plan.material.name} ({plan.material.source}), divided by"
        f" {number(plan.safety, 1)} for safety; the wall of a straw is checked for denting too. The"
        " share of load and the safety are the shop's own (common practice, no source). Weights are"
        " of cake, icing and boards, without decorations."
    )


def _board(part: Part, units: Units) -> str:
    what = "drum" if part.number == 1 else "board"
    wide = length(part.board_wide_mm, units)
    if abs(part.board_wide_mm - part.board_deep_mm) > 0.1:
        wide = f"{wide.removesuffix(f' {units.value}')} x {length(part.board_deep_mm, units)}"
    return f"{wide} {what}, {number(part.board_thick_mm, 1)} mm"


def _sheet_part(part: Part, units: Units, most_grams: float) -> SheetPart:
    """`most_grams` is what the shop lets one person lift; whichever limit is lower counts."""
    return SheetPart(
        name=f"Tier {part.number}, {part.name}",
        weighs=weight_in_words(part.grams, units),
        board=_board(part, units),
        box=_box_words(part.box, units),
        lifted_by=(
            "one person" if part.lift.is_for_one and part.grams <= most_grams else "two people"
        ),
    )


def _facts(plan: SupportPlan) -> tuple[Fact, ...]:
    if not plan.parts:
        return ()
    units, facts = plan.units, []
    if plan.every_join:
        facts.append(Fact("Supports", f"{plan.supports} in all, {plan.rod_words}"))
    if plan.centre_dowel:
        rod = plan.centre_dowel
        said = f"{both(rod.length_mm, units)} long, {both(rod.diameter_mm, units)} thick, sharpened"
        if rod.overlapping:
            said += "; or rods that overlap, each through two tiers"
        facts.append(Fact("Centre dowel", said))
    base = plan.parts[0]
    facts += [
        Fact("Base board", _board(base, units)),
        Fact("Weighs", weight_in_words(plan.grams, units)),
        Fact("Stands", f"{length(plan.height_mm, units)} tall with its boards"),
        Fact("Box inside", _box_words(plan.box, units)),
        Fact("Centre of mass", f"{length(plan.centre_mm, units)} above the table"),
        Fact(
            "Tips at",
            f"a lean of {number(plan.tip_deg, 0)}°, or a stop of {number(plan.tips_at_g, 1)} g",
        ),
    ]
    return tuple(facts)


def _travel(plan: SupportPlan) -> str:
    if not plan.parts:
        return "There is nothing to carry yet."
    if len(plan.parts) == 1:
        return "One tier: it travels in its box."
    if plan.travels_stacked:
        return "It may travel stacked, with its centre dowel in."
    return "It travels in parts and is assembled at the venue."


def _lifting(plan: SupportPlan) -> tuple[str, ...]:
    if not plan.parts:
        return ()

    def said(name: str, lift: Lift) -> str:
        return f"{name}: {lift.says}"

    lines = []
    if plan.travels_stacked:
        lines.append(said("The whole", plan.lift))
    else:
        heaviest = max(plan.parts, key=lambda part: part.lift.index)
        lines.append(said(f"Tier {heaviest.number}, the hardest part", heaviest.lift))
    door = length(plan.door_mm, plan.units)
    boxes = [part.box.deep_mm for part in plan.parts]
    if plan.travels_stacked and plan.through_the_door:
        lines.append(f"The box goes through a door of {door} with its shorter side first.")
    elif max(boxes) <= plan.door_mm:
        widest = length(max(boxes), plan.units)
        lines.append(f"The widest box, {widest} across, goes through a door of {door}.")
    lines.append(NOT_COVERED)
    return tuple(lines)


def _steps(plan: SupportPlan) -> tuple[str, ...]:
    """What is done where the cake will stand, in order; one tick box each."""
    if not plan.parts:
        return ()
    table = f"The table is sturdy, dry and level both ways, and carries {weight_in_words(plan.grams, plan.units)}."
    last = "Step back and look from the front and from one side: upright, and no tier has moved."
    if plan.travels_stacked:
        steps = [table, "Carry the box level, hands under the board; set it down, do not drop it."]
        steps.append("Open the box at its side and slide the cake out by its base board.")
        if plan.joins:
            steps.append("Check each tier for cracks and lean before anybody leaves.")
        return (*steps, last)
    steps = [table, "Set tier 1 down on its drum where it will stay, its front to the room."]
    for one in plan.joins:
        steps.append(
            f"Tier {one.stands_in}: count {one.count} supports in it, all flush with its top and none"
            " above another. Lay a level across them."
        )
        steps.append(
            f"Put tier {one.carries} on: two hands under its board, over the middle, fronts in line;"
            " lower one side, then the other."
        )
    steps.append("Close the seams with icing from the shop, then put on what goes over the joins.")
    return (*steps, last)


def support_sheet_of(
    brief: Brief, book: ShopBook, plan: SupportPlan, number: str, revision: int
) -> SupportSheet:
    """The paper's words for a plan of that brief. Nothing in it tells what the cake costs."""
    identity = book.identity
    is_built_there = not plan.travels_stacked
    return SupportSheet(
        number=number,
        revision=revision,
        shop_name=identity.name,
        client_name=brief.client.name.strip(),
        occasion=brief.event.occasion,
        event_on=brief.event.on,
        facts=_facts(plan),
        joins=tuple(_sheet_join(one, plan) for one in plan.every_join),
        how_reckoned=_how_reckoned(plan),
        parts=tuple(
            _sheet_part(part, plan.units, book.policies.stacks.one_person_lifts_grams)
            for part in plan.parts
        ),
        travel=_travel(plan),
        travel_why=plan.travel_why,
        lifting=_lifting(plan),
        steps_title="Assembling it at the venue"
        if is_built_there
        else "Setting it up at the venue",
        steps=_steps(plan),
        notes=plan.notes,
        problems=tuple(problem.says for problem in plan.problems),
        certificate=CERTIFICATE,
        plan=plan,
        units=plan.units,
        paper=identity.paper,
        locale=identity.locale,
    )
