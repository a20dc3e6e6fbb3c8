"""What the shop buys, what it costs, and the allergens its labels name."""

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

    sections = (
        ("The ingredient", ("name", "cost_per_kg")),
        ("Allergens", ("contains", "may_contain")),
        ("What is in it", ("sugar_share", "raw_egg")),
    )

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
