"""How does the cake look? An elevation to scale: tiers, coats and decorations on the board, with its measures."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from consult.core.design import Kind, Tier
from consult.documents import colours
from consult.documents.measuring import (
    CallOut,
    Pen,
    board_width,
    call_outs,
    heights,
    scale_bar,
)
from consult.documents.outlines import line, rounded
from consult.documents.placing import placed
from consult.documents.scene import Path, Scene, Shape, Text
from consult.documents.spots import (
    PANELS,
    ROUND_THE_FOOT,
    DecorationShown,
    Placement,
    Spot,
    has_panel,
    tiers_of,
)
from consult.documents.textures import Box, coat, front, ground_colour, is_plain
from shop.core.measures import Units, length, number

BOARD_MM = 12.0  # a cake drum is about half an inch thick (common practice, no source)
HEADROOM_MM = 70.0  # over the tallest cake of a row of cards, for what stands on top
_LABEL_SHARE = 0.84  # of a tier's width that its name may take
_EDGE, _FINE = 0.35, 0.17  # line widths in millimetres as seen: edges, textures
_SAID = {Kind.KEPT: "kept", Kind.DISPLAY: "display"}


class TierShown(Protocol):
    """What the drawing needs of a tier: the tier, its finish's texture and the colour it is filled with."""

    @property
    def tier(self) -> Tier: ...
    @property
    def texture(self) -> str: ...
    @property
    def colour(self) -> str: ...


@dataclass(frozen=True, slots=True)
class DrawnTier:
    """A tier for the drawing alone."""

    tier: Tier
    texture: str = "smooth"
    colour: str = "#F4ECDF"


@dataclass(frozen=True, slots=True)
class DrawnDecoration:
    """A decoration for the drawing alone; `tier` counts from the base, 0 first, None is all."""

    symbol: str
    count: int = 1
    tier: int | None = None
    colour: str = ""
    note: str = ""  # what piped lettering says


@dataclass(frozen=True, slots=True)
class DrawingLook:
    """How large the drawing is seen and what is written on it.

    `scale` is millimetres of cake for one millimetre seen. `view` fixes what is seen to so many
    millimetres of cake across and up, the ground line at the same place, so that several drawings
    side by side share one scale; left out, the drawing takes the room it needs.
    """

    scale: float
    labels: bool = True
    measures: bool = True
    numbered: bool = False  # numbered call-outs, whose names stand in a table beside the drawing
    said: str = ""  # the scale in words beside the scale bar
    text_mm: float = 3.0  # 8.5 pt
    view: tuple[float, float] | None = None

    @classmethod
    def on_paper(cls, scale: int) -> "DrawingLook":
        """For a sheet, at one to `scale`."""
        return cls(scale=scale, numbered=True, said=f"drawn 1:{scale}")

    @classmethod
    def on_screen(cls, board_mm: float, height_mm: float) -> "DrawingLook":
        """For a panel about 320 px wide: letters stay legible whatever the cake's size."""
        return cls(scale=max(board_mm, height_mm * 0.9, 150.0) / 62, text_mm=3.5)

    @classmethod
    def card(cls, widest_board_mm: float, tallest_mm: float) -> "DrawingLook":
        """For a card about 150 px wide, no words; give all cards the same largest board and height."""
        width = max(widest_board_mm, tallest_mm * 0.8) * 1.08
        return cls(
            scale=width / 40,
            labels=False,
            measures=False,
            view=(width, tallest_mm + HEADROOM_MM + BOARD_MM * 2),
        )


def fronts(tiers: Sequence[TierShown]) -> tuple[Box, ...]:
    """The front of each tier, base first, the ground at y = 0 and the middle at x = 0.

    A nominal size is the widest measure of its shape, corner to corner for a hexagon, so that
    it is the width in elevation.
    """
    boxes: list[Box] = []
    foot = -BOARD_MM
    for one in tiers:
        size, high = one.tier.size_mm, one.tier.height_mm
        boxes.append(Box(-size / 2, foot - high, size, high))
        foot -= high
    return tuple(boxes)


def tier_name(tier: Tier, units: Units) -> str:
    """As written on the drawing: "10 in round", "30 x 20 cm oval"."""
    across = length(tier.size_mm, units)
    if tier.width_mm is not None and tier.shape.has_width:
        across = f"{across.removesuffix(' ' + units.value)} x {length(tier.width_mm, units)}"
    return f"{across} {tier.shape.value}"


def cake_scene(
    tiers: Sequence[TierShown], decorations: Sequence[DecorationShown], board_mm: float,
    *, units: Units, look: DrawingLook,
) -> Scene:  # fmt: skip
    """The cake's elevation in millimetres. Tiers base first; `board_mm` is the board's width."""
    pen = Pen(look.scale, look.text_mm)
    boxes = fronts(tiers)
    labels = _labels(pen, boxes, tiers, decorations, units) if look.labels else ()
    keep_off = [Box(one.left, one.top, one.width, one.height) for one, _ in labels]
    edges = [front(box, one.tier.shape, one.texture) for box, one in zip(boxes, tiers, strict=True)]
    placement = placed(boxes, decorations, keep_off, pen.seen(_FINE) * 1.25, edges)
    shapes: list[Shape] = [*_ground(pen, board_mm, boxes)]
    for place, (box, one) in enumerate(zip(boxes, tiers, strict=True)):
        shapes.extend(_coat(pen, box, one))
        shapes.extend(_outline(pen, box, one, place))
    shapes.extend(placement.low)
    # Bands and panels were laid over the edges: the edges are drawn once more on top of them.
    for box, one in zip(boxes, tiers, strict=True):
        shapes.extend(_outline(pen, box, one))
    shapes.extend(placement.pieces)
    shapes.extend(shape for _, written in labels for shape in written)
    return _framed(
        pen, shapes, boxes, placement, decorations, board_mm, units, look, tiers, keep_off
    )


def _ground(pen: Pen, board_mm: float, boxes: Sequence[Box]) -> tuple[Shape, ...]:
    half = max(board_mm, max((box.width for box in boxes), default=0.0)) / 2
    reach = half + pen.seen(3)
    return (
        Path(line((-reach, 0), (reach, 0)), stroke=colours.INK, width=pen.seen(_FINE)),
        Path(
            rounded(-board_mm / 2, -BOARD_MM, board_mm, BOARD_MM, 2.5, 2.5), fill=colours.BOARD,
            stroke=colours.INK, width=pen.seen(_EDGE * 0.8), name="board",
        ),
    )  # fmt: skip


def _fill(one: TierShown) -> str:
    return colours.mixed(one.colour or "#F4ECDF", "#000000", 0)


def _coat(pen: Pen, box: Box, one: TierShown) -> tuple[Shape, ...]:
    return coat(box, one.tier.shape, one.texture, _fill(one), pen.seen(_FINE))


def _outline(pen: Pen, box: Box, one: TierShown, place: int | None = None) -> tuple[Shape, ...]:
    """The edge: whole for a tier that is eaten, dashed for one kept back, dotted for display."""
    outline = front(box, one.tier.shape, one.texture)
    name = "" if place is None else f"tier-{place + 1}"
    width = pen.seen(_EDGE)
    if one.tier.kind is Kind.EATEN:
        return (Path(outline, stroke=colours.INK, width=width, name=name),)
    dash = (2.2, 1.6) if one.tier.kind is Kind.KEPT else (0.4, 1.3)
    under = Path(outline, stroke=colours.WHITE, width=width * 1.6, name=name)
    return under, Path(outline, stroke=colours.INK, width=width, dash=tuple(map(pen.seen, dash)))


def _labels(
    pen: Pen, boxes: Sequence[Box], tiers: Sequence[TierShown],
    decorations: Sequence[DecorationShown], units: Units,
) -> tuple[tuple[Box, tuple[Shape, ...]], ...]:  # fmt: skip
    """Each tier's name on a plate of its own colour, and the room that it takes."""
    found = []
    for place, (box, one) in enumerate(zip(boxes, tiers, strict=True)):
        lines = [tier_name(one.tier, units)]
        if one.tier.kind in _SAID:
            lines.append(_SAID[one.tier.kind])
        size = pen.text
        longest = max(pen.words(words, bold=True) for words in lines)
        if longest > box.width * _LABEL_SHARE:
            size *= box.width * _LABEL_SHARE / longest
            longest = box.width * _LABEL_SHARE
        leading = size * 1.15
        high = leading * len(lines) + size * 0.35
        is_low = has_panel(decorations, place, len(boxes))
        centre = box.top + box.height * (0.74 if is_low else 0.5)
        plate = Box(-longest / 2 - size * 0.4, centre - high / 2, longest + size * 0.8, high)
        coat_colour = ground_colour(one.texture, _fill(one))
        ground = colours.WHITE if colours.is_dark(coat_colour) else coat_colour
        edge = rounded(plate.left, plate.top, plate.width, plate.height, high * 0.28, high * 0.28)
        shapes: list[Shape] = []
        is_dripped = any(
            other.symbol == "drip" and place in tiers_of(other, len(boxes)) for other in decorations
        )
        if is_dripped or not is_plain(one.texture) or ground != coat_colour:
            shapes.append(Path(edge, fill=ground))
        for row, words in enumerate(lines):
            y = plate.top + size * 0.2 + leading * row + size * 0.92
            shapes.append(Text(0, y, words, size, colours.INK, anchor="middle", bold=row == 0))
        found.append((plate, tuple(shapes)))
    return tuple(found)


def _framed(
    pen: Pen, shapes: list[Shape], boxes: Sequence[Box], placement: Placement,
    decorations: Sequence[DecorationShown], board_mm: float, units: Units, look: DrawingLook,
    tiers: Sequence[TierShown], keep_off: Sequence[Box],
) -> Scene:  # fmt: skip
    """Measures and call-outs round the cake, then the frame round all of it."""
    half = max(board_mm / 2, max((box.width / 2 for box in boxes), default=0.0))
    reach = max(half + pen.seen(3), placement.widest + pen.seen(1.5))
    left, right = -reach, reach
    top = min(boxes[-1].top if boxes else -BOARD_MM, placement.highest) - pen.seen(2)
    foot = pen.seen(2)
    if look.numbered and placement.spots:
        left, right = _call_out(pen, shapes, placement, reach, keep_off)
    elif look.labels:
        _say_counts(pen, shapes, placement, decorations)
    if look.measures and boxes:
        written, right = heights(pen, boxes, right + pen.seen(2), units)
        right += pen.seen(1)
        shapes[:0] = written  # under the cake, so that no line runs through a flower or a ring
        shapes.extend(board_width(pen, board_mm / 2, pen.seen(5), units))
        shapes.extend(scale_bar(pen, left + pen.seen(1.5), pen.seen(11), units, look.said))
        foot = pen.seen(17)
    if look.view:
        width, high = look.view
        left, right, foot = -width / 2, width / 2, BOARD_MM
        top = min(foot - high, top) if not boxes else foot - high
    return Scene(
        tuple(shapes), left, top, right - left, foot - top, _title(tiers, units), _description(tiers, units),
    )  # fmt: skip


def _call_out(
    pen: Pen, shapes: list[Shape], placement: Placement, reach: float, labels: Sequence[Box],
) -> tuple[float, float]:  # fmt: skip
    """Rings left and right of the cake, numbered as the decorations are; how far they reach."""
    sides: dict[int, list[CallOut]] = {-1: [], 1: []}
    for index, spots in sorted(placement.spots.items()):
        side, spot = _led_to(pen, spots, [*placement.words, *labels])
        sides[side].append(CallOut(str(index + 1), spot.x, spot.y, spot.radius))
    edge = reach + pen.seen(2.6)
    ends = [reach, reach]
    for side, marks in sides.items():
        if marks:
            shapes.extend(call_outs(pen, marks, side * edge, -pen.seen(200), -pen.seen(2.5)))
            ends[side > 0] = edge + pen.seen(2.3)
    return -ends[0], ends[1]


def _led_to(pen: Pen, spots: Sequence[Spot], words: Sequence[Box]) -> tuple[int, Spot]:
    """The side that the leader comes from and the piece it ends at: across as few words as can be."""
    middle = sum(spot.x for spot in spots) / len(spots)
    near = 1 if middle > pen.seen(3) else -1

    def crossed(side: int, spot: Spot) -> int:
        edge = side * (side * spot.x + spot.radius)
        return sum(
            1 for one in words
            if one.top - pen.seen(1) < spot.y < one.foot + pen.seen(1)
            and (one.right > edge + pen.seen(0.5) if side > 0 else one.left < edge - pen.seen(0.5))
        )  # fmt: skip

    ways = [(side, spot) for side in (near, -near) for spot in spots]
    return min(ways, key=lambda way: (crossed(*way), way[0] != near, -way[0] * way[1].x, way[1].y))


def _say_counts(
    pen: Pen, shapes: list[Shape], placement: Placement, decorations: Sequence[DecorationShown]
) -> None:
    """Where more pieces are meant than are drawn: "x 40" beside the outermost one."""
    for index, spots in sorted(placement.spots.items()):
        one = decorations[index]
        if len(spots) >= one.count or one.symbol in ("drip", *PANELS, *ROUND_THE_FOOT):
            continue
        words = f"× {one.count}"
        far = max(spots, key=lambda spot: (abs(spot.x), -spot.y))
        side = 1 if far.x > 0 else -1
        x = far.x + side * (far.radius + pen.seen(1.2))
        shapes.append(
            Text(x, far.y, words, pen.text, colours.INK, anchor="start" if side > 0 else "end")
        )


def _title(tiers: Sequence[TierShown], units: Units) -> str:
    if not tiers:
        return "An empty cake board"
    count = f"{len(tiers)} tiers" if len(tiers) > 1 else "one tier"
    high = length(sum(one.tier.height_mm for one in tiers), units)
    return f"Drawing of the cake: {count}, {high} high"


def _description(tiers: Sequence[TierShown], units: Units) -> str:
    """What a screen reader says: each tier from the base up."""
    said = []
    for place, one in enumerate(tiers, start=1):
        kind = f", {_SAID[one.tier.kind]}" if one.tier.kind in _SAID else ""
        high = length(one.tier.height_mm, units)
        said.append(f"Tier {number(place)}: {tier_name(one.tier, units)}, {high} high{kind}.")
    return " ".join(said)
