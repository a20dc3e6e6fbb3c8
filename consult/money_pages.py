"""The money of one order: its ledger, noting payments and refunds, asking for what is open, cancelling."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from consult.actions import cancelling, money, money_papers
from consult.actions.keeping import KeyMismatch, Overtaken, Settled
from consult.actions.money import Unlikely
from consult.core.cancelling import caution
from consult.core.ledger import Kind, Ledger, Line
from consult.finding import AtHand, consultation_at_hand
from consult.models import BalanceAsked, Consultation, Payment, Receipt, Refund, State
from consult.money_forms import CancelForm, PaymentForm, RefundForm, VoidForm
from consult.page import keys_of, once_for, seen_on
from shop.access import owner_only

ELSEWHERE = "Somebody else changed this consultation. Please look again."


@dataclass(frozen=True, slots=True)
class Shown:
    """A line of the ledger with what can be done about it."""

    line: Line
    sort: str  # "payment", "refund" or ""
    receipt: Receipt | None

    @property
    def place(self) -> int:
        """Of the receipt among the order's: the last part of its number."""
        return int(self.receipt.number.rpartition("-")[2]) if self.receipt else 0


def lines_shown(row: Any, ledger: Ledger) -> list[Shown]:
    """The ledger's lines with their receipts."""
    receipts = {
        (sort, one.pk): getattr(one, "receipt", None)
        for sort, rows in (("payment", row.noted_payments), ("refund", row.noted_refunds))
        for one in rows
    }
    sorts = {Kind.RECEIVED: "payment", Kind.BACK: "refund"}
    return [
        Shown(line, sort, receipts.get((sort, line.key)))
        for line in ledger.lines
        for sort in (sorts.get(line.kind, ""),)
    ]


def money_context(consultation: Consultation) -> dict[str, Any]:
    """What the partial about money needs, wherever it is shown: five queries."""
    row = money_papers.row_with_money(consultation)
    ledger = money.ledger_of_row(row)
    return {
        "ledger": ledger,
        "money_lines": lines_shown(row, ledger),
        "is_signed": bool(row.signed_sheets),
        "sheet_row": row.signed_sheets[-1] if row.signed_sheets else None,
        "cancellation": getattr(row, "cancellation", None),
        "balances": BalanceAsked.objects.filter(sheet__consultation=consultation)
        .select_related("sheet")
        .defer("body", "sheet__body"),
        "may_cancel": bool(row.signed_sheets) and row.state in cancelling.MAY_BE_CANCELLED,
    }


def _shown(
    request: HttpRequest, at: AtHand, name: str, *, status: int = 200, **context: Any
) -> HttpResponse:
    context |= {"at": at, "keys": keys_of(request, at)}
    return render(request, f"consult/{name}.html", context, status=status)


def _kept(
    request: HttpRequest, at: AtHand, form: Any, act: Callable[[], object], done: str
) -> HttpResponse | None:
    """Do it once for the key of the form and go to the money; None where the form has to be shown again."""

    def acted() -> str:
        act()
        return ""

    try:
        once_for(request, acted)
    except Unlikely as asks:
        form.ask_again(str(asks))
        return None
    except Settled as refused:
        form.add_error(None, str(refused))
        return None
    except (Overtaken, KeyMismatch):
        form.add_error(None, ELSEWHERE)
        return None
    messages.success(request, done)
    return redirect("consult:money", pk=at.row.pk)


@require_http_methods(["GET", "POST"])
def page(request: HttpRequest, pk: int) -> HttpResponse:
    """The ledger with what is due; posting notes a payment."""
    at = consultation_at_hand(pk)
    form, status = None, 200
    if request.method == "POST":
        form = PaymentForm(request.POST, at=at)
        if form.is_valid():
            answers = form.cleaned_data

            def act() -> None:
                payment = money.note_payment(
                    at.row,
                    by=request.user,
                    seen=seen_on(request),
                    amount=answers["amount"],
                    received_on=answers["received_on"],
                    means=answers["means"],
                    all_the_same=answers["all_the_same"],
                )
                money_papers.receipt_for(payment, by=request.user, today=at.today)

            kept = _kept(request, at, form, act, "The payment is noted, with its receipt.")
            if kept is not None:
                return kept
        status = 422
    context = money_context(at.row)
    ledger: Ledger = context["ledger"]
    if form is None and context["is_signed"]:
        amount = ledger.dues[0].amount if ledger.dues else None
        initial: dict[str, Any] = {"received_on": at.today}
        form = PaymentForm(at=at, initial=initial | ({"amount": str(amount)} if amount else {}))
    return _shown(request, at, "money", status=status, form=form, late=ledger.late(at.today),
                  **context)  # fmt: skip


@require_POST
def ask_balance(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for all that is open."""
    consultation = get_object_or_404(Consultation, pk=pk)
    at_today = consultation_at_hand(pk).today
    _carry_out(
        request,
        lambda: money_papers.ask_for_balance(consultation, by=request.user, today=at_today),
        "The request is made.",
    )
    return redirect("consult:money", pk=pk)


@require_POST
def make_receipt(request: HttpRequest, pk: int) -> HttpResponse:
    """A receipt for a payment or refund that has none yet."""
    at = consultation_at_hand(pk)
    noted = _noted(request, at.row)
    if noted is None:
        return redirect("consult:money", pk=pk)
    _carry_out(
        request,
        lambda: money_papers.receipt_for(noted, by=request.user, today=at.today),
        "The receipt is made.",
    )
    return redirect("consult:money", pk=pk)


def _carry_out(request: HttpRequest, act: Callable[[], object], done: str) -> None:
    """Do it once for the key of the form; what became of it is said on the next page."""

    def acted() -> str:
        act()
        return ""

    try:
        once_for(request, acted)
    except Settled as refused:
        messages.error(request, str(refused))
    except (Overtaken, KeyMismatch):
        messages.error(request, ELSEWHERE)
    else:
        messages.success(request, done)


def _noted(request: HttpRequest, consultation: Consultation) -> Payment | Refund | None:
    """The payment or refund that is named, of that consultation; None if none is. Http404 for another's."""
    said = request.POST if request.method == "POST" else request.GET
    kinds: tuple[tuple[str, type[Payment] | type[Refund]], ...] = (
        ("payment", Payment),
        ("refund", Refund),
    )
    for name, kind in kinds:
        key = said.get(name, "")
        if key.isascii() and key.isdigit() and len(key) <= 9:
            rows = kind.objects.select_related("noted_by", "consultation__edition", "voided")
            return get_object_or_404(rows, pk=int(key), consultation=consultation)
    return None


@owner_only
@require_http_methods(["GET", "POST"])
def refund(request: HttpRequest, pk: int) -> HttpResponse:
    """Note money that went back to the client."""
    at = consultation_at_hand(pk)
    ledger, status = money.ledger_of(at.row), 200
    if request.method == "POST":
        form = RefundForm(request.POST, at=at)
        if form.is_valid():
            answers = form.cleaned_data

            def act() -> None:
                noted = money.note_refund(
                    at.row,
                    by=request.user,
                    seen=seen_on(request),
                    amount=answers["amount"],
                    paid_on=answers["paid_on"],
                    means=answers["means"],
                    why=answers["why"],
                    all_the_same=answers["all_the_same"],
                )
                money_papers.receipt_for(noted, by=request.user, today=at.today)

            kept = _kept(request, at, form, act, "The refund is noted, with its receipt.")
            if kept is not None:
                return kept
        status = 422
    else:
        initial: dict[str, Any] = {"paid_on": at.today}
        if ledger.over:
            initial["amount"] = str(ledger.over)
        if ledger.is_cancelled:
            initial["why"] = "the order was cancelled"
        form = RefundForm(at=at, initial=initial)
    return _shown(request, at, "money_refund", status=status, form=form, ledger=ledger)


@owner_only
@require_http_methods(["GET", "POST"])
def void(request: HttpRequest, pk: int) -> HttpResponse:
    """Say that a payment or a refund was noted in error."""
    at = consultation_at_hand(pk)
    noted = _noted(request, at.row)
    if noted is None:
        return redirect("consult:money", pk=pk)
    form, status = VoidForm(request.POST or None, at=at), 200
    if request.method == "POST":
        if form.is_valid():
            kept = _kept(
                request,
                at,
                form,
                lambda: money.void(
                    at.row,
                    noted,
                    by=request.user,
                    seen=seen_on(request),
                    why=form.cleaned_data["why"],
                ),
                "It is void and counts no more.",
            )
            if kept is not None:
                return kept
        status = 422
    sort = "payment" if isinstance(noted, Payment) else "refund"
    return _shown(request, at, "money_void", status=status, form=form, noted=noted, sort=sort)


@owner_only
@require_http_methods(["GET", "POST"])
def cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """Cancel the order: first what it comes to, then, once that was seen, for good."""
    at = consultation_at_hand(pk)
    row = money_papers.row_with_money(at.row)
    if not row.signed_sheets or row.state not in cancelling.MAY_BE_CANCELLED:
        if row.state != State.CANCELLED:
            messages.error(request, "There is no signed order here to cancel.")
        return redirect("consult:money", pk=pk)
    said = request.POST if request.method == "POST" else None
    form, status, came_to = CancelForm(said, at=at), 200, None
    if said is not None and form.is_valid():
        answers = form.cleaned_data
        came_to = cancelling.cancelling_now(
            row, on=answers["on"], by_client=form.by_client, today=at.today
        )
        if said.get("kept") == f"{came_to.kept.minor} {came_to.back.minor}" and "go" in said:
            kept = _kept(
                request,
                at,
                form,
                lambda: cancelling.cancel_order(
                    at.row,
                    by=request.user,
                    seen=seen_on(request),
                    on=answers["on"],
                    by_client=form.by_client,
                    why=answers["why"],
                    today=at.today,
                ),
                "The order is cancelled.",
            )
            if kept is not None:
                return kept
            status = 422
    elif said is not None:
        status = 422
    agreed = at.row.book().policies.agreement
    locale = at.book.identity.locale
    return _shown(
        request, at, "money_cancel", status=status, form=form, came_to=came_to,
        caution=caution(came_to, agreed.place, locale) if came_to else "",
        kept=f"{came_to.kept.minor} {came_to.back.minor}" if came_to else "",
    )  # fmt: skip
