"""Writing messages to go out, and what the shop does with them afterwards: holding back, trying again, sending anew."""

import secrets
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import IntegrityError, transaction
from django.utils import timezone

from consult.actions.keeping import hold, note
from consult.models import Consultation, Message
from consult.posting.kinds import words_for
from consult.posting.words import MASK, one_line, worded
from shop.models import Person, current_shop


@dataclass(frozen=True, slots=True)
class Attached:
    """Bytes that lie in the store, under the name and type they are attached by."""

    name: str
    type: str  # "application/pdf"
    sha256: str


def write(
    kind: str,
    *,
    to: str,
    consultation: Consultation | None = None,
    context: dict[str, Any] | None = None,
    attached: Iterable[Attached] = (),
    once: str = "",
) -> Message | None:
    """Put templates/mail/KIND.html into the outbox. Must run inside the transaction of the change that causes it.

    The words are fixed now, so that they say what was true now. The template has `shop` (an Identity),
    `consultation` and `locale` beside `context`. None when `to` is empty or the key `once` was used before.
    """
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError(
            "A message is written in the transaction of its change."
        )
    to = to.strip()
    if not to or (once and Message.objects.filter(once=once).exists()):
        return None
    shop = consultation.book().identity if consultation else current_shop().identity()
    said = worded(
        kind,
        {
            "shop": shop,
            "consultation": consultation,
            "locale": shop.locale,
            **(context or {}),
        },
    )
    now = timezone.now()
    message = Message(
        consultation=consultation,
        kind=kind,
        once=once,
        to=one_line(to)[:254],
        subject=said.subject,
        text=said.text,
        html=said.html,
        attached=[{**asdict(each), "name": one_line(each.name)} for each in attached],
        message_id=new_message_id(shop.email),
        due_at=now,
        made_at=now,
    )
    if not is_address(to):
        message.state = Message.State.FAILED
        message.trouble = "That is not an e-mail address, so it cannot be sent."
    try:
        with transaction.atomic():  # PostgreSQL ends a transaction that an error was not caught in
            message.save(force_insert=True)
    except IntegrityError:
        if once and Message.objects.filter(once=once).exists():
            return None
        raise
    return message


class CannotSend(Exception):
    """Why that cannot be done with the message; the message says it in words."""


@transaction.atomic
def hold_back(message: Message, *, by: Person) -> None:
    """Keep a waiting message from going out, until it is let go. CannotSend if it is on its way or out."""
    waiting = Message.objects.filter(
        pk=message.pk, state=Message.State.WAITING, leased_until__isnull=True
    )
    if not waiting.update(state=Message.State.HELD):
        raise CannotSend("It is being sent just now, or was sent already.")
    _noted(message, by, "held back")


@transaction.atomic
def let_go(message: Message, *, by: Person) -> None:
    """Let a message that was held back, or could not be sent, go out now; its tries are counted from nothing."""
    if not is_address(message.to):
        raise CannotSend("It has no e-mail address that it could go to.")
    stopped = Message.objects.filter(
        pk=message.pk, state__in=(Message.State.HELD, Message.State.FAILED)
    )
    if not stopped.update(
        state=Message.State.WAITING, tries=0, trouble="", due_at=timezone.now(), leased_until=None
    ):
        raise CannotSend("It waits or was sent already.")
    _noted(message, by, "let go")


@transaction.atomic
def send_anew(message: Message, *, by: Person, text: str, html: str) -> Message:
    """Write the same message once more, with a Message-ID of its own. CannotSend where its links are wiped."""
    if message.state != Message.State.SENT:
        raise CannotSend("It has not been sent yet.")
    if MASK in text or MASK in html:
        raise CannotSend(
            "The private link in it was wiped when it was sent. Send the client a new link instead."
        )
    now = timezone.now()
    anew = Message.objects.create(
        consultation=message.consultation,
        kind=message.kind,
        to=message.to,
        subject=message.subject,
        text=text,
        html=html,
        attached=message.attached,
        message_id=new_message_id(current_shop().email),
        due_at=now,
        made_at=now,
    )
    _noted(message, by, "to be sent once more")
    return anew


def _noted(message: Message, by: Person, what: str) -> None:
    if message.consultation is not None:
        hold(message.consultation)
        note(
            message.consultation,
            by=by,
            what="post",
            says=f"Message {what}: {words_for(message.kind).lower()}",
            details={"message": message.message_id},
        )


def is_address(words: str) -> bool:
    """Whether it can be an e-mail address at all."""
    try:
        validate_email(words)
    except ValidationError:
        return False
    return True


def new_message_id(shop_email: str) -> str:
    """A Message-ID (RFC 5322, 3.6.4) that is given once and kept, so that a message sent twice is known as one."""
    domain = shop_email.rpartition("@")[2].encode("idna").decode("ascii") if shop_email else ""
    return f"<{secrets.token_hex(16)}@{domain or 'tierwright.invalid'}>"
