"""What the shop buys, what it costs, and the allergens its labels name."""

from django import forms

from shop.forms import NumberField
from shop.models import Ingredient
from shop.pages.fields import MoneyField, PercentField
from shop.pages.listed import Column, Noun
from shop.pages.shop_form import NamedForm, substances, tick
from shop.pages.words import amount, substances_words


class IngredientForm(NamedForm):
    model = Ingredient
    cost_per_kg = MoneyField(label="Cost of a kilogram")
    contains = substances(
        "Contains", help_text="What the label names. Check it again with every new brand."
    )
    may_contain = substances("May contain", help_text="Traces, where the label warns of them.")
    sugar_share = PercentField(
        label="Sugar", help_text="Of its weight. Icings that need no fridge are known by it."
    )
    raw_egg = tick("It is raw egg, or has raw egg in it")
    pack_name = forms.CharField(
        label="Bought as", max_length=60, required=False, help_text="As 2.5 kg bag, tray of 30."
    )
    pack_grams = NumberField(
        label="A pack holds", unit="g", places=1, least=0, most=100_000, required=False
    )
    piece_grams = NumberField(
        label="A piece weighs",
        unit="g",
        places=1,
        least=0,
        most=5000,
        required=False,
        help_text="Where whole ones are used, as an egg.",
    )

    sections = (
        ("The ingredient", ("name", "cost_per_kg")),
        ("Allergens", ("contains", "may_contain")),
        ("What is in it", ("sugar_share", "raw_egg")),
        ("How you buy it", ("pack_name", "pack_grams", "piece_grams")),
    )

    def clean_pack_grams(self):
        return self.cleaned_data["pack_grams"] or 0

    def clean_piece_grams(self):
        return self.cleaned_data["piece_grams"] or 0

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("sugar_share", "0")


INGREDIENTS = Noun(
    name="ingredients",
    one="ingredient",
    title="Ingredients",
    about="Allergens on the sheet come from here, through the recipes. Keep them as the labels say.",
    model=Ingredient,
    form=IngredientForm,
    columns=(
        Column("Contains", lambda row, shop: substances_words(row.contains)),
        Column("A kilogram", lambda row, shop: amount(row.cost_per_kg, shop), is_figure=True),
    ),
)
