"""What goes on this cake that is in no catalogue? Its own pieces, as decorations of a book for this cake alone."""

import hashlib
import json
from dataclasses import replace
from decimal import Decimal

from consult.core.design import Design, OwnPiece
from shop.core.book import ShopBook, plain
from shop.core.catalogue import Decoration, Driver, Ingredient, Rate, Recipe, RecipeLine
from shop.core.money import Money


def own_code(piece: OwnPiece) -> str:
    """The code that a chosen decoration names it by: the same piece has the same code, and no other has it."""
    said = json.dumps(plain(piece), sort_keys=True, ensure_ascii=False)
    return f"own-{hashlib.sha256(said.encode()).hexdigest()[:16]}"


def with_own(book: ShopBook, design: Design) -> ShopBook:
    """The book with the design's own pieces among its decorations; the same book where there are none."""
    if not design.own:
        return book
    return replace(
        book,
        decorations=(*book.decorations, *(_decoration(piece) for piece in design.own)),
        ingredients=(*book.ingredients, *(_made_of(p, book) for p in design.own if p.contains)),
    )


def without_unused(design: Design) -> Design:
    """The design with only those of its own pieces that are on the cake."""
    used = {chosen.what for chosen in design.decorations}
    return replace(design, own=tuple(piece for piece in design.own if own_code(piece) in used))


def _decoration(piece: OwnPiece) -> Decoration:
    code = own_code(piece)
    nothing = Money.zero(piece.price.currency)
    made_of = (RecipeLine(code, Decimal(0)),) if piece.contains else ()
    return Decoration(
        code=code,
        name=piece.name,
        symbol="figure",
        rate=Rate(
            driver=Driver.PER_PIECE,
            minutes_once=Decimal(0),
            minutes_each=Decimal(piece.minutes),
            price_once=nothing,
            price_each=piece.price,
            cost_each=piece.cost,
        ),
        recipe=Recipe(made_of),
        lead_days=piece.lead_days,
        is_eaten=piece.is_eaten,
        comes_off=piece.comes_off,
    )


def _made_of(piece: OwnPiece, book: ShopBook) -> Ingredient:
    """What carries its allergens: no amount is known, so none is weighed or bought."""
    return Ingredient(own_code(piece), piece.name, piece.contains, Money.zero(book.currency))
