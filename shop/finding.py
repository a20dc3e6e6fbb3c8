"""What does the owner look up? Reads of the shop's own rows, each in a known number of queries."""

from datetime import date

from django.db.models import Q

from shop.models import (
    BenchTask,
    ClosedDay,
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    Person,
    Shop,
    SliceSize,
    TermsVersion,
)
from shop.models.catalogue import WithRecipe


def open_hours_now():
    """Bench hours and closed days as they are today; None while there is no shop (2 queries)."""
    shop = Shop.objects.first()
    return None if shop is None else shop.hours()


def whole_list(model):
    """The rows offered and those off the list, in order; recipes with their ingredients (1 or 3 queries)."""
    rows = model.objects.all()
    if issubclass(model, WithRecipe):
        rows = rows.prefetch_related("recipe_lines__ingredient")
    rows = sorted(rows, key=lambda pan: pan.place) if model is Pan else list(rows)
    return [row for row in rows if row.is_offered], [row for row in rows if not row.is_offered]


def ingredients_to_choose(row=None):
    """(code, name) of what a recipe may name: all on the list; for a row off the list, also what it has (1 query)."""
    offered = Q(is_offered=True)
    if row is not None and not row.is_offered:
        offered |= Q(used_in__in=row.recipe_lines.all())
    return list(
        Ingredient.objects.filter(offered).order_by("name").distinct().values_list("code", "name")
    )


def counts():
    """How many of each are on the list (one query each)."""
    kinds = (Pan, SliceSize, Ingredient, Flavour, Filling, Finish, Decoration, BenchTask)
    return {kind._meta.model_name: kind.objects.filter(is_offered=True).count() for kind in kinds}


def closed_days_from(today: date):
    """The closed days that are still to come (1 query)."""
    return list(ClosedDay.objects.filter(on__gte=today))


def terms_versions():
    """All versions of the terms, the one in force first (1 query)."""
    return list(TermsVersion.objects.select_related("made_by"))


def people():
    """Those who work here and those who have left (1 query)."""
    everybody = list(Person.objects.all())
    return (
        [person for person in everybody if person.is_active],
        [person for person in everybody if not person.is_active],
    )
