"""Can the owner see, add, change, take off and put back each noun of the catalogue?"""

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from django.urls import reverse

from shop.actions import take_in_book
from shop.core.book import book_from_plain, canonical_json
from shop.core.policies import Rounds
from shop.models import (
    BenchTask,
    Decoration,
    Filling,
    Finish,
    Flavour,
    Ingredient,
    Pan,
    SliceSize,
    current_book,
)

RECIPE = {"recipe-TOTAL_FORMS": "2", "recipe-INITIAL_FORMS": "0"}
RATED = {
    "driver": "piece",
    "minutes_once": "5",
    "minutes_each": "2,5",
    "waiting_minutes": "30",
    "lead_days": "2",
    "price_once": "3",
    "price_each": "4,50",
    "cost_each": "$0.40",
}

# name in the address, model, what is typed, what is kept of it
SAVED = [
    (
        "pans",
        Pan,
        {"shape": "round", "units": "in", "size": "7½", "depth": "3 in", "owned": "2"},
        {"size": Decimal("7.50"), "depth": Decimal("3.00"), "width": None, "owned": 2},
    ),
    (
        "pans",
        Pan,
        {
            "shape": "oval",
            "units": "cm",
            "size": "30,5",
            "width": "22 cm",
            "depth": "5",
            "owned": "0",
        },
        {"size": Decimal("30.50"), "width": Decimal("22.00"), "units": "cm", "owned": 0},
    ),
    (
        "slices",
        SliceSize,
        {"name": "Coffee slice", "width_mm": "1", "depth_mm": "3 cm"},
        {"width_mm": Decimal("25.400"), "depth_mm": Decimal("30.000"), "code": "coffee-slice"},
    ),
    (
        "ingredients",
        Ingredient,
        {
            "name": "Pistachio paste",
            "cost_per_kg": "48,90",
            "contains": ["pistachio"],
            "may_contain": ["almond", "soy"],
            "sugar_share": "12,5 %",
        },
        {
            "cost_per_kg": 4890,
            "contains": ["pistachio"],
            "may_contain": ["almond", "soy"],
            "sugar_share": Decimal("0.125"),
            "code": "pistachio-paste",
        },
    ),
    (
        "flavours",
        Flavour,
        {
            **RECIPE,
            "name": "Plum cake",
            "kind": "dense",
            "price_per_serving": "0.55",
            "batter_g_per_ml": "0,82",
            "recipe-0-ingredient": "plain-flour",
            "recipe-0-grams": "250,5",
        },
        {
            "kind": "dense",
            "price_per_serving": 55,
            "batter_g_per_ml": Decimal("0.820"),
            "code": "plum-cake",
        },
    ),
    (
        "fillings",
        Filling,
        {
            **RECIPE,
            "name": "Plum jam",
            "price_per_serving": "0",
            "grams_per_ml": "1,3",
            "water_activity": "0.84",
            "ph": "3.4",
        },
        {
            "grams_per_ml": Decimal("1.30"),
            "keeps_cool": False,
            "price_per_serving": 0,
            "water_activity": Decimal("0.840"),
            "ph": Decimal("3.40"),
        },
    ),
    (
        "finishes",
        Finish,
        {
            **RECIPE,
            **RATED,
            "name": "Brushed buttercream",
            "kind": "buttercream",
            "texture": "rustic",
            "coat_mm": "3,5",
            "grams_per_ml": "1",
            "driver": "area",
            "takes_colour": "on",
            "cautions": ["alcohol"],
            "own_caution": "Not for a warm room.",
        },
        {
            "minutes_each": Decimal("2.50"),
            "price_each": 450,
            "cost_each": 40,
            "takes_colour": True,
            "cautions": ["alcohol", "Not for a warm room."],
        },
    ),
    (
        "decorations",
        Decoration,
        {
            **RECIPE,
            **RATED,
            "name": "Sugar plum",
            "symbol": "fruit",
            "comes_off": "Lift it off.",
            "spare_share": "10",
        },
        {"is_eaten": False, "spare_share": Decimal("0.100"), "lead_days": 2, "price_once": 300},
    ),
    (
        "tasks",
        BenchTask,
        {
            "name": "Weigh the tiers",
            "applies_to": "eaten",
            "driver": "tier",
            "minutes_once": "2",
            "minutes_each": "0",
            "waiting_minutes": "0",
        },
        {"applies_to": "eaten", "minutes_once": Decimal("2.00"), "code": "weigh-the-tiers"},
    ),
]


@pytest.mark.parametrize(("noun", "model", "typed", "kept"), SAVED)
def test_a_new_row_is_kept_as_it_was_meant(as_rosa, shop, noun, model, typed, kept):
    there = set(model.objects.values_list("pk", flat=True))
    answer = as_rosa.post(reverse(f"shop_{noun}_add"), typed)
    assert (answer.status_code, answer.get("Location")) == (302, f"/shop/{noun}/")
    row = model.objects.exclude(pk__in=there).get()
    assert {name: getattr(row, name) for name in kept} == kept
    assert row.is_offered


def test_a_recipe_is_kept_line_by_line(as_rosa, shop):
    as_rosa.post(reverse("shop_flavours_add"), SAVED[4][2])
    plum = Flavour.objects.get(code="plum-cake")
    assert [(line.ingredient_id, line.grams) for line in plum.recipe_lines.all()] == [
        ("plain-flour", Decimal("250.5"))
    ]


# name in the address, what is typed, the sentence beside the field
REFUSED = [
    ("pans", {"size": "big"}, "Type a length, like 8, 7½ or 20,5."),
    ("pans", {"size": "31"}, "Type a size above 0, up to 30 in."),
    ("pans", {"size": "20 cm"}, "This pan is measured in inches; you typed centimetres."),
    (
        "pans",
        {"size": "8", "depth": "2"},
        "You have this pan already. Change how many you own there.",
    ),
    ("pans", {"shape": "oval"}, "An oval needs the short way too."),
    (
        "pans",
        {"shape": "rectangle", "width": "14"},
        "The short way cannot be longer than the size.",
    ),
    ("pans", {"width": "4"}, "A round pan has one size only; leave this empty."),
    ("pans", {"owned": "-1"}, "Type a whole number from 0 to 99."),
    ("slices", {"width_mm": "0"}, "Type a length from 0.39 to 7.87 in, like 8 or 7½."),
    ("slices", {"name": "party  slice"}, "party slice is on the list already."),
    ("ingredients", {"cost_per_kg": "4.005"}, "Type no more than 2 figures after the point."),
    ("ingredients", {"cost_per_kg": "-1"}, "Type an amount like 12.00, from 0 to 1,000,000."),
    ("ingredients", {"sugar_share": "101"}, "Type a percentage from 0 to 100."),
    ("ingredients", {"contains": ["unobtainium"]}, "Select a valid choice."),
    ("flavours", {"recipe-0-grams": ""}, "Say how many grams, more than none."),
    ("flavours", {"recipe-1-grams": "12"}, "Choose what these grams are of."),
    (
        "flavours",
        {"recipe-1-ingredient": "plain-flour", "recipe-1-grams": "3"},
        "This ingredient is in the recipe already.",
    ),
    ("fillings", {"grams_per_ml": "0"}, "Type a number from 0.1 to 3."),
    ("finishes", {"coat_mm": "25"}, "Type a number from 0 to 20."),
    ("finishes", {"grams_per_ml": "0"}, "A millilitre of it weighs more than nothing."),
    ("decorations", {"comes_off": " "}, "It is not eaten, so say how it comes off before cutting."),
    ("decorations", {"minutes_each": "a while"}, "Type a number from 0 to 3000."),
    ("tasks", {"waiting_minutes": "1.5"}, "Type a whole number from 0 to 20000."),
]
TYPED = {noun: typed for noun, _, typed, _ in reversed(SAVED)}


@pytest.mark.parametrize(("noun", "wrong", "says"), REFUSED)
def test_what_is_wrong_is_said_in_words_and_nothing_is_kept(as_rosa, shop, noun, wrong, says):
    model = {name: model for name, model, _, _ in SAVED}[noun]
    before = model.objects.count()
    answer = as_rosa.post(reverse(f"shop_{noun}_add"), TYPED[noun] | wrong)
    assert answer.status_code == 422
    assert says in answer.content.decode().replace("&#x27;", "'")
    assert model.objects.count() == before


def test_a_recipe_that_is_wrong_is_said_at_the_top_too(as_rosa, shop):
    answer = as_rosa.post(reverse("shop_flavours_add"), TYPED["flavours"] | {"recipe-0-grams": ""})
    page = answer.content.decode()
    assert page.index("The recipe: a line in it is not right.") < page.index('name="name"')
    assert 'aria-describedby="id_recipe-0-grams_error"' in page
    assert 'id="id_recipe-0-grams_error"' in page


def test_an_amount_is_in_the_shops_own_currency(as_rosa, euro_shop):
    page = as_rosa.get(reverse("shop_flavours")).content.decode()
    assert "€0.30" in page
    assert "$" not in page


def test_lengths_are_in_the_shops_own_units(as_rosa, euro_shop):
    party = SliceSize.objects.get(code="party")
    page = as_rosa.get(reverse("shop_slices_change", args=[party.pk])).content.decode()
    assert 'name="width_mm" value="4"' in page
    as_rosa.post(
        reverse("shop_slices_change", args=[party.pk]),
        {"name": "Party slice", "width_mm": "4,5", "depth_mm": "5"},
    )
    party.refresh_from_db()
    assert (party.width_mm, party.depth_mm) == (Decimal("45.000"), Decimal("50.000"))


def test_a_changed_name_leaves_the_code(as_rosa, shop):
    walnut = Ingredient.objects.get(code="walnuts")
    typed = {"name": "Walnut halves", "cost_per_kg": "12.50", "contains": ["walnut"]}
    typed |= {"may_contain": ["almond", "pecan"], "sugar_share": "3"}
    as_rosa.post(reverse("shop_ingredients_change", args=[walnut.pk]), typed)
    walnut.refresh_from_db()
    assert (walnut.name, walnut.code, walnut.cost_per_kg) == ("Walnut halves", "walnuts", 1250)


def test_a_row_saved_as_it_is_shown_leaves_the_book_as_it_was(as_rosa, shop):
    before = current_book()
    for noun, model, _, _ in SAVED[1:]:
        row = model.objects.order_by("pk").last()
        page = as_rosa.get(reverse(f"shop_{noun}_change", args=[row.pk]))
        typed = shown(page.context["form"], page.context["recipe"])
        answer = as_rosa.post(reverse(f"shop_{noun}_change", args=[row.pk]), typed)
        assert answer.status_code == 302, (noun, answer.context and answer.context["form"].errors)
    assert current_book() == before


def shown(form, recipe):
    """What a browser sends back of a form that was only looked at."""
    typed = {}
    for one in [form, *([recipe.management_form, *recipe.forms] if recipe else [])]:
        for field in one:
            value = field.value()
            if value is True:
                typed[field.html_name] = "on"
            elif value is not None and value is not False:
                typed[field.html_name] = value
    return typed


def test_what_is_off_the_list_stands_apart_and_is_not_in_the_book(as_rosa, shop):
    fig = Filling.objects.get(code="fig-jam")
    answer = as_rosa.post(reverse("shop_fillings_take_off", args=[fig.pk]), follow=True)
    apart = answer.content.decode().split("Off the list")[1]
    assert "Fig jam" in apart
    assert "fig-jam" not in [filling.code for filling in current_book().fillings]
    as_rosa.post(reverse("shop_fillings_put_back", args=[fig.pk]))
    assert current_book().filling("fig-jam").name == "Fig jam"


def test_an_ingredient_in_use_stays_on_the_list(as_rosa, shop):
    figs = Ingredient.objects.get(code="dried-figs")
    answer = as_rosa.post(reverse("shop_ingredients_take_off", args=[figs.pk]), follow=True)
    assert "is in the recipe of Fig jam. Change that first." in answer.content.decode()
    assert Ingredient.objects.get(code="dried-figs").is_offered


def test_the_first_choice_moves_to_the_top(as_rosa, shop):
    velvet = Flavour.objects.get(code="red-velvet")
    as_rosa.post(reverse("shop_flavours_to_top", args=[velvet.pk]))
    flavours = [flavour.code for flavour in current_book().flavours]
    assert flavours[:2] == ["red-velvet", "vanilla-butter-cake"]
    assert len(flavours) == 8


def only(model, count):
    """Leave so many rows of that kind."""
    keep = list(model.objects.values_list("pk", flat=True)[:count])
    model.objects.exclude(pk__in=keep).delete()


# The clock, session, person, shop, the rows; with recipes also their lines and the ingredients of those.
@pytest.mark.parametrize("rows", [1, 3])
@pytest.mark.parametrize(
    ("noun", "model", "queries"),
    [
        ("pans", Pan, 5),
        ("slices", SliceSize, 5),
        ("flavours", Flavour, 7),
        ("fillings", Filling, 7),
        ("finishes", Finish, 7),
        ("decorations", Decoration, 7),
        ("tasks", BenchTask, 5),
    ],
)
def test_a_list_takes_as_many_queries_for_one_row_as_for_three(
    as_rosa, shop, django_assert_num_queries, noun, model, queries, rows
):
    only(model, rows)
    with django_assert_num_queries(queries):
        as_rosa.get(reverse(f"shop_{noun}"))


@pytest.mark.parametrize("rows", [1, 3])
def test_ingredients_are_listed_in_five_queries(as_rosa, shop, django_assert_num_queries, rows):
    for model in (Flavour, Filling, Finish, Decoration):
        model.objects.all().delete()
    only(Ingredient, rows)
    with django_assert_num_queries(5):
        as_rosa.get(reverse("shop_ingredients"))


@pytest.mark.parametrize(
    ("typed", "grams"), [("2 cups", "250.0"), ("1/2 cup", "62.5"), ("250 g", "250.0")]
)
def test_a_recipe_in_cups_is_weighed(typed, grams, shop, as_rosa):
    # A cup of all-purpose flour is 125 g: USDA SR 26, NDB 20081.
    as_rosa.post(reverse("shop_flavours_add"), TYPED["flavours"] | {"recipe-0-grams": typed})
    line = Flavour.objects.latest("pk").recipe_lines.first()
    assert str(line.grams) == grams


def test_a_measure_nobody_knows_is_said_beside_its_field(shop, as_rosa):
    answer = as_rosa.post(
        reverse("shop_flavours_add"), TYPED["flavours"] | {"recipe-0-grams": "2 buckets"}
    )
    assert answer.status_code == 422
    assert "known: cup" in answer.content.decode()


def test_what_was_measured_and_how_rounds_are_cut_go_out_and_come_in_again(shop):
    """The shop's export is the book's JSON: what an owner measured must not be lost on the way."""
    before = current_book()
    book = replace(
        before,
        policies=replace(before.policies, rounds=Rounds.RINGS),
        flavours=(
            replace(before.flavours[0], batter_g_per_ml=Decimal("0.78")),
            *before.flavours[1:],
        ),
        fillings=(
            replace(before.fillings[0], water_activity=Decimal("0.86"), ph=Decimal("10")),
            *before.fillings[1:],
        ),
        finishes=(replace(before.finishes[0], ph=Decimal("6.5")), *before.finishes[1:]),
    )
    take_in_book(book_from_plain(json.loads(canonical_json(book))))
    assert current_book() == book
    take_in_book(before)
    assert current_book() == before
