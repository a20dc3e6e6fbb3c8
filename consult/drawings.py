"""How does a page draw a cake? The same scene as the paper's, as SVG; and a code to scan."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import segno

from consult.core.choices import texture_of, tier_of
from consult.core.cutting import CuttingPlan
from consult.core.deposit import epc_matrix
from consult.core.design import Brief, ChosenDecoration, Design, Tier
from consult.core.sheet import DesignSheet
from consult.core.sheet_making import colour_of
from consult.documents.cutting_plan import PlanLook, cutting_scene
from consult.documents.drawing import DrawingLook, DrawnDecoration, DrawnTier, cake_scene
from consult.documents.scene import to_svg
from shop.core.book import ShopBook
from shop.core.measures import Units

PLAN_MM = 90.0  # how wide a plan is seen on a page


@lru_cache(maxsize=256)  # the same cake is shown on step after step; some 30 kB each
def _svg(
    tiers: tuple[DrawnTier, ...],
    decorations: tuple[DrawnDecoration, ...],
    board_mm: float,
    units: Units,
    look: DrawingLook,
    prefix: str,
    places: int = 2,
) -> str:
    scene = cake_scene(tiers, decorations, board_mm, units=units, look=look)
    return to_svg(scene, prefix=prefix, places=places)


def _drawn(tiers: Sequence[Tier], book: ShopBook) -> tuple[DrawnTier, ...]:
    return tuple(DrawnTier(tier, texture_of(tier, book), colour_of(tier, book)) for tier in tiers)


def _put_on(
    decorations: Sequence[ChosenDecoration], tiers: Sequence[Tier], book: ShopBook
) -> tuple[DrawnDecoration, ...]:
    return tuple(
        DrawnDecoration(
            book.decoration(chosen.what).symbol,
            chosen.count,
            tier_of(chosen, tiers),
            chosen.colour,
            chosen.note,
        )
        for chosen in decorations
    )


def so_far(brief: Brief, book: ShopBook, board_mm: float) -> str:
    """The cake so far with its measures; empty while there are no tiers."""
    design = brief.design
    if not design.tiers:
        return ""
    return _svg(
        _drawn(design.tiers, book),
        _put_on(design.decorations, design.tiers, book),
        board_mm,
        book.identity.units,
        DrawingLook.on_screen(board_mm, design.height_mm),
        "so-far",
    )


@lru_cache(maxsize=64)
def knife_plan(plan: CuttingPlan, height_mm: float, units: Units, prefix: str) -> str:
    """How a tier is cut, from above, its pieces numbered in the order they come off; with its own scale."""
    look = PlanLook(scale=plan.size_mm / PLAN_MM)
    return to_svg(cutting_scene(plan, height_mm, units, look), prefix=prefix, places=1)


def of_sheet(sheet: DesignSheet) -> str:
    """The cake of a sheet as it was agreed, with its measures."""
    tallest = sheet.height_mm
    return _svg(
        tuple(DrawnTier(each.tier, each.texture, each.colour) for each in sheet.tiers),
        tuple(
            DrawnDecoration(each.symbol, each.count, each.tier, each.colour, each.note)
            for each in sheet.decorations
        ),
        sheet.board_mm,
        sheet.units,
        DrawingLook.on_screen(sheet.board_mm, tallest),
        "sheet",
    )


def _code_svg(matrix: Sequence[Sequence[bool]], says: str) -> str:
    """A QR code with its quiet zone of 4 modules (ISO/IEC 18004), dark on white whatever the theme."""
    side = len(matrix) + 8
    path = "".join(
        f"M{x + 4} {y + 4}h1v1h-1z"
        for y, row in enumerate(matrix)
        for x, is_dark in enumerate(row)
        if is_dark
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="qr" viewBox="0 0 {side} {side}" role="img" '
        f'aria-label="{says}" shape-rendering="crispEdges"><rect width="{side}" height="{side}" '
        f'fill="#FFFFFF"/><path fill="#000000" d="{path}"/></svg>'
    )


def payment_code(payload: str) -> str:
    """The EPC payment code as SVG."""
    return _code_svg(epc_matrix(payload), "Payment code to scan with a banking app")


def link_code(address: str) -> str:
    """An address as a code that a phone's camera opens."""
    code = segno.make_qr(address, error="m")
    return _code_svg([[bool(module) for module in row] for row in code.matrix], "Code to scan")


def card(
    tiers: Sequence[Tier],
    design: Design,
    book: ShopBook,
    *,
    prefix: str,
    frame: tuple[float, float],
    in_full: bool = False,
) -> str:
    """A stack on a card, in the colours of the design; `in_full` with its coats and decorations too.

    Nine cards in full would be most of a page's bytes and time, for textures nobody sees at that size.

    `frame` is the widest board and the tallest stack of all cards in millimetres, so that they share one scale.
    """
    widest, tallest = frame
    margin = book.policies.stacks.board_margin_mm
    dressed = tuple(
        replace(tier, finish=like.finish, colour=like.colour) if like else tier
        for tier, like in zip(tiers, _alike(design.tiers, len(tiers)), strict=True)
    )
    drawn = _drawn(dressed, book)
    if not in_full:
        drawn = tuple(replace(tier, texture="smooth") for tier in drawn)
    return _svg(
        drawn,
        _put_on(design.decorations, dressed, book) if in_full else (),
        tiers[0].size_mm + 2 * margin,
        book.identity.units,
        DrawingLook.card(widest + 2 * margin, tallest),
        prefix,
        places=1,
    )


def _alike(tiers: Sequence[Tier], count: int) -> tuple[Tier | None, ...]:
    """For each place from the base, the design's tier there; further up its top; None without any."""
    if not tiers:
        return (None,) * count
    return tuple(tiers[min(place, len(tiers) - 1)] for place in range(count))
