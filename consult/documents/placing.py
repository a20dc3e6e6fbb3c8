"""Where does each decoration sit on the drawing? Always the same place for the same design, none on a label."""

from collections.abc import Sequence

from consult.documents import colours, symbols
from consult.documents.clusters import put_clusters
from consult.documents.outlines import Outline, line, rectangle
from consult.documents.scene import Group, Path, Shape, moved
from consult.documents.spots import (
    GOLDEN_ANGLE,
    PANELS,
    ROUND_THE_FOOT,
    SCATTERED,
    DecorationShown,
    Numbered,
    Placement,
    Spot,
    drawn_count,
    is_on,
    panel_tier,
    shared_out,
    tiers_of,
)
from consult.documents.standing import put_standing
from consult.documents.textures import Box, drips, scatter

_RIBBON_MM, _BEAD_MM = 14.0, 4.2
_READABLE = 8.0  # lines wide: letters about 1.7 mm high as seen


def placed(
    boxes: Sequence[Box],
    decorations: Sequence[DecorationShown],
    labels: Sequence[Box],
    width: float,
    outlines: Sequence[Outline] = (),
) -> Placement:
    """All decorations on tiers whose fronts are `boxes`, base first, keeping off the `labels`.

    What runs all round is cut off at the tier's outline where `outlines` are given.
    """
    placement = Placement()
    if boxes:
        numbered = [(index, one) for index, one in enumerate(decorations) if one.count > 0]
        _put_bands(placement, boxes, numbered, width, outlines)
        _put_panels(placement, boxes, numbered, width)
        _put_scatter(placement, boxes, numbered, [*labels, *placement.words], width)
        standing = put_standing(placement, boxes, numbered, [*labels, *placement.words], width)
        taken = [*labels, *placement.words, *standing]
        put_clusters(placement, boxes, numbered, taken, width)
    return placement


def _put_bands(
    placement: Placement,
    boxes: Sequence[Box],
    numbered: Numbered,
    width: float,
    outlines: Sequence[Outline],
) -> None:
    """What runs all round: drips from the top edge, then ribbon, then beads along the foot."""
    for symbol in ("drip", *ROUND_THE_FOOT):
        for index, one in numbered:
            if one.symbol != symbol:
                continue
            colour = symbols.colour_of(symbol, one.colour)
            for tier in tiers_of(one, len(boxes)):
                box = boxes[tier]
                edge = outlines[tier] if outlines else None
                if symbol == "drip":
                    placement.low.append(Group(drips(box, colour, width), clip=edge))
                    placement.put(index, Spot(box.left + 8, box.top + 8, 4))
                elif symbol == "ribbon":
                    placement.low.append(Group(_ribbon(box, colour, width), clip=edge))
                    placement.put(index, Spot(box.left + 6, box.foot - _RIBBON_MM / 2, 2))
                else:
                    placement.pieces.extend(_beads(box, colour, width))
                    placement.put(index, Spot(box.left + _BEAD_MM, box.foot - _BEAD_MM, _BEAD_MM))


def _ribbon(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    high = min(_RIBBON_MM, box.height / 3)
    top = box.foot - high
    line_colour = symbols.line_on(colour)
    inner = (
        line((box.left, top + 2.2), (box.right, top + 2.2)),
        line((box.left, box.foot - 2.2), (box.right, box.foot - 2.2)),
    )
    band = rectangle(box.left, top, box.width, high)
    return (
        Path(band, fill=colour, stroke=colours.INK, width=width),
        *(Path(one, stroke=line_colour, width=width * 0.6) for one in inner),
    )


def _beads(box: Box, colour: str, width: float) -> tuple[Shape, ...]:
    count = max(3, round(box.width / (2 * _BEAD_MM)))
    radius = box.width / count / 2
    return tuple(
        moved(
            symbols.pearl(radius, colour, width),
            box.left + radius * (2 * one + 1),
            box.foot - radius,
        )
        for one in range(count)
    )


def _put_scatter(
    placement: Placement,
    boxes: Sequence[Box],
    numbered: Numbered,
    labels: Sequence[Box],
    width: float,
) -> None:
    """Pearls over the sides, thicker towards the foot; metal leaf from the top edge down."""
    for index, one in numbered:
        if one.symbol not in SCATTERED:
            continue
        colour = symbols.colour_of(one.symbol, one.colour)
        radius = symbols.RADII[one.symbol]
        tiers = tiers_of(one, len(boxes))
        counts = shared_out(
            drawn_count(one, len(tiers)), [boxes[tier].width * boxes[tier].height for tier in tiers]
        )
        for tier, count in zip(tiers, counts, strict=True):
            box, put = boxes[tier], 0
            for step, (u, v) in enumerate(scatter(count * 8 + 40, start=index * 17)):
                if put == count:
                    break
                x = box.left + radius + u * (box.width - 2 * radius)
                down = v**1.6 if one.symbol == "leaf_metal" else v**0.75
                y = box.top + radius + down * (box.height - 2 * radius)
                if any(is_on(label, x, y, radius + 1) for label in labels):
                    continue
                size = (
                    radius * (0.7 + 0.5 * ((step * 0.618) % 1))
                    if one.symbol == "leaf_metal"
                    else radius
                )
                drawn = symbols.PIECES[one.symbol](size, colour, width)
                placement.low.append(moved(drawn, x, y, step * GOLDEN_ANGLE % 360))
                placement.put(index, Spot(x, y, size))
                put += 1


def _put_panels(
    placement: Placement, boxes: Sequence[Box], numbered: Numbered, width: float
) -> None:
    """Writing and prints, side by side in the upper part of the front."""
    for tier, box in enumerate(boxes):
        here = [
            (index, one) for index, one in numbered
            if one.symbol in PANELS and panel_tier(one, len(boxes)) == tier
        ]  # fmt: skip
        for slot, (index, one) in enumerate(here):
            room = box.width / len(here)
            half = min(room * 0.4, box.height * 0.62, 70.0)
            if one.symbol == "print":
                half = min(half, box.height * 0.34)
            x, y = box.left + room * (slot + 0.5), box.top + box.height * 0.34
            colour, high = symbols.colour_of(one.symbol, one.colour), half * 0.68
            words = symbols.piped_words(one.note) if one.symbol == "lettering" else ""
            if words:
                drawn, half, high = symbols.written(
                    words, room * 0.84, box.height * 0.4, width * _READABLE, colour
                )
            else:
                drawn = symbols.PIECES[one.symbol](half, colour, width)
            placement.low.append(moved(drawn, x, y))
            placement.words.append(Box(x - half, y - high, half * 2, high * 2))
            for side in (-1, 1):  # a leader ends before the writing, from whichever side it comes
                placement.put(index, Spot(x + side * (half + width * 6), y, 0))
