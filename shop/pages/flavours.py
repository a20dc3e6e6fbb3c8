"""The cakes: how each bakes, its recipe, and what it adds to the price of a serving."""

from django import forms

from shop.forms import NumberField
from shop.models import Flavour
from shop.pages.fields import MoneyField
from shop.pages.listed import Column, Noun
from shop.pages.shop_form import NamedForm
from shop.pages.words import amount, recipe_contains, recipe_cost, recipe_words


class FlavourForm(NamedForm):
    model = Flavour
    kind = forms.ChoiceField(
        label="How it bakes",
        choices=Flavour.Kind,
        help_text="Decides how much batter a pan takes and what the cake weighs.",
    )
    batter_g_per_ml = NumberField(
        label="Weight of a millilitre of batter",
        unit="g",
        places=3,
        least=0.1,
        most=2,
        required=False,
        help_text=(
            "If you have weighed yours: a full measuring cup, by what the same cup of water weighs."
            " Left empty, it is that of its kind: 0.75 butter cake, 0.5 sponge, 0.85 dense."
        ),
    )
    price_per_serving = MoneyField(
        label="Extra for a serving", help_text="On top of the shop's price of a plain serving."
    )

    sections = (
        ("The cake", ("name", "kind", "batter_g_per_ml")),
        ("Its price", ("price_per_serving",)),
    )


FLAVOURS = Noun(
    name="flavours",
    one="flavour",
    title="Flavours",
    about="The cakes on offer.",
    model=Flavour,
    form=FlavourForm,
    columns=(
        Column("Contains", recipe_contains),
        Column("One batch", recipe_words),
        Column("Costs a kilogram", recipe_cost, is_figure=True),
        Column("Extra", lambda row, shop: amount(row.price_per_serving, shop), is_figure=True),
    ),
    first_is="A new design starts with the one at the top.",
)
