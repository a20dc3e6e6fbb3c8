"""Reminding clients in time: a quote about to lapse, a deposit or balance due, a guest count to confirm. Once each."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions import links, post
from consult.actions.keeping import hold
from consult.actions.money import ledger_of
from consult.actions.sending import link_in_message
from consult.actions.sheets import current_sheet, sheet_value
from consult.models import BOOKED_STATES, Consultation, Message, Purpose, Sheet, State
from shop.models import Shop

# Days before each date on which the reminder is written: common practice, no source.
QUOTE_DAYS = 3
DEPOSIT_DAYS = 3
BALANCE_DAYS = 5
COUNT_DAYS = 7
# What is due is still reminded of so long after, should the shop's computer have been off.
LATE_DAYS = 14
# Nobody is written to at night, by the shop's own clock.
FROM_HOUR, UNTIL_HOUR = 8, 20

KINDS = ("quote_lapses", "deposit_due", "balance_due", "count_to_confirm")


def write_reminders(now: datetime | None = None) -> int:
    """Write the reminders that are due now; how many. None at night, or where the shop sends none."""
    shop = Shop.objects.first()
    if shop is None or not shop.sends_reminders:
        return 0
    local = (now or timezone.now()).astimezone(ZoneInfo(shop.time_zone))
    if not FROM_HOUR <= local.hour < UNTIL_HOUR:
        return 0
    written = 0
    waiting = Consultation.objects.filter(state__in=(State.QUOTED, *BOOKED_STATES))
    known = set(Message.objects.filter(kind__in=KINDS).values_list("once", flat=True))
    for row in waiting.exclude(client_email="").select_related("edition"):
        for kind, once, _ in _due(row, local.date()):
            if once not in known:
                written += _write(row.pk, kind, once, local.date())
    return written


@transaction.atomic
def _write(pk: int, kind: str, once: str, today: date) -> int:
    """Look once more with nobody else changing the consultation, then write it."""
    row = Consultation.objects.select_related("edition").get(pk=pk)
    hold(row)
    row.refresh_from_db(fields=["state", "revision", "event_on", "client_email"])
    for found, key, context in _due(row, today):
        if (found, key) != (kind, once) or Message.objects.filter(once=once).exists():
            continue
        sheet = context["row"]
        if kind == "quote_lapses":
            token = links.make_link(row, Purpose.SHEET, by=None, sheet=sheet, to=row.client_email)
            context["link"] = link_in_message(token)
        elif kind in ("deposit_due", "balance_due"):
            token = links.make_link(row, Purpose.PAY, by=None, sheet=sheet, to=row.client_email)
            context["link"] = link_in_message(token)
        message = post.write(
            kind,
            to=row.client_email,
            consultation=row,
            context={**context, "sheet": sheet_value(sheet), "today": today},
            attached=_papers(kind, sheet),
            once=once,
        )
        return int(message is not None)
    return 0


def _papers(kind: str, sheet: Sheet) -> tuple[post.Attached, ...]:
    asked = getattr(sheet, "deposit", None)
    if kind != "deposit_due" or asked is None:
        return ()
    store.fetch(asked.pdf_sha256)
    name = f"deposit-request-{sheet.body['number']}-{sheet.revision}.pdf"
    return (post.Attached(name, "application/pdf", asked.pdf_sha256),)


def _due(row: Consultation, today: date) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """(kind, key, what the message needs) of each reminder that today asks for, written or not."""
    if row.state == State.QUOTED:
        sheet = current_sheet(row)
        if sheet is None or hasattr(sheet, "signature"):
            return
        until = date.fromisoformat(sheet.body["holds_until"])
        if today <= until <= today + timedelta(days=QUOTE_DAYS):
            yield "quote_lapses", f"quote_lapses {sheet.pk}", {"row": sheet, "until": until}
        return
    if row.state not in BOOKED_STATES:
        return
    signed = row.sheets.filter(signature__isnull=False).select_related("deposit").last()
    if signed is None:
        return
    yield from _money_due(row, signed, today)
    if row.event_on is not None:
        until = row.event_on - timedelta(days=row.book().policies.agreement.count_until_days)
        if today <= until <= today + timedelta(days=COUNT_DAYS):
            key = f"count_to_confirm {row.pk} {row.event_on.isoformat()}"
            yield "count_to_confirm", key, {"row": signed, "until": until, "guests": row.guests}


def _money_due(
    row: Consultation, signed: Sheet, today: date
) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Of the parts that are still open by the ledger, those that fall due soon or did lately."""
    before = {"deposit": DEPOSIT_DAYS, "balance": BALANCE_DAYS}
    ledger = ledger_of(row)
    for due in ledger.dues:
        if due.what not in before:
            continue
        first, last = due.on - timedelta(days=before[due.what]), due.on + timedelta(days=LATE_DAYS)
        if first <= today <= last:
            asked = getattr(signed, "deposit", None)
            yield (
                f"{due.what}_due",
                f"{due.what}_due {signed.pk}",
                {
                    "row": signed,
                    "amount": due.amount,
                    "due": due.on,
                    "received": ledger.held,
                    "reference": asked.reference if asked else "",
                },
            )
