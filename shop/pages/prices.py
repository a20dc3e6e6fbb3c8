"""What holds for every order: prices, deposit and balance, short notice, delivery, tax, and what an hour costs."""

from django import forms
from django.db import transaction
from django.views.decorators.http import require_http_methods

from shop.access import owner_only
from shop.actions import change_shop, set_rush_fees
from shop.core.policies import Rush
from shop.forms import NumberField, WholeNumberField
from shop.models import RushFee
from shop.pages.fields import MoneyField, PercentField
from shop.pages.setup_page import edit_shop
from shop.pages.shop_form import ShopForm, tick

RUSH_STEPS = (1, 2, 3)
KILOMETRE = "One mile is 1.6 km."


def _days(label, most=400, **kwargs):
    return WholeNumberField(label=label, unit="days", least=0, most=most, **kwargs)


class PricesForm(ShopForm):
    price_per_serving = MoneyField(
        label="A plain serving", help_text="Cake and filling, before finish and decorations."
    )
    minimum_order = MoneyField(
        label="Smallest order", help_text="A smaller one is charged as this."
    )
    kitchen_cake_share = PercentField(
        label="A serving of a kitchen cake",
        help_text="Of the price of any other serving: it is cut out of sight. Its coat costs the same.",
    )

    deposit_share = PercentField(label="Deposit", help_text="Of the total.")
    deposit_due_days = _days("Deposit due", help_text="After the quote.")
    balance_due_days = _days("Balance due", help_text="Before hand-over.")
    quote_holds_days = _days("A quote holds for")
    least_notice_days = _days("Least notice", help_text="Shorter notice is refused.")

    rush_days_1 = _days("Notice shorter than", required=False)
    rush_share_1 = PercentField(label="Costs more, by", required=False)
    rush_least_1 = MoneyField(label="But at least", required=False)
    rush_days_2 = _days("Notice shorter than", required=False)
    rush_share_2 = PercentField(label="Costs more, by", required=False)
    rush_least_2 = MoneyField(label="But at least", required=False)
    rush_days_3 = _days("Notice shorter than", required=False)
    rush_share_3 = PercentField(label="Costs more, by", required=False)
    rush_least_3 = MoneyField(label="But at least", required=False)

    delivery_base = MoneyField(label="Delivery")
    delivery_included_km = NumberField(
        label="Covers the first", unit="km", places=1, least=0, most=2000, help_text=KILOMETRE
    )
    delivery_per_km = MoneyField(label="Each further kilometre")
    delivery_set_up = MoneyField(label="Setting up at the venue")
    delivery_furthest_km = NumberField(
        label="Furthest you drive",
        unit="km",
        places=1,
        least=0,
        most=2000,
        help_text="At none, you do not deliver.",
    )
    delivery_km_an_hour = NumberField(
        label="Speed on the road", unit="km an hour", places=1, least=5, most=130
    )

    tax_name = forms.CharField(label="Name of the tax", max_length=40, required=False)
    tax_share = PercentField(label="Rate")
    tax_included = tick("My prices hold the tax already")

    hour_costs = MoneyField(
        label="One bench hour costs you", help_text="Wages and what goes with them."
    )
    overhead_share = PercentField(
        label="Overhead", help_text="Rent, energy, insurance: on top of an order's own cost."
    )

    sections = (
        ("Price", ("price_per_serving", "minimum_order", "kitchen_cake_share")),
        ("Deposit and balance", ("deposit_share", "deposit_due_days", "balance_due_days")),
        ("Quote and notice", ("quote_holds_days", "least_notice_days")),
        (
            "Short notice",
            tuple(
                f"rush_{what}_{step}" for step in RUSH_STEPS for what in ("days", "share", "least")
            ),
        ),
        (
            "Delivery",
            (
                "delivery_base",
                "delivery_included_km",
                "delivery_per_km",
                "delivery_set_up",
                "delivery_furthest_km",
                "delivery_km_an_hour",
            ),
        ),
        ("Tax", ("tax_name", "tax_share", "tax_included")),
        ("Your own cost, for your eyes only", ("hour_costs", "overhead_share")),
    )

    def __init__(self, *args, **kwargs):
        self.kept_rushes = list(RushFee.objects.all())
        super().__init__(*args, **kwargs)

    def kept(self, name):
        what, _, step = name.removeprefix("rush_").partition("_")
        if not name.startswith("rush_"):
            return super().kept(name)
        if int(step) > len(self.kept_rushes):
            return None
        rush = self.kept_rushes[int(step) - 1]
        return {"days": rush.under_days, "share": rush.share, "least": rush.least}[what]

    def clean(self):
        said, seen = self.cleaned_data, set()
        for step in RUSH_STEPS:
            days = said.get(f"rush_days_{step}")
            share, least = said.get(f"rush_share_{step}"), said.get(f"rush_least_{step}")
            if not days and (share or least):
                self.add_error(
                    f"rush_days_{step}", "Say from how many days' notice this is charged."
                )
            elif days and not share and not least:
                self.add_error(
                    f"rush_share_{step}", "Say what it costs: a percentage, an amount or both."
                )
            elif days in seen:
                self.add_error(f"rush_days_{step}", "There is a fee for this notice already.")
            if days:
                seen.add(days)
        if said.get("tax_share") and not said.get("tax_name"):
            self.add_error("tax_name", "Name the tax, as it is printed on the quote.")
        return said

    def rushes(self):
        """The fees that were filled in."""
        said = self.cleaned_data
        return [
            Rush(
                said[f"rush_days_{step}"],
                said[f"rush_share_{step}"] or 0,
                said[f"rush_least_{step}"] or self.shop.money(0),
            )
            for step in RUSH_STEPS
            if said[f"rush_days_{step}"]
        ]

    def values(self):
        return {
            name: value for name, value in super().values().items() if not name.startswith("rush_")
        }


@transaction.atomic
def _save(shop, form):
    change_shop(shop, **form.values())
    set_rush_fees(shop, rushes=form.rushes())


@owner_only
@require_http_methods(["GET", "POST"])
def prices(request):
    return edit_shop(
        request,
        PricesForm,
        here="shop_prices",
        title="Prices and policies",
        about="What holds for every order. A quote keeps what it was made with.",
        save=_save,
    )
