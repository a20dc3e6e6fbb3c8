"""Add, change, take off the list and put back: every change of the catalogue, its recipes and the pans."""

from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import Max, Model
from django.utils.text import slugify

from shop.actions.refusal import Refused
from shop.core.catalogue import RecipeLine as PlainLine
from shop.core.money import Money
from shop.models import (
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    RecipeLine,
    SliceSize,
)
from shop.models.catalogue import Offered, WithRecipe
from shop.models.recipes import RECIPE_OF

Row = TypeVar("Row", bound=Offered)

# A consultation needs one of each of these to have something to reckon with.
NEVER_NONE = (Pan, SliceSize, Flavour, Filling, Finish)


def columns(values: dict[str, Any]) -> dict[str, Any]:
    """The trade's values as columns keep them: amounts as minor units, sets in order."""
    kept = {}
    for name, value in values.items():
        if isinstance(value, Money):
            kept[name] = value.minor
        elif isinstance(value, set | frozenset):
            kept[name] = sorted(value)
        else:
            kept[name] = value
    return kept


def _free_code(model: type[Model], name: str) -> str:
    """A code made from the name; a number behind it where another row has that code already."""
    stem = slugify(name)[:50] or model._meta.model_name
    taken = set(model.objects.filter(code__startswith=stem).values_list("code", flat=True))
    code, number = stem, 2
    while code in taken:
        code, number = f"{stem}-{number}", number + 1
    return code


@transaction.atomic
def add_to_catalogue(
    model: type[Row], *, recipe: Iterable[PlainLine] | None = None, **values: Any
) -> Row:
    """A new row at the end of its list, with its recipe where it has one. Its code comes from its name."""
    row = model(**columns(values))
    if hasattr(row, "code") and not row.code:
        row.code = _free_code(model, row.name)
    row.position = (model.objects.aggregate(last=Max("position"))["last"] or 0) + 1
    row.save(force_insert=True)
    if recipe is not None:
        set_recipe(row, lines=recipe)
    return row


@transaction.atomic
def change_in_catalogue(
    row: Row, *, recipe: Iterable[PlainLine] | None = None, **values: Any
) -> Row:
    """The row with other values; its code stays. A recipe that is given takes the place of the old one."""
    changed = columns(values)
    for name, value in changed.items():
        setattr(row, name, value)
    if changed:
        row.save(update_fields=list(changed))
    if recipe is not None:
        set_recipe(row, lines=recipe)
    return row


@transaction.atomic
def set_recipe(row: WithRecipe, *, lines: Iterable[PlainLine]) -> None:
    """These lines, in this order, in place of the recipe there was."""
    set_recipes({row: lines})


@transaction.atomic
def set_recipes(recipes: Mapping[WithRecipe, Iterable[PlainLine]]) -> None:
    """The recipes of several rows of one kind, each in place of the one there was."""
    if not recipes:
        return
    owner = next(iter(recipes))._meta.model_name
    RecipeLine.objects.filter(**{f"{owner}__in": list(recipes)}).delete()
    RecipeLine.objects.bulk_create(
        RecipeLine(
            ingredient_id=line.ingredient, grams=line.grams, position=position, **{owner: row}
        )
        for row, lines in recipes.items()
        for position, line in enumerate(lines, start=1)
    )


@transaction.atomic
def take_off_list(row: Offered) -> None:
    """It is offered no more; consultations that chose it keep it. Refused where something else needs it."""
    model = type(row)
    others = model.objects.filter(is_offered=True).exclude(pk=row.pk)
    if model in NEVER_NONE and not others.exists():
        raise Refused(f"Keep at least one {model._meta.verbose_name} on the list.")
    if isinstance(row, Ingredient):
        users = _offered_users(row)
        if users:
            raise Refused(f"{row} is in the recipe of {_listed(users)}. Change that first.")
    row.is_offered = False
    row.save(update_fields=["is_offered"])


@transaction.atomic
def put_back_on_list(row: Offered) -> None:
    """It is offered again. Refused while its recipe names an ingredient that is off the list."""
    if isinstance(row, WithRecipe):
        missing = row.recipe_lines.filter(ingredient__is_offered=False)
        names = [line.ingredient.name for line in missing.select_related("ingredient")]
        if names:
            raise Refused(f"Its recipe needs {_listed(names)}, which is off the list.")
    row.is_offered = True
    row.save(update_fields=["is_offered"])


@transaction.atomic
def move_to_top(row: Offered) -> None:
    """It comes first in its list: the first of a kind is what a new design starts with."""
    model = type(row)
    for position, other in enumerate(model.objects.exclude(pk=row.pk), start=2):
        if other.position != position:
            other.position = position
            other.save(update_fields=["position"])
    row.position = 1
    row.save(update_fields=["position"])


def _offered_users(ingredient: Ingredient) -> list[str]:
    """Names of what is offered and has this ingredient in its recipe."""
    lines = RecipeLine.objects.filter(ingredient=ingredient).select_related(*RECIPE_OF)
    users = (getattr(line, owner) for line in lines for owner in RECIPE_OF)
    return sorted(str(user) for user in users if user is not None and user.is_offered)


def _listed(names: list[str]) -> str:
    """Up to three names as words: "a, b and c", "a, b and 4 more"."""
    if len(names) > 3:
        names = [*names[:2], f"{len(names) - 2} more"]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
