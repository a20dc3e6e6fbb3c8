"""The coats: what each is made of, how thick it goes on, the work it takes and what it costs."""

from django import forms

from shop.forms import NumberField
from shop.models import Finish
from shop.pages.listed import Column, Noun
from shop.pages.measured import MEASURED, MeasuredFields
from shop.pages.rated_form import CAUTIONS, WORK_AND_PRICE, RatedForm
from shop.pages.shop_form import tick
from shop.pages.words import days, minutes_words, price_words, recipe_contains


class FinishForm(MeasuredFields, RatedForm):
    model = Finish
    kind = forms.ChoiceField(label="What it is", choices=Finish.Kind)
    texture = forms.ChoiceField(
        label="How it looks", choices=Finish.Texture, help_text="The drawing is hatched by it."
    )
    coat_mm = NumberField(label="Thickness of the coat", unit="mm", places=1, least=0, most=20)
    grams_per_ml = NumberField(
        label="Weight of a millilitre",
        unit="g",
        places=2,
        least=0,
        most=3,
        help_text="Buttercream about 1.0, ganache about 1.2, fondant about 1.4.",
    )
    takes_colour = tick("It can be coloured")
    keeps_cool = tick("It must stay in the cold", help_text="Whipped cream, most cream cheese.")

    sections = (
        ("The finish", ("name", "kind", "texture", "takes_colour")),
        ("The coat", ("coat_mm", "grams_per_ml", "keeps_cool")),
        MEASURED,
        *WORK_AND_PRICE,
        CAUTIONS,
    )

    def clean_grams_per_ml(self):
        grams = self.cleaned_data["grams_per_ml"]
        if not grams:
            raise forms.ValidationError("A millilitre of it weighs more than nothing.")
        return grams


FINISHES = Noun(
    name="finishes",
    one="finish",
    title="Finishes",
    about="The coats a tier can have. The recipe is of what covers it.",
    model=Finish,
    form=FinishForm,
    columns=(
        Column("Contains", recipe_contains),
        Column("Bench work", lambda row, shop: minutes_words(row)),
        Column("Price", price_words),
        Column("Lead time", lambda row, shop: days(row.lead_days), is_figure=True),
    ),
    first_is="A new design starts with the one at the top.",
)
