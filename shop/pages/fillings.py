"""What goes between the layers: recipe, weight, whether it must stay cold, and its price."""

from shop.forms import NumberField
from shop.models import Filling
from shop.pages.fields import MoneyField
from shop.pages.listed import Column, Noun
from shop.pages.measured import MEASURED, MeasuredFields
from shop.pages.shop_form import NamedForm, tick
from shop.pages.words import amount, recipe_contains, recipe_cost, recipe_words, yes


class FillingForm(MeasuredFields, NamedForm):
    model = Filling
    price_per_serving = MoneyField(
        label="Extra for a serving", help_text="On top of the shop's price of a plain serving."
    )
    grams_per_ml = NumberField(
        label="Weight of a millilitre",
        unit="g",
        places=2,
        help_text="Buttercream about 0.9, jam about 1.3.",
    )
    keeps_cool = tick(
        "It must stay in the cold", help_text="Custard, cream, curd, fresh fruit, cream cheese."
    )

    sections = (
        ("The filling", ("name", "price_per_serving")),
        ("How it behaves", ("grams_per_ml", "keeps_cool")),
        MEASURED,
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["grams_per_ml"].least, self.fields["grams_per_ml"].most = 0.1, 3


FILLINGS = Noun(
    name="fillings",
    one="filling",
    title="Fillings",
    about="What goes between the layers.",
    model=Filling,
    form=FillingForm,
    columns=(
        Column("Contains", recipe_contains),
        Column("One batch", recipe_words),
        Column("Kept cold", lambda row, shop: yes(row.keeps_cool)),
        Column("Costs a kilogram", recipe_cost, is_figure=True),
        Column("Extra", lambda row, shop: amount(row.price_per_serving, shop), is_figure=True),
    ),
    first_is="A new design starts with the one at the top.",
)
