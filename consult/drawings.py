"""How does a page draw a cake? The same scene as the paper's, as SVG."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from consult.core.choices import texture_of, tier_of
from consult.core.design import Brief, ChosenDecoration, Design, Tier
from consult.core.sheet_making import colour_of
from consult.documents.drawing import DrawingLook, DrawnDecoration, DrawnTier, cake_scene
from consult.documents.scene import to_svg
from shop.core.book import ShopBook
from shop.core.measures import Units


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
