"""What works at once in this kitchen, how tiers are supported and carried, and what the owner wants left."""

from decimal import Decimal

from django import forms
from django.views.decorators.http import require_http_methods

from shop.access import owner_only
from shop.forms import NumberField, WholeNumberField
from shop.models import Shop
from shop.pages.fields import LengthField, PercentField
from shop.pages.setup_page import edit_shop
from shop.pages.shop_form import ShopForm


def _count(label, most=20, **kwargs):
    return WholeNumberField(label=label, least=1, most=most, step=1, **kwargs)


class KitchenForm(ShopForm):
    hands = _count("Pairs of hands at the bench")
    opens = forms.TimeField(
        label="Bench work starts at",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Type a time as 08:00."},
    )
    oven_loads = _count("Ovens that run at once")
    oven_shelves = _count("Shelves in an oven")
    oven_wide_mm = LengthField(label="A shelf is wide", least_mm=Decimal(150))
    oven_deep_mm = LengthField(label="And deep", least_mm=Decimal(150))
    fridge_places = _count("Tiers that chill at once", most=60)
    batter_loss = PercentField(label="Batter left in the bowl", help_text="Mixed on top.")
    least_margin = PercentField(
        label="What should be left of the price",
        help_text="You are warned when a quote leaves less. No client sees it.",
    )

    rod = forms.ChoiceField(
        label="Tiers stand on",
        choices=Shop._meta.get_field("rod").choices,
        widget=forms.RadioSelect,
    )
    rod_mm = LengthField(label="Thickness of a support", least_mm=Decimal(3), most_mm=Decimal(40))
    wall_mm = LengthField(
        label="Wall of a tube",
        least_mm=Decimal("0.1"),
        most_mm=Decimal(5),
        help_text="Of tubes only.",
    )
    in_from_edge_mm = LengthField(
        label="In from the edge of the tier carried", most_mm=Decimal(100)
    )
    safety = NumberField(
        label="Safety factor",
        places=1,
        least=1,
        most=10,
        help_text="What a support could carry is divided by it.",
    )
    uneven = NumberField(
        label="Uneven load",
        places=1,
        least=1,
        most=3,
        help_text="One support may carry so many times its share.",
    )
    drum_mm = LengthField(label="Thickness of the base board", most_mm=Decimal(60))
    under_board_mm = LengthField(label="Thickness of a board under a tier", most_mm=Decimal(30))
    tiers_stacked_to_travel = _count("Tiers that travel stacked, at most", most=8)
    door_mm = LengthField(label="Narrowest door on the way", least_mm=Decimal(300))
    box_room_mm = LengthField(label="Room round the cake in its box", most_mm=Decimal(100))

    sections = (
        ("The bench", ("hands", "opens", "batter_loss")),
        ("Oven and fridge", ("oven_loads", "oven_shelves", "oven_wide_mm", "oven_deep_mm", "fridge_places")),
        ("Supports", ("rod", "rod_mm", "wall_mm", "in_from_edge_mm", "safety", "uneven")),
        ("Boards and boxes", ("drum_mm", "under_board_mm", "box_room_mm")),
        ("On the way", ("tiers_stacked_to_travel", "door_mm")),
        ("Your margin", ("least_margin",)),
    )  # fmt: skip


@owner_only
@require_http_methods(["GET", "POST"])
def kitchen(request):
    return edit_shop(
        request,
        KitchenForm,
        here="shop_kitchen",
        title="Kitchen and supports",
        about="What the order of work, the support plan and your own figures reckon with.",
    )
