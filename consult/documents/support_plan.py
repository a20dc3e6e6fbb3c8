"""How is the stack held up, carried and put together? The support plan, with templates at true size."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, PageBreak, Spacer

from consult.core.support_sheet import TRUE_SIZE, SheetJoin, SupportSheet
from consult.documents import fonts
from consult.documents.paper import (
    BOLD,
    FOOT,
    HEADING,
    INK,
    LEAD,
    LIST,
    RIGHT_BOLD,
    RIGHT_SMALL,
    RUNNING_TOP,
    SIZES,
    SMALL,
    TITLE,
    Drawing,
    Rule,
    Running,
    column_width,
    fitted,
    heading,
    listed,
    long_date,
    opening,
    printed,
    said,
)
from consult.documents.scene import Scene
from consult.documents.support_drawing import cut_open, template, tiles, true_bars
from consult.documents.tables import barred, beside, ledger
from shop.core.policies import Paper

SCALES = (3, 4, 5, 6, 7, 8, 9, 10, 12, 15)  # one to so many; the largest drawing that fits is taken
_DRAWING_WIDE, _DRAWING_HIGH = 114 * mm, 112 * mm
_GAP = 7 * mm
_FIGURE = LEAD.clone("figure", fontName=fonts.SANS_BOLD, fontSize=15, leading=18)
_LIST = LIST.clone("support list", fontSize=10.6, leading=14.5, leftIndent=11)
_STEP = LEAD.clone("step", fontSize=11.5, leading=15.5)


class TickBox(Flowable):  # type: ignore[misc]  # ReportLab publishes no types
    """An empty square to tick with a pen."""

    def __init__(self, size: float = 4.6 * mm) -> None:
        super().__init__()
        self.width = self.height = size

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        with self.canv.artifact():
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(0.9)
            self.canv.rect(0, 0, self.width, self.height)


def support_plan(sheet: SupportSheet) -> bytes:
    """The plan as a PDF: the stack cut open, each join, lifting and travel, assembly, templates 1:1."""
    width = column_width(sheet.paper)
    story: list[Flowable] = [
        *_head(sheet, width),
        *_problems(sheet, width),
        *_stack(sheet, width),
        *_joins(sheet, width),
        *_travel(sheet, width),
        *_steps(sheet, width),
        *_templates(sheet),
    ]
    running = Running(
        title="Support plan",
        about=_about(sheet),
        shop=sheet.shop_name,
        number=f"Sheet {sheet.number}, revision {sheet.revision}",
    )
    subject = f"Supports, boards and transport: {_about(sheet)}"
    return printed(
        story, paper=sheet.paper, locale=sheet.locale, subject=subject, running=running
    )  # fmt: skip


def _about(sheet: SupportSheet) -> str:
    return ", ".join(part for part in (sheet.client_name, sheet.occasion) if part) or "cake"


def _head(sheet: SupportSheet, width: float) -> list[Flowable]:
    left: list[Flowable] = [said("Support plan", TITLE), Spacer(0, 7), said(_about(sheet), BOLD)]
    if sheet.event_on:
        left.append(said(long_date(sheet.event_on, sheet.locale), LEAD))
    right: list[Flowable] = [
        Spacer(0, 4),
        said(sheet.shop_name, RIGHT_BOLD),
        said(f"Sheet {sheet.number}, revision {sheet.revision}", RIGHT_SMALL),
        said("for the kitchen and whoever delivers", RIGHT_SMALL),
    ]
    return [
        beside(left, right, (width * 0.56, width * 0.44 - _GAP), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 9),
    ]


def _problems(sheet: SupportSheet, width: float) -> list[Flowable]:
    if not sheet.problems:
        return []
    parts: list[Flowable] = [said("Not to be built like this", BOLD)]
    parts += [said(one) for one in sheet.problems]
    return [barred(parts, width), Spacer(0, 9)]


def scene_of(sheet: SupportSheet) -> tuple[Scene, int]:
    """The drawing and the scale, one to so many, at which it fits its column on paper."""
    for scale in SCALES:
        scene = cut_open(sheet.plan, scale)
        if scene.width * mm / scale <= _DRAWING_WIDE and scene.height * mm / scale <= _DRAWING_HIGH:
            break
    return scene, scale


def _stack(sheet: SupportSheet, width: float) -> list[Flowable]:
    scene, scale = scene_of(sheet)
    narrow = width - _DRAWING_WIDE - _GAP
    right: list[Flowable] = [said(sheet.travel, _FIGURE), Spacer(0, 5)]
    rows = [[[said(fact.label, SMALL), said(fact.value, BOLD)]] for fact in sheet.facts]
    if rows:
        right.append(ledger(rows, (narrow,), air=2.4))
    left: list[Flowable] = [
        Drawing(scene, scale),
        Spacer(0, 9),
        barred([said(sheet.certificate, LEAD)], _DRAWING_WIDE),
    ]
    return [beside(left, right, (_DRAWING_WIDE, narrow), _GAP)]


def _joins(sheet: SupportSheet, width: float) -> list[Flowable]:
    if not sheet.joins:
        return []
    columns = (width - 122 * mm, 17 * mm, 27 * mm, 31 * mm, 31 * mm, 16 * mm)
    rows = [_join_row(one) for one in sheet.joins]
    head = ("Join", "Supports", "Cut to", "Each carries", "Each may carry", "Used")
    parts: list[Flowable] = [
        ledger(rows, columns, head=head, air=4),
        Spacer(0, 4),
        said(f"All are {sheet.joins[0].rod}. {sheet.how_reckoned}", SMALL),
        Spacer(0, 4),
        *listed([f"{one.title}: {_lower(one.why)}" for one in sheet.joins], _LIST),
    ]
    return [*opening("Supports, from the base up"), *parts]


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]


def _join_row(one: SheetJoin) -> list[Flowable]:
    return [
        said(one.title, BOLD), said(one.count, _FIGURE), said(one.cut, BOLD), said(one.each_carries),
        said(one.may_carry), said(one.used, BOLD),
    ]  # fmt: skip


def _travel(sheet: SupportSheet, width: float) -> list[Flowable]:
    if not sheet.parts:
        return []
    columns = (width - 136 * mm, 28 * mm, 43 * mm, 45 * mm, 20 * mm)
    rows = [
        [
            said(one.name, BOLD),
            said(one.weighs, BOLD),
            said(one.board),
            said(one.box),
            said(one.lifted_by),
        ]
        for one in sheet.parts
    ]
    head = ("Part", "Weighs", "Board", "Box inside, on its own", "Lifted by")
    more: list[Flowable] = [Spacer(0, 5), *listed(sheet.lifting, _LIST)]
    together: list[Flowable] = [
        *heading("Lifting and travel"),
        said(sheet.travel, _FIGURE),
        Spacer(0, 3),
        *listed(sheet.travel_why, _LIST),
        Spacer(0, 4),
        ledger(rows, columns, head=head, air=3.6),
    ]
    return [KeepTogether(together), *more]


def _steps(sheet: SupportSheet, width: float) -> list[Flowable]:
    if not sheet.steps:
        return []
    box = 9 * mm
    rows = [
        [TickBox(), said(f"{place}. {step}", _STEP)]
        for place, step in enumerate(sheet.steps, start=1)
    ]
    parts: list[Flowable] = [*opening(sheet.steps_title), ledger(rows, (box, width - box), air=4.2)]
    if sheet.notes:
        parts += [
            KeepTogether([*heading("What goes wrong with stacks"), *listed(sheet.notes, _LIST)])
        ]
    return parts


def template_room(paper: Paper) -> tuple[float, float]:
    """Width and height, in millimetres, that a page has for a template under its title and bars."""
    title = HEADING.leading + HEADING.spaceAfter
    bars = true_bars(TRUE_SIZE).height * mm
    high = SIZES[paper][1] - RUNNING_TOP - FOOT - title - bars - 2.5 * mm
    return column_width(paper) / mm, float(high) / mm


def _templates(sheet: SupportSheet) -> list[Flowable]:
    """Each join on pages of its own, at true size, with bars to measure on every page."""
    story: list[Flowable] = []
    for one in sheet.joins:
        for tile in tiles(template(one.join, sheet.plan), *template_room(sheet.paper)):
            words = f"Template, {_lower(one.title)}"
            if tile.words:
                words += f": {tile.words}"
            words = fitted(words, HEADING.fontSize, column_width(sheet.paper), HEADING.fontName)
            story += [
                PageBreak(),
                said(words, HEADING),
                Drawing(true_bars(TRUE_SIZE), 1),
                Spacer(0, 1.5 * mm),
                Drawing(tile.scene, 1),
            ]
    return story
