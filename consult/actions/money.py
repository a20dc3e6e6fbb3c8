"""The money of an order: its ledger, payments, refunds, what is voided, requests for the balance, receipts."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, QuerySet
from django.db.models.fields.json import KT

from consult.core.ledger import CancelledOn, Ledger, Movement, Signed, ledger_from
from consult.models import Consultation, Payment, Refund, Sheet
from shop.core.money import Money


def with_money(rows: QuerySet[Consultation]) -> QuerySet[Consultation]:
    """The rows with all that their ledgers are made of, in four queries however many they are."""
    sheets = (
        Sheet.objects.filter(signature__isnull=False)
        .select_related("signature", "deposit")
        .defer("body", "bench", "changes", "signature__strokes", "deposit__body")
        .annotate(
            total=KT("body__total__amount"),
            deposit_amount=KT("body__deposit__amount"),
            in_currency=KT("body__total__currency"),
            deposit_due=KT("body__deposit_due"),
            balance_due=KT("body__balance_due"),
        )
        .order_by("revision")
    )
    payments = Payment.objects.select_related("noted_by", "voided", "receipt")
    refunds = Refund.objects.select_related("noted_by", "voided", "receipt")
    return rows.select_related("edition", "cancellation").prefetch_related(
        Prefetch("sheets", sheets, to_attr="signed_sheets"),
        Prefetch("payments", payments, to_attr="noted_payments"),
        Prefetch("refunds", refunds, to_attr="noted_refunds"),
    )


def ledger_of(consultation: Consultation) -> Ledger:
    """Its money as it stands now: four queries, whatever there is."""
    return ledger_of_row(with_money(Consultation.objects.filter(pk=consultation.pk)).get())


def ledger_of_row(row: Any) -> Ledger:
    """The ledger of a row read by `with_money`; no further query."""
    zone = ZoneInfo(row.book().identity.time_zone)
    signed = [_signed(sheet, sheet.signature.signed_at.astimezone(zone).date())
              for sheet in row.signed_sheets]  # fmt: skip
    cancelled = getattr(row, "cancellation", None)
    currency = row.signed_sheets[-1].in_currency if signed else row.book().currency
    return ledger_from(
        currency,
        signed=signed,
        payments=[_movement(one, one.received_on) for one in row.noted_payments],
        refunds=[_movement(one, one.paid_on, one.why) for one in row.noted_refunds],
        cancelled=None
        if cancelled is None
        else CancelledOn(
            cancelled.cancelled_on,
            Money(cancelled.kept_minor, cancelled.currency),
            date.fromisoformat(cancelled.body["due"]),
        ),
    )


def _signed(sheet: Any, on: date) -> Signed:
    asked = getattr(sheet, "deposit", None)
    due = asked.due_on if asked else date.fromisoformat(sheet.deposit_due)
    return Signed(
        revision=sheet.revision,
        on=on,
        total=Money.of(sheet.total, sheet.in_currency),
        deposit=Money.of(sheet.deposit_amount, sheet.in_currency),
        deposit_due=due,
        balance_due=max(date.fromisoformat(sheet.balance_due), due),
    )


def _movement(row: Payment | Refund, on: date, why: str = "") -> Movement:
    void = getattr(row, "voided", None)
    return Movement(
        row.pk, on, row.amount, row.means, row.noted_by.name, why, void.why if void else ""
    )
