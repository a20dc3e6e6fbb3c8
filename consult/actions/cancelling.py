"""Cancelling a signed order by the schedule that was agreed."""

from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions import post
from consult.actions.keeping import Seen, hold, move_on
from consult.actions.money import Refused, ledger_of_row, refuse_card_numbers
from consult.actions.money_papers import PDF, head_of, paid_to, pay_context, row_with_money
from consult.core.agreed import Agreed
from consult.core.cancelling import Cancelling, cancelling_of, steps_signed
from consult.core.ledger import CancelledOn
from consult.core.money_papers import (
    CancellationStatement,
    how_to_pay,
    paper_lines,
    sums_of,
)
from consult.documents.cancellation import cancellation
from consult.models import OPEN_STATES, BenchDay, Cancellation, Consultation, Sheet, State
from shop.core.book import built, plain
from shop.models import Person

# Days to pay what is owed, or to pay back. Directive 2011/83/EU Art. 13(1) gives a trader 14 days to pay back
# after a withdrawal; the same is taken here for every cancelled order, both ways (our judgement).
DAYS_TO_SETTLE = 14

MAY_BE_CANCELLED = (State.SIGNED, State.CONFIRMED, State.IN_THE_KITCHEN, *OPEN_STATES)


def cancelling_now(row: Any, *, on: date, by_client: bool, today: date) -> Cancelling:
    """What cancelling would come to, by the schedule on the signed sheet. Keeps nothing.

    A sheet made before the schedule stood on it takes that of the book the order is pinned to.

    `row` as `row_with_money` reads it. Refused where nothing is signed, or the order is over.
    """
    if not row.signed_sheets or row.state not in MAY_BE_CANCELLED:
        raise Refused(
            f"This consultation is {row.get_state_display()}, so there is no order to cancel."
        )
    ledger, book = ledger_of_row(row), row.book()
    hand_over = date.fromisoformat(row.signed_sheets[-1].hand_over)
    agreed = Sheet.objects.values_list("body__agreed", flat=True).get(pk=row.signed_sheets[-1].pk)
    return cancelling_of(
        total=ledger.charged,
        deposit=ledger.deposit,
        received=ledger.held,
        steps=steps_signed(built(Agreed, agreed, "agreed"), hand_over)
        if agreed
        else book.policies.agreement.cancelling,
        hand_over=hand_over,
        cancelled_on=on,
        by_client=by_client,
        due=max(on, today) + timedelta(days=DAYS_TO_SETTLE),
        locale=book.identity.locale,
    )


@transaction.atomic
def cancel_order(
    consultation: Consultation,
    *,
    by: Person,
    seen: Seen,
    on: date,
    by_client: bool,
    why: str,
    today: date,
) -> Cancellation:
    """Cancel a signed order: what it comes to is kept with its working, its bench days are free again.

    `on` is the day the word was given. Refused where nothing is signed; what goes back is noted as a refund
    once it is paid.
    """
    refuse_card_numbers(why)
    hold(consultation)
    row = row_with_money(consultation)
    came_to = cancelling_now(row, on=on, by_client=by_client, today=today)
    after = ledger_of_row(row, CancelledOn(on, came_to.kept, came_to.due))
    head, identity = head_of(row), paid_to(consultation)
    statement = CancellationStatement(
        head=head,
        made_on=today,
        why=why,
        cancelling=came_to,
        lines=paper_lines(after),
        sums=sums_of(after),
        pay=how_to_pay(identity, head.number, came_to.owed) if came_to.owed else None,
    )
    pdf = store.keep(cancellation(statement))
    made = Cancellation.objects.create(
        consultation=consultation,
        sheet_id=row.signed_sheets[-1].pk,
        cancelled_on=on,
        by_client=by_client,
        why=why,
        body=plain(statement),
        kept_minor=came_to.kept.minor,
        back_minor=came_to.back.minor,
        currency=came_to.kept.currency,
        pdf_sha256=pdf,
        noted_by=by,
        noted_at=timezone.now(),
    )
    BenchDay.objects.filter(consultation=consultation).delete()
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="cancelled",
        says=f"Order cancelled by {'the client' if by_client else 'the shop'}: "
        + " ".join(came_to.working)
        + (f" Why: {why}" if why else ""),
        while_in=MAY_BE_CANCELLED,
        details={"pdf": pdf},
        state=State.CANCELLED,
    )
    post.write(
        "cancelled",
        to=consultation.client_email,
        consultation=consultation,
        context={
            "statement": statement,
            "cancelling": came_to,
            "event_on": head.event_on,
            **(pay_context(statement.pay) if statement.pay else {}),
        },
        attached=[post.Attached(f"order-cancelled-{head.number}.pdf", PDF, pdf)],
        once=f"cancelled {made.pk}",
    )
    return made
