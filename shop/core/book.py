"""What did the shop offer on that day? One value that holds it all, and its JSON form.

A consultation keeps the edition it was quoted from, so a later change of price or terms touches nothing
that a client was shown. The JSON form is also the shop's export.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, time
from decimal import Decimal
from enum import Enum
from functools import cached_property
from types import UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from shop.core.catalogue import (
    BenchTask,
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    SliceSize,
)
from shop.core.money import Money
from shop.core.policies import Identity, Policies, Terms

Coded = TypeVar("Coded", Ingredient, SliceSize, Flavour, Filling, Finish, Decoration, BenchTask)


class WrongBook(ValueError):
    """The JSON given is not a shop's export; the message says where, by path."""


@dataclass(frozen=True)
class ShopBook:
    """Everything the shop decides, as it stood at one moment."""

    identity: Identity
    policies: Policies
    terms: Terms
    pans: tuple[Pan, ...]
    slices: tuple[SliceSize, ...]
    ingredients: tuple[Ingredient, ...]
    flavours: tuple[Flavour, ...]
    fillings: tuple[Filling, ...]
    finishes: tuple[Finish, ...]
    decorations: tuple[Decoration, ...]
    tasks: tuple[BenchTask, ...]

    @property
    def currency(self) -> str:
        return self.identity.currency

    @cached_property
    def _by_code(self) -> dict[tuple[str, str], Any]:
        kinds = ("slices", "ingredients", "flavours", "fillings", "finishes", "decorations")
        return {(kind, thing.code): thing for kind in kinds for thing in getattr(self, kind)}

    def slice(self, code: str) -> SliceSize:
        """The slice size of that code; KeyError if this edition has none (likewise below)."""
        found: SliceSize = self._by_code["slices", code]
        return found

    def ingredient(self, code: str) -> Ingredient:
        found: Ingredient = self._by_code["ingredients", code]
        return found

    def flavour(self, code: str) -> Flavour:
        found: Flavour = self._by_code["flavours", code]
        return found

    def filling(self, code: str) -> Filling:
        found: Filling = self._by_code["fillings", code]
        return found

    def finish(self, code: str) -> Finish:
        found: Finish = self._by_code["finishes", code]
        return found

    def decoration(self, code: str) -> Decoration:
        found: Decoration = self._by_code["decorations", code]
        return found


def plain(value: Any) -> Any:
    """A frozen value as JSON's own types. Decimals and money become strings, sets sorted lists."""
    if isinstance(value, Money):
        return {"amount": str(value), "currency": value.currency}
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, frozenset | set):
        return sorted(plain(item) for item in value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    return value


def canonical_json(value: Any) -> str:
    """One text for one value: sorted keys, no spaces, UTF-8 kept (after RFC 8785, for our types)."""
    return json.dumps(
        plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def digest(value: Any) -> str:
    """SHA-256 of the canonical JSON, as hex."""
    return hashlib.sha256(canonical_json(value).encode()).hexdigest()


def _built(kind: Any, raw: Any, path: str) -> Any:
    """`raw` (JSON's types) as the annotated `kind`; WrongBook says where it does not fit."""
    origin, args = get_origin(kind), get_args(kind)
    try:
        if origin is UnionType or (args and type(None) in args):
            inner = next(arg for arg in args if arg is not type(None))
            return None if raw is None else _built(inner, raw, path)
        if origin in (tuple, frozenset):
            if not isinstance(raw, list):
                raise WrongBook(f"{path}: must be a list")
            items = [_built(args[0], item, f"{path}[{at}]") for at, item in enumerate(raw)]
            if origin is tuple and args[-1] is not Ellipsis and len(items) != len(args):
                raise WrongBook(f"{path}: must have {len(args)} entries")
            return origin(items)
        if kind is Money:
            return Money.of(str(raw["amount"]), str(raw["currency"]))
        if is_dataclass(kind):
            return built(kind, raw, path)
        if kind is Decimal:
            return Decimal(str(raw))
        if kind in (date, time):
            return kind.fromisoformat(raw)
        if kind is float:
            return float(raw)
        if kind in (int, bool, str):
            if not isinstance(raw, kind) or (kind is int and isinstance(raw, bool)):
                raise WrongBook(f"{path}: must be {kind.__name__}")
            return raw
        return kind(raw)
    except WrongBook:
        raise
    except (ArithmeticError, KeyError, TypeError, ValueError) as error:
        raise WrongBook(f"{path}: {raw!r} does not fit") from error


def built(kind: Any, raw: Any, path: str) -> Any:
    """A dataclass from its plain form. WrongBook names the path of what is missing or does not fit."""
    if not isinstance(raw, dict):
        raise WrongBook(f"{path}: must be an object")
    hints = get_type_hints(kind)
    known = {f.name: f for f in fields(kind)}
    unknown = sorted(set(raw) - set(known))
    if unknown:
        raise WrongBook(f"{path}.{unknown[0]}: is not known here")
    given = {
        name: _built(hints[name], raw[name], f"{path}.{name}") for name in known if name in raw
    }
    try:
        return kind(**given)
    except TypeError as error:
        missing = [name for name in known if name not in raw]
        raise WrongBook(f"{path}.{missing[0]}: is missing") from error


def book_from_plain(raw: Any) -> ShopBook:
    """A ShopBook from its JSON form (an export). WrongBook says what does not fit, by path."""
    book: ShopBook = built(ShopBook, raw, "shop")
    for kind in ("slices", "flavours", "fillings", "finishes"):
        if not getattr(book, kind):
            raise WrongBook(f"shop.{kind}: needs at least one entry")
    for kind in ("slices", "ingredients", "flavours", "fillings", "finishes", "decorations"):
        codes = [thing.code for thing in getattr(book, kind)]
        if len(codes) != len(set(codes)):
            raise WrongBook(f"shop.{kind}: has a code twice")
    known = {ingredient.code for ingredient in book.ingredients}
    for name, used in _ingredients_used(book):
        if used not in known:
            raise WrongBook(f"shop.{name}: its recipe names {used!r}, which is no ingredient")
    return book


def _ingredients_used(book: ShopBook) -> Iterable[tuple[str, str]]:
    for kind in ("flavours", "fillings", "finishes", "decorations"):
        for thing in getattr(book, kind):
            for line in thing.recipe.lines:
                yield f"{kind}.{thing.code}", line.ingredient
