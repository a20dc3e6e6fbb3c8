"""Where does the knife go? A plan from above, to scale: pieces in the order they are cut, offcuts hatched."""

from collections.abc import Iterator
from dataclasses import dataclass

from consult.core.cutting import CuttingPlan, Piece, levels
from consult.core.cutting_outlines import Area, DrawnPlan, drawn
from consult.documents import colours
from consult.documents.measuring import Pen, scale_bar
from consult.documents.outlines import Outline, line, rectangle
from consult.documents.scene import Hatch, Path, Scene, Shape, Text
from shop.core.measures import Units, length

_EDGE, _CUT = 0.5, 0.28  # line widths in millimetres as seen
_TINTS = ("#FFFFFF", "#EEF1E8")  # rings and rows by turns, so that the order is seen
_LEAST_TEXT_MM = 1.9  # 5.4 pt, the smallest number that is read on paper


@dataclass(frozen=True, slots=True)
class PlanLook:
    """How large the plan is seen: `scale` millimetres of cake for one millimetre."""

    scale: float
    text_mm: float = 2.9
    said: str = ""  # the scale in words beside its bar

    @classmethod
    def on_paper(cls, scale: int) -> "PlanLook":
        return cls(scale=scale, said=f"drawn 1:{scale}")


def cutting_scene(plan: CuttingPlan, height_mm: float, units: Units, look: PlanLook) -> Scene:
    """One level of a tier from above; of a tall tier its levels from the side, beside it."""
    pen = Pen(look.scale, look.text_mm)
    shown = drawn(plan)
    edge = _outline(shown.edge)
    left, right = (side(x for x, _ in shown.edge.edge) for side in (min, max))
    low, high = (side(y for _, y in shown.edge.edge) for side in (min, max))
    hatch = Hatch(colours.SOFT_INK, pen.seen(1.3), pen.seen(0.12), 45)
    shapes: list[Shape] = [Path(edge, fill="#FFFFFF")]
    shapes += [Path(_outline(area), fill=_TINTS[place % 2]) for place, area in shown.fields]
    shapes += [Path(_outline(area), fill=hatch) for area in shown.offcuts]
    shapes += [
        Path(line(*((x, -y) for x, y in cut)), stroke=colours.INK, width=pen.seen(_CUT))
        for cut in shown.cuts
    ]
    shapes.append(Path(edge, stroke=colours.INK, width=pen.seen(_EDGE), name="tier"))
    shapes += list(_numbers(plan, shown, pen))
    air = pen.seen(1.5)
    reach = right + air
    bar = -low + pen.seen(4)
    count = int(levels(height_mm))
    if count > 1:
        sides, reach = _levels(count, height_mm, plan.size_mm, right + pen.seen(5), pen, units)
        shapes += sides
    shapes += scale_bar(pen, left, bar, units, look.said)
    return Scene(
        tuple(shapes), left - air, -high - air, max(reach, right + air) - left + air,
        bar + pen.seen(6) + high + air, _title(plan, units), _description(plan, count, units),
    )  # fmt: skip


def _outline(area: Area) -> Outline:
    """The area as drawing commands, its holes after its edge; y turned to go down."""
    commands: list[tuple[str, tuple[float, ...]]] = []
    for points in (area.edge, *area.holes):
        commands += [*line(*((x, -y) for x, y in points)), ("Z", ())]
    return tuple(commands)


def _numbers(plan: CuttingPlan, shown: DrawnPlan, pen: Pen) -> Iterator[Shape]:
    """A number in each piece that has room for it; else in the first and last of each ring or row and
    in every fifth."""
    pieces = plan.pieces
    if not pieces:
        return
    widest = "8" * len(str(pieces[-1].number))
    narrow = min(plan.slice_size.width_mm, plan.slice_size.depth_mm)
    size = min(pen.text, narrow * 0.62)
    if pen.words(widest) / pen.text * size > narrow * 0.84:
        size = narrow * 0.84 * pen.text / pen.words(widest)
    is_sparse = size < pen.seen(_LEAST_TEXT_MM)
    size = max(size, pen.seen(_LEAST_TEXT_MM))
    for at, piece in enumerate(pieces):
        if is_sparse and not _is_marked(pieces, at):
            continue
        x, y = shown.middles[at]
        yield Text(x, -y + size * 0.34, str(piece.number), size, colours.INK, anchor="middle")


def _is_marked(pieces: tuple[Piece, ...], at: int) -> bool:
    """Whether the piece is numbered where only some are: the first, the last and every fifth, but
    none beside the first of its ring."""
    here = pieces[at].ring_or_row
    if at == 0 or pieces[at - 1].ring_or_row != here:
        return True
    if at == len(pieces) - 1:
        return True
    is_near_first = any(pieces[at - step].ring_or_row != here for step in (1, 2) if at - step >= 0)
    return pieces[at].number % 5 == 0 and not is_near_first


def _levels(
    count: int, height_mm: float, size_mm: float, x: float, pen: Pen, units: Units
) -> tuple[list[Shape], float]:
    """The tier from the side at the plan's scale, cut off at its left: levels, boards between, words."""
    wide = min(size_mm * 0.4, pen.seen(26))
    each = height_mm / count
    top = -height_mm / 2
    shapes: list[Shape] = []
    reach = x + wide
    for at in range(count):
        y = top + at * each
        shapes.append(
            Path(
                rectangle(x, y, wide, each),
                fill=_TINTS[1],
                stroke=colours.INK,
                width=pen.seen(_CUT),
            )
        )
        words = f"level {count - at}: {length(each, units)}"
        shapes.append(
            Text(
                x + wide + pen.seen(1.5), y + each / 2 + pen.text / 3, words, pen.text, colours.INK
            )
        )
        reach = max(reach, x + wide + pen.seen(1.5) + pen.words(words))
        if at:
            shapes.append(
                Path(rectangle(x - pen.seen(1.5), y - pen.seen(0.5), wide + pen.seen(3), pen.seen(1)),
                     fill=colours.BOARD, stroke=colours.INK, width=pen.seen(0.15))
            )  # fmt: skip
            shapes.append(
                Text(
                    x + wide + pen.seen(2.5), y + pen.text / 3, "board", pen.text, colours.SOFT_INK
                )
            )
    return shapes, reach + pen.seen(1)


def _title(plan: CuttingPlan, units: Units) -> str:
    return f"Cutting plan from above: {length(plan.size_mm, units)} {plan.shape.value}, in {plan.way.value}"


def _description(plan: CuttingPlan, count: int, units: Units) -> str:
    said = " ".join(plan.steps_in_words(units))
    tall = f" The tier is cut as {count} levels with a board between." if count > 1 else ""
    return f"{plan.count} pieces. {said}{tall}"
