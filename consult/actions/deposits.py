"""Asking for the deposit of a signed sheet, and noting that money came in, which confirms the order."""

from collections.abc import Iterable
from datetime import date

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions.keeping import Seen, hold, move_on, note
from consult.core.sheet import DepositRequest
from consult.documents.deposit_request import deposit_request
from consult.models import Consultation, DepositAsked, Payment, Refund, Sheet, State
from shop.core.book import built, plain
from shop.core.money import Money, total
from shop.models import Person


def ask_for_deposit(
    consultation: Consultation,
    row: Sheet,
    *,
    by: Person | None,
    request: DepositRequest,
    pdf: str = "",
) -> DepositAsked:
    """Keep the request and its paper. A sheet's deposit is asked for once; again gives the same request.

    `by` is None where it is asked for at once, as the sheet is signed by private link; `pdf` names the paper
    where it lies in the store already.
    """
    pdf = pdf or store.keep(deposit_request(request))
    with transaction.atomic():
        hold(consultation)
        asked, is_new = DepositAsked.objects.get_or_create(
            sheet=row,
            defaults={
                "body": plain(request),
                "reference": request.reference,
                "amount_minor": request.deposit.minor,
                "currency": request.deposit.currency,
                "due_on": request.due,
                "pdf_sha256": pdf,
                "asked_at": timezone.now(),
            },
        )
        if is_new:
            note(
                consultation,
                by=by,
                who_words="" if by else "the shop",
                what="deposit asked",
                says=f"Deposit of {request.deposit} {request.deposit.currency} asked for, "
                + (f"{request.to_pay} of it still to pay, " if request.received else "")
                + f"due {request.due.isoformat()}, reference {request.reference}",
                details={"pdf": pdf},
            )
        return asked


def paid(consultation: Consultation) -> Money:
    """What came in less what went back, under any of its revisions; what was voided counts nowhere."""
    return paid_net(
        consultation.payments.filter(voided__isnull=True),
        consultation.refunds.filter(voided__isnull=True),
        consultation.book().currency,
    )


def paid_net(payments: Iterable[Payment], refunds: Iterable[Refund], currency: str) -> Money:
    """What those payments come to, less those refunds."""
    received = total((payment.amount for payment in payments), currency)
    return received - total((refund.amount for refund in refunds), currency)


def request_value(asked: DepositAsked) -> DepositRequest:
    """A kept request as its value again; one kept before payments were carried over asked for all of it."""
    body = asked.body
    nothing = plain(Money.zero(asked.currency))
    value: DepositRequest = built(
        DepositRequest, {"received": nothing, "to_pay": body["deposit"], **body}, "deposit"
    )
    return value


class MoreThanOpen(Exception):
    """More money than the order still comes to; the message says what is open."""


@transaction.atomic
def note_payment(
    consultation: Consultation,
    asked: DepositAsked | None,
    *,
    by: Person,
    seen: Seen,
    amount: Money,
    received_on: date,
    means: str,
    order_total: Money | None = None,
) -> Payment:
    """Note money that came in. Once the deposit is covered the order is confirmed.

    `asked` is None where an earlier revision's payments cover the deposit. Raises MoreThanOpen when all that
    was received would pass `order_total`.
    """
    hold(consultation)
    before = paid(consultation)
    if order_total is not None and amount > order_total - before:
        still_open = max(order_total - before, Money.zero(amount.currency))
        locale = consultation.book().identity.locale
        raise MoreThanOpen(f"More than is open: {still_open.written(locale)}.")
    payment = Payment.objects.create(
        consultation=consultation,
        amount_minor=amount.minor,
        currency=amount.currency,
        received_on=received_on,
        means=means,
        noted_by=by,
        noted_at=timezone.now(),
    )
    covered = asked is None or (before + amount).minor >= asked.amount_minor
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="payment",
        says=f"{amount} {amount.currency} received by {means} on {received_on.isoformat()}"
        + ("; the order is confirmed" if covered else "; the deposit is not covered yet"),
        while_in=(State.SIGNED, State.CONFIRMED),
        state=State.CONFIRMED if covered else consultation.state,
    )
    return payment
