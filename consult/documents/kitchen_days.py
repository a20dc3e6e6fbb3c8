"""When does the kitchen do what? The schedule as lines to tick off, a day at a time in two columns."""

import re
from collections.abc import Callable

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer

from consult.core.kitchen_values import KitchenSheet, KitchenStep
from consult.documents import fonts
from consult.documents.paper import Said, opening, said
from consult.documents.ticked import (
    BOWL,
    CLOSE_AIR,
    FIGURE_LEFT,
    GAP,
    NOTE,
    TICKS,
    WORDS,
    ticked,
    whole,
)
from consult.documents.two_columns import TwoColumns

_SHORT_DAY = 2  # lines of a schedule


def days(sheet: KitchenSheet, width: float) -> list[Flowable]:
    """The schedule, a day at a time in two columns."""
    if not sheet.schedule:
        return []
    column = (width - GAP) / 2
    by_day: dict[str, list[KitchenStep]] = {}
    for step in sheet.schedule:
        by_day.setdefault(step.day, []).append(step)
    parts: list[Flowable] = [*opening("When")]
    short: list[Flowable] = []  # days of a line or two, two of them side by side
    for day, steps in [*by_day.items(), ("", [])]:
        rows = [_step(step, column) for step in steps]
        if 0 < len(rows) <= _SHORT_DAY:
            short.append(whole([*_titled(day)(False), *rows], column))
            continue
        if short:
            parts.append(TwoColumns(lambda _: [], short, width, GAP))
            short = []
        if rows:
            parts.append(TwoColumns(_titled(day), rows, width, GAP))
    return parts


def _titled(words: str) -> Callable[[bool], list[Flowable]]:
    """A heading of a day, which says when it is there again."""

    def heads(runs_on: bool) -> list[Flowable]:
        return [Spacer(0, 5), said(f"{words}, continued" if runs_on else words, BOWL), Spacer(0, 2)]

    return heads


def _step(step: KitchenStep, width: float) -> Flowable:
    clock_wide = 25.5 * mm
    until = fonts.words(f"–{step.ends}")
    clock = f'{fonts.words(step.starts, fonts.SANS_BOLD)}<font name="{fonts.SANS}" size="10">{until}</font>'
    hands = re.sub(r"(\d) (?=min|h)", "\\1\u00a0", step.hands)  # a figure stays with its unit
    # The short word for whose hands stands on the same line where there is room.
    what = f'{fonts.words(step.what)} <font size="{NOTE.fontSize}">{fonts.words(hands)}</font>'
    row = [[Said(clock, FIGURE_LEFT), Said(what, WORDS)]]
    return ticked(row, (clock_wide, width - TICKS - clock_wide), air=CLOSE_AIR)
