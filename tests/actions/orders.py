"""Signed orders for tests about money: made by the app's own actions, without drawing a mark by hand."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from consult.actions import money, sheets
from consult.actions.keeping import Seen
from consult.core.signing import fingerprint
from consult.models import BenchDay, Consultation, Payment, Sheet, Signature, State
from shop.core.book import plain
from shop.core.money import Money
from shop.core.policies import Agreement, CancelStep
from shop.models import Person
from tests.consultations import make_consultation
from tests.documents.samples import three_tiers
from tests.makers import make_book, make_design

# Sixty days or more a quarter, thirty or more half, later all of it: an invented schedule.
STEPS = (CancelStep(60, Decimal("0.25")), CancelStep(30, Decimal("0.5")))


def make_order(
    by: Person, *, steps: tuple[CancelStep, ...] = STEPS, total: str = "515.00", **fields: Any
) -> Consultation:
    """A signed order of $515.00, half of it as deposit, cancelling by STEPS: its rows alone, without papers."""
    book = make_book(agreement=Agreement(cancelling=steps), **fields.pop("shop", {}))
    row = make_consultation(by, guests=10, design=make_design((6,)), book=book, **fields)
    signed_rows(row, total)
    Consultation.objects.filter(pk=row.pk).update(state=State.SIGNED)
    BenchDay.objects.create(
        consultation=row, on=timezone.localdate() + timedelta(days=40), minutes=120
    )
    return fresh(row)


def signed_rows(row: Consultation, total: str) -> None:
    """A sheet of that total and its signature."""
    currency, today = row.book().currency, timezone.localdate()
    amount = Money.of(total, currency)
    deposit = amount.times(Decimal("0.5"))
    revision = sheets.next_revision(row)
    sheet = three_tiers(
        number=row.number, revision=revision, client_name=row.client_name,
        event_on=row.event_on, total=amount, deposit=deposit, balance=amount - deposit,
        deposit_due=today + timedelta(days=7), balance_due=row.event_on - timedelta(days=14),
        locale=row.book().identity.locale, paper=row.book().identity.paper,
    )  # fmt: skip
    made = Sheet.objects.create(
        consultation=row, revision=revision, letter="A", of_revision=row.revision,
        body=plain(sheet), fingerprint=fingerprint(sheet), pdf_sha256="0" * 64,
        made_at=timezone.now(), made_by=row.opened_by,
    )  # fmt: skip
    Signature.objects.create(
        sheet=made, name=row.client_name, how="typed", consent="I agree.", consent_version="1",
        signed_at=timezone.now(), signed_at_local="today", fingerprint=made.fingerprint,
        pdf_sha256="0" * 64,
    )  # fmt: skip


def by_of(row: Consultation) -> Person | None:
    return row.opened_by


def fresh(row: Consultation) -> Consultation:
    return Consultation.objects.get(pk=row.pk)


def now(row: Consultation, page: str = "") -> Seen:
    """Seen as it stands at this moment."""
    return Seen(fresh(row).revision, page)


def pay(row: Consultation, by: Person, amount: Money, **said: Any) -> Payment:
    """Cash that came in today."""
    today: date = timezone.localdate()
    said = {"received_on": today, "means": "cash", **said}
    return money.note_payment(fresh(row), by=by, seen=now(row), amount=amount, **said)


def total_of(row: Consultation) -> Money:
    return money.ledger_of(row).charged
