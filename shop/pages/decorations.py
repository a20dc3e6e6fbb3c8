"""What is put on: by the piece or by the tier, its minutes and price, whether it is eaten or comes off."""

from django import forms

from shop.forms import NumberField
from shop.models import Decoration
from shop.pages.fields import PercentField
from shop.pages.listed import Column, Noun
from shop.pages.rated_form import CAUTIONS, WORK_AND_PRICE, RatedForm
from shop.pages.shop_form import tick
from shop.pages.words import days, minutes_words, price_words


class DecorationForm(RatedForm):
    model = Decoration
    symbol = forms.ChoiceField(label="How the drawing shows it", choices=Decoration.Symbol)
    takes_colour = tick("It can be coloured")
    is_eaten = tick("It is eaten", help_text="Leave open for wires, card, ribbon, fresh flowers.")
    comes_off = forms.CharField(
        label="How it comes off before cutting",
        max_length=160,
        required=False,
        help_text="Needed for whatever is not eaten: “Lift off; the wire is in a pick.”",
    )
    spare_share = PercentField(
        label="Spares made", help_text="Of fragile pieces: 10 % is one spare for each ten."
    )
    grams_each = NumberField(
        label="Its recipe, for one",
        unit="g",
        places=1,
        least=0,
        most=5000,
        required=False,
        help_text="For each piece, tier or length, as it is priced. The kitchen's amounts need it.",
    )

    sections = (
        ("The decoration", ("name", "symbol", "takes_colour")),
        ("Before cutting", ("is_eaten", "comes_off")),
        *WORK_AND_PRICE,
        ("Amounts", ("spare_share", "grams_each")),
        CAUTIONS,
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.row is None:
            self.initial.setdefault("spare_share", "0")
            self.initial.setdefault("is_eaten", True)

    def clean_grams_each(self):
        return self.cleaned_data["grams_each"] or 0

    def clean(self):
        said = super().clean()
        if not said.get("is_eaten") and not said.get("comes_off", "").strip():
            self.add_error("comes_off", "It is not eaten, so say how it comes off before cutting.")
        return said


DECORATIONS = Noun(
    name="decorations",
    one="decoration",
    title="Decorations",
    about="What goes on the cake. What is not eaten is listed on the sheet, to be taken off before cutting.",
    model=Decoration,
    form=DecorationForm,
    columns=(
        Column("Bench work", lambda row, shop: minutes_words(row)),
        Column("Price", price_words),
        Column("Lead time", lambda row, shop: days(row.lead_days), is_figure=True),
        Column("Before cutting", lambda row, shop: row.comes_off or "eaten"),
    ),
)
