"""Asking for the deposit of a signed sheet, and what came in for it so far."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions import post
from consult.actions.keeping import hold, note
from consult.core.deposit import in_blocks_of_four
from consult.core.sheet import DepositRequest
from consult.documents.deposit_request import deposit_request
from consult.models import Consultation, DepositAsked, Payment, Refund, Sheet
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
    tells: bool = False,
) -> DepositAsked:
    """Keep the request and its paper. A sheet's deposit is asked for once; again gives the same request.

    `by` is None where it is asked for at once, as the sheet is signed by private link; `pdf` names the paper
    where it lies in the store already. With `tells` the client gets it by e-mail as well.
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
            if tells:
                post.write(
                    "to_pay",
                    to=consultation.client_email,
                    consultation=consultation,
                    context={
                        "what": "deposit",
                        "amount": request.to_pay,
                        "due": request.due,
                        "reference": in_blocks_of_four(request.reference),
                        "pay_link": request.payment_link,
                        "event_on": request.event_on,
                    },
                    attached=[
                        post.Attached(
                            f"deposit-request-{request.number}.pdf", "application/pdf", pdf
                        )
                    ],
                    once=f"deposit {asked.pk}",
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
