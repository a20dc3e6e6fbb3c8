"""What goes into the bowls, the pans and onto each tier? Big figures beside boxes to tick."""

from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from consult.core.kitchen_values import KitchenMix, KitchenSheet, KitchenTier
from consult.core.shopping import Weighed, grams_written
from consult.documents import fonts
from consult.documents.paper import COLUMN, INK, Said, opening, said
from consult.documents.tables import Cell, ledger
from consult.documents.ticked import (
    BOWL,
    CLOSE_AIR,
    FIGURE,
    FIGURE_LEFT,
    GAP,
    NOTE,
    STRONG,
    TICKS,
    WORDS,
    Tick,
    labelled,
    part,
    swatch,
    ticked,
    whole,
)
from consult.documents.two_columns import TwoColumns, continued


def bowls(sheet: KitchenSheet, width: float, title: str, kinds: Sequence[str]) -> list[Flowable]:
    """What is weighed into each bowl, two bowls side by side; a batter has its pans after it."""
    column = (width - GAP) / 2
    parts = []
    for mix in sheet.mixes:
        if mix.kind in kinds:
            pans = [one for one in _made(sheet) if mix.kind == "batter" and one.bowl == mix.name]
            parts.append(whole(_bowl(mix, column), column))
            parts += [whole(_pans(pans, column), column)] if pans else []
    if not parts:
        return []
    return [TwoColumns(continued(title), parts, width, GAP)]


def _bowl(mix: KitchenMix, width: float) -> list[Flowable]:
    figure = 27 * mm
    title = ledger(
        [[Tick(), said(mix.name, BOWL), said(mix.grams, FIGURE)]],
        (TICKS, width - TICKS - figure, figure), air=3,
    )  # fmt: skip
    title.setStyle(TableStyle([("LINEBELOW", (0, 0), (-1, -1), 0.8, INK)]))
    recipe = _recipe(mix.lines, width) if mix.lines else said(
        "No recipe is written down for it.", WORDS
    )  # fmt: skip
    return [title, recipe, Spacer(0, 2), said(mix.note, NOTE)]


def _recipe(lines: Sequence[Weighed], width: float) -> Table:
    rows = []
    for line in lines:
        name: list[Flowable] = [said(line.name, WORDS)]
        if line.pieces:
            name.append(said(f"{line.pieces} {line.piece_words}, weighed off", NOTE))
        rows.append([name, said(grams_written(line.grams), FIGURE)])
    return ticked(rows, (width - TICKS - 27 * mm, 27 * mm), figures=1, air=CLOSE_AIR)


def _made(sheet: KitchenSheet) -> list[KitchenTier]:
    return [*sheet.tiers, *sheet.kitchen_cakes]


def _pans(made: Sequence[KitchenTier], width: float) -> list[Flowable]:
    """What is poured into which pans from the bowl before it."""
    rows: list[list[Cell]] = []
    for one in made:
        times = f"{one.count} × " if one.count > 1 else ""
        name = f"{times}{one.where}, {one.cake}"
        pans = one.baked * one.count
        figure = fonts.words(f"{pans} × {one.each}", fonts.SANS_BOLD)
        together = fonts.words(f"   {one.batter} together") if pans > 1 else ""
        rows.append([[
            Said(f'{figure}<font name="{fonts.SANS}" size="10">{together}</font>', FIGURE_LEFT),
            said(f"{name[0].upper()}{name[1:]}", STRONG), said(one.pan, WORDS),
            said(f"{one.fill_words}. {one.bake}", NOTE),
        ]])  # fmt: skip
    table = ticked(rows, (width - TICKS,), ("Fill the pans",), air=CLOSE_AIR)
    return [Spacer(0, 3), table]


def oven(sheet: KitchenSheet, width: float) -> list[Flowable]:
    if not (sheet.loads or sheet.too_large):
        return []
    rows = [
        [said(f"Load {at}", FIGURE_LEFT), said(load, WORDS)]
        for at, load in enumerate(sheet.loads, start=1)
    ]
    first = 22 * mm
    table = ticked(rows, (first, width - TICKS - first), ("Oven", "In it together"))
    too_large = [said(one, STRONG) for one in sheet.too_large]
    note = [said(sheet.loads_note, NOTE)] if sheet.loads_note else []
    return part("Bake", table, [Spacer(0, 3), *too_large, *note])


def build(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """What goes into and onto each tier: a row a tier, a column a layer, in the order it goes on."""
    made = _made(sheet)
    if not made:
        return []
    steps = [title for title in _LAYERS if any(_layer(one, title)[0] for one in made)]
    alike = {title: _alike(made, title) for title in steps}
    name_wide = 31 * mm
    each = (width - name_wide) / len(steps)
    rows: list[list[Cell]] = []
    for one in made:
        times = f"each of {one.count}: " if one.count > 1 else ""
        name = f"{times}{one.where}"
        row: list[Cell] = [[said(f"{name[0].upper()}{name[1:]}", STRONG), said(one.size, NOTE)]]
        for title in steps:
            figure, notes = _layer(one, title)
            cell: list[Flowable] = [said(figure, FIGURE_LEFT)]
            cell += [said(text, NOTE) for text in notes if not alike[title]]
            if title == "Final coat" and one.colour_name not in ("", "its own colour"):
                cell.append(swatch(one.colour_name, one.colour, each - TICKS))
            row += [Tick(), cell] if figure else ["", said("–", WORDS)]
        rows.append(row)
    head: list[Cell] = [said(text, COLUMN) for title in ["Tier", *steps] for text in ("", title)][
        1:
    ]
    widths = [name_wide, *(wide for _ in steps for wide in (TICKS, each - TICKS))]
    table = ledger([head, *rows], widths, air=CLOSE_AIR, whole_rows=True)
    once = [
        labelled(f"{title}:", f"{', '.join(alike[title])}.", NOTE)
        for title in steps
        if alike[title]
    ]
    return [KeepTogether([*opening("Fill and coat"), *once, Spacer(0, 3), table])]


_LAYERS = ("Syrup", "Dam", "Filling", "Crumb coat", "Final coat")


def _alike(made: Sequence[KitchenTier], title: str) -> tuple[str, ...]:
    """What is said of a layer once, in the head of its column, where it is the same on every tier."""
    notes = {_layer(one, title)[1] for one in made if _layer(one, title)[0]}
    return notes.pop() if len(notes) == 1 else ()


def _layer(one: KitchenTier, title: str) -> tuple[str, tuple[str, ...]]:
    """How much of it, "" for none, and what is said under the figure."""
    notes = {
        "Syrup": (one.syrup, ("both sides of each layer",)),
        "Dam": (one.dam, (f"{one.undercoat}, round the edge of each filling",)),
        "Filling": (one.filling_g, (one.filling,)),
        "Crumb coat": (one.crumb, (f"{one.undercoat}, then chill",)),
        "Final coat": (one.coat_g, (one.finish, *([one.coat] if one.coat else []))),
    }
    return notes[title]
