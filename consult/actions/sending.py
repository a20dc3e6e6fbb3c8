"""Sending a client designs to choose from, the sheet to sign, or what is to pay: a link, and a message with it."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from consult.actions import links, post
from consult.actions.keeping import Overtaken, Settled, hold, note
from consult.actions.money import ledger_of
from consult.actions.sheets import sheet_value
from consult.core.offered import Offered
from consult.core.paying import paying
from consult.models import Consultation, DesignsSent, Purpose, Sheet, Signature, State
from consult.models.consultations import OPEN_STATES
from shop.addresses import absolute
from shop.core.book import plain
from shop.models import Person


class NotSent(Exception):
    """Why it cannot be sent now, in words for the shop."""


def link_in_message(token: str) -> str:
    """A link's address as a message holds it; whole only once the message leaves."""
    return absolute(links.covered_path(token))


@transaction.atomic
def send_designs(
    consultation: Consultation, *, by: Person, offered: Offered, words: str, to: str
) -> tuple[DesignsSent, str]:
    """Keep the designs as the client is shown them, and give the link's token. Earlier ones end with it.

    `offered` was worked out from the consultation as given: Overtaken if it was changed since.
    """
    _held(consultation)
    if consultation.state not in OPEN_STATES:
        raise Settled(f"This consultation is {consultation.get_state_display()}.")
    sent = DesignsSent.objects.create(
        consultation=consultation,
        of_revision=consultation.revision,
        body=plain(offered),
        words=words,
        sent_by=by,
        sent_at=timezone.now(),
    )
    named = " and ".join(offered.letters())
    note(
        consultation,
        by=by,
        what="designs sent",
        says=f"Design {named} sent to choose from"
        if len(offered.designs) == 1
        else f"Designs {named} sent to choose from",
        details={"sent": sent.pk, "totals": [str(design.total) for design in offered.designs]},
    )
    token = links.make_link(consultation, Purpose.DESIGNS, by=by, designs=sent, to=to)
    context = {"offered": offered, "words": words, "link": link_in_message(token)}
    post.write("designs_to_choose", to=to, consultation=consultation, context=context)
    return sent, token


@transaction.atomic
def send_sheet(
    consultation: Consultation, row: Sheet, *, by: Person, to: str, words: str, today: date
) -> str:
    """Send the current sheet to be read and signed; gives the link's token."""
    _held(consultation)
    if consultation.state != State.QUOTED or row.of_revision != consultation.revision:
        raise NotSent(
            "There is no sheet to sign, or the design was changed since: make the sheet first."
        )
    if today > date.fromisoformat(row.body["holds_until"]):
        raise NotSent(
            "The quote no longer holds: take today's prices, or make the sheet anew, then send it."
        )
    token = links.make_link(consultation, Purpose.SHEET, by=by, sheet=row, to=to)
    context = {"sheet": sheet_value(row), "words": words, "link": link_in_message(token)}
    post.write("sheet_to_sign", to=to, consultation=consultation, context=context)
    return token


@transaction.atomic
def send_to_pay(consultation: Consultation, *, by: Person, to: str, words: str) -> str:
    """Send what is to pay next of a signed order; gives the link's token."""
    _held(consultation)
    if not Signature.objects.filter(sheet__consultation=consultation).exists():
        raise NotSent("Nothing is signed yet, so there is nothing to pay.")
    ledger, identity = ledger_of(consultation), consultation.book().identity
    if not ledger.dues:
        raise NotSent("Everything is paid, so there is nothing to send.")
    due = ledger.dues[0]
    how = paying(due.amount, consultation.number, identity)
    token = links.make_link(consultation, Purpose.PAY, by=by, to=to)
    context = {
        "what": due.what,
        "amount": due.amount,
        "due": due.on,
        "reference": how.reference,
        "event_on": consultation.event_on,
        "words": words,
        "link": link_in_message(token),
    }
    post.write("to_pay", to=to, consultation=consultation, context=context)
    return token


def _held(consultation: Consultation) -> None:
    """Hold the consultation; Overtaken if it is not as it was read."""
    hold(consultation)
    if Consultation.objects.get(pk=consultation.pk).revision != consultation.revision:
        raise Overtaken
