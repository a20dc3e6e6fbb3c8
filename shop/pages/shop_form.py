"""What do the owner's forms share? They know the shop's currency and units, and give only what was changed."""

from decimal import Decimal

from crispy_forms.layout import Field, Fieldset
from django import forms

from shop.core.measures import Units
from shop.core.substances import SUBSTANCES
from shop.forms import form_helper
from shop.models.catalogue import trimmed
from shop.pages.fields import LengthField, MoneyField

LONGEST_BESIDE_OTHERS = 120  # characters


class ShopForm(forms.Form):
    """A form over some columns of one row. `sections` are the fieldsets: a legend and its fields.

    `values()` gives the trade's values by column: all of them for a new row, else those that were changed.
    """

    sections: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def __init__(self, data=None, *, shop, row=None, **kwargs):
        self.shop, self.row = shop, row
        initial = {} if row is None else {name: self.kept(name) for name in self.base_fields}
        super().__init__(data, initial=initial, **kwargs)
        for field in self.fields.values():
            if isinstance(field, MoneyField):
                field.set_currency(shop.currency)
            if isinstance(field, LengthField):
                field.set_units(Units(shop.units))
        self.helper = form_helper(
            *(
                Fieldset(legend, *map(self._placed, names), css_class="pairs")
                for legend, names in self.sections
            ),
            button=None,
            tag=False,
        )

    def _placed(self, name):
        """A sentence has a whole row for itself; figures and short words stand side by side."""
        is_long = (getattr(self.fields[name], "max_length", None) or 0) > LONGEST_BESIDE_OTHERS
        return Field(name, wrapper_class="whole") if is_long else name

    def kept(self, name):
        """What the row has for that field."""
        value = getattr(self.row, name)
        return trimmed(value) if isinstance(value, Decimal) else value

    def values(self):
        if self.row is None:
            return dict(self.cleaned_data)
        return {name: self.cleaned_data[name] for name in self.changed_data}


class NamedForm(ShopForm):
    """A row of a list, known by its name."""

    name = forms.CharField(label="Name", max_length=80)
    model = None

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        others = self.model.objects.filter(name__iexact=name)
        if self.row is not None:
            others = others.exclude(pk=self.row.pk)
        if others.exists():
            raise forms.ValidationError(f"{name} is on the list already. Choose another name.")
        return name


def several(label, choices, *, help_text=""):
    """Tick boxes, none needed."""
    return forms.MultipleChoiceField(
        label=label,
        choices=choices,
        required=False,
        help_text=help_text,
        widget=forms.CheckboxSelectMultiple,
    )


def substances(label, *, help_text=""):
    """Tick boxes of allergen substances."""
    return several(label, [(name, name) for name in SUBSTANCES], help_text=help_text)


def tick(label, *, help_text=""):
    """One tick box."""
    return forms.BooleanField(label=label, required=False, help_text=help_text)
