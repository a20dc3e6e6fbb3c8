"""How is one noun of the catalogue listed, added to, changed and taken off? The same five views for each."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.views.decorators.http import require_http_methods, require_POST

from shop.access import owner_only
from shop.actions import (
    Refused,
    add_to_catalogue,
    change_in_catalogue,
    move_to_top,
    put_back_on_list,
    take_off_list,
)
from shop.finding import whole_list
from shop.models import current_shop
from shop.models.catalogue import Offered, WithRecipe
from shop.pages.recipe import recipe_form
from shop.pages.shop_form import ShopForm


@dataclass(frozen=True)
class Column:
    """One column of a list: what it says of a row in this shop. Figures stand to the right."""

    heading: str
    says: Callable[[Any, Any], str]
    is_figure: bool = False


@dataclass(frozen=True)
class Noun:
    """One list of the catalogue. `name` is its address; `first_is` says what the top row is good for."""

    name: str
    one: str
    title: str
    about: str
    model: type[Offered]
    form: type[ShopForm]
    columns: tuple[Column, ...]
    first_is: str = ""

    @property
    def with_article(self) -> str:
        return f"{'an' if self.one[0] in 'aeiou' else 'a'} {self.one}"

    @property
    def has_recipe(self) -> bool:
        return issubclass(self.model, WithRecipe)

    @property
    def here(self) -> str:
        return f"shop_{self.name}"

    def row_of(self, pk):
        return get_object_or_404(self.model, pk=pk)


def _shown(rows, noun, shop):
    """Rows as the template wants them: the row, and its cells as (column, words)."""
    return [
        {"row": row, "cells": [(column, column.says(row, shop)) for column in noun.columns]}
        for row in rows
    ]


@owner_only
@require_http_methods(["GET"])
def show_list(request, noun):
    offered, off_list = whole_list(noun.model)
    shop = current_shop()
    context = {
        "noun": noun,
        "here": noun.here,
        "offered": _shown(offered, noun, shop),
        "off_list": _shown(off_list, noun, shop),
    }
    return render(request, "shop/listed.html", context)


def _edit(request, noun, row):
    """The form of a row, or of a new one where `row` is None."""
    form = noun.form(request.POST or None, shop=current_shop(), row=row)
    recipe = recipe_form(request.POST or None, row) if noun.has_recipe else None
    both_valid = form.is_valid() and (recipe is None or recipe.is_valid())
    if request.method == "POST" and both_valid:
        lines = None if recipe is None else recipe.lines()
        if row is None:
            row = add_to_catalogue(noun.model, recipe=lines, **form.values())
        else:
            change_in_catalogue(row, recipe=lines, **form.values())
        messages.success(request, f"{row} is saved.")
        return redirect(
            *((f"{noun.here}_change", row.pk) if "more" in request.POST else (noun.here,))
        )
    wrong = bool(form.errors) or (recipe is not None and recipe.is_bound and not recipe.is_valid())
    context = {"noun": noun, "here": noun.here, "row": row, "form": form, "recipe": recipe}
    context["is_wrong"] = wrong
    return render(request, "shop/edited.html", context, status=422 if wrong else 200)


@owner_only
@require_http_methods(["GET", "POST"])
def add(request, noun):
    return _edit(request, noun, None)


@owner_only
@require_http_methods(["GET", "POST"])
def change(request, noun, pk):
    return _edit(request, noun, noun.row_of(pk))


def _done(request, noun, row, verb, says):
    try:
        verb(row)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, says)
    return redirect(noun.here)


@owner_only
@require_POST
def take_off(request, noun, pk):
    row = noun.row_of(pk)
    return _done(request, noun, row, take_off_list, f"{row} is off the list.")


@owner_only
@require_POST
def put_back(request, noun, pk):
    row = noun.row_of(pk)
    return _done(request, noun, row, put_back_on_list, f"{row} is on the list again.")


@owner_only
@require_POST
def to_top(request, noun, pk):
    row = noun.row_of(pk)
    return _done(request, noun, row, move_to_top, f"{row} is at the top now.")


def addresses(noun):
    """The addresses of one noun: shop/pans/, shop/pans/add/, shop/pans/3/ and the three buttons."""
    given, base = {"noun": noun}, f"{noun.name}/"
    return [
        path(base, show_list, given, name=noun.here),
        path(f"{base}add/", add, given, name=f"{noun.here}_add"),
        path(f"{base}<int:pk>/", change, given, name=f"{noun.here}_change"),
        path(f"{base}<int:pk>/take-off/", take_off, given, name=f"{noun.here}_take_off"),
        path(f"{base}<int:pk>/put-back/", put_back, given, name=f"{noun.here}_put_back"),
        path(f"{base}<int:pk>/to-top/", to_top, given, name=f"{noun.here}_to_top"),
    ]
