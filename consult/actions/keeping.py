"""How is a change kept? Only on the revision it was made from, once for a key, with a line in the record."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F, Max
from django.db.models.functions import Length
from django.utils import timezone

from consult.core.signing import chain
from consult.models import OPEN_STATES, Answered, Consultation, Entry
from shop.models import Person, Shop


@dataclass(frozen=True, slots=True)
class Seen:
    """What a change was made from: the revision on the screen, and which open page it was.

    Saves of one open page never clash with each other: only somebody else's change since then does.
    """

    revision: int
    page: str = ""


class Overtaken(Exception):
    """Somebody else changed the consultation since this page was shown; nothing was kept."""


class Settled(Exception):
    """The design is signed or the order is closed, so it can't be edited; the message says what can be done."""


class KeyMismatch(Exception):
    """The same key came with another request; nothing was kept."""


def hold(consultation: Consultation) -> None:
    """Let nobody else change this consultation until the transaction ends; SQLite has one writer anyway."""
    Consultation.objects.select_for_update().filter(pk=consultation.pk).values_list("pk").first()


def note(
    consultation: Consultation,
    *,
    by: Person | None,
    what: str,
    says: str,
    at: datetime | None = None,
    who_words: str = "",
    page: str = "",
    details: dict[str, Any] | None = None,
) -> Entry:
    """Write one line into the consultation's record. Must run inside the transaction of the change."""
    last = consultation.record.order_by("-place").first()
    entry = Entry(
        consultation=consultation,
        place=(last.place if last else 0) + 1,
        at=at or timezone.now(),
        who=by,
        who_words=who_words or (by.name if by else "the client"),
        what=what,
        says=says,
        details=details or {},
        revision=consultation.revision,
        page=page,
        previous=last.hash if last else "",
    )
    entry.hash = chain(entry.previous, entry.as_hashed())
    entry.save(force_insert=True)
    return entry


def move_on(
    consultation: Consultation,
    *,
    by: Person | None,
    seen: Seen | None,
    what: str,
    says: str,
    while_in: tuple[str, ...] = OPEN_STATES,
    details: dict[str, Any] | None = None,
    who_words: str = "",
    as_read: bool = False,
    is_change: bool = False,
    **fields: Any,
) -> None:
    """Change fields and the revision in one conditional statement, and note it.

    `seen` is what the change was made from; None only for what cannot clash. Raises Overtaken or Settled, and
    then nothing is kept. `as_read` is for what was worked out from the row as given: it is Overtaken by any
    change since that reading, even one of the same page. Fields that all say what is kept already are no
    change: the revision stays, and so does a sheet made from it; but a step of the state (a sheet, a payment)
    always is one, and `is_change` says that more changes than the fields. Must run inside a transaction. The
    row given is brought up to date.
    """
    now = Consultation.objects.get(pk=consultation.pk)
    may_be_none = fields and "state" not in fields and not is_change and now.state in while_in
    if may_be_none and all(getattr(now, k) == v for k, v in fields.items()):
        return
    rows = Consultation.objects.filter(pk=consultation.pk, state__in=while_in)
    change = {"revision": F("revision") + 1, "changed_at": timezone.now(), **fields}
    expected = _expected(consultation, seen)
    if as_read and expected.get("revision", consultation.revision) != consultation.revision:
        rows = rows.none()
    if not rows.filter(**expected).update(**change):
        stands = Consultation.objects.get(pk=consultation.pk)
        if stands.state not in while_in:
            raise Settled(
                f"This consultation is {stands.get_state_display()}: its design stays as it was signed. "
                "To change it, start a new revision."
            )
        raise Overtaken
    stands = Consultation.objects.get(pk=consultation.pk)
    for field in ("revision", "changed_at", *fields):
        setattr(consultation, field, getattr(stands, field))
    note(
        consultation,
        by=by,
        what=what,
        says=says,
        who_words=who_words,
        page=seen.page if seen else "",
        details=details,
    )


def _expected(consultation: Consultation, seen: Seen | None) -> dict[str, int]:
    """The revision the row must still have: the one seen, or a later one that only the same page has made."""
    if seen is None:
        return {}
    since = consultation.record.filter(revision__gt=seen.revision)
    if seen.page and since.exists() and not since.exclude(page=seen.page).exists():
        return {"revision": since.aggregate(Max("revision"))["revision__max"]}
    return {"revision": seen.revision}


def once(actor: str, key: str, asked: str, act: Callable[[], str]) -> str:
    """Carry `act` out once for this actor's key and give its answer; again, give the same answer.

    `asked` is what was asked for: the same key with other words raises KeyMismatch. The key and the change are
    kept in one transaction, so neither is there without the other. Without a key the act is just carried out.
    """
    if not key:
        with transaction.atomic():
            return act()
    digest = hashlib.sha256(asked.encode()).hexdigest()
    try:
        with transaction.atomic():
            row = Answered.objects.create(actor=actor, key=key, asked=digest, at=timezone.now())
            row.answer = act()
            row.save(update_fields=["answer"])
            return row.answer
    except IntegrityError:
        earlier = Answered.objects.filter(actor=actor, key=key).first()
        if earlier is None:
            raise
        if earlier.asked != digest:
            raise KeyMismatch from None
        return earlier.answer


def next_number(year: int) -> str:
    """The next consultation number of that year: 2027-0142. Must run inside a transaction."""
    prefix = f"{year}-"
    Shop.objects.select_for_update().values_list("pk").first()  # two at once would get one number
    numbers = Consultation.objects.filter(number__startswith=prefix).values_list(
        "number", flat=True
    )
    last = numbers.order_by(Length("number").desc(), "-number").first() or "0"
    return f"{prefix}{int(last.removeprefix(prefix)) + 1:04d}"
