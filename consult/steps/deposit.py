"""Ask for the deposit of the signed sheet, and note what came in: first the deposit, then the balance."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from consult.actions import deposits, money, money_papers, sheets
from consult.actions.keeping import Seen
from consult.actions.money import Unlikely
from consult.core.sheet import DepositRequest, DesignSheet
from consult.core.sheet_making import deposit_request_of
from consult.finding import AtHand, consultation_at_hand
from consult.flow import step_named
from consult.models import DepositAsked, Sheet
from consult.money_forms import PaymentForm
from consult.page import go_to, keep_answer, show
from shop.core.money import Money


@dataclass(frozen=True, slots=True)
class Standing:
    """What of a signed sheet is paid. `open_deposit` and `open_total` are never below zero."""

    sheet: DesignSheet
    paid: Money

    def _open(self, amount: Money) -> Money:
        return max(amount - self.paid, Money.zero(amount.currency))

    @property
    def open_deposit(self) -> Money:
        return self._open(self.sheet.deposit)

    @property
    def open_total(self) -> Money:
        return self._open(self.sheet.total)

    @property
    def over(self) -> Money:
        """Received beyond the total, as after a revision that made the cake cheaper."""
        return max(self.paid - self.sheet.total, Money.zero(self.paid.currency))

    @property
    def next_amount(self) -> Money:
        """What comes in next: the rest of the deposit, then the balance."""
        return self.open_deposit or self.open_total

    def heading(self, asked: DepositAsked | None) -> str:
        if not self.open_total:
            return "Everything is paid"
        if not self.open_deposit:
            return "The deposit is covered"
        return "The deposit is asked for" if asked else step_named("deposit").asks


def request_of(
    at: AtHand, row: Sheet, asked: DepositAsked | None, standing: Standing
) -> DepositRequest:
    """The request as it was made, else as it would be made now."""
    if asked:
        return deposits.request_value(asked)
    return deposit_request_of(
        standing.sheet, at.book, row.fingerprint, at.today, received=standing.paid
    )


def shown(at: AtHand, form: Any = None) -> dict[str, Any]:
    row = sheets.current_sheet(at.row)
    signature = getattr(row, "signature", None) if row else None
    asked: DepositAsked | None = getattr(row, "deposit", None) if row else None
    payments = list(at.row.payments.filter(voided__isnull=True).select_related("noted_by"))
    refunds = list(at.row.refunds.filter(voided__isnull=True))
    context: dict[str, Any] = {
        "row": row,
        "signature": signature,
        "asked": asked,
        "payments": payments,
        "refunds": refunds,
        "paid": deposits.paid_net(payments, refunds, at.book.currency),
        "heading": step_named("deposit").asks,
        "also": True,
    }
    if row is None or signature is None:
        return context
    standing = Standing(sheets.sheet_value(row), context["paid"])
    if form is None and standing.open_total and (asked or not standing.open_deposit):
        amount = standing.next_amount.decimal()
        form = PaymentForm(at=at, initial={"amount": amount, "received_on": at.today})
    return context | {
        "standing": standing,
        "request_value": request_of(at, row, asked, standing),
        "heading": standing.heading(asked),
        "form": form,
    }


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    context = shown(at)
    if request.method != "POST" or context["signature"] is None:
        return show(request, at, "deposit", status=200, **context)
    asked, standing = context["asked"], context["standing"]
    if asked is None and standing.open_deposit:
        deposits.ask_for_deposit(
            at.row,
            context["row"],
            by=request.user,
            request=context["request_value"],
            tells=True,
        )
        return go_to(request, reverse("consult:deposit", args=[pk]))
    form = PaymentForm(request.POST, at=at)
    if not form.is_valid():
        return show(request, at, "deposit", **shown(at, form))

    def act(seen: Seen) -> object:
        answers = form.cleaned_data
        payment = money.note_payment(
            at.row,
            by=request.user,
            seen=seen,
            amount=answers["amount"],
            received_on=answers["received_on"],
            means=answers["means"],
            all_the_same=answers["all_the_same"],
        )
        money_papers.receipt_for(payment, by=request.user, today=at.today)
        return payment

    try:
        return keep_answer(request, at, "deposit", act, form=form, afresh=shown)
    except Unlikely as asks:  # only known once nobody else can note a payment
        form.ask_again(str(asks))
        return show(request, at, "deposit", **shown(at, form))
