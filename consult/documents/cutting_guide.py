"""How is the cake taken apart, cut, kept and served? For whoever holds the knife at the venue."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer

from consult.core.allergens import listed_apart
from consult.core.venue_values import CuttingGuide, GuideTier
from consult.documents import fonts
from consult.documents.cutting_plan import PlanLook, cutting_scene
from consult.documents.paper import (
    RIGHT_BOLD,
    RIGHT_SMALL,
    TITLE,
    Drawing,
    Rule,
    Running,
    Said,
    column_width,
    heading,
    listed,
    opening,
    printed,
    said,
)
from consult.documents.scene import Scene
from consult.documents.tables import Cell, barred, beside, ledger
from consult.documents.ticked import BOWL, FIGURE, FIGURE_LEFT, NOTE, STRONG, WORDS, part, ticked
from shop.core.measures import Units

# Words of 11.5 pt stay readable where the page is printed as two A5 halves (our judgement).
_SCALES = (2.5, 3, 4, 5, 6, 8, 10, 12, 15)
_PLAN_WIDE, _PLAN_HIGH = 98 * mm, 82 * mm
_GAP = 7 * mm
_CALL_WIDE = 44 * mm
_LINES = WORDS.clone("guide list", leftIndent=11, bulletIndent=0, spaceAfter=2)


def cutting_guide(guide: CuttingGuide) -> bytes:
    """The guide as a PDF."""
    width = column_width(guide.paper)
    story: list[Flowable] = [
        *_head(guide, width),
        *_allergens(guide, width),
        *_take_out(guide, width),
        *_servings(guide, width),
        *_keep(guide, width),
        *_cutting(guide, width),
    ]
    about = ", ".join(words for words in (guide.client_name, guide.occasion) if words)
    running = Running(
        title="Cutting guide",
        about=about or "cake",
        shop=f"{guide.shop_name}, {guide.phone}" if guide.phone else guide.shop_name,
        number=f"Sheet {guide.number}, revision {guide.revision}",
    )
    subject = f"How to cut and serve the cake of sheet {guide.number}"
    return printed(story, paper=guide.paper, locale=guide.locale, subject=subject, running=running)


def _head(guide: CuttingGuide, width: float) -> list[Flowable]:
    about = ", ".join(words for words in (guide.client_name, guide.occasion) if words)
    left: list[Flowable] = [said("Cutting guide", TITLE), Spacer(0, 6), said(about, STRONG)]
    if guide.hand_over:
        left.append(said(guide.hand_over, WORDS))
    right: list[Flowable] = [Spacer(0, 4), said(guide.shop_name, RIGHT_BOLD)]
    if guide.phone:
        right += [said("Anything unclear? Call", RIGHT_SMALL), said(guide.phone, FIGURE)]
    right.append(said(f"Sheet {guide.number}, revision {guide.revision}", RIGHT_SMALL))
    return [
        beside(left, right, (width - _CALL_WIDE - _GAP, _CALL_WIDE), _GAP),
        Spacer(0, 7),
        Rule(width, thick=1.1, ticks=True),
        Spacer(0, 9),
    ]


def _labelled(label: str, words: str) -> Flowable:
    bold = f'<font name="{fonts.SANS_BOLD}">{fonts.words(label, fonts.SANS_BOLD)}</font>'
    return Said(f"{bold} {fonts.words(words)}", WORDS)


def _allergens(guide: CuttingGuide, width: float) -> list[Flowable]:
    parts: list[Flowable] = []
    if guide.contains:
        parts.append(_labelled("Contains", f"{', '.join(guide.contains)}."))
    if guide.may_contain:
        parts.append(_labelled("May contain", f"{', '.join(guide.may_contain)}."))
    if guide.leave_out:
        parts.append(_labelled("Not food:", f"{listed_apart(guide.leave_out)}."))
    parts += listed(guide.cautions, _LINES)
    return [barred(parts, width)]


def _take_out(guide: CuttingGuide, width: float) -> list[Flowable]:
    if not guide.take_out:
        return []
    first = 9 * mm
    rows = [
        [said(str(at), FIGURE_LEFT), said(step, WORDS)]
        for at, step in enumerate(guide.take_out, start=1)
    ]
    table = ticked(rows, (first, width - 8 * mm - first))
    return part("Take out first, from the top down", table)


def _servings(guide: CuttingGuide, width: float) -> list[Flowable]:
    made = [*guide.tiers, *guide.kitchen_cakes]
    if len(made) < 2:
        return []  # its plan says it
    rows: list[list[Cell]] = [
        [
            said(_named(one), STRONG),
            said(_short(one), WORDS),
            said("–" if one.not_cut else str(one.servings), FIGURE),
        ]
        for one in made
    ]
    rows.append(
        [said("All", STRONG), said(guide.slice_words, WORDS), said(str(guide.servings), FIGURE)]
    )
    figure = 22 * mm
    name = width * 0.42
    table = ledger(
        rows, (name, width - name - figure, figure), head=("Part", "How it is cut", "Servings"),
        right=(2,), ruled_off=len(made),
    )  # fmt: skip
    return part("What it gives", table)


def _named(one: GuideTier) -> str:
    return f"{one.where[0].upper()}{one.where[1:]}, {one.size}"


def _short(one: GuideTier) -> str:
    if one.plan is None:
        return "not cut"
    return f"in {one.plan.way.value}, {one.plan.count} pieces"


def _keep(guide: CuttingGuide, width: float) -> list[Flowable]:
    rows = [*listed(guide.keep, _LINES)]
    line = ledger(
        [[said("Out of the cold or the box at", STRONG), "", said("Cleared away at", STRONG), ""]],
        (56 * mm, width / 2 - 56 * mm, 34 * mm, width / 2 - 34 * mm), air=4.5,
    )  # fmt: skip
    return [KeepTogether([*heading("Keep and serve"), *rows, line])]


def _cutting(guide: CuttingGuide, width: float) -> list[Flowable]:
    """Each tier with its plan, top down; what is not cut is said in its place."""
    parts: list[Flowable] = []
    for at, one in enumerate([*guide.tiers, *guide.kitchen_cakes]):
        head = [*opening("Cut it so"), *_how(), Spacer(0, 5)] if at == 0 else [Spacer(0, 11)]
        title = said(_named(one), BOWL)
        if one.plan is None:
            parts.append(KeepTogether([*head, title, said(one.not_cut, STRONG)]))
            continue
        scene, scale = _plan(one, guide.units)
        steps = [
            Said(fonts.words(step), _LINES, bulletText=f"{number}.")
            for number, step in enumerate(one.steps, start=1)
        ]
        right: list[Flowable] = [
            said(f"{one.servings} servings", FIGURE_LEFT),
            Spacer(0, 4),
            *steps,
            Spacer(0, 3),
            *listed(one.notes, _LINES),
        ]
        drawing = Drawing(scene, scale)
        block = beside([drawing], right, (_PLAN_WIDE, width - _PLAN_WIDE - _GAP), _GAP)
        parts.append(KeepTogether([*head, title, Spacer(0, 4), block]))
    return parts


def _plan(one: GuideTier, units: Units) -> tuple[Scene, float]:
    """The plan and the scale, one to so many, at which it fits its column."""
    assert one.plan is not None  # asked only of tiers that are cut
    for scale in _SCALES:
        look = PlanLook(scale=scale, said=f"drawn 1:{scale:g}")
        scene = cutting_scene(one.plan, one.height_mm, units, look)
        if scene.width * mm / scale <= _PLAN_WIDE and scene.height * mm / scale <= _PLAN_HIGH:
            break
    return scene, scale


def _how() -> list[Flowable]:
    """How to hold the knife: common practice, no source."""
    return [
        said(
            "A long thin knife, dipped in hot water and wiped after each cut; straight down, no sawing"
            " through fondant. Numbers say in which order the pieces come off, hatched parts are"
            " offcuts.",
            NOTE,
        )
    ]
