"""What is asked when money is noted, given back, voided, or an order cancelled? The forms of the money's pages."""

from datetime import date
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Row
from django import forms

from consult.actions.money import CARD_WORDS
from consult.core.card_numbers import holds_card_number
from consult.finding import AtHand
from consult.forms import StepForm
from shop.core.money import Money
from shop.forms import MOST_MONEY, NumberField

MEANS = ("bank transfer", "card in the shop", "cash", "cheque", "payment link")
LONGEST_WHY = 300


def day_field(label: str, help_text: str = "") -> forms.DateField:
    """A day, by the browser's own calendar."""
    return forms.DateField(
        label=label,
        help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Type a date as 2027-05-15."},
    )


def means_field(label: str) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=[(means, means) for means in MEANS])


class WhyField(forms.CharField):
    """A reason in words, which is no place for a card's number."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=LONGEST_WHY, **options)

    def validate(self, value: str) -> None:
        super().validate(value)
        if holds_card_number(value):
            raise forms.ValidationError(CARD_WORDS)


def not_to_come(on: date, today: date) -> date:
    if on > today:
        raise forms.ValidationError("That day is still to come.")
    return on


class AmountForm(StepForm):
    """An amount in the order's currency. What is unlikely is asked about once, with a box to tick."""

    amount = NumberField(label="Amount", least=Decimal("0.001"), most=MOST_MONEY, places=3)
    all_the_same = forms.BooleanField(label="Yes, note it all the same", required=False)

    def clean_amount(self) -> Money:
        try:
            return Money.of(self.cleaned_data["amount"], self.at.book.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error

    def ask_again(self, asks: str) -> None:
        """Ask whether it is meant, beside the amount."""
        self.add_error("amount", asks)
        self.asks = True

    asks = False

    def confirming(self) -> tuple[str, ...]:
        ticked = self.is_bound and self.data.get("all_the_same")
        return ("all_the_same",) if self.asks or ticked else ()


class PaymentForm(AmountForm):
    amount = NumberField(label="Amount received", least=Decimal("0.01"), most=MOST_MONEY, places=3)
    received_on = day_field("Received on")
    means = means_field("By")

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {"received_on": at.today}

    def layout(self) -> tuple[Any, ...]:
        return (Row("amount", "received_on"), *self.confirming(), "means")

    def clean_received_on(self) -> date:
        return not_to_come(self.cleaned_data["received_on"], self.at.today)


class RefundForm(AmountForm):
    amount = NumberField(
        label="Amount given back", least=Decimal("0.01"), most=MOST_MONEY, places=3
    )
    paid_on = day_field("Given back on")
    means = means_field("By")
    why = WhyField(label="Because", help_text="The client reads this on the receipt.")

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {"paid_on": at.today}

    def layout(self) -> tuple[Any, ...]:
        return (Row("amount", "paid_on"), *self.confirming(), "means", "why")

    def clean_paid_on(self) -> date:
        return not_to_come(self.cleaned_data["paid_on"], self.at.today)


class VoidForm(StepForm):
    why = WhyField(
        label="Because", help_text="For the record: noted twice, wrong amount, another order."
    )


class CancelForm(StepForm):
    by = forms.ChoiceField(
        label="Who cancels",
        choices=[("client", "the client"), ("shop", "the shop, by its own fault or choice")],
        widget=forms.RadioSelect,
        initial="client",
    )
    on = day_field("Cancelled on", "The day their word reached you, which the notice counts from.")
    why = WhyField(label="Why", required=False, help_text="The client reads this on the statement.")

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {"by": "client", "on": at.today}

    def layout(self) -> tuple[Any, ...]:
        return ("by", "on", "why")

    def clean_on(self) -> date:
        on = not_to_come(self.cleaned_data["on"], self.at.today)
        if on < self.at.row.opened_at.date():
            raise forms.ValidationError("That is before this consultation was opened.")
        return on

    @property
    def by_client(self) -> bool:
        return bool(self.cleaned_data["by"] == "client")
