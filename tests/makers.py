"""The trade's things for tests: a shop's book, a brief, a design, a tier. All of it is invented."""

from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import date, time
from decimal import Decimal
from typing import Any

from consult.core.design import (
    Brief,
    ChosenDecoration,
    Client,
    Design,
    Event,
    HandOver,
    How,
    Kind,
    Limits,
    Need,
    Tier,
)
from shop.core.book import ShopBook
from shop.core.catalogue import Shape
from shop.core.measures import Units, to_mm
from tests import invented_shop as shop
from tests.invented_shop import INCH, make_pan, make_rate, make_recipe, usd

__all__ = [
    "INCH",
    "TODAY",
    "WEDDING_DAY",
    "make_book",
    "make_brief",
    "make_design",
    "make_pan",
    "make_rate",
    "make_recipe",
    "make_tier",
    "usd",
]

TODAY = date(2027, 3, 3)  # a Wednesday
WEDDING_DAY = date(2027, 5, 15)  # a Saturday


def make_book(**changes: Any) -> ShopBook:
    """An invented shop in dollars and inches.

    A change is named by a field of the book, its identity, policies, terms or stack limits:
    make_book(minimum_order=usd(200), currency="EUR", ledge_mm=20.0, finishes=(...)).
    """
    policies = _changed(shop.policies(), changes, "stacks")
    stacks = changes.pop("stacks", policies.stacks)
    policies = replace(policies, stacks=_changed(stacks, changes))
    identity, terms = _changed(shop.identity(), changes), _changed(shop.terms(), changes)
    book = ShopBook(
        identity=identity,
        policies=policies,
        terms=terms,
        pans=shop.pans(),
        slices=shop.slices(),
        ingredients=shop.ingredients(),
        flavours=shop.flavours(),
        fillings=shop.fillings(),
        finishes=shop.finishes(),
        decorations=shop.decorations(),
        tasks=shop.tasks(),
    )
    book = _changed(book, changes)
    if changes:
        raise TypeError(f"A shop has no {', '.join(changes)}.")
    return book


def _changed(thing: Any, changes: dict[str, Any], *but: str) -> Any:
    """The thing with the changes that name its fields, which are taken out of `changes`."""
    names = [field.name for field in fields(thing) if field.name in changes]
    return replace(thing, **{name: changes.pop(name) for name in names if name not in but})


def make_tier(size: float = 8, *, height: float = 4, **changes: Any) -> Tier:
    """A round tier, 4 in tall, in inches; shape, width_mm, kind and choices as changes."""
    shape = changes.pop("shape", Shape.ROUND)
    return Tier(shape, to_mm(size, Units.INCHES), to_mm(height, Units.INCHES), **changes)


def make_design(
    tiers: Sequence[float | Tier] = (12, 9, 6),
    *,
    height: float = 4,
    shape: Shape = Shape.ROUND,
    flavour: str = "vanilla",
    filling: str = "buttercream",
    finish: str = "smooth",
    keep_top: bool = False,
    decorations: Sequence[ChosenDecoration] = (),
    **changes: Any,
) -> Design:
    """A design from its pans in inches, base first, or from whole tiers."""
    made = [
        tier
        if isinstance(tier, Tier)
        else Tier(
            shape,
            to_mm(tier, Units.INCHES),
            to_mm(height, Units.INCHES),
            flavour=flavour,
            filling=filling,
            finish=finish,
        )
        for tier in tiers
    ]
    if keep_top and made:
        made[-1] = replace(made[-1], kind=Kind.KEPT)
    return Design(tiers=tuple(made), decorations=tuple(decorations), **changes)


def make_brief(
    guests: int = 80,
    tiers: Sequence[float | Tier] = (12, 9, 6),
    *,
    on: date | None = WEDDING_DAY,
    delivery_km: int | str | None = None,
    slice_size: str = "dessert",
    eating_share: str = "1",
    spare: int = 0,
    keep_top: bool = False,
    decorations: Sequence[ChosenDecoration] = (),
    design: Design | None = None,
    **changes: Any,
) -> Brief:
    """A wedding of 80 with three round tiers, collected at noon unless `delivery_km` is given.

    Other changes name fields of the brief: make_brief(limits=..., avoid=..., client=...).
    """
    hand_over = HandOver(How.COLLECTION, time(12, 0))
    if delivery_km is not None:
        hand_over = HandOver(How.DELIVERY, time(14, 0), Decimal(delivery_km), "The Old Boathouse")
    made = {
        "client": Client("Ann Okafor", "ann@example.org", "+1 555 0123"),
        "event": Event("wedding", on),
        "hand_over": hand_over,
        "need": Need(guests, slice_size, Decimal(eating_share), spare, keep_top),
        "limits": Limits(),
        "design": design or make_design(tiers, keep_top=keep_top, decorations=decorations),
    }
    return Brief(**{**made, **changes})
