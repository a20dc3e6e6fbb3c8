"""What this shop can build, chill, carry and drive, and the heights it makes tiers in."""

from decimal import Decimal

from django import forms
from django.db import transaction
from django.views.decorators.http import require_http_methods

from shop.access import owner_only
from shop.actions import change_shop, set_tier_heights
from shop.core.measures import Units, number
from shop.forms import WholeNumberField
from shop.models import Shop, TierHeight
from shop.pages.fields import KilogramField, LengthField, typed_length
from shop.pages.setup_page import edit_shop
from shop.pages.shop_form import ShopForm

LOWEST_MM, HIGHEST_MM = Decimal(20), Decimal(400)


def _parts(text):
    """A list as people write it: with semicolons, commas and blanks (12,5 is one height), or blanks alone."""
    if ";" in text:
        return text.split(";")
    return text.split(", ") if ", " in text else text.split()


class HeightsField(forms.CharField):
    """Several heights, "3, 4, 5 in" or "8; 10; 12,5". Cleans to millimetres, lowest first."""

    units = Units.INCHES

    def prepare_value(self, value):
        if isinstance(value, list):
            return ", ".join(number(float(mm) / self.units.mm, 2) for mm in value)
        return value

    def has_changed(self, initial, data):
        return str(data or "").strip() != self.prepare_value(initial)

    def clean(self, value):
        text = super().clean(value)
        parts = [part.strip() for part in _parts(text) if part.strip()]
        # A unit at the end, "8, 10, 12 cm", is meant for all that have none of their own.
        last = typed_length(parts[-1]) if parts else None
        meant = (last and last[1]) or self.units
        heights = set()
        for part in parts:
            found = typed_length(part)
            if found is None:
                raise forms.ValidationError(f"{part} is no height. Type them as 3, 4, 5.")
            mm = (found[0] * Decimal(str((found[1] or meant).mm))).quantize(Decimal("0.001"))
            if not LOWEST_MM <= mm <= HIGHEST_MM:
                least, most = (
                    number(float(limit) / self.units.mm, 1) for limit in (LOWEST_MM, HIGHEST_MM)
                )
                raise forms.ValidationError(
                    f"A tier can be {least} to {most} {self.units.value} tall; {part} is not."
                )
            heights.add(mm)
        return sorted(heights)


class StacksForm(ShopForm):
    heights = HeightsField(label="Heights on offer", help_text="All of them, as 3, 4, 5.")
    ledge_mm = LengthField(
        label="Smallest ledge",
        most_mm=Decimal(200),
        help_text="What must show of a tier all round the one it carries. 1 in is usual.",
    )
    widest_step_mm = LengthField(
        label="Widest ledge", most_mm=Decimal(400), help_text="More would look like two cakes."
    )
    most_tiers = WholeNumberField(label="Most tiers", least=1, most=8, step=1)
    tallest_mm = LengthField(
        label="Tallest cake",
        least_mm=Decimal(50),
        help_text="That fits in your fridge, your boxes and your van.",
    )
    widest_board_mm = LengthField(label="Widest board", least_mm=Decimal(100))
    board_margin_mm = LengthField(
        label="Board beyond the cake",
        most_mm=Decimal(200),
        help_text="On each side of the base tier.",
    )
    rounds = forms.ChoiceField(
        label="Round tiers are cut",
        choices=Shop._meta.get_field("rounds").choices,
        widget=forms.RadioSelect,
        help_text="Servings, the cutting plan and the guide for the venue all go by it.",
    )
    one_person_lifts_grams = KilogramField(
        label="One person carries up to",
        least=1,
        most=25,
        help_text="A heavier cake is carried by two, or in parts and stacked at the venue.",
    )

    sections = (
        ("Heights", ("heights",)),
        ("Ledges", ("ledge_mm", "widest_step_mm")),
        ("The whole cake", ("most_tiers", "tallest_mm", "one_person_lifts_grams")),
        ("The board", ("widest_board_mm", "board_margin_mm")),
        ("The knife", ("rounds",)),
    )

    def __init__(self, *args, shop, **kwargs):
        super().__init__(*args, shop=shop, **kwargs)
        heights = self.fields["heights"]
        heights.units = heights.unit = Units(shop.units)
        heights.unit = heights.units.value

    def kept(self, name):
        if name == "heights":
            return [height.height_mm for height in TierHeight.objects.all()]
        return super().kept(name)

    def clean(self):
        said = self.cleaned_data
        ledge, widest = said.get("ledge_mm"), said.get("widest_step_mm")
        if ledge is not None and widest is not None and widest < ledge:
            self.add_error("widest_step_mm", "The widest ledge cannot be less than the smallest.")
        return said

    def values(self):
        return {name: value for name, value in super().values().items() if name != "heights"}


@transaction.atomic
def _save(shop, form):
    change_shop(shop, **form.values())
    set_tier_heights(shop, heights_mm=form.cleaned_data["heights"])


@owner_only
@require_http_methods(["GET", "POST"])
def stacks(request):
    return edit_shop(
        request,
        StacksForm,
        here="shop_stacks",
        title="Stacks",
        about="A stack is only offered if you can build it, chill it, carry it and drive it.",
        save=_save,
    )
