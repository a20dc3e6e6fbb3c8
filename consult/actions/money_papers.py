"""Asking for what is still to pay, and making receipts: papers kept with their words, told to the client by e-mail."""

from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions import post
from consult.actions.keeping import hold, note
from consult.actions.money import Refused, ledger_of_row, with_money
from consult.core.deposit import in_blocks_of_four
from consult.core.money_papers import (
    BalanceRequest,
    HowToPay,
    Letterhead,
    ReceiptPaper,
    balance_request_of,
    sums_of,
)
from consult.documents.balance_request import balance_request
from consult.documents.receipt import receipt
from consult.models import BalanceAsked, Consultation, Payment, Receipt, Refund, Sheet
from shop.core.book import plain
from shop.core.policies import Identity, Paper
from shop.models import NoShopYet, Person, current_shop

PDF = "application/pdf"


def row_with_money(consultation: Consultation) -> Any:
    """The row read anew, with all that its ledger is made of (four queries)."""
    return with_money(Consultation.objects.filter(pk=consultation.pk)).get()


def head_of(row: Any) -> Letterhead:
    """The head of a paper about an order, from its last signed sheet. Refused where none is signed."""
    if not row.signed_sheets:
        raise Refused("Nothing is signed here, so there is nothing to pay.")
    body = Sheet.objects.values_list("body", flat=True).get(pk=row.signed_sheets[-1].pk)
    said = {name: body[name] for name in Letterhead.__dataclass_fields__}
    said |= {"event_on": date.fromisoformat(said["event_on"]), "paper": Paper(said["paper"])}
    return Letterhead(**said)


def paid_to(consultation: Consultation) -> Identity:
    """Where money goes now: an account may have changed since the order was quoted."""
    try:
        return current_shop().identity()
    except NoShopYet:
        return consultation.book().identity


def pay_context(pay: HowToPay) -> dict[str, str]:
    """What a message says of how to pay."""
    return {"reference": in_blocks_of_four(pay.reference), "pay_link": pay.link}


@transaction.atomic
def ask_for_balance(consultation: Consultation, *, by: Person, today: date) -> BalanceAsked:
    """Ask for all that is open and keep the request; the same sum by the same day again is the same request.

    Refused when nothing is signed or nothing is open.
    """
    hold(consultation)
    row = row_with_money(consultation)
    ledger, head = ledger_of_row(row), head_of(row)
    if not ledger.open:
        raise Refused("Nothing is open, so there is nothing to ask for.")
    request = balance_request_of(head, ledger, paid_to(consultation), today)
    sheet = row.signed_sheets[-1]
    last = sheet.balances.order_by("-place").first()
    if last and (last.amount, last.due_on) == (request.amount, request.due):
        return last
    pdf = store.keep(balance_request(request))
    asked = BalanceAsked.objects.create(
        sheet_id=sheet.pk,
        place=(last.place if last else 0) + 1,
        body=plain(request),
        reference=request.pay.reference,
        amount_minor=request.amount.minor,
        currency=request.amount.currency,
        due_on=request.due,
        pdf_sha256=pdf,
        asked_at=timezone.now(),
    )
    note(
        consultation,
        by=by,
        what="balance asked",
        says=f"{request.amount} {request.amount.currency} still to pay asked for,"
        f" due {request.due.isoformat()}, reference {request.pay.reference}",
        details={"pdf": pdf},
    )
    _tell_to_pay(consultation, asked, request)
    return asked


def _tell_to_pay(consultation: Consultation, asked: BalanceAsked, request: BalanceRequest) -> None:
    post.write(
        "to_pay",
        to=consultation.client_email,
        consultation=consultation,
        context={
            "what": "balance",
            "amount": request.amount,
            "due": request.due,
            "event_on": request.head.event_on,
            **pay_context(request.pay),
        },
        attached=[
            post.Attached(f"request-for-payment-{request.head.number}.pdf", PDF, asked.pdf_sha256)
        ],
        once=f"balance {asked.pk}",
    )


@transaction.atomic
def receipt_for(noted: Payment | Refund, *, by: Person, today: date) -> Receipt:
    """The receipt of a payment or refund, made once and told to the client; again gives the same one.

    Its sums are the ledger's as they stand when it is made. Refused for what is void.
    """
    consultation = noted.consultation
    hold(consultation)
    is_refund = isinstance(noted, Refund)
    link: dict[str, Any] = {"refund": noted} if is_refund else {"payment": noted}
    kept = Receipt.objects.filter(**link).first()
    if kept is not None:
        return kept
    if type(noted).objects.filter(pk=noted.pk, voided__isnull=False).exists():
        raise Refused("This is void, so no receipt is made for it.")
    row = row_with_money(consultation)
    ledger, head = ledger_of_row(row), head_of(row)
    paper = ReceiptPaper(
        head=head,
        receipt=_next_number(consultation),
        is_refund=is_refund,
        amount=noted.amount,
        on=noted.paid_on if isinstance(noted, Refund) else noted.received_on,
        means=noted.means,
        why=noted.why if isinstance(noted, Refund) else "",
        noted_by=noted.noted_by.name,
        made_on=today,
        sums=sums_of(ledger),
    )
    pdf = store.keep(receipt(paper))
    made = Receipt.objects.create(
        **link, number=paper.receipt, body=plain(paper), pdf_sha256=pdf, made_at=timezone.now()
    )
    note(
        consultation,
        by=by,
        what="receipt",
        says=f"Receipt {paper.receipt} made for {paper.amount} {paper.amount.currency}",
        details={"pdf": pdf},
    )
    post.write(
        "refund" if is_refund else "receipt",
        to=consultation.client_email,
        consultation=consultation,
        context={"paper": paper, "event_on": head.event_on},
        attached=[post.Attached(f"receipt-{paper.receipt}.pdf", PDF, pdf)],
        once=f"receipt {paper.receipt}",
    )
    return made


def _next_number(consultation: Consultation) -> str:
    """R-2027-0142-3: the third receipt of that order. Must run under `hold`."""
    mine = Receipt.objects.filter(payment__consultation=consultation) | Receipt.objects.filter(
        refund__consultation=consultation
    )
    return f"R-{consultation.number}-{mine.count() + 1}"
