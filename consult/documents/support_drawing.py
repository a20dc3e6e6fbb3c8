"""How does the stack look cut open, and where does each support stand at true size? Two kinds of drawing.

Millimetres; y goes down, so that the front of a template is at the bottom of its sheet.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from consult.core.support_places import Places
from consult.core.support_values import Join, SupportPlan
from consult.documents import colours
from consult.documents.measuring import Pen, board_width, scale_bar
from consult.documents.outlines import Outline, bounds, ellipse, line, polygon, rectangle
from consult.documents.scene import Group, Hatch, Path, Scene, Shape, Text
from shop.core.measures import Units, length, number

_EDGE, _FINE, _HAIR = 0.35, 0.22, 0.15  # line widths in millimetres as seen
_CAKE = "#F6F0E4"
_MARK_MM, _MARK_GAP_MM = 3.5, 1.0  # a crop mark's length and how far it keeps from the corner
CROP_ROOM_MM = _MARK_MM + _MARK_GAP_MM
_BOARD_MM = 3.0  # a board inside a tall tier, as thick as it is drawn
_PAD_MM = 1.0  # white round a template, so that its line is not cut away


@dataclass(frozen=True, slots=True)
class _Slab:
    """A tier or a board from the side: `left` to `-left`, `top` to `foot`."""

    half: float
    top: float
    foot: float


def _slabs(plan: SupportPlan) -> Iterator[tuple[_Slab, _Slab]]:
    """Board and tier of each part, base first, the table at 0."""
    foot = 0.0
    for part in plan.parts:
        board = _Slab(
            part.tier.size_mm / 2 + part.board_margin_mm, foot - part.board_thick_mm, foot
        )
        tier = _Slab(part.tier.size_mm / 2, board.top - part.tier.height_mm, board.top)
        yield board, tier
        foot = tier.top


def _stands(join: Join, tier: _Slab) -> _Slab:
    """The part of a tier's height that a join's supports take up."""
    foot = tier.foot - join.foot_mm
    return _Slab(tier.half, foot - join.length_mm, foot)


def _box(slab: _Slab) -> Outline:
    return rectangle(-slab.half, slab.top, 2 * slab.half, slab.foot - slab.top)


def _measure(
    pen: Pen, x: float, top: float, foot: float, words: tuple[str, ...], left: bool
) -> tuple[Shape, ...]:
    """An upright dimension line with ticks, its words on the outer side, the first in bold."""
    half = pen.seen(1.0)
    side = -1 if left else 1
    middle = (top + foot) / 2 - pen.text * 1.15 * (len(words) - 1) / 2 + pen.text * 0.33
    ticks = [
        Path(
            line((x - half, y + half), (x + half, y - half)),
            stroke=colours.INK,
            width=pen.seen(0.25),
        )
        for y in (top, foot)
    ]
    said = [
        Text(
            x + side * pen.seen(1.8), middle + pen.text * 1.15 * place, one, pen.text, colours.INK,
            anchor="end" if left else "start", bold=place == 0,
        )
        for place, one in enumerate(words)
    ]  # fmt: skip
    upright = Path(line((x, top), (x, foot)), stroke=colours.SOFT_INK, width=pen.seen(_HAIR))
    return (upright, *ticks, *said)


def _supports(pen: Pen, plan: SupportPlan, tiers: list[_Slab]) -> list[Shape]:
    """Supports from the side, those at the back first so that the front ones lie over them, and the
    boards inside tall tiers."""
    shapes: list[Shape] = []
    for join in plan.every_join:
        tier = tiers[join.stands_in - 1]
        slab = _stands(join, tier)
        if join.level:
            board = rectangle(-tier.half, slab.top - _BOARD_MM / 2, 2 * tier.half, _BOARD_MM)
            shapes.append(Path(board, colours.INK, name="board-between"))
        for x, _ in sorted(join.at_mm, key=lambda at: -at[1]):
            shapes.append(
                Path(
                    rectangle(
                        x - plan.rod_mm / 2, slab.top, plan.rod_mm, slab.foot - slab.top
                    ),
                    fill=colours.WHITE, stroke=colours.INK, width=pen.seen(_FINE), name="",
                )
            )  # fmt: skip
    return shapes


def _centre_dowel(pen: Pen, plan: SupportPlan, drum: _Slab) -> list[Shape]:
    """The sharpened rod, its point on the drum."""
    if plan.centre_dowel is None:
        return []
    half, foot = plan.centre_dowel.diameter_mm / 2, drum.top
    top, neck = foot - plan.centre_dowel.length_mm, foot - plan.centre_dowel.diameter_mm * 1.6
    outline = polygon((-half, top), (half, top), (half, neck), (0, foot), (-half, neck))
    hatch = Hatch(colours.INK, pen.seen(0.9), pen.seen(0.12), 60, colours.WHITE)
    return [Path(outline, hatch, colours.INK, pen.seen(_EDGE), name="centre-dowel")]


def cut_open(plan: SupportPlan, scale: float, text_mm: float = 3.0) -> Scene:
    """The stack cut open from the front, one to `scale`: boards, supports, centre dowel and measures."""
    pen, units = Pen(scale, text_mm), plan.units
    slabs = list(_slabs(plan))
    boards, tiers = [one for one, _ in slabs], [one for _, one in slabs]
    reach = max((one.half for one in (*boards, *tiers)), default=0.0)
    shapes: list[Shape] = [
        Path(
            line((-reach - pen.seen(3), 0), (reach + pen.seen(3), 0)), stroke=colours.INK,
            width=pen.seen(_FINE),
        )
    ]  # fmt: skip
    for place, (board, tier) in enumerate(slabs):
        is_foam = not plan.parts[place].tier.is_cake
        fill: str | Hatch = _CAKE
        if is_foam:
            fill = Hatch(colours.RULE, pen.seen(1.6), pen.seen(0.2), 45, colours.WHITE)
        shapes.append(
            Path(_box(tier), fill, colours.INK, pen.seen(_EDGE), name=f"tier-{place + 1}")
        )
        ground = colours.BOARD if place == 0 else colours.INK
        shapes.append(
            Path(_box(board), ground, colours.INK, pen.seen(_FINE), name=f"board-{place + 1}")
        )
    shapes += _supports(pen, plan, tiers)
    if slabs:
        shapes += _centre_dowel(pen, plan, boards[0])
    left, right = _measures(pen, plan, tiers, reach, shapes)
    if slabs:
        shapes += board_width(pen, boards[0].half, pen.seen(5), units)
    shapes += scale_bar(pen, left + pen.seen(1.5), pen.seen(11), units, f"drawn 1:{number(scale)}")
    top = (tiers[-1].top if tiers else 0.0) - pen.seen(3)
    title = f"The stack cut open: {len(plan.parts)} tiers, {length(plan.height_mm, units)} tall"
    return Scene(
        tuple(shapes), left, top, right - left, pen.seen(17) - top, title, _description(plan)
    )


def _measures(
    pen: Pen, plan: SupportPlan, tiers: list[_Slab], reach: float, shapes: list[Shape]
) -> tuple[float, float]:
    """Cut lengths at the left, tiers and the whole at the right; how far both reach."""
    units = plan.units
    left, right = -reach - pen.seen(4), reach + pen.seen(4)
    widest = 0.0
    for join in plan.every_join:
        slab = _stands(join, tiers[join.stands_in - 1])
        words = (f"{join.count} supports", f"cut {length(join.length_mm, units)}")
        shapes += _measure(pen, left, slab.top, slab.foot, words, left=True)
        widest = max(widest, *(pen.words(one, bold=True) for one in words))
    far_left = left - pen.seen(2.5) - widest
    widest = 0.0
    for part, slab in zip(plan.parts, tiers, strict=True):
        words = (f"{part.number}: {part.name}", f"{length(part.tier.height_mm, units)} high")
        shapes += _measure(pen, right, slab.top, slab.foot, words, left=False)
        widest = max(widest, *(pen.words(one, bold=True) for one in words))
    right += pen.seen(2.5) + widest
    if len(tiers) > 1:
        whole = length(plan.height_mm, units)
        right += pen.seen(2)
        shapes += _measure(pen, right, tiers[-1].top, 0.0, (whole,), left=False)
        right += pen.seen(2.5) + pen.words(whole, bold=True)
    return min(far_left, -reach - pen.seen(4)), right + pen.seen(1)


def _description(plan: SupportPlan) -> str:
    said = [
        f"{join.count} supports, {length(join.length_mm, plan.units)} long, stand in tier"
        f" {join.stands_in} and carry"
        f" {f'its level {join.level}' if join.level else f'tier {join.carries}'}."
        for join in plan.every_join
    ]
    if plan.centre_dowel:
        said.append(f"A centre dowel {length(plan.centre_dowel.length_mm, plan.units)} long.")
    return " ".join(said)


def _closed(points: Places) -> Outline:
    """A line from above as drawing commands, turned so that y goes down."""
    return polygon(*((x, -y) for x, y in points))


def template(join: Join, plan: SupportPlan) -> Scene:
    """One join from above at true size: the carried tier's outline and its numbered supports."""
    outline = _closed(join.outline_mm)
    left, top, right, foot = bounds(outline)
    shapes: list[Shape] = [
        Path(outline, stroke=colours.INK, width=_EDGE, name="outline"),
        Path(_closed(join.ring_mm), stroke=colours.SOFT_INK, width=_HAIR, dash=(2.0, 1.5)),
        *_middle(plan),
    ]
    for place, (x, y) in enumerate(join.at_mm, start=1):
        shapes += _support(x, -y, plan.rod_mm / 2, str(place))
    front = max(-y for x, y in join.outline_mm if abs(x) < 4) if _has_front(join) else foot
    shapes += [
        Path(polygon((0, front - 1.5), (-2.6, front - 6), (2.6, front - 6)), fill=colours.INK),
        Text(0, front - 7.5, "front", 3.4, colours.INK, anchor="middle"),
    ]
    name = f"Template: {join.title[0].lower()}{join.title[1:]}"
    said = f"{join.count} supports, numbered clockwise from the front, at true size."
    pad = _PAD_MM
    return Scene(
        tuple(shapes),
        left - pad,
        top - pad,
        right - left + 2 * pad,
        foot - top + 2 * pad,
        name,
        said,
    )


def _has_front(join: Join) -> bool:
    """Whether the outline has a point near its middle line: a square's corners are far from it."""
    return any(abs(x) < 4 and y < 0 for x, y in join.outline_mm)


def _middle(plan: SupportPlan) -> tuple[Shape, ...]:
    """The tier's middle: a cross, and the hole for the centre dowel where there is one."""
    cross = [
        Path(line(*ends), stroke=colours.INK, width=_HAIR)
        for ends in (((-6, 0), (6, 0)), ((0, -6), (0, 6)))
    ]
    if plan.centre_dowel is None:
        return tuple(cross)
    radius = plan.centre_dowel.diameter_mm / 2
    return (*cross, Path(ellipse(0, 0, radius), stroke=colours.INK, width=_FINE, dash=(1.2, 0.8)))


def _support(x: float, y: float, radius: float, words: str) -> tuple[Shape, ...]:
    """A support at its true thickness with its middle marked, and its number on the outer side."""
    away = math.hypot(x, y) or 1.0
    far = radius + 3.6
    at_x, at_y = x + x / away * far, y + y / away * far
    return (
        Path(ellipse(x, y, radius), colours.WHITE, colours.INK, _EDGE),
        Path(line((x - 1.2, y), (x + 1.2, y)), stroke=colours.INK, width=_HAIR),
        Path(line((x, y - 1.2), (x, y + 1.2)), stroke=colours.INK, width=_HAIR),
        Text(at_x, at_y + 1.5, words, 4.2, colours.INK, anchor="middle", bold=True),
    )


@dataclass(frozen=True, slots=True)
class Tile:
    """One page's piece of a template; rows from the back, columns from the left, from 1."""

    scene: Scene
    row: int
    column: int
    rows: int
    columns: int

    @property
    def words(self) -> str:
        """Which piece it is; "" for a template on one page."""
        if self.rows * self.columns == 1:
            return ""
        place = (self.row - 1) * self.columns + self.column
        at = f"row {self.row}, column {self.column}"
        if max(self.rows, self.columns) == 2:
            ends = [
                ("back", "front")[self.row - 1] if self.rows == 2 else "",
                ("left", "right")[self.column - 1] if self.columns == 2 else "",
            ]
            at = " ".join(end for end in ends if end)
        return f"piece {place} of {self.rows * self.columns}, {at}"


def tiles(whole: Scene, wide_mm: float, high_mm: float) -> tuple[Tile, ...]:
    """The template cut into equal pieces that fit a page's room, crop marks round each included."""
    across, down = wide_mm - 2 * CROP_ROOM_MM, high_mm - 2 * CROP_ROOM_MM
    columns, rows = math.ceil(whole.width / across), math.ceil(whole.height / down)
    wide, high = whole.width / columns, whole.height / rows
    return tuple(
        Tile(
            _tile(
                whole, (whole.x + column * wide, whole.y + row * high, wide, high),
                (column > 0, column + 1 < columns, row > 0, row + 1 < rows),
            ),
            row + 1, column + 1, rows, columns,
        )
        for row in range(rows)
        for column in range(columns)
    )  # fmt: skip


def _tile(
    whole: Scene, at: tuple[float, float, float, float], joined: tuple[bool, bool, bool, bool]
) -> Scene:
    """One piece; `joined` says whether another meets it left, right, at the back and at the front."""
    x, y, wide, high = at
    piece = Group(whole.shapes, clip=rectangle(x, y, wide, high))
    sides = (
        ((x, y), (x, y + high)), ((x + wide, y), (x + wide, y + high)),
        ((x, y), (x + wide, y)), ((x, y + high), (x + wide, y + high)),
    )  # fmt: skip
    edges = [
        Path(line(*side), stroke=colours.SOFT_INK, width=_HAIR, dash=(0.6, 1.6))
        for side, meets in zip(sides, joined, strict=True) if meets
    ]  # fmt: skip
    marks: list[Shape] = []
    for corner_x, out_x in ((x, -1), (x + wide, 1)):
        for corner_y, out_y in ((y, -1), (y + high, 1)):
            near, far = _MARK_GAP_MM, CROP_ROOM_MM
            ends = (
                ((corner_x + out_x * near, corner_y), (corner_x + out_x * far, corner_y)),
                ((corner_x, corner_y + out_y * near), (corner_x, corner_y + out_y * far)),
            )
            marks += [Path(line(*one), stroke=colours.INK, width=_HAIR) for one in ends]
    return Scene(
        (piece, *edges, *marks), x - CROP_ROOM_MM, y - CROP_ROOM_MM, wide + 2 * CROP_ROOM_MM,
        high + 2 * CROP_ROOM_MM, whole.title, whole.description,
    )  # fmt: skip


def true_bars(words: str) -> Scene:
    """Bars of 100 mm and of 4 in at true size, one under the other, what to do with them beside."""
    shapes: list[Shape] = []
    for place, (whole, said, steps) in enumerate(
        ((100.0, "100 mm", 10), (4 * Units.INCHES.mm, "4 in", 4))
    ):
        y = place * 3.9
        step = whole / steps
        shapes += [
            Path(rectangle(one * step, y, step, 2.4), colours.INK) for one in range(0, steps, 2)
        ]
        shapes.append(
            Path(
                rectangle(0, y, whole, 2.4),
                stroke=colours.INK,
                width=_HAIR,
                name=f"bar-{place + 1}",
            )
        )
        shapes.append(Text(103.5, y + 2.2, said, 3.2, colours.INK, bold=True))
    for place, one in enumerate(words.split(". ")):
        shapes.append(Text(118, 2.1 + place * 3.9, one.removesuffix(".") + ".", 2.7, colours.INK))
    return Scene(tuple(shapes), -0.2, -0.2, 174, 7.0, "Bars of 100 mm and 4 in", words)
