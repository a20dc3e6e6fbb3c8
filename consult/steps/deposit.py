"""Ask for the deposit of the signed sheet, and note that it came in."""

from datetime import date
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Row
from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from consult.actions import deposits, sheets
from consult.actions.keeping import Seen
from consult.core.sheet import DepositRequest
from consult.core.sheet_making import deposit_request_of
from consult.finding import AtHand, consultation_at_hand
from consult.forms import StepForm
from consult.models import DepositAsked
from consult.page import go_to, keep_answer, show
from shop.core.book import built
from shop.core.money import Money
from shop.forms import MOST_MONEY, NumberField

MEANS = ("bank transfer", "card in the shop", "cash", "cheque", "payment link")


class PaymentForm(StepForm):
    amount = NumberField(label="Amount received", least=Decimal("0.01"), most=MOST_MONEY, places=3)
    received_on = forms.DateField(
        label="Received on",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Type a date as 2027-05-15."},
    )
    means = forms.ChoiceField(label="By", choices=[(means, means) for means in MEANS])

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {"received_on": at.today}

    def layout(self) -> tuple[Any, ...]:
        return (Row("amount", "received_on"), "means")

    def clean_amount(self) -> Money:
        try:
            return Money.of(self.cleaned_data["amount"], self.at.book.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error

    def clean_received_on(self) -> date:
        on: date = self.cleaned_data["received_on"]
        if on > self.at.today:
            raise forms.ValidationError("That day is still to come.")
        return on


def shown(at: AtHand, form: Any = None) -> dict[str, Any]:
    row = sheets.current_sheet(at.row)
    signature = getattr(row, "signature", None) if row else None
    asked: DepositAsked | None = getattr(row, "deposit", None) if row else None
    request_value: DepositRequest | None = None
    if row and asked:
        request_value = built(DepositRequest, asked.body, "deposit")
    elif row and signature:
        request_value = deposit_request_of(
            sheets.sheet_value(row), at.book, fingerprint=row.fingerprint, asked_on=at.today
        )
    if form is None and asked:
        form = PaymentForm(
            at=at, initial={"amount": asked.amount.decimal(), "received_on": at.today}
        )
    return {
        "row": row,
        "signature": signature,
        "asked": asked,
        "request_value": request_value,
        "payments": list(at.row.payments.select_related("noted_by")),
        "paid": deposits.paid(at.row),
        "form": form,
        "also": True,
    }


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    context = shown(at)
    if request.method != "POST" or context["signature"] is None:
        return show(request, at, "deposit", status=200, **context)
    if context["asked"] is None:
        deposits.ask_for_deposit(
            at.row, context["row"], by=request.user, request=context["request_value"]
        )
        return go_to(request, reverse("consult:deposit", args=[pk]))
    form = PaymentForm(request.POST, at=at)
    if not form.is_valid():
        return show(request, at, "deposit", **shown(at, form))

    def act(seen: Seen) -> object:
        answers = form.cleaned_data
        return deposits.note_payment(
            at.row,
            context["asked"],
            by=request.user,
            seen=seen,
            amount=answers["amount"],
            received_on=answers["received_on"],
            means=answers["means"],
        )

    return keep_answer(request, at, "deposit", act, form=form, afresh=shown)
