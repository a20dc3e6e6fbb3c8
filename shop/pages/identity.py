"""Who the shop is, how it measures and prints, and how it is paid."""

from zoneinfo import available_timezones

from babel import Locale, UnknownLocaleError
from django import forms
from django.views.decorators.http import require_http_methods
from stdnum import bic, iban
from stdnum.exceptions import ValidationError as WrongNumber

from shop.access import owner_only
from shop.core.money import minor_digits
from shop.core.payment_link import link_problem
from shop.models.catalogue import UNITS
from shop.pages.setup_page import edit_shop
from shop.pages.shop_form import ShopForm, substances
from shop.printing import not_printed

REGIMES = [
    ("us", "United States"),
    ("eu", "European Union"),
    ("uk", "United Kingdom"),
    ("ca", "Canada"),
    ("anz", "Australia and New Zealand"),
]
PAPERS = [("letter", "Letter, 8½ x 11 in"), ("a4", "A4, 210 x 297 mm")]


class IdentityForm(ShopForm):
    name = forms.CharField(label="Name of the shop", max_length=120)
    address = forms.CharField(label="Address", max_length=300, widget=forms.Textarea({"rows": 3}))
    phone = forms.CharField(label="Telephone", max_length=60, required=False)
    email = forms.EmailField(label="E-mail", required=False)
    currency = forms.CharField(
        label="Currency",
        max_length=3,
        help_text="Three letters, as USD or EUR. Every figure stays; nothing is converted.",
    )
    units = forms.ChoiceField(label="Lengths in", choices=UNITS)
    paper = forms.ChoiceField(label="Paper", choices=PAPERS)
    locale = forms.CharField(
        label="Figures written as in",
        max_length=20,
        help_text="A language and country, as en_US or de_DE.",
    )
    time_zone = forms.CharField(
        label="Time zone", max_length=60, help_text="A place, as America/New_York or Europe/Vienna."
    )
    regime = forms.ChoiceField(label="Allergens declared as in", choices=REGIMES)
    may_contain = substances(
        "Handled in your kitchen",
        help_text="Printed as “may contain” on each sheet that does not contain it anyway.",
    )
    account_name = forms.CharField(label="Account holder", max_length=70, required=False)
    iban = forms.CharField(
        label="IBAN",
        max_length=42,
        required=False,
        help_text="With euros and an IBAN, the deposit request carries a code to pay by.",
    )
    bic = forms.CharField(label="BIC", max_length=11, required=False)
    how_to_pay = forms.CharField(
        label="How to pay",
        max_length=600,
        required=False,
        widget=forms.Textarea({"rows": 3}),
        help_text="Your own words.",
    )
    payment_link = forms.CharField(
        label="Payment link",
        max_length=500,
        required=False,
        help_text="Of whoever takes payments for you, such as "
        "https://pay.example/?amount={amount}&reference={reference}. {amount}, {currency} and "
        "{reference} are filled in. No card number is ever asked for here.",
    )

    sections = (
        ("The shop", ("name", "address", "phone", "email")),
        ("How it counts and prints", ("currency", "units", "paper", "locale", "time_zone")),
        ("Allergens", ("regime", "may_contain")),
        ("How it is paid", ("account_name", "iban", "bic", "how_to_pay", "payment_link")),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name in ("name", "address"):
            self.fields[name].widget.attrs["dir"] = "auto"
            self.fields[name].help_text = not_printed((self.row and self.kept(name)) or "")

    def clean_currency(self):
        code = self.cleaned_data["currency"].strip().upper()
        try:
            minor_digits(code)
        except ValueError as error:
            raise forms.ValidationError(
                f"{code} is no currency code of ISO 4217. Type one like USD, EUR or GBP."
            ) from error
        return code

    def clean_locale(self):
        said = self.cleaned_data["locale"].strip().replace("-", "_")
        try:
            Locale.parse(said)
        except (UnknownLocaleError, ValueError) as error:
            raise forms.ValidationError("Type a language and country, like en_US.") from error
        return said

    def clean_time_zone(self):
        said = self.cleaned_data["time_zone"].strip()
        if said not in available_timezones():
            raise forms.ValidationError("Type a place, like America/New_York or Europe/Vienna.")
        return said

    def clean_iban(self):
        said = self.cleaned_data["iban"]
        try:
            return iban.validate(said) if said else ""
        except WrongNumber as error:
            raise forms.ValidationError(
                "This IBAN does not add up. Check each figure against the bank's letter."
            ) from error

    def clean_bic(self):
        said = self.cleaned_data["bic"]
        try:
            return bic.validate(said) if said else ""
        except WrongNumber as error:
            raise forms.ValidationError("A BIC has 8 or 11 letters and figures.") from error

    def clean_payment_link(self):
        said = self.cleaned_data["payment_link"].strip()
        if problem := link_problem(said):
            raise forms.ValidationError(problem)
        return said


@owner_only
@require_http_methods(["GET", "POST"])
def identity(request):
    return edit_shop(
        request,
        IdentityForm,
        here="shop_identity",
        title="Name, units and payment",
        about="What is printed at the head of every paper, and how the shop measures, counts and is paid.",
    )
