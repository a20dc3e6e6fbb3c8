"""How are the work and the price of a finish or decoration written down? By a driver, once and for each unit."""

from django import forms

from shop.core.hazards import HAZARDS
from shop.forms import NumberField, WholeNumberField
from shop.models.catalogue import DRIVERS
from shop.pages.fields import MoneyField
from shop.pages.shop_form import NamedForm, several

WORK_AND_PRICE = (
    (
        "Bench work",
        ("driver", "minutes_once", "minutes_each", "waiting_minutes", "lead_days"),
    ),
    ("Price and cost", ("price_once", "price_each", "cost_each")),
)
CAUTIONS = ("Cautions", ("cautions", "own_caution"))


class RatedForm(NamedForm):
    driver = forms.ChoiceField(
        label="Counted by",
        choices=DRIVERS,
        help_text="What work and price grow with.",
    )
    minutes_once = NumberField(
        label="Minutes, once",
        unit="min",
        least=0,
        most=3000,
        help_text="Setting up, mixing colour, clearing away.",
    )
    minutes_each = NumberField(label="Minutes for each", unit="min", least=0, most=3000)
    waiting_minutes = WholeNumberField(
        label="Waiting",
        unit="min",
        least=0,
        most=20_000,
        help_text="Chilling, setting, drying: no hands needed.",
    )
    lead_days = WholeNumberField(
        label="Lead time",
        unit="days",
        least=0,
        most=90,
        help_text="Days before hand-over on which it must be begun.",
    )
    price_once = MoneyField(label="Price, once")
    price_each = MoneyField(label="Price for each")
    cost_each = MoneyField(
        label="Material for each", help_text="What you pay for it. Never shown to a client."
    )
    cautions = several("What the sheet must warn of", list(HAZARDS.items()))
    own_caution = forms.CharField(
        label="Your own caution",
        max_length=200,
        required=False,
        help_text="A whole sentence; it is printed on the sheet as it stands here.",
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.row is None:
            for name in ("minutes_once", "minutes_each", "waiting_minutes", "lead_days"):
                self.initial.setdefault(name, 0)
            for name in ("price_once", "price_each", "cost_each"):
                self.initial.setdefault(name, 0)

    def kept(self, name):
        if name == "cautions":
            return [code for code in self.row.cautions if code in HAZARDS]
        if name == "own_caution":
            return " ".join(code for code in self.row.cautions if code not in HAZARDS)
        return super().kept(name)

    def values(self):
        values = super().values()
        if self.row is None or values.keys() & {"cautions", "own_caution"}:
            own = self.cleaned_data["own_caution"].strip()
            values["cautions"] = [*self.cleaned_data["cautions"], *([own] if own else [])]
        values.pop("own_caution", None)
        return values
