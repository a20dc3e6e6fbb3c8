"""The money of an order: its ledger, and noting what came in, what went back and what was noted in error."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Prefetch, QuerySet
from django.db.models.fields.json import KT
from django.utils import timezone

from consult.actions.keeping import Seen, Settled, hold, move_on, note
from consult.core.card_numbers import holds_card_number
from consult.core.ledger import CancelledOn, Ledger, Movement, Signed, ledger_from
from consult.models import (
    OPEN_STATES,
    Cancellation,
    Consultation,
    Payment,
    Refund,
    Sheet,
    State,
    Voided,
)
from shop.core.money import Money
from shop.models import Person

# In these the order stands as it was signed, or is over; money still comes and goes.
SETTLED_STATES = (
    State.SIGNED,
    State.CONFIRMED,
    State.IN_THE_KITCHEN,
    State.HANDED_OVER,
    State.CANCELLED,
)
CARD_WORDS = (
    "This looks like the number of a payment card. The shop never writes one down: "
    "please say in words what it was."
)


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
            hand_over=KT("body__event_on"),
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


def ledger_of_row(row: Any, cancelling: CancelledOn | None = None) -> Ledger:
    """The ledger of a row read by `with_money`, or as `cancelling` would make it; no further query."""
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
        cancelled=cancelling if cancelled is None else _cancelled(cancelled),
    )


def _cancelled(row: Cancellation) -> CancelledOn:
    kept = Money(row.kept_minor, row.currency)
    return CancelledOn(row.cancelled_on, kept, date.fromisoformat(row.body["cancelling"]["due"]))


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


class Unlikely(Exception):
    """More than is open, or given back than is owed: it is noted once somebody says so. The message asks."""


class Refused(Settled):
    """What cannot be, whoever says so; the message says why."""


def refuse_card_numbers(*words: str) -> None:
    """No card data is ever kept: Refused where a card's number was typed among the words."""
    if any(holds_card_number(text) for text in words):
        raise Refused(CARD_WORDS)


@transaction.atomic
def note_payment(
    consultation: Consultation,
    *,
    by: Person,
    seen: Seen,
    amount: Money,
    received_on: date,
    means: str,
    all_the_same: bool = False,
) -> Payment:
    """Note money that came in. Once the deposit is covered the order is confirmed.

    More than is open raises Unlikely unless `all_the_same`: what is over is shown, and given back or kept
    for what a revision adds.
    """
    refuse_card_numbers(means)
    row, before = _held(consultation)
    if amount > before.open and not all_the_same:
        locale = row.book().identity.locale
        more = (amount - before.open).written(locale)
        raise Unlikely(
            f"That is {more} more than is open ({before.open.written(locale)}). Note it all the same?"
        )
    payment = Payment.objects.create(
        consultation=consultation,
        amount_minor=amount.minor,
        currency=amount.currency,
        received_on=received_on,
        means=means,
        noted_by=by,
        noted_at=timezone.now(),
    )
    says = f"{amount} {amount.currency} received by {means} on {received_on.isoformat()}"
    row.noted_payments.append(payment)
    after = ledger_of_row(row)
    if not before.is_cancelled and before.open_deposit and after.open_deposit:
        says += "; the deposit is not covered yet"
    if after.over:
        says += f"; {after.over} more than the order comes to"
    _keep(consultation, after, by=by, seen=seen, what="payment", says=says)
    return payment


@transaction.atomic
def note_refund(
    consultation: Consultation,
    *,
    by: Person,
    seen: Seen,
    amount: Money,
    paid_on: date,
    means: str,
    why: str,
    all_the_same: bool = False,
) -> Refund:
    """Note money that went back: never more than came in and did not go back yet (Refused).

    More than is owed to the client raises Unlikely unless `all_the_same`.
    """
    refuse_card_numbers(means, why)
    row, before = _held(consultation)
    locale = row.book().identity.locale
    if amount > before.held:
        raise Refused(
            f"No more can go back than came in: {before.held.written(locale)} at the most."
        )
    if amount > before.over and not all_the_same:
        raise Unlikely(
            f"The client is owed {before.over.written(locale)}; this gives back"
            f" {(amount - before.over).written(locale)} more. Note it all the same?"
        )
    refund = Refund.objects.create(
        consultation=consultation,
        amount_minor=amount.minor,
        currency=amount.currency,
        paid_on=paid_on,
        means=means,
        why=why,
        noted_by=by,
        noted_at=timezone.now(),
    )
    says = f"{amount} {amount.currency} given back by {means} on {paid_on.isoformat()}: {why}"
    row.noted_refunds.append(refund)
    _keep(consultation, ledger_of_row(row), by=by, seen=seen, what="refund", says=says)
    return refund


@transaction.atomic
def void(
    consultation: Consultation, noted: Payment | Refund, *, by: Person, seen: Seen, why: str
) -> Voided:
    """Say that a payment or refund was noted in error: it stays to be read and counts no more.

    Refused the second time, and where more would then have gone back than came in.
    """
    refuse_card_numbers(why)
    row, before = _held(consultation)
    is_payment = isinstance(noted, Payment)
    link = {"payment": noted} if is_payment else {"refund": noted}
    if noted.consultation_id != consultation.pk:
        raise ValueError("That was noted on another consultation.")
    if Voided.objects.filter(**link).exists():
        raise Refused("This is void already.")
    if is_payment and noted.amount > before.held:
        locale = row.book().identity.locale
        raise Refused(
            f"{before.given_back.written(locale)} was given back of what came in."
            " If this payment never came, void that refund first."
        )
    made = Voided.objects.create(**link, why=why, noted_by=by, noted_at=timezone.now())
    kind = f"received by {noted.means}" if is_payment else f"given back by {noted.means}"
    says = f"Void, noted in error: {noted.amount} {noted.currency} {kind}: {why}"
    for one in row.noted_payments if is_payment else row.noted_refunds:
        if one.pk == noted.pk:
            one.voided = made
    _keep(consultation, ledger_of_row(row), by=by, seen=seen, what="void", says=says)
    return made


def _held(consultation: Consultation) -> tuple[Any, Ledger]:
    """Its row with its money, read once nobody else can change it, and the ledger before the change."""
    hold(consultation)
    row = with_money(Consultation.objects.filter(pk=consultation.pk)).get()
    return row, ledger_of_row(row)


def _keep(
    consultation: Consultation, after: Ledger, *, by: Person, seen: Seen, what: str, says: str
) -> None:
    """Write it into the record, and confirm the order or take that back as the deposit is covered or not.

    While a revision is open the design's own revision stays: a sheet the client is reading is not overtaken
    by money. Must run inside the transaction, under `hold`.
    """
    state = Consultation.objects.values_list("state", flat=True).get(pk=consultation.pk)
    if state in OPEN_STATES and after.lines and any(line.kind == "charged" for line in after.lines):
        note(consultation, by=by, what=what, says=says, page=seen.page)
        return
    if state not in SETTLED_STATES:
        raise Refused("Nothing is signed here, so there is nothing to pay.")
    becomes = state
    if state in (State.SIGNED, State.CONFIRMED):
        becomes = State.CONFIRMED if after.deposit_is_covered else State.SIGNED
    if becomes != state:
        says += (
            "; the order is confirmed"
            if becomes == State.CONFIRMED
            else "; the deposit is no longer covered, so the order is signed and not confirmed"
        )
    move_on(
        consultation,
        by=by,
        seen=seen,
        what=what,
        says=says,
        while_in=(state,),
        state=becomes,
    )
