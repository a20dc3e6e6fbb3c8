"""What does the kitchen make, how much of it, when, in what order? Big figures, boxes to tick, no prices."""

from collections.abc import Sequence

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from consult.core.kitchen_values import (
    KitchenDecoration,
    KitchenMix,
    KitchenSheet,
    KitchenTier,
    KitchenUse,
)
from consult.core.shopping import Weighed, grams_written
from consult.documents import fonts
from consult.documents.drawing import DrawingLook, DrawnDecoration, DrawnTier, cake_scene
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
    Said,
    column_width,
    opening,
    printed,
    said,
)
from consult.documents.tables import Cell, barred, beside, ledger
from consult.documents.ticked import (
    AIR,
    BOWL,
    FIGURE,
    FIGURE_LEFT,
    NOTE,
    STRONG,
    TICKS,
    WORDS,
    Tick,
    part,
    raised,
    swatch,
    ticked,
)

LOUD = STRONG.clone("loud", fontSize=17, leading=21)
_GAP = 7 * mm
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
        *_when(sheet, width),
        *_bowls(sheet, width, "Mix the batter", ("batter", "syrup")),
        *_pans(sheet, width),
        *_oven(sheet, width),
        *_bowls(sheet, width, "Make fillings and coats", ("icing", "rolled")),
        *_build(sheet, width),
        *_decorations(sheet, width),
        *_supports(sheet, width),
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
        beside(left, right, (width * 0.66, width * 0.34 - _GAP), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 9),
    ]


def _labelled(label: str, words: str) -> Flowable:
    bold = f'<font name="{fonts.SANS_BOLD}">{fonts.words(label, fonts.SANS_BOLD)}</font>'
    return Said(f"{bold} {fonts.words(words)}", WORDS)


def _must(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """The thick box on top: what must not be in it, what is, what the kitchen minds."""
    parts: list[Flowable] = []
    if sheet.free_of:
        parts.append(said(f"Must be free of {_listed(sheet.free_of)}", LOUD))
        parts.append(said(sheet.free_of_says, WORDS))
    parts += [said(one, STRONG) for one in sheet.conflicts]
    if sheet.contains:
        parts.append(_labelled("Contains", f"{', '.join(sheet.contains)}."))
    if sheet.may_contain:
        parts.append(_labelled("May contain", f"{', '.join(sheet.may_contain)}."))
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
    narrow = width - _DRAWING_WIDE - _GAP
    made = [*reversed(sheet.tiers), *sheet.kitchen_cakes]
    # Many tiers are said shorter, so that they stand on the first page with their drawing.
    style = WORDS if len(made) <= _FEW_TIERS else NOTE
    rows: list[list[Cell]] = [_tier_line(one, style) for one in made]
    right = ledger(rows, (narrow,), air=3)
    return [
        Spacer(0, 10),
        beside([Drawing(scene, scale)], [right], (_DRAWING_WIDE, narrow), _GAP),
        *([Spacer(0, 6), _labelled("Notes:", sheet.notes)] if sheet.notes else []),
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


def _when(sheet: KitchenSheet, width: float) -> list[Flowable]:
    if not sheet.schedule:
        return []
    from_wide, until_wide, hands_wide = 37 * mm, 27 * mm, 20 * mm
    rows = [
        [
            said(step.what, WORDS),
            said(step.starts, STRONG),
            said(step.ends, WORDS),
            said(step.hands, WORDS),
        ]
        for step in sheet.schedule
    ]
    rest = width - TICKS - from_wide - until_wide - hands_wide
    table = ticked(
        rows, (rest, from_wide, until_wide, hands_wide), ("What", "From", "Until", "Hands")
    )
    return part("When", table)


def _bowls(sheet: KitchenSheet, width: float, title: str, kinds: Sequence[str]) -> list[Flowable]:
    """A bowl after the other; a bowl is never parted unless it is longer than a page."""
    found = [mix for mix in sheet.mixes if mix.kind in kinds]
    if not found:
        return []
    parts: list[Flowable] = []
    for at, mix in enumerate(found):
        head = opening(title) if at == 0 else [Spacer(0, 9)]
        parts.append(KeepTogether([*head, *_bowl(mix, width)]))
    return [*parts, Spacer(0, 3), said(sheet.rounding, NOTE)]


def _bowl(mix: KitchenMix, width: float) -> list[Flowable]:
    title = ledger(
        [[Tick(), said(mix.name, BOWL), said(mix.grams, FIGURE)]],
        (TICKS, width - TICKS - 34 * mm, 34 * mm), air=3,
    )  # fmt: skip
    title.setStyle(TableStyle([("LINEBELOW", (0, 0), (-1, -1), 0.8, INK)]))
    left_wide = width * 0.56 - _GAP / 2
    right_wide = width - left_wide - _GAP
    left: list[Flowable] = [_recipe(mix.lines, left_wide)] if mix.lines else [
        said("No recipe is written down for it.", WORDS)
    ]  # fmt: skip
    return [
        title,
        beside(left, _uses(mix.uses, right_wide), (left_wide, right_wide), _GAP),
        said(mix.note, NOTE),
    ]


def _recipe(lines: Sequence[Weighed], width: float) -> Table:
    rows = []
    for line in lines:
        name: list[Flowable] = [said(line.name, WORDS)]
        if line.pieces:
            name.append(said(f"{line.pieces} {line.piece_words}, weighed off", NOTE))
        rows.append([name, said(grams_written(line.grams), FIGURE)])
    return ticked(rows, (width - TICKS - 27 * mm, 27 * mm), figures=1)


def _uses(uses: Sequence[KitchenUse], width: float) -> list[Flowable]:
    rows = []
    for use in uses:
        into: list[Flowable] = [said(use.what, WORDS)]
        if use.colour_name or use.colour:
            into.append(swatch(use.colour_name or use.colour, use.colour, width - 25 * mm))
        rows.append([into, said(use.grams, FIGURE)])
    return [raised(ledger(rows, (width - 25 * mm, 25 * mm), right=(1,), air=AIR), 1, False)]


def _made(sheet: KitchenSheet) -> list[KitchenTier]:
    return [*sheet.tiers, *sheet.kitchen_cakes]


def _pans(sheet: KitchenSheet, width: float) -> list[Flowable]:
    rows: list[list[Cell]] = []
    for one in _made(sheet):
        if not one.pan:
            continue
        times = f"{one.count} × " if one.count > 1 else ""
        name = f"{times}{one.where}, {one.cake}"
        pan: list[Flowable] = [
            said(f"{name[0].upper()}{name[1:]}", STRONG), said(one.pan, WORDS),
            said(one.fill_words, WORDS), said(one.bake, NOTE),
        ]  # fmt: skip
        rows.append([pan, said(f"{one.baked * one.count} × {one.each}", FIGURE)])
    if not rows:
        return []
    figure = 42 * mm
    table = ticked(rows, (width - TICKS - figure, figure), ("Tier", "Batter in each pan"), 1)
    return part("Fill the pans", table)


def _oven(sheet: KitchenSheet, width: float) -> list[Flowable]:
    if not (sheet.loads or sheet.too_large):
        return []
    rows = [
        [said(f"Load {at}", FIGURE_LEFT), said(load, WORDS)]
        for at, load in enumerate(sheet.loads, start=1)
    ]
    first = 22 * mm
    table = ticked(rows, (first, width - TICKS - first), ("Oven", "In it together"))
    too_large = [said(one, STRONG) for one in sheet.too_large]
    return [*part("Bake", table), Spacer(0, 3), *too_large, said(sheet.loads_note, NOTE)]


def _build(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """What goes into and onto each tier, in the order it goes on."""
    parts: list[Flowable] = []
    for at, one in enumerate(_made(sheet)):
        times = f"each of {one.count}: " if one.count > 1 else ""
        rows: list[list[Cell]] = [
            [said(what, WORDS), said(how, WORDS), said(grams, FIGURE)]
            for what, how, grams in (
                ("Syrup", one.syrup, ""),
                ("Dam", f"{one.undercoat}, round the edge of each filling", one.dam),
                ("Filling", one.filling, one.filling_g),
                ("Crumb coat", f"{one.undercoat}, then chill", one.crumb),
            )
            if grams or (what == "Syrup" and how)
        ]
        coat: list[Flowable] = [said(one.finish, WORDS)]
        if one.coat:
            coat.append(said(one.coat, WORDS))
        if one.colour_name and one.colour_name != "its own colour":
            coat.append(swatch(one.colour_name, one.colour, 60 * mm))
        rows.append([said("Final coat", WORDS), coat, said(one.coat_g, FIGURE)])
        what_wide, grams_wide = 25 * mm, 27 * mm
        table = ticked(
            rows,
            (what_wide, width - TICKS - what_wide - grams_wide, grams_wide),
            figures=2,
        )
        head = opening("Fill and coat") if at == 0 else [Spacer(0, 8)]
        name = f"{times}{one.where}, {one.size}"
        title = said(f"{name[0].upper()}{name[1:]}", BOWL)
        parts.append(KeepTogether([*head, title, table]))
    return parts


def _decorations(sheet: KitchenSheet, width: float) -> list[Flowable]:
    if not sheet.decorations:
        return []
    figure = 34 * mm
    rows = [_decoration(one, width) for one in sheet.decorations]
    table = ticked(
        rows, (width - TICKS - figure, figure), ("Decoration, earliest first", "Make"), 1
    )
    return part("Decorations", table)


def _decoration(one: KitchenDecoration, width: float) -> list[Cell]:
    what: list[Flowable] = [said(f"{one.name}, {one.where}", STRONG)]
    if one.ready:
        what.append(said(one.ready, STRONG))
    if one.colour or one.colour_name:
        what.append(swatch(one.colour_name or one.colour, one.colour, width * 0.5))
    details = "; ".join(part for part in (one.how_much, one.note) if part)
    if details:
        what.append(said(details, WORDS))
    if one.made_of:
        what.append(said(one.made_of, WORDS))
    make: list[Flowable] = [said(one.make, FIGURE)]
    if one.spare:
        make.append(said(one.spare, NOTE.clone("note right", alignment=TA_RIGHT)))
    return [what, make]


def _supports(sheet: KitchenSheet, width: float) -> list[Flowable]:
    if not sheet.supports:
        return []
    rows = [[said(one, WORDS)] for one in sheet.supports]
    return part("Boards and dowels", ticked(rows, (width - TICKS,)))


def _out(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """What is checked before it leaves, and what may hurt someone."""
    lines = [
        sheet.hand_over,
        "Every box has its label: what is in it, allergens, keep cold until, this way up.",
        "Cutting guide and support plan are in the bag, with spare pieces, icing and tools.",
    ]
    comes_off = [f"{one.name}: {one.comes_off}" for one in sheet.decorations if one.comes_off]
    rows = [[said(line, WORDS)] for line in (*lines, *comes_off)]
    checked = ticked(rows, (width - TICKS,))
    parts: list[Flowable] = [KeepTogether([*opening("Hand-over"), checked])]
    if sheet.cautions:
        cautions = [said(one, NOTE) for one in sheet.cautions]
        parts += [*opening("Mind"), barred(cautions, width)]
    made = ledger(
        [[said("Made by", BOLD), "", said("Checked by", BOLD), ""]],
        (20 * mm, width / 2 - 20 * mm, 24 * mm, width / 2 - 24 * mm), air=9,
    )  # fmt: skip
    made.setStyle(TableStyle([("LINEBELOW", (0, 0), (-1, -1), 0.6, HexColor(RULE.hexval()))]))
    return [*parts, Spacer(0, 8), made]
