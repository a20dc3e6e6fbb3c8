"""Sending what waits: who takes a message, what becomes of it, and when it is tried again.

A message is taken by one conditional UPDATE that also writes a lease: of any number of workers one gets it. It is
sent outside any transaction and then marked. Killed between the two, it is sent once more when the lease has run
out, under the same Message-ID, by which mail programs know it as one.
"""

import logging
from collections.abc import Callable
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone

from consult.actions.keeping import hold, note
from consult.models import Message
from consult.posting.carrying import NotNow, Refused
from consult.posting.kinds import words_for
from consult.posting.words import masked

log = logging.getLogger(__name__)

LEASE = timedelta(minutes=5)
FIRST_WAIT = timedelta(minutes=1)  # doubled with each try
LONGEST_WAIT = timedelta(hours=2)
MOST_TRIES = 20  # about 28 hours: longer than a mail server's bad night


def claim(now: datetime | None = None) -> Message | None:
    """Take the next message that is due, for as long as the lease; None when there is none to take."""
    now = now or timezone.now()
    free = Q(leased_until__isnull=True) | Q(leased_until__lt=now)
    due = Message.objects.filter(free, state=Message.State.WAITING, due_at__lte=now)
    for row in due.order_by("due_at", "pk")[:20]:
        mine = Message.objects.filter(free, pk=row.pk, state=Message.State.WAITING, due_at__lte=now)
        if row.tries >= MOST_TRIES:  # each try was killed before its end
            mine.update(
                state=Message.State.FAILED,
                trouble="It was tried too often without coming to an end.",
                leased_until=None,
            )
        elif mine.update(leased_until=now + LEASE, tries=F("tries") + 1):
            row.leased_until, row.tries = now + LEASE, row.tries + 1
            return row
    return None


def wait_after(tries: int) -> timedelta:
    """How long until it is tried again, after so many tries."""
    return min(FIRST_WAIT * 2 ** min(tries - 1, 20), LONGEST_WAIT)


def mark_sent(message: Message, went_by: str) -> None:
    """It is out: the tokens of its links are wiped, and the record of the consultation says so."""
    with transaction.atomic():
        mine = Message.objects.filter(pk=message.pk, leased_until=message.leased_until)
        if not mine.update(
            state=Message.State.SENT,
            went_by=went_by,
            sent_at=timezone.now(),
            text=masked(message.text),
            html=masked(message.html),
            trouble="",
            leased_until=None,
        ):
            return  # the lease ran out while it was sent; whoever took it over says what became of it
        if message.consultation is not None:
            hold(message.consultation)
            note(
                message.consultation,
                by=None,
                who_words="the outbox",
                what="post",
                says=f"Message {'sent' if went_by == 'smtp' else 'put into the folder'}: "
                f"{words_for(message.kind).lower()}",
                details={"message": message.message_id},
            )


def mark_trouble(message: Message, trouble: str, *, for_good: bool) -> None:
    """It is not out: try later, or give up with the trouble in words."""
    given_up = for_good or message.tries >= MOST_TRIES
    if given_up and not for_good:
        trouble = f"Given up after {message.tries} tries. {trouble}"
    Message.objects.filter(
        pk=message.pk, state=Message.State.WAITING, leased_until=message.leased_until
    ).update(
        state=Message.State.FAILED if given_up else Message.State.WAITING,
        due_at=timezone.now() + wait_after(message.tries),
        trouble=trouble[:300],
        leased_until=None,
    )


def send_waiting(went_by: str, carry: Callable[[Message], None], *, most: int = 500) -> int:
    """Send all that is due, one after the other; how many went out."""
    sent = 0
    for _ in range(most):
        message = claim()
        if message is None:
            break
        try:
            carry(message)
        except Refused as refused:
            mark_trouble(message, str(refused), for_good=True)
            log.warning(
                "Message %s is refused for good; the page of messages says why.", message.pk
            )
        except NotNow as not_now:
            mark_trouble(message, str(not_now), for_good=False)
            log.warning("Message %s could not be sent; it is tried again.", message.pk)
        except Exception as error:  # a fault of ours in one message must not stop the others
            mark_trouble(
                message, f"It cannot be sent as it is ({type(error).__name__}).", for_good=False
            )
            log.error("Message %s cannot be sent: %s", message.pk, type(error).__name__)
        else:
            mark_sent(message, went_by)
            sent += 1
    return sent
