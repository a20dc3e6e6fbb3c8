"""What does the kitchen make, how much of it, when, in what order? Big figures, boxes to tick, no prices."""

from collections.abc import Sequence

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from consult.core.kitchen_values import (
    KitchenDecoration,
    KitchenSheet,
    KitchenTier,
)
from consult.documents.drawing import DrawingLook, DrawnDecoration, DrawnTier, cake_scene
from consult.documents.kitchen_bowls import bowls, build, oven
from consult.documents.kitchen_days import days
from consult.documents.paper import (
    BOLD,
    INK,
    RIGHT_BOLD,
    RIGHT_SMALL,
    RULE,
    TITLE,
    Drawing,
    Rule,
    Running,
    column_width,
    heading,
    opening,
    printed,
    said,
)
from consult.documents.tables import Cell, barred, beside, ledger
from consult.documents.ticked import (
    CLOSE_AIR,
    FIGURE,
    FIGURE_LEFT,
    GAP,
    NOTE,
    STRONG,
    TICKS,
    WORDS,
    labelled,
    swatch,
    ticked,
)
from consult.documents.two_columns import TwoColumns, continued

LOUD = STRONG.clone("loud", fontSize=17, leading=21)
_FEW_TIERS = 4
_DRAWING_WIDE, _DRAWING_HIGH = 74 * mm, 84 * mm
_MEASURES_WIDE = 20 * mm  # what the heights beside the cake take at least
_SCALES = (5, 6, 8, 10, 12, 15, 20)  # one to so many; the largest drawing that fits is taken


def kitchen_sheet(sheet: KitchenSheet) -> bytes:
    """The sheet as a PDF."""
    width = column_width(sheet.paper)
    story: list[Flowable] = [
        *_head(sheet, width),
        *_must(sheet, width),
        *_cake(sheet, width),
        *days(sheet, width),
        *bowls(sheet, width, "Mix the batter", ("batter", "syrup")),
        *oven(sheet, width),
        *bowls(sheet, width, "Make fillings and coats", ("icing", "rolled")),
        *([said(sheet.rounding, NOTE)] if sheet.mixes else []),
        *build(sheet, width),
        *_decorations(sheet, width),
        *_out(sheet, width),
    ]
    about = ", ".join(part for part in (sheet.client_name, sheet.occasion) if part)
    running = Running(
        title="Kitchen sheet",
        about=about or "cake",
        shop=sheet.shop_name,
        number=f"Sheet {sheet.number}, revision {sheet.revision}",
    )
    subject = f"What to make for sheet {sheet.number}"
    return printed(story, paper=sheet.paper, locale=sheet.locale, subject=subject, running=running)


def _head(sheet: KitchenSheet, width: float) -> list[Flowable]:
    about = ", ".join(part for part in (sheet.client_name, sheet.occasion) if part)
    left: list[Flowable] = [said("Kitchen sheet", TITLE), Spacer(0, 6), said(about, STRONG)]
    left.append(said(sheet.hand_over, FIGURE_LEFT))
    right = [
        Spacer(0, 4),
        said(sheet.shop_name, RIGHT_BOLD),
        said(f"Sheet {sheet.number}, revision {sheet.revision}", RIGHT_SMALL),
        said("For the kitchen. It goes to no client.", RIGHT_SMALL),
    ]
    return [
        beside(left, right, (width * 0.66, width * 0.34 - GAP), GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 9),
    ]


def _must(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """The thick box on top: what must not be in it, what is, what the kitchen minds."""
    parts: list[Flowable] = []
    if sheet.free_of:
        parts.append(said(f"Must be free of {_listed(sheet.free_of)}", LOUD))
        parts.append(said(sheet.free_of_says, WORDS))
    parts += [said(one, STRONG) for one in sheet.conflicts]
    if sheet.contains:
        parts.append(labelled("Contains", f"{', '.join(sheet.contains)}."))
    if sheet.may_contain:
        parts.append(labelled("May contain", f"{', '.join(sheet.may_contain)}."))
    if not parts:
        parts.append(said("No allergen is named in the recipes of this cake.", WORDS))
    box = barred(parts, width)
    box.setStyle(TableStyle([("BOX", (0, 0), (-1, -1), 2.4, INK)]))
    return [box]


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _cake(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """The cake as it will stand, and each tier in a line beside it."""
    if not sheet.tiers:
        return []
    tiers = [DrawnTier(one.tier, one.texture, one.colour) for one in sheet.tiers]
    pieces = [
        DrawnDecoration(one.symbol, one.count, one.tier, one.colour) for one in sheet.decorations
    ]
    least = sheet.board_mm * mm / (_DRAWING_WIDE - _MEASURES_WIDE)
    for scale in [one for one in _SCALES if one >= least] or _SCALES[-1:]:
        look = DrawingLook(scale=scale, said=f"drawn 1:{scale}")
        scene = cake_scene(tiers, pieces, sheet.board_mm, units=sheet.units, look=look)
        if scene.width * mm / scale <= _DRAWING_WIDE and scene.height * mm / scale <= _DRAWING_HIGH:
            break
    narrow = width - _DRAWING_WIDE - GAP
    made = [*reversed(sheet.tiers), *sheet.kitchen_cakes]
    # Many tiers are said shorter, so that they stand on the first page with their drawing.
    style = WORDS if len(made) <= _FEW_TIERS else NOTE
    rows: list[list[Cell]] = [_tier_line(one, style) for one in made]
    right = ledger(rows, (narrow,), air=3)
    return [
        Spacer(0, 10),
        beside([Drawing(scene, scale)], [right], (_DRAWING_WIDE, narrow), GAP),
        *([Spacer(0, 6), labelled("Notes:", sheet.notes)] if sheet.notes else []),
    ]


def _tier_line(one: KitchenTier, style: ParagraphStyle) -> list[Cell]:
    times = f"{one.count} × " if one.count > 1 else ""
    kind = f" ({one.kind})" if one.kind else ""
    filled = f"{one.cake}, filled with {one.filling}" if one.filling else one.cake
    coat = f"{one.finish}: {one.colour_name}" if one.colour_name else one.finish
    return [
        [
            said(f"{times}{one.where[0].upper()}{one.where[1:]}, {one.size}{kind}", STRONG),
            *(said(words, style) for words in (filled, coat)),
        ]
    ]


def _decorations(sheet: KitchenSheet, width: float) -> list[Flowable]:
    if not sheet.decorations:
        return []
    column = (width - GAP) / 2
    rows: list[Flowable] = [
        ticked([_decoration(one, column)], (column - TICKS - 25 * mm, 25 * mm), figures=1)
        for one in sheet.decorations
    ]
    return [TwoColumns(continued("Decorations, earliest first"), rows, width, GAP)]


def _decoration(one: KitchenDecoration, width: float) -> list[Cell]:
    what: list[Flowable] = [said(f"{one.name}, {one.where}", STRONG)]
    if one.ready:
        what.append(said(one.ready, STRONG))
    if one.colour or one.colour_name:
        what.append(swatch(one.colour_name or one.colour, one.colour, width - TICKS - 25 * mm))
    details = "; ".join(part for part in (one.how_much, one.note) if part)
    if details:
        what.append(said(details, WORDS))
    if one.made_of:
        what.append(said(one.made_of, WORDS))
    make: list[Flowable] = [said(one.make, FIGURE)]
    if one.spare:
        make.append(said(one.spare, NOTE.clone("note right", alignment=TA_RIGHT)))
    return [what, make]


def _out(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """What holds it up, what is checked before it leaves, and what may hurt someone."""
    lines = [
        sheet.hand_over,
        "Every box has its label: what is in it, allergens, keep cold until, this way up.",
        "Cutting guide and support plan are in the bag, with spare pieces, icing and tools.",
    ]
    comes_off = [f"{one.name}: {one.comes_off}" for one in sheet.decorations if one.comes_off]
    column = (width - GAP) / 2 if sheet.supports else width
    checked = [*heading("Hand-over"), _lines((*lines, *comes_off), column)]
    parts: list[Flowable] = checked
    if sheet.supports:
        left = [*heading("Boards and dowels"), _lines(sheet.supports, column)]
        parts = [beside(left, checked, (column, column), GAP)]
    parts = [KeepTogether(parts)]
    if sheet.cautions:
        cautions = [said(one, NOTE) for one in sheet.cautions]
        parts += [*opening("Mind"), barred(cautions, width)]
    made = ledger(
        [[said("Made by", BOLD), "", said("Checked by", BOLD), ""]],
        (20 * mm, width / 2 - 20 * mm, 24 * mm, width / 2 - 24 * mm), air=9,
    )  # fmt: skip
    made.setStyle(TableStyle([("LINEBELOW", (0, 0), (-1, -1), 0.6, HexColor(RULE.hexval()))]))
    return [*parts, Spacer(0, 8), made]


def _lines(lines: Sequence[str], width: float) -> Table:
    return ticked([[said(line, WORDS)] for line in lines], (width - TICKS,), air=CLOSE_AIR)
