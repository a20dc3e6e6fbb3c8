"""The pans the shop owns: only a tier that fits one of them can be offered."""

from decimal import Decimal

from django import forms

from shop.core.catalogue import Shape
from shop.core.measures import Units, number
from shop.forms import WholeNumberField
from shop.models import Pan
from shop.models.catalogue import SHAPES, UNITS
from shop.pages.fields import typed_length
from shop.pages.listed import Column, Noun
from shop.pages.shop_form import ShopForm

# No pan on sale is wider than an oven's rack; 30 in and 76 cm are beyond any (common practice, no source).
WIDEST = {Units.INCHES: Decimal(30), Units.CENTIMETRES: Decimal(76)}


class StampedField(forms.CharField):
    """A size as stamped on a pan. Cleans to the figure, and keeps the unit that was typed with it, if any."""

    def __init__(self, **kwargs):
        super().__init__(max_length=20, **kwargs)
        self.widget.attrs.update(
            {"inputmode": "decimal", "autocomplete": "off", "class": "figure-input short"}
        )

    def prepare_value(self, value):
        return number(float(value), 3) if isinstance(value, Decimal) else value

    def clean(self, value):
        text = super().clean(value)
        if not text:
            return None
        found = typed_length(text)
        if found is None:
            raise forms.ValidationError("Type a length, like 8, 7½ or 20,5.")
        return found

    def has_changed(self, initial, data):
        return True


class PanForm(ShopForm):
    shape = forms.ChoiceField(label="Shape", choices=SHAPES)
    units = forms.ChoiceField(
        label="Sizes are in",
        choices=UNITS,
        help_text="As stamped on the pan, whatever the shop measures in.",
    )
    size = StampedField(
        label="Size", help_text="Across, as it is sold: a hexagon from corner to corner."
    )
    width = StampedField(
        label="Short way", required=False, help_text="Only for a rectangle or an oval."
    )
    depth = StampedField(label="Depth", help_text="2 in or 5 cm is usual.")
    owned = WholeNumberField(label="How many you own", least=0, most=99, step=1)

    sections = (
        ("The pan", ("shape", "units")),
        ("Its size", ("size", "width", "depth")),
        ("How many", ("owned",)),
    )

    def __init__(self, *args, shop, **kwargs):
        super().__init__(*args, shop=shop, **kwargs)
        self.initial.setdefault("units", shop.units)
        self.initial.setdefault("owned", 1)

    def clean(self):
        said = self.cleaned_data
        units = Units(said.get("units") or self.shop.units)
        for name in ("size", "width", "depth"):
            if not said.get(name):
                continue
            figure, typed = said[name]
            most = WIDEST[units]
            if typed not in (None, units):
                self.add_error(
                    name, f"This pan is measured in {units.word}; you typed {typed.word}."
                )
            elif not 0 < figure <= most:
                self.add_error(name, f"Type a size above 0, up to {most} {units.value}.")
            else:
                said[name] = figure.quantize(Decimal("0.01"))
        self._check_width()
        if not self.errors:
            self._check_it_is_new()
        return said

    def _check_width(self):
        said = self.cleaned_data
        if "shape" not in said or "size" not in said or "width" not in said:
            return
        if Shape(said["shape"]).has_width:
            if said["width"] is None:
                self.add_error("width", f"{_a(said['shape'])} needs the short way too.")
            elif said["width"] > said["size"]:
                self.add_error("width", "The short way cannot be longer than the size.")
        elif said["width"] is not None:
            self.add_error("width", f"A {said['shape']} pan has one size only; leave this empty.")

    def _check_it_is_new(self):
        said = self.cleaned_data
        same = Pan.objects.filter(
            **{name: said[name] for name in ("shape", "units", "size", "depth")},
            **({"width__isnull": True} if said["width"] is None else {"width": said["width"]}),
        )
        if self.row is not None:
            same = same.exclude(pk=self.row.pk)
        if same.exists():
            self.add_error("size", "You have this pan already. Change how many you own there.")


def _a(shape):
    return f"An {shape}" if shape == Shape.OVAL else f"A {shape}"


def _depth(pan, shop):
    return f"{number(float(pan.depth))} {pan.units}"


PANS = Noun(
    name="pans",
    one="pan",
    title="Pans",
    about="A tier is only offered in a pan you own. Pans at none are kept here but not used.",
    model=Pan,
    form=PanForm,
    columns=(
        Column("Depth", _depth, is_figure=True),
        Column("Owned", lambda pan, shop: str(pan.owned), is_figure=True),
    ),
)
